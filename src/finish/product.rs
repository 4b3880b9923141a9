//! A product in a tin: how it dries, when it may be coated again, what it needs and what it gives off.
//!
//! Invariant: stage times are minutes at [`Product::stated_at`], for a coat of the stated film, and never
//! decrease from one stage to the next; window lists are sorted and the last one is open-ended.

use super::figure::{Conditions, Figure};
use std::collections::BTreeMap;

/// What makes the film dry; each has its own drying law (`science::drying`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mechanism {
    /// A solvent leaves; the film redissolves in it (shellac, cellulose lacquer, wax).
    Evaporation,
    /// Solvent leaves, then oxygen cures the oil or resin.
    Oxidation,
    /// Water leaves and droplets must flow together: spoiled, not paused, below its floor.
    Coalescence,
    /// Two parts react (acid or isocyanate): spoiled, not paused, below its floor.
    TwoPack,
}

impl Mechanism {
    /// Whether cold ruins a film that has not got far enough, instead of only halting it.
    pub const fn spoils(self) -> bool {
        matches!(self, Self::Coalescence | Self::TwoPack)
    }
}

/// The stage ladder (ASTM D1640, ISO 9117; to sand, to handle and cured are trade terms), in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// A fingertip takes nothing away.
    SetToTouch,
    /// Fibres blow off.
    DustFree,
    /// Nothing sticks under light load.
    TackFree,
    /// A light finger leaves no mark: may be laid over on bearers.
    DryToTouch,
    /// Abrades to powder (trade term).
    DryToSand,
    /// The next coat may go on.
    DryToRecoat,
    /// May be carried by the edges and leant (trade term).
    DryToHandle,
    /// Thumb pinch leaves no mark: may be clamped and glued.
    DryHard,
    /// Two coated faces part cleanly: may be stacked with interleaf.
    DryToStack,
    /// Thumb twist leaves no mark: may be rubbed out and waxed.
    DryThrough,
    /// Time only (trade term).
    Cured,
}

/// How the coat is put on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Method {
    /// Brushed.
    Brush,
    /// Wiped or flooded on with a cloth.
    Wipe,
    /// Padded with a rubber or paint pad.
    Pad,
    /// Sprayed.
    Spray,
}

/// What the film needs before the next coat.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Prepare {
    /// Nothing.
    None,
    /// Knock the nibs off lightly.
    Denib,
    /// Scratch all over for grip.
    Scuff,
}

/// When a recoat window opens.
#[derive(Clone, Debug, PartialEq)]
pub enum Opening {
    /// When the film reaches this stage (slow estimate).
    Stage(Stage),
    /// After this many minutes at the stated conditions (slow estimate: the high end).
    After(Figure),
}

/// A stretch of time in which a film accepts the next coat. Between two of them it does not: coating then
/// spoils it.
#[derive(Clone, Debug, PartialEq)]
pub struct RecoatWindow {
    /// The product that may go on; `None` is the same product.
    pub next: Option<String>,
    /// When it opens.
    pub opens: Opening,
    /// When it closes, in minutes at the stated conditions (fast estimate: the low end); `None` never.
    pub closes: Option<Figure>,
    /// What the film needs first.
    pub prepare: Prepare,
}

/// The stated minutes after which a window opens (slow estimate); `None` where it opens at a stage the ladder
/// does not give.
pub fn opens_after(product: &Product, window: &RecoatWindow) -> Option<f64> {
    match &window.opens {
        Opening::Stage(stage) => product.time_to(*stage, 1).map(|figure| figure.high),
        Opening::After(figure) => Some(figure.high),
    }
}

/// One rung of a product's ladder; `from_coat` 1 is every coat, larger where waits grow with coats.
#[derive(Clone, Debug, PartialEq)]
pub struct StageTime {
    /// The stage.
    pub stage: Stage,
    /// The first coat number this time holds for; the largest that is not above the coat counts.
    pub from_coat: u8,
    /// Minutes at the stated conditions.
    pub minutes: Figure,
}

