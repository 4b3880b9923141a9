//! Waits for a film: to sand, to turn, to unmask, to rub out and wax, and the waits of steps themselves.
//!
//! Invariant: each purpose has its own rung of the ladder, by the slow estimate.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet, word};
use crate::finish::{Phase, Schedule, Stage, Step, StepKind};
use crate::job::{Holding, SurfaceRole};
use crate::units::{Moment, Span};

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        for op in &bench.ops {
            match op.step {
                StepKind::Denib | StepKind::Scuff | StepKind::Flat => {
                    wait_for(
                        sheet,
                        bench,
                        op,
                        (Rule::SandWait, Stage::DryToSand, "dry to sand"),
                        found,
                    );
                }
                StepKind::Unmask => {
                    wait_for(
                        sheet,
                        bench,
                        op,
                        (Rule::UnmaskWait, Stage::DryToTouch, "dry to touch"),
                        found,
                    );
                }
                StepKind::RubOut | StepKind::Wax => {
                    wait_for(
                        sheet,
                        bench,
                        op,
                        (Rule::RubWait, Stage::DryThrough, "dry through"),
                        found,
                    );
                }
                _ => {}
            }
        }
        laid_over(sheet, bench, found);
        show_face_last(bench, found);
        step_waits(sheet, bench, found);
    }
}

/// Every film under the operation has surely reached the stage. Wax on wax has its own window.
fn wait_for(
    sheet: &Sheet<'_>,
    bench: &Bench<'_>,
    op: &Op<'_>,
    (rule, stage, words): (Rule, Stage, &str),
    found: &mut Breaches,
) {
    for surface in bench.piece.surfaces.iter().filter(|surface| op.covers(&surface.id)) {
        let Some(film) = bench.film_under(&surface.id, op.from) else {
            continue;
        };
        if film.step == StepKind::Wax {
            continue;
        }
        let reached = sheet.surely(film, stage);
        if op.from < reached {
            let text = format!(
                "{}, {}: {} at {}; its film is {words} {}",
                bench.piece.name,
                surface.label,
                word(op.step),
                sheet.clock(op.from),
                sheet.clock(reached)
            );
            found.by(rule, &[op, film], text);
        }
    }
}

/// On bearers, what leaves a side out has that side down: a coat, a de-nib or a scuff of the other sides. The
/// down side must be dry to touch. A turn as an operation of its own waits for every film. An oil that has been
/// wiped off leaves no film that marks.
fn laid_over(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for op in bench.loose() {
        let coated = op.lays_film() && op.holding == Some(Holding::Bearers);
        let abraded = op.abrades_film() && bench.piece.holding == Holding::Bearers;
        if !coated && !abraded && op.step != StepKind::Turn {
            continue;
        }
        for surface in &bench.piece.surfaces {
            if op.step != StepKind::Turn && op.covers(&surface.id) {
                continue;
            }
            let Some(film) = bench.film_under(&surface.id, op.from) else {
                continue;
            };
            if is_wiped(sheet, bench, film, &surface.id, op.from) {
                continue;
            }
            let touch = sheet.surely(film, Stage::DryToTouch);
            if op.from < touch {
                let text = format!(
                    "{}: laid over at {} on its {}, which is dry to touch {}",
                    bench.piece.name,
                    sheet.clock(op.from),
                    surface.label,
                    sheet.clock(touch)
                );
                found.by(Rule::TurnWait, &[op, film], text);
            }
        }
    }
}

/// Whether the excess of a flood-and-wipe coat is off a surface by then.
fn is_wiped(sheet: &Sheet<'_>, bench: &Bench<'_>, film: &Op<'_>, surface: &str, by: Moment) -> bool {
    let floods = sheet.product(film).is_some_and(|product| product.wipe.is_some());
    let wiped = |op: &Op<'_>| op.covers(surface) && op.from >= film.from && op.until <= by;
    floods && bench.of_kind(StepKind::WipeBack).any(wiped)
}

