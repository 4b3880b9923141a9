//! `denib balance`: the two faces of every wide panel.
//!
//! Invariant: reads only; hours so far come from the log.

use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{Ground, PageOptions};
use crate::report::balance;
use crate::whole::balance_page;
use clap::Args;

/// Say how the two faces of wide panels stand: coats, hours apart, what an imbalance would do.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  denib balance linen-press.toml\n  denib balance linen-press.toml --format json")]
pub struct Balance {
    #[command(flatten)]
    page: PageOptions,
}

impl Balance {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let page = |on: &Ground<'_>| {
            let standing = (!on.bench.log.records().is_empty()).then(|| on.bench.standing(on.now));
            balance_page(&on.bench.job, on.plan, on.history, standing.as_ref())
        };
        self.page.give(context, page, balance)
    }
}
