//! A job opened with its schedules and its log: what every command but `finishes` works on.
//!
//! Invariant: what is said about the job's state is a pure function of job, schedules, records and instant.

use super::context::Context;
use super::failure::Failure;
use super::file::{Faulty, Fresh, JobFile};
use super::files::{log_beside, read_text};
use super::options::{JobOptions, LookOptions};
use super::schedules::{gather, own_folders};
use super::time;
use crate::clock::Air;
use crate::dayplan::document::Stamp;
use crate::dayplan::{self, History, Plan};
use crate::job::edit::Edit;
use crate::job::{self, Job};
use crate::log::{Fate, Log, Record, What, at_instant, history_with, taken_on};
use crate::source::{Problem, SourceFile, render, summary};
use crate::standing::{self, Standing};
use crate::units::{Moment, Span};
use crate::whole;
use std::cell::RefCell;
use std::path::Path;
use std::sync::Arc;

/// How far ahead stages are looked for: the slowest cure of the shipped schedules takes a month.
const AHEAD: Span = Span::days(60);

/// The air is worked out in steps of this length, so that one look serves for many minutes.
const STEP: Span = Span::days(1);

/// The air and the drying clocks over a span of time.
#[derive(Debug)]
struct Sky {
    span: (Moment, Moment),
    air: Air,
    clocks: standing::Clocks,
}

/// A job on the bench.
#[derive(Debug)]
pub struct Bench {
    /// The job, with what was decided at the bench laid over it.
    pub job: Arc<Job>,
    /// The job as its file says.
    pub written: Arc<Job>,
    /// Its log.
    pub log: Log,
    /// The plan in force.
    pub plan: Option<Arc<Plan>>,
    /// The maker's file.
    pub file: JobFile,
    /// The record that took it on.
    taken_on: Option<String>,
    /// What was last said to be wrong with the files, and with which.
    wrong: (Vec<String>, Faulty),
    /// What happened, gathered once until something changes.
    facts: History,
    sky: RefCell<Option<Sky>>,
}

/// What reading a job gave.
pub struct Reading {
    /// The job, unless it has errors.
    pub job: Option<Job>,
    /// Everything found, as printed; empty when there is nothing.
    pub report: String,
    /// How many of what: `2 errors, 1 warning`.
    pub count: String,
    /// The file.
    pub file: JobFile,
    /// Nothing is wrong with it but that it has no parts yet: the job so far.
    pub begun: Option<Job>,
}

