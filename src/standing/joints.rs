//! The joints of a piece: bare, covered, covered with old tape, uncovered.
//!
//! Invariant: joints are only said to be ready for glue when every coat is on and the tape is off.

use super::facts::Facts;
use super::state::JointState;
use crate::dayplan::document::{Operation, State};
use crate::finish::StepKind;
use crate::job::Piece;
use crate::units::{Moment, Span};

/// The state of a piece's joints; `coated` is whether every coat due is on.
pub(super) fn state(facts: &Facts, piece: &Piece, coated: bool) -> JointState {
    let Some((step, end)) = last_change(facts, piece) else {
        return JointState::Bare;
    };
    match step {
        StepKind::Mask if tape_ends(facts, end).is_some_and(|ends| ends <= facts.now) => JointState::TapeOld,
        StepKind::Mask => JointState::Covered,
        _ if coated => JointState::Uncovered,
        // the tape came off before the last coat: as if it had never been on
        _ => JointState::Bare,
    }
}

/// When the tape on a piece has to come off, while it is on.
pub(super) fn tape_until(facts: &Facts, piece: &Piece) -> Option<Moment> {
    let (step, end) = last_change(facts, piece)?;
    tape_ends(facts, end).filter(|_| step == StepKind::Mask)
}

/// Whether anybody covers the joints of this piece at all, so far or by the plan.
pub(super) fn are_masked(facts: &Facts, piece: &Piece) -> bool {
    let Some(of) = facts.piece(&piece.id) else { return false };
    // a mask that was decided away leaves the joints to the brush: nobody waits for it
    let planned = of.planned.iter().filter_map(|&index| facts.planned(index));
    let planned = planned.filter(|operation| {
        operation.state != State::Skipped && !of.skipped.iter().any(|skipped| skipped.id == operation.id)
    });
    let done = of.done.iter().map(|(operation, _)| *operation);
    planned.chain(done).any(|operation| operation.step == StepKind::Mask)
}

fn tape_ends(facts: &Facts, masked: Moment) -> Option<Moment> {
    (facts.job.tape_life > 0).then(|| masked + Span(facts.job.tape_life))
}

/// The last time tape went on or came off.
fn last_change(facts: &Facts, piece: &Piece) -> Option<(StepKind, Moment)> {
    let done = &facts.piece(&piece.id)?.done;
    let changes = done
        .iter()
        .filter(|(operation, _)| operation.step == StepKind::Mask || takes_off(operation));
    changes.map(|(operation, done)| (operation.step, done.end)).next_back()
}

/// Whether an operation takes the tape off. One that works on a film only scores it along the tape.
fn takes_off(operation: &Operation) -> bool {
    operation.step == StepKind::Unmask && operation.film_from.is_none()
}
