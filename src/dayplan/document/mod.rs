//! The plan as a document: schema 1, the same on disk, in the log, on screen and in `--format json`.
//!
//! Invariant: RFC 3339 times with offset, minutes as numbers, mm, mm², mL, g, °C; what was not computed is
//! `null`; enumerations are closed; ids of operations stay the same from plan to plan.

use crate::finish::{Mechanism, Prepare};
use crate::job::{Build, Holding, JointKind, PlaceKind, Shape, Show};
use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

mod beside;
mod work;

pub use beside::{AirLine, BalanceLine, Caution, Severity, StoreLine};
pub use work::{Because, BecauseKind, Dry, DryWindow, Operation, Round, State, WaitFrom, WaitLine};

/// An instant in a document.
pub type Stamp = DateTime<FixedOffset>;

/// The whole plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Always 1.
    pub schema: u32,
    /// Title of the job.
    pub job: String,
    /// Zone of its clock times.
    pub zone: String,
    /// Seed of the search.
    pub seed: u64,
    /// Tries it was given.
    pub tries: u32,
    /// When it was made.
    pub now: Stamp,
    /// Nothing planned starts before this.
    pub starts: Stamp,
    /// When every section is ready to glue: the goal.
    pub ready: Stamp,
    /// When the last operation on a loose part ends.
    pub ends: Stamp,
    /// When the assembled steps end, where there are any.
    pub finished: Option<Stamp>,
    /// No plan can be ready before this.
    pub bound: Stamp,
    /// 100 · (ready − bound) / (bound − starts).
    pub gap_percent: f64,
    /// Threshold for equal coats, mm.
    pub wide_over_mm: f64,
    /// The people and the stretches they work.
    pub hands: Vec<HandShifts>,
    /// Instant, °C, % RH; each holds until the next.
    pub climate: Vec<(Stamp, f64, f64)>,
    /// Sections and their milestone.
    pub sections: Vec<SectionReady>,
    /// Assemblies and when they are glued up.
    pub assemblies: Vec<AssemblyAt>,
    /// Pieces.
    pub pieces: Vec<PlanPiece>,
    /// Products in use.
    pub products: Vec<PlanProduct>,
    /// Mixes of two-part products.
    pub mixes: Vec<MixAt>,
    /// Minutes between families.
    pub changeovers: Vec<ChangeOver>,
    /// Places.
    pub places: Vec<PlaceLine>,
    /// Rounds in order of start.
    pub rounds: Vec<Round>,
    /// Operations in order of start.
    pub operations: Vec<Operation>,
    /// Waits between operations as they stand in this plan.
    pub waits: Vec<WaitLine>,
    /// Dust against wet.
    pub keep_apart: Vec<KeepApart>,
    /// The air of the room; `null` until computed.
    pub air: Option<AirLine>,
    /// Balance of wide solid panels.
    pub balance: Vec<BalanceLine>,
    /// Stores; `null` until computed.
    pub stores: Option<Vec<StoreLine>>,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

impl Plan {
    /// The same rounds and operations at the same times, with the same cautions: nothing worth a record.
    pub fn tells_the_same(&self, other: &Self) -> bool {
        self.rounds == other.rounds
            && self.operations == other.operations
            && self.ready == other.ready
            && self.cautions == other.cautions
    }

    /// How a piece is kept by the place it stands on: not always that of its holding, where it may stand
    /// elsewhere as well.
    pub fn kept(&self, operation: &Operation) -> Option<Holding> {
        let place = operation.place.as_deref();
        let line = place.and_then(|id| self.places.iter().find(|line| line.id == id));
        match line.map(|line| line.kind) {
            Some(PlaceKind::Bearers) => Some(Holding::Bearers),
            Some(PlaceKind::Points) => Some(Holding::Points),
            Some(PlaceKind::Hooks) => Some(Holding::Hung),
            Some(PlaceKind::Racks) | None => operation.holding,
        }
    }
}

