//! The plan as a document: schema 1, the same on disk, in the log, on screen and in `--format json`.
//!
//! Invariant: RFC 3339 times with offset, minutes as numbers, mm, mm², mL, g, °C; what was not computed is
//! `null`; enumerations are closed; ids of operations stay the same from plan to plan.

use crate::finish::{Mechanism, Phase, Prepare, StepKind};
use crate::job::{Build, Holding, JointKind, PlaceKind, Shape, Show};
use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

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
    /// Place it takes (id of [`Plan::places`]).
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

/// The room's air through the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AirLine {
    /// m³.
    pub volume_m3: f64,
    /// Changes an hour.
    pub air_changes: f64,
    /// Mixing factor.
    pub mixing: f64,
    /// Cap, % of LEL.
    pub cap_percent_lel: f64,
    /// Peak, % of LEL.
    pub peak_percent_lel: f64,
    /// When.
    pub peak_at: Option<Stamp>,
    /// Instant, % LEL, mg/m³.
    pub series: Vec<(Stamp, f64, f64)>,
}

/// Balance of one wide panel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BalanceLine {
    /// Piece.
    pub piece: String,
    /// Coats on the face at the end.
    pub coats_face: u32,
    /// Coats on the back.
    pub coats_back: u32,
    /// Hours with unequal coats.
    pub hours_apart: f64,
    /// Equal in the end.
    pub ok: bool,
    /// Why the maker accepts it otherwise.
    pub accepted: Option<String>,
}

/// One line of the stores.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StoreLine {
    /// What.
    pub item: String,
    /// How much.
    pub needed: f64,
    /// Unit.
    pub unit: String,
}

/// How bad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Act on it.
    Warning,
    /// Do not go on.
    Stop,
}

/// A caution.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Caution {
    /// Stable code.
    pub code: String,
    /// How bad.
    pub severity: Severity,
    /// The line.
    pub text: String,
    /// The figure behind it.
    pub figure: Option<String>,
    /// Its source.
    pub source: Option<String>,
    /// Pieces or operations it is about.
    pub refers: Vec<String>,
}

impl Caution {
    /// A caution about some operations or pieces, with where it comes from.
    pub fn new(
        code: &str,
        severity: Severity,
        text: String,
        figure: Option<String>,
        source: &str,
        refers: Vec<String>,
    ) -> Self {
        Self {
            code: code.to_owned(),
            severity,
            text,
            figure,
            source: Some(source.to_owned()),
            refers,
        }
    }
}
