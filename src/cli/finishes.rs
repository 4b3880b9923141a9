//! `denib finishes`: the finish schedules at hand, each figure with where it comes from.
//!
//! Invariant: what is printed is what plans are made from, the maker's own schedules included.

use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::LookOptions;
use super::schedules::gather;
use crate::report::{finish, finishes};
use crate::source::{nearest, visible};
use clap::Args;
use std::path::PathBuf;

/// List the finish schedules, or show one with all its figures and sources.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib finishes\n  denib finishes oil-varnish")]
pub struct Finishes {
    /// The schedule to show in full.
    #[arg(value_name = "SCHEDULE")]
    schedule: Option<String>,
    /// A folder of your own finish schedules.
    #[arg(long, value_name = "DIR")]
    schedules: Option<PathBuf>,
    #[command(flatten)]
    look: LookOptions,
}

impl Finishes {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let schedules = gather(self.schedules.as_deref(), self.look, context)?;
        let paper = self.look.paper(context);
        let text = match &self.schedule {
            None => finishes(schedules.values(), paper),
            Some(id) => {
                if let Some(schedule) = schedules.get(id) {
                    finish(schedule, paper)
                } else {
                    let words = schedules.keys().map(String::as_str);
                    let failure = Failure::usage(format!("there is no finish schedule \"{}\"", visible(id)));
                    return Err(match nearest(id, words) {
                        Some(word) => failure.hint(format!("The nearest is {word}; `denib finishes` lists all.")),
                        None => failure.hint("`denib finishes` lists all."),
                    });
                }
            }
        };
        context.print(&text)?;
        Ok(Exit::DONE)
    }
}
