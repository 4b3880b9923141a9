//! A job opened with its schedules and its log: what every command but `finishes` works on.
//!
//! Invariant: what is said about the job's state is a pure function of job, schedules, records and instant.

use super::context::Context;
use super::failure::Failure;
use super::files::{log_beside, read_text};
use super::options::{JobOptions, LookOptions};
use super::schedules::gather;
use super::time;
use crate::clock::Air;
use crate::dayplan::document::Stamp;
use crate::dayplan::{self, History, Plan};
use crate::job::{self, Job};
use crate::log::{Fate, Log, Record, What, history, plan_in_force};
use crate::source::{Problem, SourceFile, render, summary};
use crate::standing::{self, Standing};
use crate::units::{Moment, Span};
use crate::whole;
use std::path::Path;
use std::sync::Arc;

/// How far ahead stages are looked for: the slowest cure of the shipped schedules takes a month.
const AHEAD: Span = Span::days(60);

/// A job on the bench.
#[derive(Debug)]
pub struct Bench {
    /// The job.
    pub job: Arc<Job>,
    /// Its log.
    pub log: Log,
    /// The plan in force.
    pub plan: Option<Arc<Plan>>,
}

/// What reading a job gave.
pub struct Reading {
    /// The job, unless it has errors.
    pub job: Option<Job>,
    /// Everything found, as printed; empty when there is nothing.
    pub report: String,
    /// How many of what: `2 errors, 1 warning`.
    pub count: String,
}

/// Reads a job file with the schedules at hand.
pub fn read_job(options: &JobOptions, look: LookOptions, context: &mut Context<'_>) -> Result<Reading, Failure> {
    let schedules = gather(options.schedules.as_deref(), look, context)?;
    let (file, no_text) = read_text(&options.job)?;
    let (job, found) = job::read(&file, &schedules);
    let mut problems: Vec<Problem> = no_text.into_iter().collect();
    problems.extend(found);
    let files: [&SourceFile; 1] = [&file];
    Ok(Reading {
        job: job.filter(|_| !problems.iter().any(Problem::is_error)),
        report: render(&problems, &files, look.problems(context)),
        count: summary(&problems),
    })
}

impl Bench {
    /// Opens the job and the log beside it. Problems are said on the error stream; a job with errors ends
    /// the command.
    pub fn open(options: &JobOptions, look: LookOptions, context: &mut Context<'_>) -> Result<Self, Failure> {
        let reading = read_job(options, look, context)?;
        context.tell(&reading.report)?;
        let Some(job) = reading.job else {
            let text = format!("{} cannot be planned: {}", options.job.display(), reading.count);
            return Err(Failure::no_plan(text));
        };
        let log = open_log(&options.job, context)?;
        let plan = plan_in_force(log.records()).cloned().map(Arc::new);
        Ok(Self {
            job: Arc::new(job),
            log,
            plan,
        })
    }

    /// The present instant: what was said on the command line, else the clock.
    pub fn now(&self, options: &JobOptions, context: &Context<'_>) -> Result<Stamp, Failure> {
        match &options.now {
            Some(written) => time::instant(written, self.job.zone).map_err(Failure::usage),
            // to the second and below: records of one minute keep their order
            None => Ok(context.now().with_timezone(&self.job.zone).fixed_offset()),
        }
    }

    /// The facts so far.
    pub fn history(&self, now: Moment) -> History {
        // times are spread over a record's operations by the plans in the log
        history(self.log.records(), now, &|_| None)
    }

    /// Where everything stands.
    pub fn standing(&self, now: Moment) -> Standing {
        let history = self.history(now);
        let begun = history.operations.values().filter_map(|fate| match fate {
            Fate::Done(done) => Some(done.start),
            Fate::Begun { start, .. } => Some(*start),
            Fate::Skipped { .. } => None,
        });
        let first = begun.chain([self.job.start, now]).min().unwrap_or(now);
        let air = Air::of(&self.job, &history.readings, first - Span::days(1), now + AHEAD);
        let clocks = standing::clocks(&self.job, &air);
        standing::at(&self.job, &history, self.plan.as_deref(), &air, &clocks, now)
    }

    /// Writes records and returns once they are on the disk.
    pub fn append(&mut self, at: Stamp, who: &str, what: Vec<What>) -> Result<Vec<Record>, Failure> {
        let records: Vec<Record> = what.into_iter().map(|what| self.log.record(at, who, what)).collect();
        self.log.append(&records)?;
        if self.plan.as_deref() != plan_in_force(self.log.records()) {
            self.plan = plan_in_force(self.log.records()).cloned().map(Arc::new);
        }
        Ok(records)
    }

    /// The facts a plan is made from: the job's start while nothing is in the log.
    pub fn history_to_plan_from(&self, now: Moment) -> History {
        if self.log.records().is_empty() {
            History::none(self.job.start)
        } else {
            self.history(now)
        }
    }

    /// A plan from where things stand; from the job's start while nothing is in the log.
    pub fn make_plan(
        &self,
        now: Moment,
        settings: dayplan::Settings,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Result<Plan, Failure> {
        let history = self.history_to_plan_from(now);
        Ok(whole::plan(&self.job, &history, settings, go_on)?)
    }
}

impl Bench {
    /// The plan in force; where there is none, one made now, which is said and not kept.
    pub fn plan_or_make(&self, now: Moment, context: &mut Context<'_>) -> Result<Arc<Plan>, Failure> {
        if let Some(plan) = &self.plan {
            return Ok(Arc::clone(plan));
        }
        let stopped = context.stopped;
        let plan = self.make_plan(now, dayplan::Settings::default(), &mut || !stopped())?;
        context.tell("No plan is in force yet: these are the figures of one made now (`denib plan JOB --take`).\n")?;
        Ok(Arc::new(plan))
    }
}

/// Opens the log and says which of its lines were set aside.
fn open_log(job: &Path, context: &mut Context<'_>) -> Result<Log, Failure> {
    let path = log_beside(job);
    let log = Log::open(&path, &context.now())?;
    let bad: Vec<String> = log
        .bad_lines()
        .map(|line| format!("line {}: {}", line.line, line.why))
        .collect();
    if !bad.is_empty() {
        let text = format!("{}: set aside {}\n", path.display(), bad.join("; "));
        context.tell(&text)?;
    }
    Ok(log)
}
