//! What the plan does to the two faces of wide panels: coats on each, and how long they stand unequal.
//!
//! Invariant: only coats are counted; filler, colour, wax and what was decided away are not.

use super::document::BalanceLine;
use super::history::Fate;
use super::tell::Told;
use crate::job::SurfaceRole;
use crate::units::Moment;

/// Coats on the two faces of every wide solid panel, and the hours they stand unequal.
pub(super) fn of(told: &Told) -> Vec<BalanceLine> {
    let frame = told.frame;
    let mut coats_of: Vec<Vec<usize>> = vec![Vec::new(); frame.job.pieces.len()];
    for (at, operation) in frame.work.operations.iter().enumerate() {
        let coats = operation.coat.is_some() && operation.lays_film();
        if let Some(coats_of) = operation
            .piece
            .and_then(|piece| coats_of.get_mut(piece))
            .filter(|_| coats)
        {
            coats_of.push(at);
        }
    }
    let mut lines = Vec::new();
    let pieces = frame.job.pieces.iter().zip(&coats_of);
    for (piece, coats) in pieces.filter(|(piece, _)| frame.job.is_wide(piece)) {
        let side = |role: SurfaceRole| {
            let surface = piece.surfaces.iter().position(|surface| surface.role == role);
            let mut ends: Vec<Moment> = Vec::new();
            for &at in coats {
                let on = frame.work.operations.get(at).map_or(&[][..], |coat| &coat.surfaces);
                let skipped = || matches!(frame.fate(at), Some(Fate::Skipped { .. }));
                if surface.is_some_and(|surface| on.contains(&surface)) && !skipped() {
                    ends.extend(told.times(at).map(|(_, end)| end));
                }
            }
            ends.sort_unstable();
            ends
        };
        let (face, back) = (side(SurfaceRole::Face), side(SurfaceRole::Back));
        if face.is_empty() && back.is_empty() {
            continue;
        }
        let apart: i64 = face.iter().zip(&back).map(|(one, other)| (*one - *other).0.abs()).sum();
        lines.push(BalanceLine {
            piece: piece.id.clone(),
            coats_face: face.len() as u32,
            coats_back: back.len() as u32,
            hours_apart: (apart as f64 / 60.0 * 100.0).round() / 100.0,
            ok: face.len() == back.len(),
            accepted: frame.job.accepted_imbalance.get(&piece.id).cloned(),
        });
    }
    lines
}
