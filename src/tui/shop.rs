//! The real bench behind the wall: a job, its log on the disk, and the planner.
//!
//! Invariant: a record counts only once the log has it on the disk; a replan works on copies.

use super::bench::{Bench, Fresh, Replan, last_to_take_back};
use super::pages::record::{self, Entry};
use crate::cli;
use crate::dayplan::document::Stamp;
use crate::dayplan::{History, Kept, Means, Plan, Settings};
use crate::job::Job;
use crate::job::edit::Edit;
use crate::log::{Record, What};
use crate::standing::Standing;
use crate::units::Moment;
use crate::whole;
use std::cell::RefCell;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// From so many pieces on a replan tells a plan at once before it looks for a better one, which is soon there for less.
const AT_ONCE_FROM: usize = 40;

/// A job on the bench and who stands at it.
#[derive(Debug)]
pub struct Shop {
    bench: cli::Bench,
    who: String,
    /// The log as the page *Record* shows it, made once for as many records as it holds.
    told: RefCell<(usize, Arc<Vec<Entry>>)>,
    /// What each planning leaves for the next.
    kept: Arc<Kept>,
}

impl Shop {
    /// Opened by the command line.
    pub fn new(bench: cli::Bench, who: String) -> Self {
        Self {
            bench,
            who,
            told: RefCell::default(),
            kept: Arc::default(),
        }
    }
}

impl Bench for Shop {
    fn job(&self) -> Arc<Job> {
        Arc::clone(&self.bench.job)
    }

    fn plan(&self) -> Option<Arc<Plan>> {
        self.bench.plan.clone()
    }

    fn standing(&self, now: Moment) -> Standing {
        self.bench.standing(now)
    }

    fn history(&self, now: Moment) -> History {
        self.bench.history(now)
    }

    fn entries(&self) -> Arc<Vec<Entry>> {
        let records = self.bench.log.records();
        let mut told = self.told.borrow_mut();
        if told.0 != records.len() {
            *told = (records.len(), Arc::new(record::entries(records)));
        }
        Arc::clone(&told.1)
    }

    fn last_own(&self) -> Option<Record> {
        last_to_take_back(self.bench.log.records(), &self.who).cloned()
    }

    fn begun(&self) -> Vec<(String, Moment)> {
        self.bench.begun()
    }

    fn append(&mut self, at: Stamp, what: Vec<What>) -> Result<Vec<Record>, String> {
        let who = self.who.clone();
        self.bench
            .append(at, &who, what)
            .map_err(|failure| failure.text().to_owned())
    }

    fn take_on(&mut self, at: Stamp, what: Vec<What>) -> Result<bool, String> {
        let who = self.who.clone();
        let written = self.bench.take_on(at, &who, what);
        written
            .map(|written| written.is_some())
            .map_err(|failure| failure.text().to_owned())
    }

    fn text(&self) -> Option<Arc<str>> {
        Some(self.bench.file.text())
    }

    fn finishes(&self) -> Vec<String> {
        self.bench.file.finishes()
    }

    fn path(&self) -> Option<PathBuf> {
        self.bench.file.path().map(Path::to_owned)
    }

    fn watched(&self) -> Vec<PathBuf> {
        let Some(path) = self.bench.file.path() else {
            return Vec::new();
        };
        let own = self.bench.file.own().iter().cloned();
        [path.to_owned(), self.bench.log.path().to_owned()]
            .into_iter()
            .chain(own)
            .collect()
    }

    fn check(&self, edits: &[Edit]) -> Vec<String> {
        self.bench.file.check(edits)
    }

    fn edit(&mut self, edits: &[Edit], now: Stamp) -> Result<(), Vec<String>> {
        self.bench.edit(edits, now)?;
        // the only pair of hands may have been given its name just now
        if let [only] = self.bench.job.hands.as_slice()
            && only.name != self.who
        {
            self.who.clone_from(&only.name);
        }
        Ok(())
    }

    fn refresh(&mut self) -> Fresh {
        self.bench.refresh()
    }

    fn replan(&self, now: Moment) -> Replan {
        let job = Arc::clone(&self.bench.job);
        let history = self.bench.history_to_plan_from(now);
        let in_force = self.bench.plan.clone();
        let parts = !job.pieces.is_empty();
        let kept = Arc::clone(&self.kept);
        Box::new(move |stop: &AtomicBool, at_once: &mut dyn FnMut(Plan)| {
            if !parts {
                return Ok(None);
            }
            let mut go_on = || !stop.load(Ordering::Relaxed);
            let mut plan = |settings| {
                let means = Means {
                    kept: Some(&kept),
                    ..Means::default()
                };
                let plan = whole::plan_by(&job, &history, settings, means, &mut go_on);
                plan.map_err(|no| no.to_string())
            };
            // the same times again: nothing to take on
            let stands = |plan: &Plan| in_force.as_deref().is_some_and(|old| plan.tells_the_same(old));
            let mut told = false;
            if job.pieces.len() >= AT_ONCE_FROM {
                let first = plan(Settings {
                    tries: 0,
                    ..Settings::default()
                })?;
                told = !stands(&first);
                if told {
                    at_once(first);
                }
            }
            let plan = plan(Settings::default())?;
            Ok((told || !stands(&plan)).then_some(plan))
        })
    }
}
