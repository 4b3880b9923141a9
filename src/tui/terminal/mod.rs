//! The only impure part of the wall: the real terminal, the real clock, signals and threads.
//!
//! Invariant: whatever ends the wall, the terminal is left as it was found. Keys are read one at a time,
//! each only after the last was dealt with; nothing polls; without a time to go on the screen nothing wakes.

pub mod desk;
mod editor;
mod files;
mod guard;
mod watch;
mod worker;

pub use worker::PRIORITY;

use super::bench::{Bench, Sheet};
use super::key::Key;
use super::model::{Model, Tone, Wake};
use super::msg::{Effect, Msg};
use super::update::{begin, update};
use super::view;
use crate::cli::{self, Colour, Manner, Surroundings};
use crate::dayplan::document::Stamp;
use crate::units::Moment;
use chrono::{Timelike, Utc};
use chrono_tz::Tz;
use desk::Desk;
use files::Files;
use guard::Guard;
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::crossterm::event::Event;
use ratatui::crossterm::style::force_color_output;
use ratatui::layout::Rect;
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGWINCH};
use std::collections::VecDeque;
use std::io::{BufWriter, IsTerminal, Stdout, Write as _, stdin, stdout};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};
use watch::{Happening, Reader};
use worker::Worker;

/// Where the wall reads the time.
pub type Clock = Arc<dyn Fn() -> Stamp + Send + Sync>;

/// How the wall is set up.
#[derive(Clone)]
pub struct Settings {
    /// `--color`.
    pub colour: Colour,
    /// Theme, quiet hours, the far wall.
    pub manner: Manner,
    /// `--ascii`.
    pub ascii: bool,
    /// Only show; write nothing.
    pub read_only: bool,
    /// The clock; [`wall_clock`] but for a fixed one.
    pub clock: Clock,
}

/// How the wall ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ended {
    /// The person left.
    Left,
    /// Ctrl-C.
    Interrupted,
    /// A signal.
    Signal(i32),
    /// The terminal is gone.
    TerminalGone,
    /// It did not start; why, and what to use instead.
    Refused(String),
}

impl Ended {
    /// The exit code: 0, 2 when it did not start, 128 and the number of the signal otherwise.
    pub const fn code(&self) -> i32 {
        match self {
            Self::Left => 0,
            Self::Refused(_) => 2,
            Self::Interrupted => 128 + SIGINT,
            Self::Signal(number) => 128 + *number,
            Self::TerminalGone => 128 + SIGHUP,
        }
    }
}

/// The clock of this machine in a zone.
pub fn wall_clock(zone: Tz) -> Clock {
    // the one place of the wall that reads it
    #[allow(clippy::disallowed_methods)]
    Arc::new(move || Utc::now().with_timezone(&zone).fixed_offset())
}

/// What the environment says about colour and terminals.
pub fn surroundings() -> Surroundings {
    let read = |name: &str| std::env::var(name).ok();
    Surroundings {
        no_color: read("NO_COLOR"),
        clicolor_force: read("CLICOLOR_FORCE"),
        term: read("TERM"),
        output_is_terminal: stdout().is_terminal(),
        input_is_terminal: stdin().is_terminal(),
        ..Surroundings::default()
    }
}

/// Shortest time between two frames.
const FRAME: Duration = Duration::from_millis(16);

