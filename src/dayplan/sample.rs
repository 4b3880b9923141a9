//! The sample board: every step of a finish on an offcut, signed off before the first colour or coat.
//!
//! Invariant: a finish that colours has either a board in the plan, where the job asks for one, or a note that
//! refers to the films that should wait for it; a sign-off is told from its step and its id alone.

use super::document::{Caution, Operation, Plan, Round, Severity};
use super::frame::Frame;
use super::history::{Fate, History};
use crate::finish::schedule::trunk;
use crate::finish::{Schedule, StepKind};
use crate::job::{Job, Piece, Surface};
use foldhash::HashMap;

/// How the id of a sign-off ends.
const SIGN_OFF: &str = "sign-off";

/// Whether an operation is the look at a sample board that lets the work begin.
pub fn is_sign_off(operation: &Operation) -> bool {
    signs_off(operation.step, &operation.id)
}

/// Whether a round is.
pub fn is_round_of_sign_offs(round: &Round) -> bool {
    round.operations.first().is_some_and(|id| signs_off(round.step, id))
}

fn signs_off(step: StepKind, id: &str) -> bool {
    step == StepKind::Check && id.rsplit('/').next() == Some(SIGN_OFF)
}

/// The boards whose sign-off was left out with a reason: they were signed off before, and are not made again.
pub(super) fn signed_off_earlier(job: &Job, history: &History) -> Vec<usize> {
    let skipped = |id: &str| matches!(history.operations.get(id), Some(Fate::Skipped { .. }));
    let boards = job
        .pieces
        .iter()
        .enumerate()
        .filter(|(_, piece)| piece.sample.is_some());
    boards
        .filter(|(_, board)| skipped(&format!("{}/{SIGN_OFF}", board.id)))
        .map(|(at, _)| at)
        .collect()
}

/// The notes of a plan.
pub(super) fn notes(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    let pieces = frame.job.pieces.iter();
    let pieces: HashMap<&str, &Piece> = pieces.map(|piece| (piece.id.as_str(), piece)).collect();
    let films = plan.operations.iter().filter(|operation| operation.dry.is_some());
    let films: Vec<(&Operation, &Piece)> = films
        .filter_map(|film| Some((film, *pieces.get(film.piece.as_deref()?)?)))
        .collect();
    let schedules = frame.job.schedules.values();
    schedules
        .filter_map(|schedule| note(frame.job, &films, schedule))
        .collect()
}

fn note(job: &Job, films: &[(&Operation, &Piece)], schedule: &Schedule) -> Option<Caution> {
    let steps = schedule.steps.iter();
    let colours = steps
        .filter(|step| matches!(step.kind, StepKind::Colour | StepKind::Fill))
        .count();
    let coats = schedule.coats_due().count();
    let mut boards = job.pieces.iter().filter_map(|piece| piece.sample.as_deref());
    if colours == 0 || boards.any(|finish| trunk(finish) == schedule.trunk()) {
        return None;
    }
    let ours = |(film, piece): &&(&Operation, &Piece)| {
        let own = |at: &&Surface| at.schedule.as_deref() == Some(schedule.id.as_str());
        piece
            .surfaces
            .iter()
            .filter(own)
            .any(|at| film.surfaces.contains(&at.id))
    };
    let films: Vec<&Operation> = films.iter().filter(ours).map(|(film, _)| *film).collect();
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
