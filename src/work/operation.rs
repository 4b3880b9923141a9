//! What one operation is, and how operations hang together.
//!
//! Invariant: `before` and `after` of every link are indices into [`Work::operations`], and `before` is
//! never `after`.

use crate::finish::{Grit, Phase, Stage, StepKind};
use crate::job::{Holding, PlaceKind};
use crate::units::Millilitres;

/// One step on one piece (or assembly) in one position.
#[derive(Clone, Debug)]
pub struct WorkOperation {
    /// Stable id, such as `top/coat-2/face`.
    pub id: String,
    /// Piece.
    pub piece: Option<usize>,
    /// Assembly.
    pub assembly: Option<usize>,
    /// Step.
    pub step: StepKind,
    /// Coat number on its surfaces.
    pub coat: Option<u8>,
    /// Grit.
    pub grit: Option<Grit>,
    /// Product.
    pub product: Option<String>,
    /// Surfaces of the piece, in the order they are worked.
    pub surfaces: Vec<usize>,
    /// Hand minutes of one pair of hands, before rounding.
    pub minutes: f64,
    /// Pairs of hands wanted, if there are as many.
    pub crew: u32,
    /// Change-over family.
    pub family: Option<String>,
    /// Makes dust.
    pub dusty: bool,
    /// How the piece is held.
    pub holding: Option<Holding>,
    /// Loose or assembled.
    pub phase: Phase,
    /// Put on.
    pub volume: Option<Millilitres>,
    /// The coat beneath, for steps on a film.
    pub film_from: Option<usize>,
    /// Only done when a window needs it.
    pub optional: bool,
    /// Order of the campaigns of the whole job; equal for operations that make one round.
    pub campaign: u64,
}

impl WorkOperation {
    /// Whether this operation lays a film that has to dry.
    pub fn lays_film(&self) -> bool {
        matches!(
            self.step,
            StepKind::Seal | StepKind::Coat | StepKind::Colour | StepKind::Fill | StepKind::Wax
        )
    }
}

/// How long.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Delay {
    /// Plain minutes.
    Minutes(i64),
    /// Until the film laid by the earlier operation reaches a stage (slow estimate).
    Film(Stage),
    /// Minutes at the stated conditions on the drying clock of the earlier operation's product (slow hand).
    Dried(f64),
    /// The same by the clock's fast hand: what closes.
    Sooner(f64),
}

/// A wait between two operations.
#[derive(Clone, Debug, PartialEq)]
pub struct Wait {
    /// Earlier.
    pub before: usize,
    /// Counted from its start.
    pub from_start: bool,
    /// Later.
    pub after: usize,
    /// At least.
    pub min: Delay,
    /// At most, plain minutes from the same end.
    pub max: Option<i64>,
    /// The rule of the trade, for people.
    pub rule: &'static str,
}

/// A stretch in which the later operation may start.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// Opens.
    pub opens: Delay,
    /// Closes (fast estimate).
    pub closes: Option<Delay>,
    /// Optional operation needed.
    pub via: Option<usize>,
    /// What the film needs, for people.
    pub prepare: crate::finish::Prepare,
}

/// A window between two operations.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// Earlier.
    pub before: usize,
    /// Later.
    pub after: usize,
    /// Stretches.
    pub spans: Vec<Span>,
    /// The rule of the trade, for people.
    pub rule: &'static str,
}

/// A place held from the first coat until the last is dry to handle, then a rack until dry to stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Piece.
    pub piece: usize,
    /// Kind of place while wet.
    pub kind: PlaceKind,
    /// Kinds that would do as well.
    pub or_on: Vec<PlaceKind>,
    /// Slots.
    pub slots: u32,
    /// Takes the place.
    pub first: usize,
    /// Free when the films of these are dry to handle.
    pub last: Vec<usize>,
}

/// All operations and their links.
#[derive(Clone, Debug, Default)]
pub struct Work {
    /// Operations; those of a piece stand together in working order.
    pub operations: Vec<WorkOperation>,
    /// Waits.
    pub waits: Vec<Wait>,
    /// Windows.
    pub windows: Vec<Window>,
    /// Flood, wipe and re-wipe, placed together.
    pub bundles: Vec<Vec<usize>>,
    /// Places.
    pub places: Vec<Place>,
    /// Per piece: what has to be over for it to be ready to glue.
    pub ready: Vec<Vec<(usize, Delay)>>,
    /// Pairs of coats on the two faces of a wide panel, to lie close together.
    pub pairs: Vec<(usize, usize)>,
}

impl Work {
    /// Index of an operation by id.
    pub fn find(&self, id: &str) -> Option<usize> {
        self.operations.iter().position(|operation| operation.id == id)
    }
}
