//! What one line of the log says.
//!
//! Invariant: records are facts; nothing is computed here, and their meaning never depends on the order in
//! which two logs were joined (records are sorted by time, then id; an id follows those its writer knew).

use crate::dayplan::Plan;
use crate::dayplan::document::Stamp;
use crate::job::{Fault, Holding};
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What a dryness test was for; each purpose has its own clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// Lay it over.
    Turn,
    /// Sand or de-nib it.
    Sand,
    /// Put the next coat on.
    Recoat,
    /// Carry it.
    Handle,
    /// Clamp and glue it.
    Glue,
    /// Stack it.
    Stack,
    /// Rub it out or wax it.
    Rub,
}

/// One record.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Record {
    /// Unique; makes joining two logs idempotent.
    pub id: String,
    /// When it was said.
    pub at: Stamp,
    /// Who said it.
    pub who: String,
    /// What.
    pub what: What,
}

/// What happened.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "kebab-case")]
pub enum What {
    /// Operations were done, in this order, between two instants (piece times are spread between them in
    /// proportion to the planned minutes).
    Done {
        /// Ids of operations.
        operations: Vec<String>,
        /// Begun.
        start: Stamp,
        /// Ended.
        end: Stamp,
    },
    /// Begun but not over: the round that is on the bench.
    Begun {
        /// Ids of operations.
        operations: Vec<String>,
        /// Begun.
        start: Stamp,
    },
    /// An earlier record is taken back.
    Undone {
        /// Its id.
        record: String,
    },
    /// Operations will not be done.
    Skipped {
        /// Ids of operations.
        operations: Vec<String>,
        /// Why.
        reason: String,
    },
    /// A touch test: not dry enough for this yet (a bound: not before `at`).
    NotYetDry {
        /// The coat operation whose film was tested (witness offcut, or its last and thickest piece).
        operation: String,
        /// Dry enough for what.
        purpose: Purpose,
    },
    /// A touch test: dry enough for this already (a bound: by `at`).
    DryAlready {
        /// The coat operation whose film was tested.
        operation: String,
        /// Dry enough for what.
        purpose: Purpose,
    },
    /// The thermometer and hygrometer of the room.
    Reading {
        /// °C.
        temperature: f64,
        /// % RH, if read.
        humidity: Option<f64>,
    },
    /// A surface was taken back to bare wood: its coats count no more.
    StripBack {
        /// Piece.
        piece: String,
        /// Surfaces; empty is all.
        surfaces: Vec<String>,
        /// Why.
        reason: String,
    },
    /// A plan was taken on: the plan in force from here on.
    AcceptedPlan {
        /// The plan.
        plan: Arc<Plan>,
    },
    /// A caution was accepted.
    AcceptedCaution {
        /// Its code.
        code: String,
        /// What it was about.
        refers: Vec<String>,
        /// Why.
        reason: String,
    },
    /// One coat more than the schedule has, on some surfaces.
    ExtraCoat {
        /// Piece.
        piece: String,
        /// Surfaces; empty is all that are finished.
        surfaces: Vec<String>,
        /// Why.
        reason: String,
    },
    /// A fault in a film is made good on some surfaces.
    Mend {
        /// Piece.
        piece: String,
        /// Surfaces; empty is all that are finished.
        surfaces: Vec<String>,
        /// The fault.
        fault: Fault,
        /// Coated again after it was worked.
        coat: bool,
        /// In words; may be empty.
        reason: String,
    },
    /// A piece is kept otherwise while wet, from its next coat on.
    HoldingChanged {
        /// Piece.
        piece: String,
        /// How.
        holding: Holding,
    },
    /// Hands are away: the work pauses.
    Away {
        /// Their names; empty is everybody.
        hands: Vec<String>,
        /// From.
        from: Stamp,
        /// Until.
        until: Stamp,
        /// Why; may be empty.
        reason: String,
    },
    /// Something else that matters: heater off, hands away.
    Event {
        /// In words.
        text: String,
    },
    /// A note.
    Note {
        /// In words.
        text: String,
    },
}
