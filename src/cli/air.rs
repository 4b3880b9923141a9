//! `denib air`: the air of the room by the plan and the log.
//!
//! Invariant: what has happened counts as it happened; without the room's size or air changes that is said, never guessed.

use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::PageOptions;
use crate::report::air;
use crate::whole::air_page;
use clap::Args;

/// Say what the plan does to the air of the room: fire, breath, dew, and the fresh air it takes.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib air linen-press.toml\n  denib air linen-press.toml --format json")]
pub struct Air {
    #[command(flatten)]
    page: PageOptions,
}

impl Air {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        self.page
            .give(context, |on| air_page(&on.bench.job, on.plan, on.history), air)
    }
}
