//! What is done in a plan: rounds, operations, how their films dry, why they are not sooner, what waits for what.
//!
//! Invariant: a round names operations, an operation names its round; nothing here says what it is worked out from.

use super::Stamp;
use crate::finish::{Phase, Prepare, StepKind};
use crate::job::Holding;
use serde::{Deserialize, Serialize};

/// One step on an ordered list of pieces in one go.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Round {
    /// Id.
    pub id: String,
    /// Step.
    pub step: StepKind,
    /// Coat number.
    pub coat: Option<u8>,
    /// Product.
    pub product: Option<String>,
    /// Grit.
    pub grit: Option<String>,
    /// Names.
    pub hands: Vec<String>,
    /// Start of its first operation.
    pub start: Stamp,
    /// End of its last.
    pub end: Stamp,
    /// Operations in order.
    pub operations: Vec<String>,
}

/// State of an operation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)] // one word each
pub enum State {
    Planned,
    Running,
    Done,
    Skipped,
}

/// One step on one piece in one position.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Operation {
    /// Id, stable from plan to plan.
    pub id: String,
    /// Its round.
    pub round: Option<String>,
    /// Piece.
    pub piece: Option<String>,
    /// Assembly, for assembled steps and glue-ups.
    pub assembly: Option<String>,
    /// Surfaces, in the order they are worked.
    pub surfaces: Vec<String>,
    /// Step.
    pub step: StepKind,
    /// Coat number on these surfaces.
    pub coat: Option<u8>,
    /// Grit.
    pub grit: Option<String>,
    /// Product.
    pub product: Option<String>,
    /// Change-over family.
    pub family: Option<String>,
    /// Mix it uses.
    pub mix: Option<String>,
    /// Start.
    pub start: Stamp,
    /// End of the hand work.
    pub end: Stamp,
    /// Who.
    pub hands: Vec<String>,
    /// Hands' minutes (minutes × people).
    pub hands_minutes: f64,
    /// Makes dust.
    pub dusty: bool,
    /// How the piece is held.
    pub holding: Option<Holding>,
    /// Place it takes (id of [`super::Plan::places`]).
    pub place: Option<String>,
    /// Slots there.
    pub place_slots: u32,
    /// Until when.
    pub place_until: Option<Stamp>,
    /// mL put on.
    pub volume: Option<f64>,
    /// g of solvent given off.
    pub solvent_g: Option<f64>,
    /// Which operation laid the film this one works on.
    pub film_from: Option<String>,
    /// Loose or assembled.
    pub phase: Phase,
    /// State.
    pub state: State,
    /// What dries after it.
    pub dry: Option<Dry>,
    /// Why not earlier.
    pub because: Because,
}

/// When each stage is reached (slow estimate, and for closings the fast one).
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)] // the names are those of `finish::Stage`
pub struct Dry {
    pub set_to_touch: Option<Stamp>,
    pub dust_free: Option<Stamp>,
    pub tack_free: Option<Stamp>,
    pub dry_to_touch: Option<Stamp>,
    pub dry_to_turn: Option<Stamp>,
    pub dry_to_sand: Option<Stamp>,
    pub dry_to_recoat: Option<Stamp>,
    pub dry_to_handle: Option<Stamp>,
    pub dry_hard: Option<Stamp>,
    pub dry_to_stack: Option<Stamp>,
    pub dry_through: Option<Stamp>,
    pub cured: Option<Stamp>,
    /// Recoat windows for the next coat due.
    pub windows: Vec<DryWindow>,
}

/// A recoat window in clock time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DryWindow {
    /// Opens.
    pub from: Stamp,
    /// Closes.
    pub until: Option<Stamp>,
    /// Preparation.
    pub prepare: Prepare,
}

/// Why an operation is not earlier.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BecauseKind {
    /// An earlier operation has to be over, or its film dry enough.
    Wait,
    /// A recoat window has not opened (again).
    Window,
    /// The hands are on another operation.
    Hands,
    /// Outside working hours, or the stretch is too short.
    Hours,
    /// Setting up or cleaning out.
    ChangeOver,
    /// No place free.
    Place,
    /// Dust would fall on wet work, or has not settled.
    Dust,
    /// The room is too cold, too damp, or would be before the film is far enough.
    Room,
    /// The piece or the job is not there yet.
    NotThere,
    /// Vapour in the room.
    Vapour,
    /// Its wipe or re-wipe would not fit.
    Wipe,
    /// Two of these together; the text names both.
    Together,
    /// It could be earlier; the plan as a whole would be worse.
    Choice,
    /// A fact: already done or running.
    Fact,
}

/// The one line for an operation.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Because {
    /// Kind.
    pub kind: BecauseKind,
    /// The operation it waits for.
    pub op: Option<String>,
    /// From when it was possible.
    pub at: Stamp,
    /// The line.
    pub text: String,
}

/// Which end a wait counts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WaitFrom {
    /// From the start.
    Start,
    /// From the end.
    End,
}

/// A wait between two operations.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WaitLine {
    /// Earlier operation.
    pub before: String,
    /// Counted from.
    pub from: WaitFrom,
    /// Later operation.
    pub after: String,
    /// At least, minutes.
    pub min_minutes: Option<f64>,
    /// At most, minutes.
    pub max_minutes: Option<f64>,
    /// The rule of the trade behind it.
    pub rule: String,
}
