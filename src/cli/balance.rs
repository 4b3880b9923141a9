//! `denib balance`: the two faces of every wide panel.
//!
//! Invariant: reads only; hours so far come from the log.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{Format, JobOptions, LookOptions};
use crate::report::{balance, page_json};
use crate::units::Moment;
use crate::whole::balance_page;
use clap::Args;

/// Say how the two faces of wide panels stand: coats, hours apart, what an imbalance would do.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib balance linen-press.toml\n  denib balance linen-press.toml --format json")]
pub struct Balance {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
    /// How it is given.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: Format,
}

impl Balance {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let bench = Bench::open(&self.job, self.look, context)?;
        let now = Moment::of(&bench.now(&self.job, context)?);
        let plan = bench.plan_or_make(now, context)?;
        let history = bench.history_to_plan_from(now);
        let standing = (!bench.log.records().is_empty()).then(|| bench.standing(now));
        let page = balance_page(&bench.job, &plan, &history, standing.as_ref());
        let text = match self.format {
            Format::Text => balance(&page, &bench.job, self.look.paper(context)),
            Format::Json => {
                page_json(&page).map_err(|error| Failure::usage(format!("cannot write the figures: {error}")))?
            }
        };
        context.print(&text)?;
        Ok(Exit::DONE)
    }
}