/// Puts the wall up and keeps it up until it is left.
pub fn run(bench: Box<dyn Bench>, settings: &Settings) -> Ended {
    let around = surroundings();
    if let Some(why) = cli::refuses(&around) {
        return Ended::Refused(format!("{why}\n{}", cli::INSTEAD));
    }
    // the decision about colour is ours; the library's own would wipe reverse video too
    force_color_output(true);
    let colour = cli::use_colour(settings.colour, &around);
    let guard = match Guard::enter() {
        Ok(guard) => guard,
        Err(error) => return Ended::Refused(format!("The terminal cannot be set up for the wall: {error}")),
    };
    let Ok(terminal) = Terminal::new(CrosstermBackend::new(BufWriter::new(stdout()))) else {
        return Ended::TerminalGone;
    };
    let (sender, happenings) = channel();
    let signals = match watch::signals(sender.clone()) {
        Ok(signals) => signals,
        Err(error) => return Ended::Refused(format!("Signals cannot be listened for: {error}")),
    };
    watch::hang_up(sender.clone());
    let reader = Reader::start(sender.clone());
    watch::clock_set(sender.clone());
    let files = Files::watch(&bench.watched(), &sender);
    let worker = Worker::start(sender.clone());

    let size = ratatui::crossterm::terminal::size().unwrap_or(super::model::SMALLEST);
    let now = (settings.clock)();
    let sheet = Sheet::of(&*bench, Moment::of(&now));
    let mut model = Model::new(sheet.clone(), now, size).worked_beside();
    model = model.put_up(&settings.manner, colour);
    if settings.ascii {
        model = model.ascii();
    }
    if settings.read_only {
        model = model.read_only();
    }
    let first = begin(&mut model);
    let answers = sender.clone();
    let tell = move |msg| answers.send(Happening::Answer(Box::new(msg))).is_ok();
    let breaks = sender.clone();
    let broke = move || {
        let _ = breaks.send(Happening::Broke);
    };
    let planner = worker.clone();
    let plan = move |generation, replan| planner.ask(generation, replan);
    let desk = Desk::start(bench, sheet, Arc::clone(&settings.clock), plan, tell, broke);
    let mut shell = Shell {
        files,
        sender,
        put_off: VecDeque::new(),
        edit: false,
        desk,
        model,
        clock: Arc::clone(&settings.clock),
        terminal,
        guard,
        worker,
        dirty: true,
        drawn: None,
    };
    let ended = shell.take_effects(first);
    let ended = ended.unwrap_or_else(|| shell.keep_up(&happenings, &reader));
    signals.close();
    shell.worker.stop();
    shell.desk.finish();
    if ended == Ended::TerminalGone {
        // its own clean-up would write to a terminal that is not there
        std::mem::forget(shell.terminal);
    }
    ended
}

struct Shell {
    /// The bench.
    desk: Desk,
    model: Model,
    clock: Clock,
    // before the guard: it is dropped first, then the guard leaves
    terminal: Terminal<CrosstermBackend<BufWriter<Stdout>>>,
    guard: Guard,
    worker: Worker,
    /// Watches the files for as long as the wall is up.
    files: Files,
    sender: Sender<Happening>,
    /// What came in while an editor had the terminal.
    put_off: VecDeque<Happening>,
    /// The editor was asked for.
    edit: bool,
    dirty: bool,
    drawn: Option<Instant>,
}

impl Shell {
    fn keep_up(&mut self, happenings: &Receiver<Happening>, reader: &Reader) -> Ended {
        reader.grant();
        loop {
            if self.dirty && self.frame_due() {
                if self.draw().is_err() {
                    return Ended::TerminalGone;
                }
                continue;
            }
            let happening = match self.put_off.pop_front() {
                Some(happening) => Some(happening),
                None => match self.wait() {
                    Some(wait) => match happenings.recv_timeout(wait) {
                        Ok(happening) => Some(happening),
                        Err(RecvTimeoutError::Timeout) => None,
                        Err(RecvTimeoutError::Disconnected) => return Ended::TerminalGone,
                    },
                    None => match happenings.recv() {
                        Ok(happening) => Some(happening),
                        Err(_) => return Ended::TerminalGone,
                    },
                },
            };
            if happening.is_none() && self.dirty {
                continue; // only the frame was waited for
            }
            let read = matches!(happening, Some(Happening::Input(_)));
            let clock = Msg::Clock((self.clock)());
            if let Some(ended) = self.take(clock) {
                return ended;
            }
            if let Some(ended) = happening.and_then(|happening| self.deal_with(happening)) {
                return ended;
            }
            if std::mem::take(&mut self.edit)
                && let Some(ended) = self.edit(happenings)
            {
                return ended;
            }
            if read {
                reader.grant();
            }
        }
    }

    fn deal_with(&mut self, happening: Happening) -> Option<Ended> {
        match happening {
            Happening::Input(Event::Key(event)) => self.take(Msg::Key(Key::of(&event)?)),
            Happening::Input(Event::Paste(text)) => self.take(Msg::Paste(text)),
            Happening::Input(Event::Resize(columns, rows)) => self.take(Msg::Size(columns, rows)),
            // of a clock that was set the time itself came with it
            Happening::Input(_) | Happening::ClockSet => None,
            Happening::AtOnce(generation, plan) => self.take(Msg::AtOnce(generation, plan)),
            Happening::Planned(generation, outcome) => self.take(Msg::Planned(generation, outcome)),
            Happening::Signal(SIGTSTP) => self.take_effects(vec![Effect::Suspend]),
            Happening::Signal(SIGCONT) => self.woken(),
            Happening::Signal(SIGWINCH) => {
                let (columns, rows) = ratatui::crossterm::terminal::size().unwrap_or(self.model.size);
                self.take(Msg::Size(columns, rows))
            }
            Happening::Signal(number) if [SIGTERM, SIGINT].contains(&number) => Some(Ended::Signal(number)),
            Happening::Signal(_) | Happening::HungUp => Some(Ended::TerminalGone),
            // taken up again where the desk is left
            Happening::Broke => Some(Ended::Left),
            Happening::FilesChanged => {
                self.desk.refresh();
                None
            }
            Happening::Answer(msg) => {
                if matches!(*msg, Msg::Edited(..)) {
                    self.files.watch_also(&self.desk.watched(), &self.sender);
                }
                self.take(*msg)
            }
        }
    }

