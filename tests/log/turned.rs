//! Plans of real jobs, and what may come of them: what happens from one replan to the next, and more that never does.

// a check that cannot be set up stops
#![allow(clippy::expect_used, clippy::panic)]

use crate::case;
use chrono::{FixedOffset, TimeDelta};
use denib::dayplan::document::{Caution, Operation, Severity, Stamp};
use denib::dayplan::{History, Plan, Settings};
use denib::job::{self, Job};
use denib::log::line::Base;
use denib::log::{Record, What};
use denib::source::SourceFile;
use proptest::prelude::*;
use std::sync::{Arc, OnceLock};

pub const QUICK: Settings = Settings { seed: 1, tries: 2 };

pub fn job(text: &str) -> Job {
    let (job, problems) = job::read(&SourceFile::new("job.toml", text), &denib::finish::shipped());
    job.unwrap_or_else(|| panic!("{problems:?}"))
}

pub fn made(job: &Job, facts: &History) -> Plan {
    denib::whole::plan(job, facts, QUICK, &mut || true).unwrap_or_else(|no| panic!("{no}"))
}

pub fn text_of(plan: &Plan) -> String {
    serde_json::to_string(plan).expect("a document")
}

/// The first plans of the small job and of the demo.
pub fn plans() -> &'static [Plan; 2] {
    static PLANS: OnceLock<[Plan; 2]> = OnceLock::new();
    PLANS.get_or_init(|| {
        [case::SMALL, include_str!("../../demo/linen-press.toml")].map(|text| {
            let job = job(text);
            made(&job, &History::none(job.start))
        })
    })
}

/// What happens to a plan from one to the next, and a good deal that never does.
#[derive(Clone, Debug)]
pub enum Turn {
    Later(f64, f64, i64),
    Gone(f64),
    Another(f64, u32),
    Swapped(f64, f64),
    Told(f64, String),
    Unknown(f64),
    Figure(f64, f64),
    Wait(f64, f64),
    RoundGone(f64),
    RoundNamed(f64, u32),
    Caution(String),
    NoCautions,
    Climate(f64),
    NoAir,
    Offset(f64),
    Again(f64),
    Planned(i64),
}

pub fn turn() -> impl Strategy<Value = Turn> {
    let at = || 0.0..1.0_f64;
    prop_oneof![
        4 => (at(), at(), -600_i64..600).prop_map(|(from, until, by)| Turn::Later(from, until, by)),
        1 => at().prop_map(Turn::Gone),
        1 => (at(), 0_u32..9).prop_map(|(at, id)| Turn::Another(at, id)),
        1 => (at(), at()).prop_map(|(one, other)| Turn::Swapped(one, other)),
        1 => (at(), ".{0,12}").prop_map(|(at, text)| Turn::Told(at, text)),
        1 => at().prop_map(Turn::Unknown),
        1 => (at(), any::<f64>()).prop_map(|(at, figure)| Turn::Figure(at, figure)),
        1 => (at(), 0.0..9_000.0_f64).prop_map(|(at, minutes)| Turn::Wait(at, minutes)),
        1 => at().prop_map(Turn::RoundGone),
        1 => (at(), 0_u32..9).prop_map(|(at, id)| Turn::RoundNamed(at, id)),
        1 => ".{0,12}".prop_map(Turn::Caution),
        1 => Just(Turn::NoCautions),
        1 => at().prop_map(Turn::Climate),
        1 => Just(Turn::NoAir),
        1 => at().prop_map(Turn::Offset),
        1 => at().prop_map(Turn::Again),
        1 => (0_i64..9_000).prop_map(Turn::Planned),
    ]
}

pub fn place<T>(items: &[T], share: f64) -> Option<usize> {
    (!items.is_empty()).then(|| ((items.len() as f64 * share) as usize).min(items.len() - 1))
}

pub fn later(operation: &mut Operation, by: TimeDelta) {
    operation.start += by;
    operation.end += by;
    operation.because.at += by;
    if let Some(dry) = &mut operation.dry {
        for time in [&mut dry.dry_to_touch, &mut dry.dry_to_recoat, &mut dry.cured]
            .into_iter()
            .flatten()
        {
            *time += by;
        }
        for window in &mut dry.windows {
            window.from += by;
        }
    }
}

