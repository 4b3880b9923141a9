//! `denib plan`: the plan, printed or as a document for other programs; why it ends when it does; whether it
//! can be done by a time.
//!
//! Invariant: the same files, seed, tries and threads give the same bytes; stopping early gives the best found
//! so far and says so in the code.

use super::bench::Bench;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use super::options::{Format, JobOptions, LookOptions};
use super::shop::ShopOptions;
use super::time;
use crate::dayplan::gains::gains;
use crate::dayplan::latest::{By, by};
use crate::dayplan::limit;
use crate::dayplan::{History, Means, Settings};
use crate::job::Job;
use crate::log::What;
use crate::report::{by_json, by_text, plan_json, plan_text, why_json, why_text};
use crate::units::Moment;
use crate::whole;
use clap::Args;
use std::sync::Arc;
use std::time::Duration;

/// Plan the job and print it.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  denib plan linen-press.toml\n  denib plan linen-press.toml --tries 2000 --take\n  \
denib plan linen-press.toml --format json > plan.json\n  denib plan linen-press.toml --why\n  \
denib plan linen-press.toml --by \"2026-12-18 17:00\"\n  \
denib plan linen-press.toml --hands 2 --start-after \"2026-12-07 08:00\""
)]
pub struct Plan {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
    #[command(flatten)]
    shop: ShopOptions,
    /// Seed of the search: the same seed, tries and threads give the same plan.
    #[arg(long, value_name = "N", default_value_t = Settings::default().seed)]
    seed: u64,
    /// How many orders of the work to try.
    #[arg(long, value_name = "N", default_value_t = Settings::default().tries)]
    tries: u32,
    /// Lines of search side by side, which share the tries; a first plan gets one more, with as many tries, that begins
    /// with the pieces that take longest.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=64))]
    threads: u32,
    /// Stop searching after so many seconds, even with tries left.
    #[arg(long, value_name = "S")]
    seconds: Option<f64>,
    /// How the plan is given.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: Format,
    /// Say why it ends when it does, and what would bring the end forward (plans several times).
    #[arg(long, conflicts_with_all = ["take", "by"])]
    why: bool,
    /// Say whether everything can be ready to glue by this time, and the latest start that does (plans several
    /// times). Ends with 1 when no such plan is found.
    #[arg(long, value_name = "TIME", conflicts_with = "take")]
    by: Option<String>,
    /// Take the plan on: write it into the log as the plan in force.
    #[arg(long)]
    take: bool,
    /// Who takes it on.
    #[arg(long, value_name = "NAME", requires = "take")]
    who: Option<String>,
}

/// What is planned from, as the options have it.
struct Ground {
    job: Arc<Job>,
    history: History,
    settings: Settings,
    means: Means<'static>,
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
        let ground = self.ground(&bench, Moment::of(&now))?;
        let begun = (context.elapsed)();
        let (elapsed, stopped) = (context.elapsed, context.stopped);
        let mut out_of_time = false;
        let mut go_on = || {
            out_of_time = limit.is_some_and(|limit| elapsed().saturating_sub(begun) >= limit);
            !out_of_time && !stopped()
        };
        if let Some(written) = &self.by {
            return self.answer_by(written, &ground, context, &mut go_on);
        }
        let plan = whole::plan_by(&ground.job, &ground.history, ground.settings, ground.means, &mut go_on)?;
        let paper = self.look.paper(context);
        let text = match (self.why, self.format) {
            (true, format) => {
                let binds = limit::limit(&ground.job, &ground.history);
                let gains = gains(&ground.job, &ground.history, ground.settings, &plan, &mut go_on);
                match format {
                    Format::Text => why_text(&plan, &ground.job, binds, &gains, paper),
                    Format::Json => format!("{:#}\n", why_json(&plan, binds, &gains)),
                }
            }
            (false, Format::Text) => plan_text(&plan, &ground.job, paper),
            (false, Format::Json) => {
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

    /// Job and facts as the options change them.
    fn ground(&self, bench: &Bench, now: Moment) -> Result<Ground, Failure> {
        if self.take && self.shop.invents_hands(&bench.job) {
            let text = "--take: the job does not have so many hands";
            return Err(Failure::usage(text).hint("Write them into the job as [[hands]] first."));
        }
        let job = self.shop.of(&bench.job)?;
        let mut history = bench.history_to_plan_from(now);
        if let Some(start) = self.shop.start_after(&job)? {
            history.now = history.now.max(start);
        }
        Ok(Ground {
            job: Arc::new(job),
            history,
            settings: Settings {
                seed: self.seed,
                tries: self.tries,
            },
            means: Means {
                threads: self.threads,
                ..Means::default()
            },
        })
    }

    fn answer_by(
        &self,
        written: &str,
        ground: &Ground,
        context: &mut Context<'_>,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Result<Exit, Failure> {
        let wanted = time::instant(written, ground.job.zone).map_err(|why| Failure::usage(format!("--by: {why}")))?;
        let from = ground.history.now.max(ground.job.start);
        if Moment::of(&wanted) <= from {
            return Err(Failure::usage(format!("--by: \"{written}\" is not after the start")));
        }
        let answer = by(
            &ground.job,
            &ground.history,
            ground.settings,
            ground.means,
            Moment::of(&wanted),
            go_on,
        )?;
        let text = match self.format {
            Format::Text => by_text(&answer, wanted, self.look.paper(context)),
            Format::Json => format!("{:#}\n", by_json(&answer, wanted)),
        };
        context.print(&text)?;
        if (context.stopped)() {
            context.tell("Stopped: this is the best answer found so far.\n")?;
            return Ok(Exit::INTERRUPTED);
        }
        Ok(match answer {
            By::Can { .. } => Exit::DONE,
            By::Cannot { .. } | By::NotFound { .. } => Exit::NO_PLAN,
        })
    }
}
