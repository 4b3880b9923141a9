//! What has happened to a job so far, as plans and standings need it.
//!
//! Invariant: plain facts, each said once; the room `log` makes them from its records and nothing here
//! changes when the same records are read in another order.

use super::document::{Operation, Plan};
use crate::finish::Stage;
use crate::job::{Fault, Holding, Reading};
use crate::units::Moment;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The facts so far.
#[derive(Clone, Debug, PartialEq)]
pub struct History {
    /// The instant they were gathered for.
    pub now: Moment,
    /// What became of operations, by id.
    pub operations: BTreeMap<String, Fate>,
    /// Surfaces taken back to bare wood, by time.
    pub strips: Vec<Strip>,
    /// Touch tests, by time.
    pub bounds: Vec<Bound>,
    /// Readings of the room, by time.
    pub readings: Vec<Reading>,
    /// Cautions accepted, by time.
    pub accepted: Vec<Accepted>,
    /// What was decided beyond the file, by time.
    pub changes: Vec<Change>,
    /// The plan in force.
    pub plan: Option<Arc<Plan>>,
    /// Operations that something became of and that the plan in force no longer names, as the last plan
    /// that named them has them.
    pub earlier: BTreeMap<String, Operation>,
    /// Ids of records said after `now`: the clock ran backwards, or that of another computer is ahead. They count.
    pub ahead: Vec<String>,
}

/// What became of an operation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It was done.
    Done(Done),
    /// It is on the bench.
    Begun {
        /// Since.
        start: Moment,
        /// By whom.
        by: String,
    },
    /// It will not be done.
    Skipped {
        /// Said at.
        at: Moment,
        /// Why.
        reason: String,
    },
}

/// An operation that was done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Done {
    /// Begun.
    pub start: Moment,
    /// Ended; a film dries from here.
    pub end: Moment,
    /// By whom.
    pub by: String,
    /// The record that says so: operations of one record were done in one go.
    pub record: String,
}

/// A surface taken back to bare wood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strip {
    /// Piece.
    pub piece: String,
    /// Surfaces; empty is all.
    pub surfaces: Vec<String>,
    /// When.
    pub at: Moment,
    /// Why.
    pub reason: String,
}

/// A touch test of the film an operation laid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bound {
    /// The operation.
    pub operation: String,
    /// The rung of the ladder the test was for.
    pub stage: Stage,
    /// When it was tested.
    pub at: Moment,
    /// Dry enough (by then), or not (not before).
    pub dry: bool,
}

/// A caution that was accepted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// Its code.
    pub code: String,
    /// What it was about.
    pub refers: Vec<String>,
    /// Why.
    pub reason: String,
    /// When.
    pub at: Moment,
}

/// Something decided at the bench that changes what has to be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The record that says so.
    pub record: String,
    /// When it was said.
    pub at: Moment,
    /// What.
    pub what: Decided,
}

/// What was decided.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Decided {
    /// One coat more than the schedule has.
    ExtraCoat {
        /// Piece.
        piece: String,
        /// Surfaces; empty is all that are finished.
        surfaces: Vec<String>,
        /// Why.
        reason: String,
    },
    /// A fault is made good.
    Mend {
        /// Piece.
        piece: String,
        /// Surfaces; empty is all that are finished.
        surfaces: Vec<String>,
        /// The fault.
        fault: Fault,
        /// Coated again.
        coat: bool,
    },
    /// From now on the piece is kept otherwise while wet.
    Holding {
        /// Piece.
        piece: String,
        /// How.
        holding: Holding,
    },
    /// Hands are away.
    Away {
        /// Their names; empty is everybody.
        hands: Vec<String>,
        /// From.
        from: Moment,
        /// Until.
        until: Moment,
    },
}

impl History {
    /// Nothing has happened yet.
    pub fn none(now: Moment) -> Self {
        Self {
            now,
            operations: BTreeMap::new(),
            strips: Vec::new(),
            bounds: Vec::new(),
            readings: Vec::new(),
            accepted: Vec::new(),
            changes: Vec::new(),
            plan: None,
            earlier: BTreeMap::new(),
            ahead: Vec::new(),
        }
    }

    /// How an operation was done, if it was.
    pub fn done(&self, operation: &str) -> Option<&Done> {
        match self.operations.get(operation) {
            Some(Fate::Done(done)) => Some(done),
            _ => None,
        }
    }

    /// Since when an operation is on the bench, if it is.
    pub fn begun(&self, operation: &str) -> Option<Moment> {
        match self.operations.get(operation) {
            Some(Fate::Begun { start, .. }) => Some(*start),
            _ => None,
        }
    }

    /// Whether an operation is over: done or skipped.
    pub fn is_over(&self, operation: &str) -> bool {
        matches!(
            self.operations.get(operation),
            Some(Fate::Done(_) | Fate::Skipped { .. })
        )
    }

    /// Whether a surface was taken back to bare wood at or after this instant.
    pub fn stripped_since(&self, piece: &str, surface: &str, since: Moment) -> bool {
        self.strips.iter().any(|strip| {
            let named = strip.surfaces.is_empty() || strip.surfaces.iter().any(|name| name == surface);
            strip.at >= since && strip.piece == piece && named
        })
    }

    /// Whether a caution about this was accepted.
    pub fn is_accepted(&self, code: &str, about: &str) -> bool {
        self.accepted
            .iter()
            .any(|one| one.code == code && one.refers.iter().any(|name| name == about))
    }

    /// Operations that something became of and that neither `plan` nor an earlier plan names: nothing is
    /// known of them but their id.
    pub fn adrift<'a>(&'a self, plan: Option<&Plan>) -> Vec<&'a str> {
        let in_plan = |id: &str| plan.is_some_and(|plan| plan.operations.iter().any(|one| one.id == id));
        let ids = self.operations.keys().map(String::as_str);
        ids.filter(|id| !self.earlier.contains_key(*id) && !in_plan(id))
            .collect()
    }
}
