//! When each face of a piece gets its coats, and how long the two stand unequal.
//!
//! Invariant: a coat counts from the end of its operation; operations that are skipped do not count.

use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, State};
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
    /// The coats the plan gives the two faces of a piece.
    pub fn of(piece: &Piece, plan: &Plan) -> Self {
        let side = |role: SurfaceRole| {
            let surface = piece.surfaces.iter().find(|surface| surface.role == role);
            let lays = |operation: &&Operation| {
                operation.piece.as_deref() == Some(piece.id.as_str())
                    && matches!(operation.step, StepKind::Seal | StepKind::Coat)
                    && operation.state != State::Skipped
                    && surface.is_some_and(|surface| operation.surfaces.contains(&surface.id))
            };
            let mut coats: Vec<(Moment, String)> = plan
                .operations
                .iter()
                .filter(lays)
                .filter_map(|operation| Some((Moment::of(&operation.end), operation.product.clone()?)))
                .collect();
            coats.sort();
            coats
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

    /// The longest stretch that ends.
    pub fn longest(&self) -> Option<Stretch> {
        let length = |stretch: &Stretch| stretch.until.map_or(0, |until| (until - stretch.from).0);
        self.unequal()
            .into_iter()
            .filter(|stretch| stretch.until.is_some())
            .max_by_key(length)
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
