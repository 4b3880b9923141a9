//! `denib stores`: what the job uses up, what is gone, whether it lasts.
//!
//! Invariant: reads only; what the log says is done counts as used.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{Format, JobOptions, LookOptions};
use crate::report::{page_json, stores};
use crate::units::Moment;
use crate::whole::stores_page;
use clap::Args;

/// Say what the job uses up: litres and tins, mixes, abrasives, cloths, and whether the shelf lasts.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib stores linen-press.toml\n  denib stores linen-press.toml --format json")]
pub struct Stores {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
    /// How it is given.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: Format,
}

impl Stores {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let bench = Bench::open(&self.job, self.look, context)?;
        let now = Moment::of(&bench.now(&self.job, context)?);
        let plan = bench.plan_or_make(now, context)?;
        let history = bench.history_to_plan_from(now);
        let page = stores_page(&bench.job, &plan, &history);
        let text = match self.format {
            Format::Text => stores(&page, &bench.job, self.look.paper(context)),
            Format::Json => {
                page_json(&page).map_err(|error| Failure::usage(format!("cannot write the figures: {error}")))?
            }
        };
        context.print(&text)?;
        Ok(Exit::DONE)
    }
}
