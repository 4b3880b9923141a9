//! `denib plan`: the plan, printed or as a document for other programs.
//!
//! Invariant: the same files, seed and tries give the same bytes; stopping early gives the best plan found
//! so far and says so in the code.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{JobOptions, LookOptions};
use crate::dayplan::Settings;
use crate::log::What;
use crate::report::{plan_json, plan_text};
use crate::units::Moment;
use clap::{Args, ValueEnum};
use std::time::Duration;

/// How the plan is given.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// A note by day and round.
    #[default]
    Text,
    /// The plan document, schema 1.
    Json,
}

/// Plan the job and print it.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  denib plan linen-press.toml\n  denib plan linen-press.toml --tries 2000 --take\n  \
denib plan linen-press.toml --format json > plan.json"
)]
pub struct Plan {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
    /// Seed of the search: the same seed and tries give the same plan.
    #[arg(long, value_name = "N", default_value_t = Settings::default().seed)]
    seed: u64,
    /// How many orders of the work to try.
    #[arg(long, value_name = "N", default_value_t = Settings::default().tries)]
    tries: u32,
    /// Stop searching after so many seconds, even with tries left.
    #[arg(long, value_name = "S")]
    seconds: Option<f64>,
    /// How the plan is given.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: Format,
    /// Take the plan on: write it into the log as the plan in force.
    #[arg(long)]
    take: bool,
    /// Who takes it on.
    #[arg(long, value_name = "NAME", requires = "take")]
    who: Option<String>,
}

impl Plan {
    pub(super) fn run(self, context: &mut Context<'_>) -> Result<Exit, Failure> {
        let limit = match self.seconds {
            Some(seconds) => Some(
                Duration::try_from_secs_f64(seconds)
                    .map_err(|_| Failure::usage(format!("--seconds {seconds} is no length of time")))?,
            ),
            None => None,
        };
        let mut bench = Bench::open(&self.job, self.look, context)?;
        let now = bench.now(&self.job, context)?;
        let settings = Settings {
            seed: self.seed,
            tries: self.tries,
        };
        let begun = (context.elapsed)();
        let (elapsed, stopped) = (context.elapsed, context.stopped);
        let mut out_of_time = false;
        let mut go_on = || {
            out_of_time = limit.is_some_and(|limit| elapsed().saturating_sub(begun) >= limit);
            !out_of_time && !stopped()
        };
        let plan = bench.make_plan(Moment::of(&now), settings, &mut go_on)?;
        let text = match self.format {
            Format::Text => plan_text(&plan, &bench.job, self.look.paper(context)),
            Format::Json => {
                plan_json(&plan).map_err(|error| Failure::usage(format!("cannot write the plan: {error}")))?
            }
        };
        let interrupted = (context.stopped)();
        if self.take && !interrupted {
            let who = super::tick::who(self.who.as_deref(), &bench.job)?;
            bench.append(
                now,
                &who,
                vec![What::AcceptedPlan {
                    plan: std::sync::Arc::new(plan),
                }],
            )?;
        }
        context.print(&text)?;
        if self.take && !interrupted {
            context.tell("Taken on: this is the plan in force.\n")?;
        }
        if interrupted {
            let not_taken = if self.take { " It was not taken on." } else { "" };
            context.tell(&format!("Stopped: this is the best plan found so far.{not_taken}\n"))?;
            return Ok(Exit::INTERRUPTED);
        }
        if out_of_time {
            context.tell("Out of time: this is the best plan found so far.\n")?;
        }
        Ok(Exit::DONE)
    }
}
