//! Hands enough for an operation, and their minutes.
//!
//! Invariant: unattended steps are settling only; everything else is somebody's work.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet};
use crate::finish::StepKind;
use crate::job::{Holding, SurfaceRole};

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for op in &sheet.ops {
        let people = op.hands.len();
        let minutes = (op.until - op.from).0 as f64;
        if people == 0 && op.step != StepKind::Settle {
            found.by(Rule::Crew, &[op], format!("{} has nobody to do it", op.id));
        }
        let twice = op
            .hands
            .iter()
            .enumerate()
            .any(|(index, name)| op.hands.iter().skip(index + 1).any(|other| other == name));
        if twice {
            found.by(Rule::Crew, &[op], format!("{} counts one person twice", op.id));
        }
        // operations lie on whole minutes; the work itself may take a fraction of one
        let paid = minutes * people as f64;
        if (paid - op.hands_minutes).abs() > people.max(1) as f64 {
            let text = format!(
                "{}: {people} for {minutes} min is {paid} min of hands; the plan says {:.0}",
                op.id, op.hands_minutes
            );
            found.by(Rule::Crew, &[op], text);
        }
    }
    if sheet.job.hands.len() >= 2 {
        for bench in sheet.benches.iter().filter(|bench| bench.piece.heavy) {
            heavy(bench, found);
        }
    }
}

/// A heavy piece is turned by two: wet on its points, over on its bearers, or in a turn of its own.
fn heavy(bench: &Bench<'_>, found: &mut Breaches) {
    let mut before: Option<&Op<'_>> = None;
    for op in bench.loose() {
        let turned = match op.holding {
            _ if op.step == StepKind::Turn => true,
            Some(Holding::Points) if op.lays_film() => sides(bench, op) == (true, true),
            Some(Holding::Bearers) if op.lays_film() => before.is_some_and(|before| {
                let (face, back) = sides(bench, op);
                let (face_before, back_before) = sides(bench, before);
                before.lays_film() && ((face && !face_before && back_before) || (back && !back_before && face_before))
            }),
            _ => false,
        };
        if turned && op.hands.len() < 2 {
            let text = format!("{} is heavy and turned in {}; that takes two", bench.piece.name, op.id);
            found.by(Rule::Crew, &[op], text);
        }
        before = Some(op);
    }
}

/// Whether an operation works on the face, and on the back.
fn sides(bench: &Bench<'_>, op: &Op<'_>) -> (bool, bool) {
    let has = |role: SurfaceRole| {
        op.surfaces
            .iter()
            .any(|id| bench.surface(id).is_some_and(|surface| surface.role == role))
    };
    (has(SurfaceRole::Face), has(SurfaceRole::Back))
}
