//! `denib status`: where everything stands, without a screen.
//!
//! Invariant: reads only; the log is as it was.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{JobOptions, LookOptions};
use crate::report::status;
use crate::units::Moment;
use clap::Args;

/// Say what hands do now, what comes next, what closes, and where every piece stands.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  denib status linen-press.toml")]
pub struct Status {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
}

impl Status {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let bench = Bench::open(&self.job, self.look, context)?;
        let now = bench.now(&self.job, context)?;
        let standing = bench.standing(Moment::of(&now));
        let text = status(&standing, &bench.job, bench.plan.as_deref(), self.look.paper(context));
        context.print(&text)?;
        if bench.plan.is_none() {
            context.tell("No plan is in force yet: `denib plan JOB --take` makes one and takes it on.\n")?;
        }
        Ok(Exit::DONE)
    }
}
