//! Since when the two faces of a wide solid panel stand with unequal coats.
//!
//! Invariant: `None` exactly when the two faces carry the same number of coats now.

use super::facts::{Facts, counts};
use crate::job::{Piece, SurfaceRole};
use crate::units::Moment;
use std::collections::BTreeMap;

/// Since when a wide solid panel stands unequal.
pub(super) fn since(facts: &Facts, piece: &Piece) -> Option<Moment> {
    if !facts.job.is_wide(piece) {
        return None;
    }
    let mut changes: BTreeMap<Moment, (i64, i64)> = BTreeMap::new();
    for surface in &piece.surfaces {
        let front = match surface.role {
            SurfaceRole::Face => true,
            SurfaceRole::Back => false,
            _ => continue,
        };
        for (at, by) in coats_over_time(facts, piece, &surface.id) {
            let change = changes.entry(at).or_default();
            if front { change.0 += by } else { change.1 += by }
        }
    }
    let (mut face, mut back) = (0, 0);
    let mut since = None;
    for (at, (on_face, on_back)) in changes {
        face += on_face;
        back += on_back;
        since = if face == back { None } else { since.or(Some(at)) };
    }
    since
}

/// Coats going on and, by stripping, coming off.
fn coats_over_time(facts: &Facts, piece: &Piece, surface: &str) -> Vec<(Moment, i64)> {
    let mut changes = Vec::new();
    let Some(of) = facts.piece(&piece.id) else {
        return changes;
    };
    for (operation, done) in &of.done {
        if counts(operation) && operation.surfaces.iter().any(|name| name == surface) {
            changes.push((done.end, 1));
            let strips = facts
                .history
                .strips
                .iter()
                .filter(|strip| strip.piece == piece.id && strip.at >= done.end);
            let here =
                strips.filter(|strip| strip.surfaces.is_empty() || strip.surfaces.iter().any(|name| name == surface));
            if let Some(stripped) = here.map(|strip| strip.at).min() {
                changes.push((stripped, -1));
            }
        }
    }
    changes
}
