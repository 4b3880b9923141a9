//! The program's shell: clock, streams, environment and signals in, an exit code out.
//!
//! Invariant: nothing is decided here; commands live in `denib::cli`, the wall in `denib::tui`.

use denib::cli::{self, Context, End, Exit, Folders, Screen, Showing, Surroundings};
use denib::tui::Shop;
use denib::tui::script::{self, Setting};
use denib::tui::terminal::{self, Ended, Settings};
use etcetera::BaseStrategy;
use etcetera::base_strategy::Xdg;
use signal_hook::SigId;
use signal_hook::consts::SIGINT;
use std::io::{IsTerminal, Write};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

fn main() -> ExitCode {
    let began = Instant::now();
    let (stop, hooks) = watch_for_ctrl_c();
    let (mut output, mut errors) = (std::io::stdout(), std::io::stderr());
    let end = cli::run(
        std::env::args_os(),
        &mut Context {
            clock: &now,
            elapsed: &|| began.elapsed(),
            stopped: &|| stop.load(Ordering::Relaxed),
            around: surroundings(),
            folders: folders(),
            output: &mut output,
            errors: &mut errors,
        },
    );
    match end {
        End::Exit(exit) => exit.into(),
        End::Wall(showing) => {
            // the wall has its own way of ending on a signal
            for hook in hooks {
                signal_hook::low_level::unregister(hook);
            }
            wall(*showing).into()
        }
    }
}

/// The first Ctrl-C raises the flag, so that a search can hand out what it has; a second one ends the program.
fn watch_for_ctrl_c() -> (Arc<AtomicBool>, Vec<SigId>) {
    let stop = Arc::new(AtomicBool::new(false));
    let again = Arc::new(AtomicBool::new(false));
    let code = i32::from(Exit::INTERRUPTED.0);
    // in this order: a signal that comes in between must raise the flag all the same, and the first must not find the
    // mark that it leaves for the second
    let hooks = [
        signal_hook::flag::register(SIGINT, Arc::clone(&stop)),
        signal_hook::flag::register_conditional_shutdown(SIGINT, code, Arc::clone(&again)),
        signal_hook::flag::register(SIGINT, again),
    ];
    // without the hooks Ctrl-C ends the program as it does any other: nothing to say
    (stop, hooks.into_iter().flatten().collect())
}

#[allow(clippy::disallowed_methods)] // the one place where the clock is read
fn now() -> chrono::DateTime<chrono::Utc> {
    chrono::Utc::now()
}

fn surroundings() -> Surroundings {
    let variable = |name: &str| std::env::var_os(name).map(|value| value.to_string_lossy().into_owned());
    let size = rustix::termios::tcgetwinsize(std::io::stdout());
    Surroundings {
        no_color: variable("NO_COLOR"),
        clicolor_force: variable("CLICOLOR_FORCE"),
        term: variable("TERM"),
        output_is_terminal: std::io::stdout().is_terminal(),
        input_is_terminal: std::io::stdin().is_terminal(),
        zone: zone(),
        columns: size
            .ok()
            .map(|size| usize::from(size.ws_col))
            .filter(|columns| *columns > 0),
    }
}

/// The zone this machine is in: `TZ` where it names one, else what `/etc/localtime` leads to.
fn zone() -> Option<String> {
    let named = std::env::var("TZ")
        .ok()
        .map(|zone| zone.trim_start_matches(':').to_owned());
    let named = named.filter(|zone| zone.parse::<chrono_tz::Tz>().is_ok());
    named.or_else(|| {
        let link = std::fs::read_link("/etc/localtime").ok()?;
        let path = link.to_str()?;
        path.split_once("zoneinfo/").map(|(_, zone)| zone.to_owned())
    })
}

/// Folders by the XDG base directory specification: relative values do not count, empty ones are unset.
fn folders() -> Folders {
    let base = Xdg::new().ok();
    Folders {
        schedules: base.map(|base| base.config_dir().join("denib").join("schedules")),
    }
}

/// Puts up the wall, or plays it on a screen in memory and prints that.
fn wall(showing: Showing) -> Exit {
    let zone = showing.bench.job.zone;
    let mut shop = Shop::new(showing.bench, showing.who);
    // the folder of a demo goes away when the wall is left
    let _folder = showing.folder;
    match showing.screen {
        Screen::Memory { keys, size } => {
            let setting = Setting {
                size,
                colour: showing.colour,
                ascii: showing.ascii,
            };
            let (text, exit) = match script::play_put_up(&mut shop, showing.now, setting, &showing.manner, &keys) {
                Ok(played) => (played.text, Exit::DONE),
                Err(why) => return refuse(&why),
            };
            // whoever reads may stop reading
            let _ = std::io::stdout().lock().write_all(text.as_bytes());
            exit
        }
        Screen::Terminal => {
            let shift = showing.shift;
            let settings = Settings {
                colour: showing.color,
                manner: showing.manner,
                ascii: showing.ascii,
                read_only: showing.read_only,
                clock: Arc::new(move || (now() + shift).with_timezone(&zone).fixed_offset()),
            };
            match terminal::run(Box::new(shop), &settings) {
                Ended::Refused(why) => refuse(&why),
                ended => Exit(u8::try_from(ended.code()).unwrap_or(Exit::USAGE.0)),
            }
        }
    }
}

fn refuse(why: &str) -> Exit {
    // nobody is left to hear it if the error stream is gone too
    let _ = writeln!(std::io::stderr(), "denib: {why}");
    Exit::USAGE
}
