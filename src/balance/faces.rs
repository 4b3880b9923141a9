//! When each face of a piece gets its coats, and how long the two stand unequal.
//!
//! Invariant: a coat counts from the end of its operation; operations that are skipped do not count.

use crate::dayplan::document::{Operation, State};
use crate::dayplan::history::Fate;
use crate::dayplan::{History, Plan};
use crate::finish::StepKind;
use crate::job::{Piece, SurfaceRole};
use crate::units::Moment;
use serde::Serialize;

/// The coats of the two faces in time, with their products.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Faces {
    /// On the face: when, product.
    pub face: Vec<(Moment, String)>,
    /// On the back.
    pub back: Vec<(Moment, String)>,
}

/// A stretch with unequal coats.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// From.
    pub from: Moment,
    /// Until; `None`: for good.
    pub until: Option<Moment>,
    /// Coats on the face in it.
    pub face: usize,
    /// Coats on the back.
    pub back: usize,
}

/// How long two faces stand unequal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Unequal {
    /// Hours in all, an end left open not counted.
    pub hours: f64,
    /// Hours of the longest single stretch.
    pub longest_hours: f64,
    /// They end unequal.
    pub for_good: bool,
}

impl Faces {
    /// The coats of the two faces of a piece: as the plan has them, and where a history is given as they were
    /// done, skipped or taken off.
    pub fn of(piece: &Piece, plan: &Plan, history: Option<&History>) -> Self {
        let side = |role: SurfaceRole| {
            let surface = piece.surfaces.iter().find(|surface| surface.role == role);
            surface.map_or_else(Vec::new, |surface| coats_of(piece, &surface.id, plan, history))
        };
        Self {
            face: side(SurfaceRole::Face),
            back: side(SurfaceRole::Back),
        }
    }

    /// The stretches with unequal coats, in order.
    pub fn unequal(&self) -> Vec<Stretch> {
        let mut moments: Vec<Moment> = self.face.iter().chain(&self.back).map(|coat| coat.0).collect();
        moments.sort_unstable();
        moments.dedup();
        let mut stretches: Vec<Stretch> = Vec::new();
        for (index, &from) in moments.iter().enumerate() {
            let on = |side: &[(Moment, String)]| side.iter().filter(|coat| coat.0 <= from).count();
            let (face, back) = (on(&self.face), on(&self.back));
            if face != back {
                stretches.push(Stretch {
                    from,
                    until: moments.get(index + 1).copied(),
                    face,
                    back,
                });
            }
        }
        stretches
    }

    /// How long they stand unequal, up to `until` where it is given.
    pub fn hours(&self, until: Option<Moment>) -> Unequal {
        let mut unequal = Unequal::default();
        for stretch in self.unequal() {
            let end = match (stretch.until, until) {
                (Some(end), Some(until)) => end.min(until),
                (Some(end), None) => end,
                (None, Some(until)) => until,
                (None, None) => {
                    unequal.for_good = true;
                    continue;
                }
            };
            let hours = ((end - stretch.from).0.max(0)) as f64 / 60.0;
            unequal.hours += hours;
            unequal.longest_hours = unequal.longest_hours.max(hours);
        }
        unequal.for_good |= self.face.len() != self.back.len();
        unequal
    }

    /// Both faces end with the same products, in the same numbers.
    pub fn same_products(&self) -> bool {
        let sorted = |side: &[(Moment, String)]| {
            let mut products: Vec<String> = side.iter().map(|coat| coat.1.clone()).collect();
            products.sort();
            products
        };
        sorted(&self.face) == sorted(&self.back)
    }
}

/// When each coat of a surface goes on, with its product.
fn coats_of(piece: &Piece, surface: &str, plan: &Plan, history: Option<&History>) -> Vec<(Moment, String)> {
    let earlier = history.into_iter().flat_map(|history| history.earlier.values());
    let lays = |operation: &&Operation| {
        operation.piece.as_deref() == Some(piece.id.as_str())
            && matches!(operation.step, StepKind::Seal | StepKind::Coat)
            // one that only makes a fault good has no number
            && operation.coat.is_some()
            && operation.surfaces.iter().any(|one| one == surface)
    };
    let mut coats: Vec<(Moment, String)> = Vec::new();
    for (operation, past) in plan
        .operations
        .iter()
        .map(|operation| (operation, false))
        .chain(earlier.map(|operation| (operation, true)))
        .filter(|(operation, _)| lays(operation))
    {
        let done = history
            .and_then(|history| history.done(&operation.id))
            .map(|done| done.end);
        let skipped = operation.state == State::Skipped
            || history
                .is_some_and(|history| matches!(history.operations.get(&operation.id), Some(Fate::Skipped { .. })));
        // what the plan no longer names counts only if it was done
        let at = match done {
            Some(end) => end,
            None if skipped || past => continue,
            None => Moment::of(&operation.end),
        };
        let off = done.is_some() && history.is_some_and(|history| history.stripped_since(&piece.id, surface, at));
        if let Some(product) = operation.product.clone().filter(|_| !off) {
            coats.push((at, product));
        }
    }
    coats.sort();
    coats
}
