//! What has been decided at the bench since the file was written.
//!
//! Invariant: empty for a job fresh from its file; indices point into the job's pieces, their surfaces and
//! its hands; ids of mends depend only on the record that asked for them.

use super::part::Holding;
use crate::finish::{Mechanism, StepKind};
use crate::units::Moment;
use std::collections::BTreeMap;

/// Changes laid over the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SinceWritten {
    /// Faults to be made good, by piece.
    pub mends: BTreeMap<usize, Vec<Mend>>,
    /// How a piece was held before its holding was changed, by piece.
    pub held: BTreeMap<usize, Held>,
    /// When hands are away.
    pub away: Vec<Away>,
    /// How often work that had gone stale has been done again, by the id of the first time.
    pub again: BTreeMap<String, u32>,
}

impl SinceWritten {
    /// The mends of a piece.
    pub fn mends_of(&self, piece: usize) -> &[Mend] {
        self.mends.get(&piece).map_or(&[], Vec::as_slice)
    }
}

/// A fault in a film.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fault {
    /// The film sagged before it set.
    Run,
    /// Dust or a hair dried in.
    Nib,
    /// Abraded down to the wood or the colour.
    RubThrough,
    /// Moisture turned the film milky.
    Blush,
}

impl Fault {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Run, Self::Nib, Self::RubThrough, Self::Blush];

    /// In the trade's word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Run => "run",
            Self::Nib => "nib",
            Self::RubThrough => "rub-through",
            Self::Blush => "blush",
        }
    }

    /// How the film is worked before anything goes over it (common practice, no source): a run is sanded
    /// level when it is hard enough, a nib knocked off, a rub-through feathered out. A blush in a film that
    /// its own solvent melts needs no paper: the next coat, laid in drier air, takes it in.
    pub const fn worked_by(self, mechanism: Mechanism) -> Option<StepKind> {
        match (self, mechanism) {
            (Self::Run, _) => Some(StepKind::Flat),
            (Self::Nib | Self::RubThrough, _) => Some(StepKind::Denib),
            (Self::Blush, Mechanism::Evaporation) => None,
            (Self::Blush, _) => Some(StepKind::Scuff),
        }
    }

    /// Whether it usually takes a coat to make it good (common practice, no source).
    pub const fn takes_a_coat(self) -> bool {
        !matches!(self, Self::Nib)
    }
}

/// A fault to be made good on some surfaces.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// Its id, for operations: that of the record that asked for it.
    pub id: String,
    /// The fault.
    pub fault: Fault,
    /// Indices into the piece's surfaces.
    pub surfaces: Vec<usize>,
    /// Coated again. The coat makes good what was taken off and is not counted.
    pub coat: bool,
    /// Coats that were on when it was found.
    pub after: u8,
}

/// How a piece was held for its first films.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held {
    /// How.
    pub holding: Holding,
    /// For its films up to this coat.
    pub until_coat: u8,
}

/// Hands that are away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Away {
    /// Index into the job's hands; `None`: everybody.
    pub hand: Option<usize>,
    /// From.
    pub from: Moment,
    /// Until.
    pub until: Moment,
}
