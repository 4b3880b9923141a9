//! Two screens on one job whose plans come within the same moment: one is written, the other takes it.

// what a test sets up by hand is there
#![allow(clippy::expect_used, clippy::panic)]

use crate::case;
use chrono::{DateTime, Utc};
use denib::cli::{Context, Folders, JobFile, Surroundings};
use denib::dayplan::document::Stamp;
use denib::dayplan::{History, Plan, Settings};
use denib::job::{self, Job};
use denib::log::{Record, What, read};
use denib::source::SourceFile;
use denib::standing::Standing;
use denib::tui::terminal::Clock;
use denib::tui::terminal::desk::Desk;
use denib::tui::{Bench, Effect, Fresh, Msg, Replan, Sheet, Shop, Write};
use denib::units::Moment;
use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::sync::mpsc::{Receiver, channel};
use std::sync::{Arc, Barrier};
use std::time::Duration;

const NOW: &str = "2026-11-30T08:00:00Z";

fn now() -> Stamp {
    NOW.parse().expect("a time")
}

fn open(path: &Path) -> Shop {
    let utc: DateTime<Utc> = NOW.parse().expect("a time");
    let (mut output, mut errors) = (Vec::new(), Vec::new());
    let clock = || utc;
    let mut context = Context {
        clock: &clock,
        elapsed: &|| Duration::ZERO,
        stopped: &|| false,
        around: Surroundings::default(),
        folders: Folders::default(),
        output: &mut output,
        errors: &mut errors,
    };
    let text = std::fs::read_to_string(path).expect("the job");
    let schedules = denib::finish::shipped();
    let (job, _) = job::read(&SourceFile::new("shelf.toml", text.as_str()), &schedules);
    let file = JobFile::read(path, &text, schedules, Vec::new());
    let bench = denib::cli::Bench::of(job.expect("a job"), file, &mut context);
    Shop::new(
        bench.unwrap_or_else(|failure| panic!("{}", failure.text())),
        "Wren".to_owned(),
    )
}

/// A bench that has looked at what others wrote, and then writes at the same moment as the other one.
struct AtOnce(Shop, Arc<Barrier>);

impl Bench for AtOnce {
    fn job(&self) -> Arc<Job> {
        self.0.job()
    }
    fn plan(&self) -> Option<Arc<Plan>> {
        self.0.plan()
    }
    fn standing(&self, now: Moment) -> Standing {
        self.0.standing(now)
    }
    fn history(&self, now: Moment) -> History {
        self.0.history(now)
    }
    fn last_own(&self) -> Option<Record> {
        self.0.last_own()
    }
    fn begun(&self) -> Vec<(String, Moment)> {
        self.0.begun()
    }
    fn append(&mut self, at: Stamp, what: Vec<What>) -> Result<Vec<Record>, String> {
        self.0.append(at, what)
    }
    fn take_on(&mut self, at: Stamp, what: Vec<What>) -> Result<bool, String> {
        // both have found nothing of the other's by now
        self.1.wait();
        self.0.take_on(at, what)
    }
    fn replan(&self, now: Moment) -> Replan {
        self.0.replan(now)
    }
    fn refresh(&mut self) -> Fresh {
        self.0.refresh()
    }
}

fn screen(path: &Path, barrier: &Arc<Barrier>) -> (Desk, Receiver<Msg>) {
    let bench = AtOnce(open(path), Arc::clone(barrier));
    let sheet = Sheet::of(&bench, Moment::of(&now()));
    let clock: Clock = Arc::new(now);
    let (tell, told) = channel();
    let tell = move |msg| tell.send(msg).is_ok();
    (Desk::start(Box::new(bench), sheet, clock, |_, _| {}, tell, || ()), told)
}

fn planned(path: &Path, seed: u64) -> Plan {
    let job = open(path).job();
    let settings = Settings { seed, tries: 1 };
    denib::whole::plan(&job, &History::none(job.start), settings, &mut || true).unwrap_or_else(|no| panic!("{no}"))
}

#[test]
fn of_two_plans_at_one_moment_one_is_written_and_both_screens_have_it() {
    let case = case::Case::new().file("shelf.toml", case::SMALL);
    let path = case.path("shelf.toml");
    // from nothing, and again over the plan that is in force by then
    let mut over = None;
    for round in 1..=6 {
        let barrier = Arc::new(Barrier::new(2));
        let screens = [screen(&path, &barrier), screen(&path, &barrier)];
        let mut plan = planned(&path, 1);
        plan.tries = round;
        for (desk, _) in &screens {
            desk.take(Effect::Write(Write {
                what: vec![What::AcceptedPlan {
                    plan: Arc::new(plan.clone()),
                }],
                words: "taken on".to_owned(),
                over: over.clone(),
            }));
        }
        let (mut written, mut overtaken) = (0, 0);
        let mut in_force = Vec::new();
        for (_, told) in &screens {
            match told.recv_timeout(Duration::from_secs(30)).expect("an answer") {
                Msg::Written(_, sheet) => {
                    written += 1;
                    in_force.push(sheet.plan.expect("a plan"));
                }
                Msg::Overtaken(fresh, sheet) => {
                    overtaken += 1;
                    assert!(fresh.log && fresh.problems.is_none());
                    in_force.push(sheet.plan.expect("a plan"));
                }
                Msg::NotWritten(_, why) => panic!("{why}"),
                _ => panic!("another answer"),
            }
        }
        assert_eq!((written, overtaken), (1, 1));
        assert!(in_force.iter().all(|other| **other == plan));
        over = in_force.pop();
        for (desk, _) in screens {
            desk.finish();
        }
        let (records, bad) = read(case.read("shelf.log").as_bytes());
        assert_eq!((records.len(), bad), (round as usize, vec![]));
    }
}

/// A job of so many alike pieces.
fn job_of(pieces: usize) -> String {
    let count = case::SMALL.find("count = 2").map(|_| format!("count = {pieces}"));
    case::SMALL.replacen("count = 2", &count.expect("the job has a part of two"), 1)
}

#[test]
fn a_large_job_has_a_plan_at_once_and_a_better_one_later() {
    for (pieces, at_once) in [(2, false), (44, true)] {
        let case = case::Case::new().file("shelf.toml", &job_of(pieces));
        let shop = open(&case.path("shelf.toml"));
        let mut told = Vec::new();
        let replan = shop.replan(Moment::of(&now()));
        let plan = replan(&AtomicBool::new(false), &mut |plan| told.push(plan));
        let plan = plan.unwrap_or_else(|no| panic!("{no}")).expect("a first plan");
        assert_eq!(told.len(), usize::from(at_once), "{pieces} pieces");
        for first in told {
            let job = shop.job();
            assert!(denib::dayplan::verify(&first, &job).is_empty());
            assert_eq!((first.tries, first.pieces.len()), (0, job.pieces.len()));
            // a few hours of an evening are given for fewer rounds
            assert!(plan.ready <= first.ready || plan.rounds.len() < first.rounds.len());
        }
    }
}