/// Flood-and-wipe products: the excess comes off inside a limit, and again when it has bled back.
#[derive(Clone, Debug, PartialEq)]
pub struct Wipe {
    /// Shortest soak before wiping, minutes.
    pub soak: Figure,
    /// The excess must be off by then, minutes after the surface was wetted (low end counts).
    pub within: Figure,
    /// Re-wipe this long after wiping, minutes; `None` where no re-wipe is due.
    pub again_after: Option<Figure>,
    /// ...and not later than this, minutes after wiping.
    pub again_within: Option<Figure>,
}

/// A product in a tin.
#[derive(Clone, Debug, PartialEq)]
pub struct Product {
    /// Identifier used in files.
    pub id: String,
    /// Name for reading.
    pub name: String,
    /// Products of one family share brushes and clean-out; a change of family is a change-over.
    pub family: String,
    /// How it dries.
    pub mechanism: Mechanism,
    /// The solvent whose vapour pressure leads evaporation, by its name in `science::solvent`.
    pub leading_solvent: Option<String>,
    /// The air all times of this product were stated for.
    pub stated_at: Conditions,
    /// The ladder, sorted by stage then `from_coat`. Every purpose has its own rung.
    pub stages: Vec<StageTime>,
    /// When it may be coated again, sorted by opening; the last never closes.
    pub windows: Vec<RecoatWindow>,
    /// Nothing may go over it (wax).
    pub terminal: bool,
    /// Flood-and-wipe limits.
    pub wipe: Option<Wipe>,
    /// Wet-edge time, minutes.
    pub open_time: Option<Figure>,
    /// Lowest air temperature at which a coat may be *started*, °C (high end counts).
    pub start_floor: Option<Figure>,
    /// Highest air temperature at which a coat may be started, °C (low end counts).
    pub start_ceiling: Option<Figure>,
    /// Highest relative humidity at which a coat may be started, % (low end counts).
    pub start_humidity: Option<Figure>,
    /// Below this drying stops (or the film is spoiled, see [`Mechanism::spoils`]), °C (high end counts).
    pub drying_floor: Option<Figure>,
    /// The stage a film must reach before the room may fall below the drying floor.
    pub must_reach: Option<Stage>,
    /// Volume solids, %.
    pub volume_solids: Option<Figure>,
    /// Density, kg/L.
    pub density: Option<Figure>,
    /// Wet film by method, µm.
    pub wet_film: BTreeMap<Method, Figure>,
    /// Extra share the first coat on bare wood drinks, % of the film.
    pub first_coat_extra: Option<Figure>,
    /// Solvents as shares of the product's mass, %.
    pub solvents: Vec<(String, Figure)>,
    /// Flash point, closed cup, °C (low end counts).
    pub flash_point: Option<Figure>,
    /// Rags wet with it can heat themselves and burn.
    pub self_heating: bool,
    /// Usable life after mixing, minutes.
    pub pot_life: Option<Figure>,
}

impl Product {
    /// The time to a stage for a given coat number, minutes at the stated conditions; `None` where the
    /// ladder does not give it.
    pub fn time_to(&self, stage: Stage, coat: u8) -> Option<&Figure> {
        self.stages
            .iter()
            .filter(|rung| rung.stage == stage && rung.from_coat <= coat.max(1))
            .max_by_key(|rung| rung.from_coat)
            .map(|rung| &rung.minutes)
    }

    /// Stated minutes to a stage, slow estimate; where the ladder leaves the stage out, the next one above it
    /// that is given counts.
    pub fn slow_minutes(&self, stage: Stage, coat: u8) -> Option<f64> {
        let above = self
            .stages
            .iter()
            .map(|rung| rung.stage)
            .filter(|given| *given >= stage)
            .min()?;
        self.time_to(above, coat).map(|figure| figure.high)
    }

    /// The same by the fast estimate.
    pub fn fast_minutes(&self, stage: Stage, coat: u8) -> Option<f64> {
        let above = self
            .stages
            .iter()
            .map(|rung| rung.stage)
            .filter(|given| *given >= stage)
            .min()?;
        self.time_to(above, coat).map(|figure| figure.low)
    }
}
