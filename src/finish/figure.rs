//! A published figure: a range with its status, source and the conditions it was stated for.
//!
//! Invariant: `low <= high`; a figure without a source cannot be built from a file.

use crate::units::{Celsius, Percent};

/// How far a figure has been checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Status {
    /// Read on the maker's own tin or data sheet and written into the job.
    Label,
    /// Read in the named source.
    Seen,
    /// Read, but the source rounds.
    SeenRounded,
    /// Part of the statement was read.
    SeenPartial,
    /// Read in a page quoting the primary source.
    SeenSecondary,
    /// Calculated from stated inputs.
    Computed,
    /// Recalled, and agreeing with something read or computed.
    MemoryChecked,
    /// Recalled, not read.
    Memory,
    /// Recalled, and contradicting a page that was read.
    MemoryConflict,
    /// Trade habit; no source.
    CommonPractice,
}

/// The air a figure was stated for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Air temperature.
    pub temperature: Celsius,
    /// Relative humidity.
    pub humidity: Percent,
}

/// A figure with its range and its provenance. The unit is the one its field names.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The low end of the range.
    pub low: f64,
    /// The high end of the range; equal to `low` where the source gives one number.
    pub high: f64,
    /// How far it was checked.
    pub status: Status,
    /// Where it comes from.
    pub source: String,
}

impl Figure {
    /// The middle of the range, for estimates that need one number.
    pub fn middle(&self) -> f64 {
        f64::midpoint(self.low, self.high)
    }
}
