//! Why a command could not do what it was asked.
//!
//! Invariant: every failure says what was tried and on what, and what can be done about it where anything
//! can; a reader who stops reading is no failure.

use super::context::Context;
use super::exit::Exit;
use crate::dayplan::NoPlan;
use crate::log::LogError;
use crate::source::visible;
use std::io::{self, ErrorKind};
use std::path::Path;

/// A command that went wrong.
#[derive(Debug)]
pub struct Failure {
    exit: Exit,
    text: String,
    hint: Option<String>,
}

impl Failure {
    /// Wrong usage or unreadable input.
    pub fn usage(text: impl Into<String>) -> Self {
        Self {
            exit: Exit::USAGE,
            text: text.into(),
            hint: None,
        }
    }

    /// The job has errors, or has no plan.
    pub fn no_plan(text: impl Into<String>) -> Self {
        Self {
            exit: Exit::NO_PLAN,
            text: text.into(),
            hint: None,
        }
    }

    /// A file that could not be read or written.
    pub fn file(doing: &str, path: &Path, error: &io::Error) -> Self {
        Self::usage(format!("cannot {doing} {}: {error}", path.display()))
    }

    /// Adds what can be done about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The sentence.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Says it and gives the code to leave with.
    pub fn tell(&self, context: &mut Context<'_>) -> Exit {
        if !self.text.is_empty() {
            // nobody is left to hear it if the error stream is gone too
            let _ = writeln!(context.errors, "denib: {}", printable(&self.text));
        }
        if let Some(hint) = &self.hint {
            let _ = writeln!(context.errors, "{}", printable(hint));
        }
        self.exit
    }
}

/// Several lines, nothing in them that steers a terminal.
fn printable(text: &str) -> String {
    text.lines().map(visible).collect::<Vec<_>>().join("\n")
}

/// Writing to the output or the error stream failed.
impl From<io::Error> for Failure {
    fn from(error: io::Error) -> Self {
        if error.kind() == ErrorKind::BrokenPipe {
            Self {
                exit: Exit::DONE,
                text: String::new(),
                hint: None,
            }
        } else {
            Self::usage(format!("cannot write the result: {error}"))
        }
    }
}

impl From<LogError> for Failure {
    fn from(error: LogError) -> Self {
        Self::usage(error.to_string())
    }
}

impl From<NoPlan> for Failure {
    fn from(error: NoPlan) -> Self {
        Self::no_plan(error.to_string())
    }
}
