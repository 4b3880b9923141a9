//! What the program's shell hands to the commands: clock, streams, surroundings, folders.
//!
//! Invariant: a command that is given the same context and files does the same thing.

use super::failure::Failure;
use super::files::Folders;
use crate::dayplan::document::Stamp;
use chrono::{DateTime, Utc};
use std::io::Write;
use std::time::Duration;

/// What the environment and the terminal say.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Surroundings {
    /// `NO_COLOR`.
    pub no_color: Option<String>,
    /// `CLICOLOR_FORCE`.
    pub clicolor_force: Option<String>,
    /// `TERM`.
    pub term: Option<String>,
    /// Results go to a terminal.
    pub output_is_terminal: bool,
    /// Keys come from a terminal.
    pub input_is_terminal: bool,
    /// The zone this machine is in, by its name, where it says so.
    pub zone: Option<String>,
    /// Columns of that terminal, where it says so.
    pub columns: Option<usize>,
}

/// Everything a command may use of the world outside.
pub struct Context<'a> {
    /// The clock.
    pub clock: &'a dyn Fn() -> DateTime<Utc>,
    /// Time since the program began.
    pub elapsed: &'a dyn Fn() -> Duration,
    /// Ctrl-C was pressed.
    pub stopped: &'a dyn Fn() -> bool,
    /// What the environment says.
    pub around: Surroundings,
    /// Where the maker's own things lie.
    pub folders: Folders,
    /// Results.
    pub output: &'a mut dyn Write,
    /// Everything else.
    pub errors: &'a mut dyn Write,
}

/// Columns of a page that is not shown on a terminal.
const PAGE: usize = 80;
/// Lines longer than this are hard to read, however wide the terminal.
const WIDEST: usize = 110;

impl Context<'_> {
    /// Prints a result.
    pub fn print(&mut self, text: &str) -> Result<(), Failure> {
        self.output.write_all(text.as_bytes())?;
        self.output.flush()?;
        Ok(())
    }

    /// Says something that is not a result.
    pub fn tell(&mut self, text: &str) -> Result<(), Failure> {
        self.errors.write_all(text.as_bytes())?;
        self.errors.flush()?;
        Ok(())
    }

    /// Columns to write in.
    pub fn width(&self) -> usize {
        match self.around.columns {
            Some(columns) if self.around.output_is_terminal => columns.clamp(20, WIDEST),
            _ => PAGE,
        }
    }

    /// The clock now, in UTC, whole minutes kept by whoever rounds.
    pub fn now(&self) -> Stamp {
        (self.clock)().fixed_offset()
    }
}
