//! Options that several commands share.
//!
//! Invariant: an option means the same in every command that has it.

use super::bench::Bench;
use super::colour::Colour;
use super::context::Context;
use super::exit::Exit;
use super::failure::Failure;
use crate::dayplan::{History, Plan};
use crate::job::Job;
use crate::report::{Paper, page_json};
use crate::source::Look;
use crate::units::Moment;
use clap::{Args, ValueEnum};
use serde::Serialize;
use std::path::PathBuf;

/// How results look.
#[derive(Clone, Copy, Debug, Args)]
pub struct LookOptions {
    /// ASCII characters only.
    #[arg(long)]
    pub ascii: bool,
    /// Colour.
    #[arg(long, value_name = "WHEN", default_value = "auto")]
    pub color: Colour,
}

impl LookOptions {
    /// The paper for a report.
    pub fn paper(self, context: &Context<'_>) -> Paper {
        Paper {
            width: context.width(),
            ascii: self.ascii,
        }
    }

    /// How problems of files are shown.
    pub fn problems(self, context: &Context<'_>) -> Look {
        Look {
            colour: super::use_colour(self.color, &context.around),
            ascii: self.ascii,
            width: context.width().max(60),
        }
    }
}

/// How figures are given.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// To read.
    #[default]
    Text,
    /// As a document for other programs.
    Json,
}

/// What a command that gives figures of the plan takes.
#[derive(Clone, Debug, Args)]
pub struct PageOptions {
    #[command(flatten)]
    job: JobOptions,
    #[command(flatten)]
    look: LookOptions,
    /// How it is given.
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    format: Format,
}

/// What a page of figures is made from: where the job stands, the plan in force or one made now, the facts.
pub struct Ground<'a> {
    /// The job with its log.
    pub bench: &'a Bench,
    /// The plan.
    pub plan: &'a Plan,
    /// The facts.
    pub history: &'a History,
    /// The present.
    pub now: Moment,
}

impl PageOptions {
    /// Opens the job, makes the page of its figures and gives it, to read or as a document.
    pub fn give<P: Serialize>(
        &self,
        context: &mut Context<'_>,
        page: impl FnOnce(&Ground<'_>) -> P,
        text: impl FnOnce(&P, &Job, Paper) -> String,
    ) -> Result<Exit, Failure> {
        let bench = Bench::open(&self.job, self.look, context)?;
        let now = Moment::of(&bench.now(&self.job, context)?);
        let plan = bench.plan_or_make(now, context)?;
        let ground = Ground {
            bench: &bench,
            plan: &plan,
            history: &bench.history_to_plan_from(now),
            now,
        };
        let page = page(&ground);
        let text = match self.format {
            Format::Text => text(&page, &bench.job, self.look.paper(context)),
            Format::Json => {
                page_json(&page).map_err(|error| Failure::usage(format!("cannot write the figures: {error}")))?
            }
        };
        context.print(&text)?;
        Ok(Exit::DONE)
    }
}

/// A job and the schedules it may use.
#[derive(Clone, Debug, Args)]
pub struct JobOptions {
    /// The job file.
    #[arg(value_name = "JOB")]
    pub job: PathBuf,
    /// A folder of your own finish schedules, used before those in your configuration folder.
    #[arg(long, value_name = "DIR")]
    pub schedules: Option<PathBuf>,
    /// Take this for the present instant.
    #[arg(long, value_name = "TIME", hide = true)]
    pub now: Option<String>,
}