/// One person's stretches.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandShifts {
    /// Name.
    pub name: String,
    /// From, until.
    pub shifts: Vec<(Stamp, Stamp)>,
}

/// A section and when it is ready to glue.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SectionReady {
    /// Id.
    pub id: String,
    /// Every loose part hard dry, joints bare.
    pub ready: Stamp,
    /// Wanted by.
    pub due: Option<Stamp>,
    /// How much being early counts.
    pub weight: u32,
}

/// An assembly.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AssemblyAt {
    /// Id.
    pub id: String,
    /// Pieces and assemblies it is made of.
    pub made_of: Vec<String>,
    /// Start of its glue-up.
    pub at: Option<Stamp>,
}

/// A piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanPiece {
    /// Id.
    pub id: String,
    /// Part it is a copy of.
    pub part: String,
    /// Section.
    pub section: String,
    /// Shape.
    pub shape: Shape,
    /// Build.
    pub build: Build,
    /// Material.
    pub material: String,
    /// Along the grain, mm.
    pub length: f64,
    /// Across, mm.
    pub width: f64,
    /// Thickness, mm.
    pub thickness: f64,
    /// Both faces must carry equal coats.
    pub wide_panel: bool,
    /// Surfaces.
    pub surfaces: Vec<PlanSurface>,
    /// Joints.
    pub joints: Vec<PlanJoint>,
}

/// A surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanSurface {
    /// Id within the piece.
    pub id: String,
    /// Label.
    pub label: String,
    /// Show class.
    pub show: Show,
    /// mm².
    pub area: f64,
    /// Products due as coats, in order.
    pub due: Vec<String>,
}

/// A joint.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanJoint {
    /// Id within the piece.
    pub id: String,
    /// Kind.
    pub kind: JointKind,
    /// mm² kept bare.
    pub area: f64,
}

/// A product as the plan used it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlanProduct {
    /// Id.
    pub id: String,
    /// Mechanism.
    pub mechanism: Mechanism,
    /// °C, % RH its times were stated for.
    pub stated_at: (f64, f64),
    /// Lowest air to start a coat in, °C.
    pub start_floor_c: Option<f64>,
    /// Below this drying stops or the film spoils, °C.
    pub drying_floor_c: Option<f64>,
    /// Stage a film must reach before the room falls below the floor.
    pub must_reach: Option<StageName>,
    /// Windows as stated.
    pub windows: Vec<StatedWindow>,
}

/// Stage names of the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[allow(missing_docs)] // the names are those of `finish::Stage`
pub enum StageName {
    SetToTouch,
    DustFree,
    TackFree,
    DryToTouch,
    DryToTurn,
    DryToSand,
    DryToRecoat,
    DryToHandle,
    DryHard,
    DryToStack,
    DryThrough,
    Cured,
}

/// A recoat window at the stated conditions.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StatedWindow {
    /// Product that may go on; `null`: the same.
    pub next: Option<String>,
    /// Opens, minutes.
    pub from_minutes: f64,
    /// Closes, minutes; `null`: never.
    pub until_minutes: Option<f64>,
    /// Preparation.
    pub prepare: Prepare,
}

/// A mix of a two-part product.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MixAt {
    /// Id.
    pub id: String,
    /// Product.
    pub product: String,
    /// Mixed at.
    pub at: Stamp,
    /// Usable until.
    pub until: Stamp,
    /// mL.
    pub volume: f64,
}

/// A change of family.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChangeOver {
    /// From family.
    pub from: String,
    /// To family.
    pub to: String,
    /// Minutes.
    pub minutes: u32,
}

/// Places of one kind.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlaceLine {
    /// Id.
    pub id: String,
    /// Kind.
    pub kind: crate::job::PlaceKind,
    /// How many; `null`: no limit given.
    pub capacity: Option<u32>,
}

/// A keep-apart rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeepApart {
    /// `dust-wet`.
    pub rule: String,
    /// From dust to coat, minutes.
    pub settle_minutes: f64,
    /// Dust is made in another room.
    pub separated: bool,
}
