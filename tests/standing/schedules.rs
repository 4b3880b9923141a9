//! Every shipped schedule, worked through step by step as soon as the standing allows: it never holds a piece
//! for ever, never lets a coat on too early, and ends with the piece ready to glue.

#![allow(clippy::panic)] // a test that cannot go on has failed

use crate::bench::{job, log, moment, piece, tick};
use crate::log_samples::{on, operation, plan};
use denib::clock::Air;
use denib::dayplan::Plan;
use denib::dayplan::document::Operation;
use denib::finish::{Phase, Stage, StepKind, shipped};
use denib::job::{Job, SurfaceRole};
use denib::log::{Record, history};
use denib::standing::{self, Clocks, JointState, May, Standing};
use denib::units::{Moment, Span};
use denib::work;

/// A wide panel with a tongue on either end, and the work on it.
fn bench(schedule: &str) -> (Job, Vec<Operation>) {
    let surfaces = [
        ("face", SurfaceRole::Face),
        ("back", SurfaceRole::Back),
        ("edge-1", SurfaceRole::Edge),
        ("edge-2", SurfaceRole::Edge),
    ];
    let mut job = job(vec![piece("top", schedule, &surfaces, 400.0, 2)]);
    job.schedules = shipped();
    // slow finishes stand for weeks: tape that lasts as long
    job.tape_life = 60 * 1440;
    let work = work::of(&job);
    let names = |surfaces: &[usize]| -> Vec<String> {
        surfaces
            .iter()
            .map(|&at| job.pieces[0].surfaces[at].id.clone())
            .collect()
    };
    let id = |at: usize| work.operations[at].id.clone();
    let mut all = Vec::new();
    for one in &work.operations {
        if one.optional || one.phase != Phase::Loose || one.piece != Some(0) {
            continue;
        }
        let at = on(24, "08:00") + chrono::TimeDelta::minutes(all.len() as i64);
        all.push(Operation {
            surfaces: names(&one.surfaces),
            coat: one.coat,
            product: one.product.clone(),
            film_from: one.film_from.map(id),
            ..operation(&one.id, "top", &[], one.step, at, at)
        });
    }
    (job, all)
}

struct Bench {
    job: Job,
    plan: Plan,
    air: Air,
    clocks: Clocks,
    records: Vec<Record>,
}

impl Bench {
    fn at(&self, now: Moment) -> Standing {
        let history = history(&self.records, now, &|_| None);
        standing::at(&self.job, &history, Some(&self.plan), &self.air, &self.clocks, now)
    }

    /// The first quarter of an hour from `from` on at which something holds.
    fn wait_for(&self, from: Moment, what: &str, holds: impl Fn(&Standing) -> bool) -> Moment {
        let mut now = from;
        while now < from + Span::days(70) {
            if holds(&self.at(now)) {
                return now;
            }
            now += Span(15);
        }
        panic!(
            "{}: {what} is not allowed within 70 days of {from:?}",
            self.plan.operations[0].id
        );
    }
}

fn allows(standing: &Standing, step: StepKind) -> bool {
    let piece = &standing.pieces[0];
    let may = match step {
        StepKind::Seal | StepKind::Coat => piece.recoat,
        StepKind::Denib | StepKind::Scuff | StepKind::Flat => piece.sand,
        StepKind::RubOut | StepKind::Wax => piece.rub,
        StepKind::Unmask => piece.turn,
        _ => May::Yes,
    };
    may == May::Yes
}

fn run(schedule: &str) -> (Bench, Moment) {
    let (job, operations) = bench(schedule);
    let from = moment(24, "08:00");
    let air = Air::of(&job, &[], from, from + Span::days(150));
    let clocks = standing::clocks(&job, &air);
    let plan = plan(operations);
    let records = log(&plan, Vec::new());
    let mut bench = Bench {
        job,
        plan,
        air,
        clocks,
        records,
    };
    let mut now = from;
    let mut films = 0;
    for (nth, one) in bench.plan.operations.clone().into_iter().enumerate() {
        now = bench.wait_for(now, &one.id, |standing| allows(standing, one.step));
        let end = now + Span(5);
        let (start, stop) = (now.with_offset(bench.job.zone), end.with_offset(bench.job.zone));
        bench
            .records
            .push(tick(&format!("{nth:03}"), &[one.id.as_str()], start, stop));
        now = end;
        if matches!(one.step, StepKind::Seal | StepKind::Coat) {
            films += 1;
            let standing = bench.at(now);
            let piece = &standing.pieces[0];
            assert_ne!(piece.handle, May::Yes, "{} is wet", one.id);
            assert_eq!(piece.joints, JointState::Covered, "{}", one.id);
        }
    }
    assert!(films > 0);
    (bench, now)
}

fn ends_ready_to_glue(schedule: &str) {
    let (bench, now) = run(schedule);
    let ready = bench.wait_for(now, "glue", |standing| standing.pieces[0].glue == May::Yes);
    let piece = &bench.at(ready).pieces[0];
    assert_eq!(piece.joints, JointState::Uncovered);
    assert!(piece.loose_done);
    assert_eq!(piece.unequal_since, None);
    assert_eq!(piece.recoat, May::Held);
    for surface in &piece.surfaces {
        assert_eq!(surface.coats_on, surface.coats_due);
        assert!(surface.film.as_ref().and_then(|film| film.stage) >= Some(Stage::DryHard));
    }
    bench.wait_for(now, "rubbing out", |standing| standing.pieces[0].rub == May::Yes);
    bench.wait_for(now, "stacking", |standing| standing.pieces[0].stack == May::Yes);
}

#[test]
fn every_shipped_schedule_ends_ready_to_glue() {
    let all = shipped();
    assert!(all.len() >= 5);
    for schedule in all.keys() {
        ends_ready_to_glue(schedule);
    }
}
