//! A bench in memory for the tests of the wall: an invented writing desk, a plan written by hand, and a
//! standing worked out from the records by the plainest rules.
//!
//! Invariant: the standing follows from job, plan, records and instant alone. The lacquer is invented; its
//! times are for the tests only.
// every test binary uses its own part of it; what is set up by hand here is there
#![allow(dead_code, clippy::expect_used, clippy::panic)]

mod desk;
mod desk_plan;
mod desk_standing;
mod fitted;

use chrono::{DateTime, Duration, FixedOffset, TimeZone};
use denib::dayplan::document::Stamp;
use denib::dayplan::{History, Plan};
use denib::job::Job;
use denib::job::edit::{Edit, apply};
use denib::log::{Record, What};
use denib::source::SourceFile;
use denib::standing::Standing;
use denib::tui::bench::{Bench, Replan, last_to_take_back};
use denib::tui::pages::record::{self, Entry};
use denib::tui::script::{Played, Setting, play};
use denib::units::Moment;
use std::sync::atomic::Ordering;
use std::sync::{Arc, Mutex};

/// Who ticks in the tests.
pub const WHO: &str = "Ines";

/// A file for the forms to change.
pub const FILE: &str = r#"# invented, for the forms
format = 1
title = "Writing desk"               # as on the drawing
zone = "Europe/London"
start = "2026-12-01 08:00"
units = { length = "mm", temperature = "C", volume = "L" }
finish = "dewaxed-shellac"

[room]
dust = "together"
settle = "45 min"
places = { bearers = 8, points = 8, hooks = 8, racks = 20 }

[[room.air]]
day = { temperature = 20, humidity = 50 }   # by the thermometer at the door

[hours]
tue = ["08:00-12:30", "13:15-17:30"]

[[hands]]
name = "Ines"

[[section]]
id = "desk"
name = "desk"

# the top, from one board
[[part]]
name = "top"
shape = "panel"
size = [1200, 600, 22]
build = "solid"
material = "cherry"
section = "desk"
holding = "points"
joints = [{ kind = "dowel-hole", count = 8 }]

# four of a kind
[[part]]
name = "leg"
count = 4
shape = "square"
size = [700, 40, 40]
build = "solid"
material = "cherry"
section = "desk"
holding = "hung"
"#;

/// How a replan goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Replans {
    /// It is there at once.
    AtOnce,
    /// It breaks off.
    Break,
    /// It takes until it is told to give up, unless so many records are in the log.
    UntilRecords(usize),
}

/// The bench.
pub struct MemoryBench {
    pub job: Arc<Job>,
    pub plan: Option<Arc<Plan>>,
    /// Shared with the test, which sees what was written after the wall has taken the bench.
    pub records: Arc<Mutex<Vec<Record>>>,
    /// The disk is full: appending fails with this.
    pub refuse: Option<String>,
    /// What a replan answers: minutes by which every round still to do moves.
    pub replan_by: Option<i64>,
    /// How a replan goes.
    pub replans: Replans,
    /// Panics when written to.
    pub break_on_write: bool,
    /// Spoils these pieces' films, as a cold night would.
    pub spoiled: Vec<usize>,
    /// The maker's file: the job stays the desk's whatever is changed in it.
    pub text: Arc<str>,
}

impl MemoryBench {
    /// The desk, nothing done.
    pub fn new() -> Self {
        let job = Arc::new(desk::job());
        Self {
            plan: Some(Arc::new(desk_plan::plan(&job, 0))),
            job,
            records: Arc::default(),
            refuse: None,
            replan_by: None,
            replans: Replans::AtOnce,
            break_on_write: false,
            spoiled: Vec::new(),
            text: Arc::from(FILE),
        }
    }

    /// The desk in a room with a size, with places, shifts, cautions, a glue-up and a coat after it.
    pub fn fitted() -> Self {
        let job = fitted::job(desk::job());
        let plan = fitted::plan(desk_plan::plan(&job, 0), &job);
        Self {
            plan: Some(Arc::new(plan)),
            job: Arc::new(job),
            ..Self::new()
        }
    }

    /// The same with whole rounds done at their planned times.
    pub fn done(self, rounds: &[&str]) -> Self {
        let plan = self.plan.clone().expect("the desk has a plan");
        for id in rounds {
            let round = plan
                .rounds
                .iter()
                .find(|round| round.id == *id)
                .expect("a round of the desk");
            self.record(
                round.end,
                What::Done {
                    operations: round.operations.clone(),
                    start: round.start,
                    end: round.end,
                },
            );
        }
        self
    }