/// Reads a job file with the schedules at hand.
pub fn read_job(options: &JobOptions, look: LookOptions, context: &mut Context<'_>) -> Result<Reading, Failure> {
    let schedules = gather(options.schedules.as_deref(), look, context)?;
    let (file, no_text) = read_text(&options.job)?;
    let (begun, found) = job::read_begun(&file, &schedules);
    let mut problems: Vec<Problem> = no_text.into_iter().collect();
    let begun = begun.filter(|_| problems.is_empty());
    problems.extend(found);
    let files: [&SourceFile; 1] = [&file];
    let sound = !problems.iter().any(Problem::is_error);
    let own = own_folders(options.schedules.as_deref(), context);
    Ok(Reading {
        file: JobFile::read(&options.job, &file.text, schedules, own),
        job: begun.clone().filter(|_| sound),
        begun: begun.filter(|_| !sound),
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
        Self::of(job, reading.file, context)
    }

    /// The same for the wall, which takes a job without parts too: there they are added.
    pub fn open_begun(options: &JobOptions, look: LookOptions, context: &mut Context<'_>) -> Result<Self, Failure> {
        let reading = read_job(options, look, context)?;
        match reading.begun {
            Some(job) => Self::of(job, reading.file, context),
            None => Self::open(options, look, context),
        }
    }

    /// A job on the bench, with the log beside its file.
    pub fn of(job: Job, file: JobFile, context: &mut Context<'_>) -> Result<Self, Failure> {
        let log = match file.path() {
            Some(path) => open_log(path, context)?,
            // where there is no file yet there is no log: nothing is read or written before there is
            None => Log::open(Path::new("/dev/null"), &context.now())?,
        };
        let written = Arc::new(job);
        let mut bench = Self {
            job: Arc::clone(&written),
            facts: History::none(written.start),
            written,
            log,
            plan: None,
            taken_on: None,
            wrong: Default::default(),
            sky: RefCell::default(),
            file,
        };
        bench.gather();
        Ok(bench)
    }

    /// Changes the maker's file and takes the job it makes; a job that was only begun gets file and log.
    pub fn edit(&mut self, edits: &[Edit], now: Stamp) -> Result<(), Vec<String>> {
        let begun = self.file.path().is_none();
        self.written = Arc::new(self.file.edit(edits)?);
        // what else is wrong is said once more
        self.wrong = Default::default();
        if let (true, Some(path)) = (begun, self.file.path()) {
            let log = Log::open(&log_beside(path), &now);
            self.log = log.map_err(|error| vec![error.to_string()])?;
        }
        self.gather();
        Ok(())
    }

    /// Reads what others wrote: the log, the file, the schedules. What is wrong with the file is said once,
    /// and the last good job is kept.
    pub fn refresh(&mut self) -> Fresh {
        if self.file.path().is_none() {
            return Fresh::default();
        }
        let (job, mut wrong, mut faulty) = self.file.refresh();
        let other = job.is_some();
        if let Some(job) = job {
            self.written = Arc::new(job);
        }
        let log = match self.log.refresh() {
            Ok(changed) => changed,
            Err(error) => {
                if wrong.is_empty() {
                    faulty = Faulty::Log;
                }
                wrong.push(error.to_string());
                false
            }
        };
        if log || other {
            self.gather();
        }
        let news = wrong != self.wrong.0;
        if wrong.is_empty() {
            // sound again is said of what was wrong
            faulty = self.wrong.1;
        }
        self.wrong = (wrong.clone(), faulty);
        Fresh {
            log,
            job: other,
            problems: news.then_some(wrong),
            faulty,
        }
    }

    /// Gathers the facts once for all looks until something changes: the plan in force, what happened, and the
    /// job with what was decided at the bench laid over it.
    fn gather(&mut self) {
        let records = self.log.records();
        let found = taken_on(records);
        if found.map(|(id, _)| id) != self.taken_on.as_deref() {
            self.plan = found.map(|(_, plan)| Arc::clone(plan));
            self.taken_on = found.map(|(id, _)| id.to_owned());
        }
        // times are spread over a record's operations by the plans in the log
        self.facts = history_with(records, self.written.start, &|_| None, self.plan.clone());
        self.job = dayplan::amended(&self.written, &self.facts).map_or_else(|| Arc::clone(&self.written), Arc::new);
        self.sky = RefCell::default();
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
        at_instant(&self.facts, self.log.records(), now)
    }

    /// Operations that are on the bench, and since when.
    pub fn begun(&self) -> Vec<(String, Moment)> {
        let begun = self.facts.operations.iter().filter_map(|(id, fate)| match fate {
            Fate::Begun { start, .. } => Some((id.clone(), *start)),
            Fate::Done(_) | Fate::Skipped { .. } => None,
        });
        begun.collect()
    }

    /// Where everything stands.
    pub fn standing(&self, now: Moment) -> Standing {
        let until = Moment(now.0.div_euclid(STEP.0) * STEP.0) + STEP + AHEAD;
        let begun = self.facts.operations.values().filter_map(|fate| match fate {
            Fate::Done(done) => Some(done.start),
            Fate::Begun { start, .. } => Some(*start),
            Fate::Skipped { .. } => None,
        });
        let first = begun.chain([self.job.start, now]).min().unwrap_or(now);
        let span = (first - Span::days(1), until);
        let mut sky = self.sky.borrow_mut();
        if sky.as_ref().is_some_and(|sky| sky.span != span) {
            *sky = None;
        }
        let sky = sky.get_or_insert_with(|| {
            let air = Air::of(&self.job, &self.facts.readings, span.0, span.1);
            let clocks = standing::clocks(&self.job, &air);
            Sky { span, air, clocks }
        });
        standing::at(&self.job, &self.facts, self.plan.as_deref(), &sky.air, &sky.clocks, now)
    }

    /// Writes records and returns once they are on the disk.
    pub fn append(&mut self, at: Stamp, who: &str, what: Vec<What>) -> Result<Vec<Record>, Failure> {
        self.write(at, who, what, |_| true).map(Option::unwrap_or_default)
    }

    /// The same for a plan that was made with the plan in force in view: written only if no other was taken on since
    /// then by another run. `None`: one was; it has been read and is the plan in force now.
    pub fn take_on(&mut self, at: Stamp, who: &str, what: Vec<What>) -> Result<Option<Vec<Record>>, Failure> {
        let known = self.taken_on.clone();
        self.write(at, who, what, |records| {
            taken_on(records).map(|(id, _)| id) == known.as_deref()
        })
    }

    fn write(
        &mut self,
        at: Stamp,
        who: &str,
        what: Vec<What>,
        still: impl FnOnce(&[Record]) -> bool,
    ) -> Result<Option<Vec<Record>>, Failure> {
        if self.file.path().is_none() {
            return Err(Failure::usage("the job has no file yet: it gets one with its title"));
        }
        let records: Vec<Record> = what.into_iter().map(|what| self.log.record(at, who, what)).collect();
        let written = self.log.append_if(&records, still)?;
        self.gather();
        Ok(written.then_some(records))
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
