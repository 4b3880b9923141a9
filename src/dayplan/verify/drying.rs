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
        for op in bench.loose() {
            match op.step {
                StepKind::Denib | StepKind::Scuff | StepKind::Flat => {
                    wait_for(sheet, bench, op, (Rule::SandWait, Stage::DryToSand, "dry to sand"), found);
                }
                StepKind::Unmask => {
                    wait_for(sheet, bench, op, (Rule::UnmaskWait, Stage::DryToTouch, "dry to touch"), found);
                }
                StepKind::RubOut | StepKind::Wax => {
                    wait_for(sheet, bench, op, (Rule::RubWait, Stage::DryThrough, "dry through"), found);
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
fn wait_for(sheet: &Sheet<'_>, bench: &Bench<'_>, op: &Op<'_>, (rule, stage, words): (Rule, Stage, &str), found: &mut Breaches) {
    for surface in bench.piece.surfaces.iter().filter(|surface| op.covers(&surface.id)) {
        let Some(film) = bench.film_under(&surface.id, op.from) else { continue };
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

/// On bearers, a coat that leaves a side out has that side down: it must be dry to touch. A turn as an
/// operation of its own waits for every film.
fn laid_over(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for op in bench.loose() {
        let coated = op.lays_film() && op.holding == Some(Holding::Bearers);
        if !coated && op.step != StepKind::Turn {
            continue;
        }
        for surface in &bench.piece.surfaces {
            if coated && op.covers(&surface.id) {
                continue;
            }
            let Some(film) = bench.film_under(&surface.id, op.from) else { continue };
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

/// On points a piece is turned wet, so that the marks fall on the back: the back is coated before the face.
fn show_face_last(bench: &Bench<'_>, found: &mut Breaches) {
    for op in bench.loose().filter(|op| op.lays_film() && op.holding == Some(Holding::Points)) {
        let place_of = |role: SurfaceRole| {
            let is = |id: &&String| bench.surface(id).is_some_and(|surface| surface.role == role);
            op.line().surfaces.iter().position(|id| is(&id))
        };
        if let (Some(face), Some(back)) = (place_of(SurfaceRole::Face), place_of(SurfaceRole::Back))
            && face < back
        {
            let text = format!("{}: {} lays the show face on the points; it goes last", bench.piece.name, op.id);
            found.by(Rule::ShowFaceLast, &[op], text);
        }
    }
}

/// A step with a wait of its own: what the schedule has next on the surface comes after it.
fn step_waits(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for surface in &bench.piece.surfaces {
        let Some(schedule) = sheet.schedule(surface) else { continue };
        for (step, next) in waits_of(schedule, Phase::Loose) {
            let covers = |op: &&Op<'_>| op.phase == Phase::Loose && op.covers(&surface.id);
            let ops: Vec<&Op<'_>> = bench.ops.iter().filter(covers).collect();
            judge_wait(sheet, &bench.piece.name, &ops, (step, next), found);
        }
    }
}

/// Steps with a wait, each with the step that follows it.
pub(super) fn waits_of(schedule: &Schedule, phase: Phase) -> Vec<(&Step, &Step)> {
    let steps: Vec<&Step> = schedule.steps.iter().filter(|step| step.phase == phase).collect();
    let pairs = steps.iter().zip(steps.iter().skip(1));
    pairs.filter(|(step, _)| step.wait.is_some()).map(|(step, next)| (*step, *next)).collect()
}

/// Between an operation of a step and the next operation of the step that follows lies the wait (slow end).
pub(super) fn judge_wait(sheet: &Sheet<'_>, name: &str, ops: &[&Op<'_>], (step, next): (&Step, &Step), found: &mut Breaches) {
    let Some(wait) = &step.wait else { return };
    for op in ops.iter().filter(|op| op.step == step.kind && (step.product.is_none() || op.product == step.product)) {
        let due: Moment = op.until + Span(wait.high.ceil() as i64);
        let follows = ops.iter().find(|other| other.step == next.kind && other.from >= op.until);
        if let Some(after) = follows.filter(|after| after.from < due) {
            let text = format!("{name}: {} at {}; after {} it waits until {}", word(after.step), sheet.clock(after.from), word(op.step), sheet.clock(due));
            found.by(Rule::StepWait, &[after, op], text);
        }
    }
}
