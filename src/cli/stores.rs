//! `denib stores`: what the job uses up, what is gone, whether it lasts.
//!
//! Invariant: reads only; what the log says is done counts as used.

use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::PageOptions;
use crate::report::stores;
use crate::whole::stores_page;
use clap::Args;

/// Say what the job uses up: litres and tins, mixes, abrasives, cloths, and whether the shelf lasts.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib stores linen-press.toml\n  denib stores linen-press.toml --format json")]
pub struct Stores {
    #[command(flatten)]
    page: PageOptions,
}

impl Stores {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        self.page
            .give(context, |on| stores_page(&on.bench.job, on.plan, on.history), stores)
    }
}