    /// Hands a message to the model and does what it asks for, until nothing more is asked for.
    fn take(&mut self, msg: Msg) -> Option<Ended> {
        self.dirty |= !matches!(msg, Msg::Clock(now) if now == self.model.now);
        let effects = update(&mut self.model, msg);
        self.take_effects(effects)
    }

    fn take_effects(&mut self, effects: Vec<Effect>) -> Option<Ended> {
        for effect in effects {
            match effect {
                Effect::Quit => return Some(Ended::Left),
                Effect::Interrupt => return Some(Ended::Interrupted),
                Effect::Suspend if !watch::can_be_woken() => {
                    self.dirty = true;
                    self.model.said = Some((
                        Tone::Plain,
                        "No shell started this, so nobody could wake it: not stopped.".to_owned(),
                    ));
                }
                Effect::Suspend => {
                    self.guard.leave();
                    // stops here until somebody sends SIGCONT
                    let _ = signal_hook::low_level::emulate_default_handler(SIGTSTP);
                    return self.woken();
                }
                Effect::Editor => {
                    // when all of this message is dealt with
                    self.edit = true;
                }
                Effect::Bell => {
                    let _ = stdout().write_all(b"\x07").and_then(|()| stdout().flush());
                }
                Effect::Repaint => self.repaint(),
                effect => self.desk.take(effect),
            }
        }
        None
    }

    /// Back after a stop: the modes are set again, the size and the time may have changed.
    fn woken(&mut self) -> Option<Ended> {
        if self.guard.enter_again().is_err() {
            return Some(Ended::TerminalGone);
        }
        self.repaint();
        let (columns, rows) = ratatui::crossterm::terminal::size().unwrap_or(self.model.size);
        self.take(Msg::Size(columns, rows))
            .or_else(|| self.take(Msg::Clock((self.clock)())))
            .or_else(|| self.take(Msg::Woken))
    }

    /// The maker's file in the maker's editor: everything is left, and taken up again afterwards.
    fn edit(&mut self, happenings: &Receiver<Happening>) -> Option<Ended> {
        let why = match self.desk.path() {
            Some(path) => {
                self.desk.editor_begins();
                self.guard.leave();
                editor::edit(&path).err()
            }
            None => Some("The job has no file yet: give it its title first.".to_owned()),
        };
        // keys of the editor came to both: they were not meant for the wall
        while let Ok(happening) = happenings.try_recv() {
            match happening {
                Happening::Signal(SIGINT | SIGTSTP | SIGCONT | SIGWINCH) => {}
                other => self.put_off.push_back(other),
            }
        }
        if let Some(ended) = self.woken() {
            return Some(ended);
        }
        self.desk.editor_ended(why);
        None
    }

    /// Everything is painted afresh with the next frame.
    fn repaint(&mut self) {
        let (columns, rows) = ratatui::crossterm::terminal::size().unwrap_or(self.model.size);
        // not clear(): that asks the terminal where its cursor is, and the reader has the answer
        let _ = self.terminal.resize(Rect::new(0, 0, columns, rows));
        self.dirty = true;
    }

    fn draw(&mut self) -> std::io::Result<()> {
        let model = &self.model;
        self.terminal.draw(|frame| view::draw(model, frame))?;
        self.dirty = false;
        self.drawn = Some(Instant::now());
        Ok(())
    }

    fn frame_due(&self) -> bool {
        self.drawn.is_none_or(|drawn| drawn.elapsed() >= FRAME)
    }

    /// How long nothing has to happen; `None`: until something does.
    fn wait(&self) -> Option<Duration> {
        if self.dirty {
            return Some(
                self.drawn
                    .map_or(Duration::ZERO, |drawn| FRAME.saturating_sub(drawn.elapsed())),
            );
        }
        let now = (self.clock)();
        let into_second = u64::from(now.nanosecond() / 1_000_000).min(999);
        match self.model.wake() {
            Wake::Never => None,
            Wake::Second => Some(Duration::from_millis(1000 - into_second)),
            Wake::Minute => Some(Duration::from_millis(
                (60 - u64::from(now.second()).min(59)) * 1000 - into_second,
            )),
        }
    }
}
