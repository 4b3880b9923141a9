//! `denib air`: the air of the room by the plan and the log.
//!
//! Invariant: what has happened counts as it happened; without the room's size or air changes that is said, never guessed.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{Format, JobOptions, LookOptions};
use crate::report::{air, page_json};
use crate::units::Moment;
use crate::whole::air_page;
use clap::Args;

/// Say what the plan does to the air of the room: fire, breath, dew, and the fresh air it takes.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib air linen-press.toml\n  denib air linen-press.toml --format json")]
pub struct Air {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
    /// How it is given.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: Format,
}

impl Air {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let bench = Bench::open(&self.job, self.look, context)?;
        let now = Moment::of(&bench.now(&self.job, context)?);
        let plan = bench.plan_or_make(now, context)?;
        let history = bench.history_to_plan_from(now);
        let page = air_page(&bench.job, &plan, &history);
        let text = match self.format {
            Format::Text => air(&page, &bench.job, self.look.paper(context)),
            Format::Json => {
                page_json(&page).map_err(|error| Failure::usage(format!("cannot write the figures: {error}")))?
            }
        };
        context.print(&text)?;
        Ok(Exit::DONE)
    }
}