/// On points a piece is turned wet, so that the marks fall on the back: the back is coated before the face.
fn show_face_last(bench: &Bench<'_>, found: &mut Breaches) {
    for op in bench
        .loose()
        .filter(|op| op.lays_film() && op.holding == Some(Holding::Points))
    {
        let place_of = |role: SurfaceRole| {
            let is = |id: &&String| bench.surface(id).is_some_and(|surface| surface.role == role);
            op.line().surfaces.iter().position(|id| is(&id))
        };
        if let (Some(face), Some(back)) = (place_of(SurfaceRole::Face), place_of(SurfaceRole::Back))
            && face < back
        {
            let text = format!(
                "{}: {} lays the show face on the points; it goes last",
                bench.piece.name, op.id
            );
            found.by(Rule::ShowFaceLast, &[op], text);
        }
    }
}

/// A step with a wait of its own: what the schedule has next on the surface comes after it.
fn step_waits(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for surface in &bench.piece.surfaces {
        let Some(schedule) = sheet.schedule(surface) else {
            continue;
        };
        let pairs = [Phase::Loose, Phase::Assembled].map(|phase| waits_of(schedule, phase));
        for (step, next) in pairs.into_iter().flatten() {
            let covers = |op: &&Op<'_>| op.phase == step.phase && op.covers(&surface.id);
            let ops: Vec<&Op<'_>> = bench.ops.iter().filter(covers).collect();
            judge_wait(sheet, &bench.piece.name, &ops, (step, next), found);
        }
        settled(sheet, bench, schedule, found);
    }
}

/// Settling needs no hands: counted from when the piece is there to the first thing done to it.
fn settled(sheet: &Sheet<'_>, bench: &Bench<'_>, schedule: &Schedule, found: &mut Breaches) {
    let settle = schedule.steps.iter().find(|step| step.kind == StepKind::Settle);
    let Some(wait) = settle.and_then(|step| step.wait.as_ref()) else {
        return;
    };
    let due = bench.piece.available.max(sheet.job.start) + Span(wait.high.ceil() as i64);
    let hands_on = bench.loose().find(|op| op.step != StepKind::Settle);
    if let Some(op) = hands_on.filter(|op| op.from < due && !bench.gave_up(StepKind::Settle)) {
        let text = format!(
            "{}: {} at {}; the timber has to settle until {}",
            bench.piece.name,
            word(op.step),
            sheet.clock(op.from),
            sheet.clock(due)
        );
        found.by(Rule::StepWait, &[op], text);
    }
}

/// Steps with a wait, each with the step that follows it.
pub(super) fn waits_of(schedule: &Schedule, phase: Phase) -> Vec<(&Step, &Step)> {
    let steps: Vec<&Step> = schedule.steps.iter().filter(|step| step.phase == phase).collect();
    let pairs = steps.iter().zip(steps.iter().skip(1));
    pairs
        .filter(|(step, _)| step.wait.is_some())
        .map(|(step, next)| (*step, *next))
        .collect()
}

/// Between an operation of a step and the next operation of the step that follows lies the wait (slow end).
pub(super) fn judge_wait(
    sheet: &Sheet<'_>,
    name: &str,
    ops: &[&Op<'_>],
    (step, next): (&Step, &Step),
    found: &mut Breaches,
) {
    let Some(wait) = &step.wait else { return };
    for op in ops
        .iter()
        .filter(|op| op.step == step.kind && (step.product.is_none() || op.product == step.product))
    {
        let due: Moment = op.until + Span(wait.high.ceil() as i64);
        let follows = ops
            .iter()
            .find(|other| other.step == next.kind && other.from >= op.until);
        if let Some(after) = follows.filter(|after| after.from < due) {
            let text = format!(
                "{name}: {} at {}; after {} it waits until {}",
                word(after.step),
                sheet.clock(after.from),
                word(op.step),
                sheet.clock(due)
            );
            found.by(Rule::StepWait, &[after, op], text);
        }
    }
}
