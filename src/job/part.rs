//! Parts, pieces, surfaces and joints.
//!
//! Invariant: surfaces of a piece have unique ids; joints are never coated.

use super::room::PlaceKind;
use crate::units::{Millimetres, Moment, SquareMillimetres};

/// The shapes a part can have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// Board: face, back, two edges, two ends.
    Panel,
    /// Leg or rail: four sides, two ends.
    Square,
    /// Turned: one turned surface, two ends.
    Round,
    /// Glued-up frame treated as one part: face, back, inner edges, outer edges.
    Frame,
    /// Box treated as one part: outside, inside, rim.
    Box,
    /// Surfaces listed by the maker with their areas.
    Free,
}

/// What the part is made of, as far as movement goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Build {
    /// Solid timber.
    Solid,
    /// Veneer on a core.
    Veneered,
    /// Plywood.
    Ply,
    /// Fibreboard, chipboard, hardboard.
    Sheet,
}

/// How much a surface is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Show {
    /// Seen in use.
    Show,
    /// Not seen.
    Hidden,
    /// Inside a drawer or case.
    Inside,
}

/// Which way a surface looks; decides what one pass reaches and how a panel is laid over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SurfaceRole {
    /// The side shown in use.
    Face,
    /// The side opposite the face.
    Back,
    /// Long edges, along the grain.
    Edge,
    /// End grain.
    End,
    /// Long sides of a square or the turned surface of a round.
    Side,
    /// Inner surfaces of a box or frame.
    Inner,
    /// Outer surfaces of a box or frame.
    Outer,
}

/// What is finished and counted on its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Surface {
    /// Id within the piece, such as `face`, `back`, `edge-1`.
    pub id: String,
    /// Label for reading; the maker may have changed it.
    pub label: String,
    /// Which way it looks.
    pub role: SurfaceRole,
    /// How much it is seen.
    pub show: Show,
    /// Area to finish, joints taken off.
    pub area: SquareMillimetres,
    /// The finish schedule it gets; `None` stays bare.
    pub schedule: Option<String>,
}

/// Kinds of joint; every one stays bare and blocks the first coat until masked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum JointKind {
    /// Tenon: taped to the shoulder line.
    Tenon,
    /// Mortise: plugged.
    Mortise,
    /// Housing (US dado): taped.
    Housing,
    /// Groove: taped at the bottom.
    Groove,
    /// Dowel hole: plugged.
    DowelHole,
    /// Loose-tenon slot: taped or plugged.
    LooseTenonSlot,
    /// Dovetail pins or tails: taped.
    Dovetail,
    /// Any other area marked to stay bare.
    Marked,
}

/// One joint of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// Id within the piece, such as `tenon-1`.
    pub id: String,
    /// What it is.
    pub kind: JointKind,
    /// Area kept bare; zero where the maker gives none.
    pub area: SquareMillimetres,
    /// How much thinner what slides in is than the joint is wide, bare; `None` where the maker gives none.
    pub play: Option<Millimetres>,
}

/// How a piece is kept while wet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Holding {
    /// Laid on bearers: one side a pass, turned when the down side is dry to touch.
    Bearers,
    /// Laid on points: both sides in one go, turned wet, the show face last.
    Points,
    /// Hung: all surfaces in one pass.
    Hung,
}

impl Holding {
    /// Whether a piece held this way may stand on that kind of place as well: what is wet underneath not on
    /// bearers, nothing wet on racks (common practice, no source).
    pub const fn may_stand_on(self, kind: PlaceKind) -> bool {
        match kind {
            PlaceKind::Racks => false,
            PlaceKind::Bearers => matches!(self, Self::Bearers),
            PlaceKind::Points | PlaceKind::Hooks => true,
        }
    }

    /// All of them.
    pub const ALL: [Self; 3] = [Self::Bearers, Self::Points, Self::Hung];

    /// As files write it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Bearers => "bearers",
            Self::Points => "points",
            Self::Hung => "hung",
        }
    }
}

/// A part as the maker writes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Its id: the name, lower case, spaces as hyphens.
    pub id: String,
    /// Its name.
    pub name: String,
    /// How many like it.
    pub count: u32,
    /// Left and right, mirror images.
    pub handed: bool,
}

/// One physical copy of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Unique id, such as `side-left` or `leg-3`; equal to the part id for single parts.
    pub id: String,
    /// Name for reading, such as `side, left` or `leg 3 of 4`.
    pub name: String,
    /// Index of its part in [`crate::job::Job::parts`].
    pub part: usize,
    /// Index of its section in [`crate::job::Job::sections`].
    pub section: usize,
    /// Shape.
    pub shape: Shape,
    /// Build.
    pub build: Build,
    /// Timber or board, as written.
    pub material: String,
    /// Along the grain.
    pub length: Millimetres,
    /// Across the grain.
    pub width: Millimetres,
    /// Thickness.
    pub thickness: Millimetres,
    /// Surfaces, in the order the shape gives them.
    pub surfaces: Vec<Surface>,
    /// Joints.
    pub joints: Vec<Joint>,
    /// How it is kept while wet.
    pub holding: Holding,
    /// Kinds of place that would do as well when those of its holding are full, in that order.
    pub or_on: Vec<PlaceKind>,
    /// Places it takes there.
    pub slots: u32,
    /// Takes two hands to turn.
    pub heavy: bool,
    /// The grits the maker wants instead of the schedule's, coarse to fine; empty keeps the schedule's.
    pub grits: Vec<crate::finish::Grit>,
    /// Not there before this (made later); the job's start otherwise.
    pub available: Moment,
    /// It is the sample board of this finish, and no part of the furniture.
    pub sample: Option<String>,
}

/// Parts glued up together, due together.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// How much its being early counts.
    pub weight: u32,
    /// When it is wanted, if the maker says.
    pub due: Option<Moment>,
}

/// A piece made from pieces by a glue-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembly {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Pieces by id, parts already multiplied out.
    pub made_of: Vec<String>,
    /// Assemblies that go into it, by id.
    pub assemblies: Vec<String>,
    /// Hands' minutes of the glue-up; `None`: the maker does not want it planned.
    pub minutes: Option<u32>,
    /// Glue cure before the assembly may be worked on, minutes.
    pub cure: i64,
    /// How many pairs of hands it takes.
    pub hands: u32,
}
