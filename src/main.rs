//! The program's shell: clock, streams, environment and signals in, an exit code out.
//!
//! Invariant: nothing is decided here; commands live in `denib::cli`, the wall in `denib::tui`.

use denib::cli::{self, Context, End, Exit, Folders, Showing, Surroundings};
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
    let (mut output, mut errors) = (std::io::stdout().lock(), std::io::stderr().lock());
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
    drop((output, errors));
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
    let code = i32::from(Exit::INTERRUPTED.0);
    // in this order: the flag must still be down when the first signal asks whether to end at once
    let second = signal_hook::flag::register_conditional_shutdown(SIGINT, code, Arc::clone(&stop));
    let first = signal_hook::flag::register(SIGINT, Arc::clone(&stop));
    // without the hooks Ctrl-C ends the program as it does any other: nothing to say
    (stop, [second, first].into_iter().flatten().collect())
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
        columns: size
            .ok()
            .map(|size| usize::from(size.ws_col))
            .filter(|columns| *columns > 0),
    }
}

/// Folders by the XDG base directory specification: relative values do not count, empty ones are unset.
fn folders() -> Folders {
    let base = Xdg::new().ok();
    Folders {
        schedules: base.map(|base| base.config_dir().join("denib").join("schedules")),
    }
}

fn wall(showing: Showing) -> Exit {
    drop(showing);
    let _ = writeln!(std::io::stderr(), "denib: the wall is not here yet");
    Exit::USAGE
}
