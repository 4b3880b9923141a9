//! What comes ready next.
//!
//! Invariant: only what is still to come, soonest first; an estimate is that of the whole piece.

use super::facts::Facts;
use super::state::{May, PieceStanding, When};
use crate::finish::{Stage, StepKind};

/// Piece, rung and when: what the piece's next operation waits for, and when it may be handled.
pub(super) fn ready(facts: &Facts, pieces: &[PieceStanding]) -> Vec<(usize, Stage, When)> {
    let mut coming = Vec::new();
    for piece in pieces {
        let next = piece
            .next
            .and_then(|next| facts.planned(next))
            .map(|operation| operation.step);
        for (stage, may) in wanted(piece, next) {
            if let Some(when) = may.when(facts.now) {
                coming.push((piece.piece, stage, when));
            }
        }
    }
    coming.sort_by_key(|(piece, stage, when)| (when.late, when.early, *piece, *stage));
    coming
}

/// What is asked of a piece next.
fn wanted(piece: &PieceStanding, next: Option<StepKind>) -> Vec<(Stage, May)> {
    let handle = (Stage::DryToHandle, piece.handle);
    let for_next = match next {
        Some(StepKind::Seal | StepKind::Coat) => (Stage::DryToRecoat, piece.recoat),
        Some(StepKind::Denib | StepKind::Scuff | StepKind::Flat) => (Stage::DryToSand, piece.sand),
        Some(StepKind::Turn | StepKind::Unmask | StepKind::Mask) => (Stage::DryToTouch, piece.turn),
        Some(StepKind::RubOut | StepKind::Wax | StepKind::Buff) => (Stage::DryThrough, piece.rub),
        Some(_) => return vec![handle],
        None => (Stage::DryHard, piece.glue),
    };
    vec![for_next, handle]
}