    /// The text with changes, if it still makes a job.
    fn changed(&self, edits: &[Edit]) -> Result<String, Vec<String>> {
        let text = apply(&self.text, edits).map_err(|cannot| vec![cannot.to_string()])?;
        let (job, problems) = denib::job::read(&SourceFile::new("desk.toml", text.as_str()), &denib::finish::shipped());
        let errors = problems.iter().filter(|problem| problem.is_error());
        job.map(|_| text)
            .ok_or_else(|| errors.map(|problem| problem.message.clone()).collect())
    }

    /// A record put in by hand.
    pub fn record(&self, at: Stamp, what: What) {
        let mut records = self.records.lock().expect("no test thread broke off");
        let id = format!("t{}", records.len() + 1);
        records.push(Record {
            id,
            at,
            who: WHO.to_owned(),
            what,
        });
    }

    /// What is in the log.
    pub fn log(&self) -> Vec<Record> {
        self.records.lock().expect("no test thread broke off").clone()
    }
}

impl Bench for MemoryBench {
    fn job(&self) -> Arc<Job> {
        Arc::clone(&self.job)
    }

    fn plan(&self) -> Option<Arc<Plan>> {
        let taken_on = self.log().into_iter().rev().find_map(|record| match record.what {
            What::AcceptedPlan { plan } => Some(plan),
            _ => None,
        });
        taken_on.or_else(|| self.plan.clone())
    }

    fn standing(&self, now: Moment) -> Standing {
        let plan = self.plan();
        desk_standing::standing(&self.job, plan.as_deref(), &self.log(), &self.spoiled, now)
    }

    fn history(&self, now: Moment) -> History {
        let plan = self.plan();
        let operations = plan.iter().flat_map(|plan| &plan.operations);
        let minutes = |id: &str| operations.clone().find(|one| one.id == id).map(|one| one.hands_minutes);
        let mut history = denib::log::history(&self.log(), now, &minutes);
        history.plan.clone_from(&plan);
        history
    }

    fn entries(&self) -> Arc<Vec<Entry>> {
        Arc::new(record::entries(&self.log()))
    }

    fn last_own(&self) -> Option<Record> {
        last_to_take_back(&self.log(), WHO).cloned()
    }

    fn begun(&self) -> Vec<(String, Moment)> {
        desk_standing::begun(&self.log())
    }

    fn append(&mut self, at: Stamp, what: Vec<What>) -> Result<Vec<Record>, String> {
        assert!(!self.break_on_write, "the bench was told to break");
        if let Some(why) = &self.refuse {
            return Err(why.clone());
        }
        let mut records = self.records.lock().expect("no test thread broke off");
        let mut written = Vec::new();
        for what in what {
            let id = format!("t{}", records.len() + 1);
            let record = Record {
                id,
                at,
                who: WHO.to_owned(),
                what,
            };
            records.push(record.clone());
            written.push(record);
        }
        Ok(written)
    }

    fn text(&self) -> Option<Arc<str>> {
        Some(self.text.clone())
    }

    fn finishes(&self) -> Vec<String> {
        denib::finish::shipped().into_keys().collect()
    }

    fn check(&self, edits: &[Edit]) -> Vec<String> {
        self.changed(edits).err().unwrap_or_default()
    }

    fn edit(&mut self, edits: &[Edit], _now: Stamp) -> Result<(), Vec<String>> {
        assert!(!self.break_on_write, "the bench was told to break");
        if let Some(why) = &self.refuse {
            return Err(vec![why.clone()]);
        }
        self.text = Arc::from(self.changed(edits)?);
        Ok(())
    }

    fn replan(&self, _now: Moment) -> Replan {
        let (job, by, replans, records) = (Arc::clone(&self.job), self.replan_by, self.replans, self.log().len());
        Box::new(move |give_up, _| {
            match replans {
                Replans::Break => panic!("the planner was told to break"),
                Replans::UntilRecords(enough) if records < enough => {
                    while !give_up.load(Ordering::Relaxed) {
                        std::thread::yield_now();
                    }
                    return Err("given up".to_owned());
                }
                Replans::AtOnce | Replans::UntilRecords(_) => {}
            }
            Ok(by.map(|by| desk_plan::plan(&job, by)))
        })
    }
}

/// An instant of the desk's first day, Tuesday 1 December 2026, or the days after.
pub fn at(day: i64, hour: u32, minute: u32) -> Stamp {
    let zone = FixedOffset::east_opt(0).expect("Greenwich");
    let first: DateTime<FixedOffset> = zone
        .with_ymd_and_hms(2026, 12, 1, hour, minute, 0)
        .single()
        .expect("a plain time");
    first + Duration::days(day)
}

/// The usual screen.
pub const SMALL: Setting = Setting {
    size: (80, 24),
    colour: true,
    ascii: false,
};

/// Plays a script on a bench at the usual screen.
pub fn played(bench: &mut MemoryBench, now: Stamp, keys: &str) -> Played {
    play(bench, now, SMALL, keys).expect("the script can be read")
}
