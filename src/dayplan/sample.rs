//! The sample board: every step of a finish on an offcut, signed off before the first colour or coat.
//!
//! Invariant: one note for each finish in use that colours, or whose sheen needs two coats to be judged; it refers
//! to the films that wait for the sign-off.

use super::document::{Caution, Operation, Plan, Severity};
use super::frame::Frame;
use crate::finish::{Schedule, StepKind};

/// The notes of a plan.
pub(super) fn notes(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    frame
        .job
        .schedules
        .values()
        .filter_map(|schedule| note(frame, plan, schedule))
        .collect()
}

fn note(frame: &Frame, plan: &Plan, schedule: &Schedule) -> Option<Caution> {
    let steps = schedule.steps.iter();
    let colours = steps
        .filter(|step| matches!(step.kind, StepKind::Colour | StepKind::Fill))
        .count();
    let coats = schedule.coats_due().count();
    if colours == 0 {
        return None;
    }
    let ours = |operation: &&Operation| {
        let piece = operation
            .piece
            .as_ref()
            .and_then(|id| frame.job.pieces.iter().find(|piece| piece.id == *id));
        let surfaces = piece.into_iter().flat_map(|piece| &piece.surfaces);
        operation.dry.is_some()
            && surfaces
                .filter(|surface| operation.surfaces.contains(&surface.id))
                .any(|surface| surface.schedule.as_deref() == Some(schedule.id.as_str()))
    };
    let films: Vec<&Operation> = plan.operations.iter().filter(ours).collect();
    let first = films.iter().map(|film| film.start).min()?;
    Some(Caution::new(
        "sample-board",
        Severity::Note,
        format!(
            "{}: before {}, have a sample board signed off: offcuts of the same timber, the same sanding, every step on it. Sheen tells the truth from the second coat on.",
            schedule.name,
            first.format("%a %-d %b %H:%M")
        ),
        Some(format!("{colours} of filler and colour, {coats} of coats to show")),
        "trade pages on sample and step panels, read; that it is signed off first is common practice",
        films
            .iter()
            .filter(|film| film.start == first)
            .map(|film| film.id.clone())
            .collect(),
    ))
}
