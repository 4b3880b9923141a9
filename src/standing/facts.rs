//! What was done to each piece, with the operations looked up in the plan in force or in earlier ones.
//!
//! Invariant: an operation counts once, and only if a plan says what it is; what was stripped back counts no
//! more.

use super::now::Clocks;
use crate::clock::{Air, DryingClock};
use crate::dayplan::document::{Operation, Plan, State};
use crate::dayplan::history::{Done, Fate, History};
use crate::finish::{Product, StepKind};
use crate::job::{Job, Piece, Surface};
use crate::units::Moment;
use std::collections::BTreeMap;

/// Everything a standing is made from.
pub(super) struct Facts<'a> {
    pub job: &'a Job,
    pub history: &'a History,
    pub plan: Option<&'a Plan>,
    pub air: &'a Air,
    pub clocks: &'a Clocks,
    pub now: Moment,
    pieces: BTreeMap<&'a str, PieceFacts<'a>>,
    films: BTreeMap<&'a str, Laid<'a>>,
}

/// What was done to one piece, and what is planned.
#[derive(Default)]
pub(super) struct PieceFacts<'a> {
    /// Done, by end, then id.
    pub done: Vec<(&'a Operation, &'a Done)>,
    /// On the bench, with its start.
    pub begun: Vec<(&'a Operation, Moment)>,
    /// Decided away.
    pub skipped: Vec<&'a Operation>,
    /// Operations of the plan in force, in its order (indices into the plan).
    pub planned: Vec<usize>,
}

/// A film that was laid.
#[derive(Clone, Copy)]
pub(super) struct Laid<'a> {
    pub operation: &'a Operation,
    pub done: &'a Done,
    /// The operation stands in the plan in force, so that its round can be compared.
    pub in_plan: bool,
    /// Coat number, for waits that grow.
    pub coat: u8,
    /// `None`: no schedule of the job carries the product any more.
    pub product: Option<&'a Product>,
    pub clock: Option<&'a DryingClock>,
}

/// What lies on a surface.
pub(super) struct OnSurface<'a> {
    pub coats_on: u32,
    /// The films on it, in the order they were laid; the last lies on top.
    pub films: Vec<Laid<'a>>,
    /// A film is being laid on it this minute.
    pub being_coated: Option<&'a Operation>,
}

/// Whether a step puts on a film that has to dry.
pub(super) const fn lays_film(step: StepKind) -> bool {
    matches!(
        step,
        StepKind::Seal | StepKind::Coat | StepKind::Colour | StepKind::Fill | StepKind::Wax
    )
}

/// Whether a step puts on a coat.
pub(super) const fn is_coat(step: StepKind) -> bool {
    matches!(step, StepKind::Seal | StepKind::Coat)
}

/// Whether an operation counts as a coat: one that only makes a fault good has no number.
pub(super) const fn counts(operation: &Operation) -> bool {
    is_coat(operation.step) && operation.coat.is_some()
}

impl<'a> Facts<'a> {
    pub fn new(
        job: &'a Job,
        history: &'a History,
        plan: Option<&'a Plan>,
        air: &'a Air,
        clocks: &'a Clocks,
        now: Moment,
    ) -> Self {
        let mut facts = Self {
            job,
            history,
            plan,
            air,
            clocks,
            now,
            pieces: BTreeMap::new(),
            films: BTreeMap::new(),
        };
        let operations = plan.map(|plan| plan.operations.as_slice()).unwrap_or_default();
        let by_id: BTreeMap<&str, &Operation> = operations.iter().map(|one| (one.id.as_str(), one)).collect();
        for (index, operation) in operations.iter().enumerate() {
            if let Some(piece) = &operation.piece {
                facts.pieces.entry(piece).or_default().planned.push(index);
            }
        }
        for (id, fate) in &history.operations {
            let planned = by_id.get(id.as_str()).copied();
            if let Some(operation) = planned.or_else(|| history.earlier.get(id)) {
                facts.take(operation, fate, planned.is_some());
            }
        }
        for piece in facts.pieces.values_mut() {
            piece
                .done
                .sort_by(|(a, one), (b, other)| one.end.cmp(&other.end).then_with(|| a.id.cmp(&b.id)));
        }
        facts
    }

    fn take(&mut self, operation: &'a Operation, fate: &'a Fate, in_plan: bool) {
        let Some(piece) = &operation.piece else { return };
        let piece = self.pieces.entry(piece).or_default();
        match fate {
            Fate::Done(done) => {
                piece.done.push((operation, done));
                if lays_film(operation.step) {
                    let id = operation.product.as_deref().unwrap_or_default();
                    let (product, clock) = (self.job.product(id), self.clocks.get(id));
                    let coat = operation.coat.unwrap_or(1);
                    self.films.insert(
                        &operation.id,
                        Laid {
                            operation,
                            done,
                            in_plan,
                            coat,
                            product,
                            clock,
                        },
                    );
                }
            }
            Fate::Begun { start, .. } => piece.begun.push((operation, *start)),
            Fate::Skipped { .. } => piece.skipped.push(operation),
        }
    }

    /// What was done to a piece.
    pub fn piece(&self, id: &str) -> Option<&PieceFacts<'a>> {
        self.pieces.get(id)
    }

    /// The film an operation laid.
    pub fn film(&self, operation: &str) -> Option<Laid<'a>> {
        self.films.get(operation).copied()
    }

    /// An operation of the plan in force.
    pub fn planned(&self, index: usize) -> Option<&'a Operation> {
        self.plan?.operations.get(index)
    }

    /// Operations of the plan in force on a piece that are neither done nor skipped, in the plan's order.
    pub fn left(&self, piece: &str) -> impl Iterator<Item = (usize, &'a Operation)> {
        let planned = self
            .piece(piece)
            .map(|piece| piece.planned.as_slice())
            .unwrap_or_default();
        let planned = planned.iter().filter_map(|&index| Some((index, self.planned(index)?)));
        planned.filter(|(_, operation)| operation.state != State::Skipped && !self.history.is_over(&operation.id))
    }

    /// What lies on a surface of a piece.
    pub fn on(&self, piece: &Piece, surface: &Surface) -> OnSurface<'a> {
        let mut on = OnSurface {
            coats_on: 0,
            films: Vec::new(),
            being_coated: None,
        };
        let Some(facts) = self.piece(&piece.id) else { return on };
        let here = |operation: &Operation| lays_film(operation.step) && operation.surfaces.contains(&surface.id);
        for (operation, done) in &facts.done {
            if here(operation) && !self.history.stripped_since(&piece.id, &surface.id, done.end) {
                on.coats_on += u32::from(counts(operation));
                on.films.extend(self.film(&operation.id));
            }
        }
        on.being_coated = facts
            .begun
            .iter()
            .map(|(operation, _)| *operation)
            .find(|operation| here(operation));
        on
    }

    /// Products due as coats on a surface, in order.
    pub fn due(&self, surface: &Surface) -> Vec<&'a str> {
        let schedule = surface.schedule.as_deref().and_then(|id| self.job.schedules.get(id));
        schedule
            .map(|schedule| schedule.coats_due().collect())
            .unwrap_or_default()
    }
}

/// Whether two films were laid in one round: in one go, with one product, as the same coat.
pub(super) fn same_round(one: &Laid, other: &Laid) -> bool {
    let together = one.done.record == other.done.record
        || (one.in_plan
            && other.in_plan
            && one.operation.round.is_some()
            && one.operation.round == other.operation.round);
    together && one.operation.product == other.operation.product && one.coat == other.coat
}