pub fn take(plan: &mut Plan, turn: &Turn) {
    match turn {
        Turn::Later(from, until, by) => {
            let range = place(&plan.operations, *from).zip(place(&plan.operations, *until));
            let Some((from, until)) = range.filter(|(from, until)| from <= until) else {
                return;
            };
            for operation in &mut plan.operations[from..=until] {
                later(operation, TimeDelta::minutes(*by));
            }
            plan.operations.sort_by_key(|operation| operation.start);
        }
        Turn::Gone(at) => {
            place(&plan.operations, *at).map(|at| plan.operations.remove(at));
        }
        Turn::Another(at, id) => {
            if let Some(at) = place(&plan.operations, *at) {
                let mut new = plan.operations[at].clone();
                new.id = format!("{}+{id}", new.id);
                plan.operations.insert(at, new);
            }
        }
        Turn::Again(at) => {
            // two under one id, which no plan has
            if let Some(at) = place(&plan.operations, *at) {
                plan.operations.insert(0, plan.operations[at].clone());
            }
        }
        Turn::Swapped(one, other) => {
            if let (Some(one), Some(other)) = (place(&plan.operations, *one), place(&plan.operations, *other)) {
                plan.operations.swap(one, other);
            }
        }
        Turn::Told(at, text) => {
            if let Some(at) = place(&plan.operations, *at) {
                plan.operations[at].because.text.clone_from(text);
                plan.operations[at].surfaces.push(text.clone());
            }
        }
        Turn::Unknown(at) => {
            if let Some(at) = place(&plan.operations, *at) {
                plan.operations[at].dry = None;
                plan.operations[at].place_until = None;
            }
        }
        Turn::Figure(at, figure) => {
            if let Some(at) = place(&plan.operations, *at) {
                plan.operations[at].hands_minutes = *figure;
                plan.operations[at].volume = Some(-0.0);
            }
        }
        Turn::Wait(at, minutes) => {
            if let Some(at) = place(&plan.waits, *at) {
                plan.waits[at].min_minutes = Some(*minutes);
            }
        }
        Turn::RoundGone(at) => {
            place(&plan.rounds, *at).map(|at| plan.rounds.remove(at));
        }
        Turn::RoundNamed(at, id) => {
            if let Some(at) = place(&plan.rounds, *at) {
                plan.rounds[at].id = format!("r{id}");
                plan.rounds[at].operations.reverse();
            }
        }
        Turn::Caution(text) => {
            let caution = Caution::new(text, Severity::Note, text.clone(), None, "invented", vec![text.clone()]);
            plan.cautions.insert(plan.cautions.len() / 2, caution);
        }
        Turn::NoCautions => plan.cautions.clear(),
        Turn::Climate(at) => {
            place(&plan.climate, *at).map(|at| plan.climate.remove(at));
            for (time, _, _) in plan.climate.iter_mut().skip(3).take(2) {
                *time += TimeDelta::minutes(7);
            }
        }
        Turn::NoAir => plan.air = None,
        Turn::Offset(at) => {
            // the same instants, said elsewhere
            let hour = FixedOffset::east_opt(3600).expect("an offset");
            let there = |time: Stamp| time.with_timezone(&hour);
            plan.ready = there(plan.ready);
            if let Some(at) = place(&plan.operations, *at) {
                plan.operations[at].start = there(plan.operations[at].start);
            }
        }
        Turn::Planned(minutes) => plan.now += TimeDelta::minutes(*minutes),
    }
}

pub fn turned(plan: &Plan, turns: &[Turn]) -> Plan {
    let mut plan = plan.clone();
    for turn in turns {
        take(&mut plan, turn);
    }
    plan
}

pub fn accepted(id: &str, minute: u32, plan: Plan) -> Record {
    let at: Stamp = format!("2026-11-30T08:{minute:02}:00+00:00").parse().expect("a time");
    Record {
        id: id.to_owned(),
        at,
        who: "Wren".to_owned(),
        what: What::AcceptedPlan { plan: Arc::new(plan) },
    }
}

pub fn plan_of(record: &Record) -> &Arc<Plan> {
    match &record.what {
        What::AcceptedPlan { plan } => plan,
        other => panic!("{other:?}"),
    }
}

pub fn base(record: &Record, step: u32) -> Base {
    Base {
        record: record.id.clone(),
        plan: Arc::clone(plan_of(record)),
        step,
    }
}
