//! A published figure with how far it was checked and where it stands.
//!
//! Invariant: a figure never travels without its source.

use serde::Serialize;
use std::fmt;

/// How far a figure of this program's own tables has been checked. (Figures of a maker's files have
/// `finish::Status`, which also knows labels.)
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Evidence {
    /// Read in the named source.
    Seen,
    /// Read in a page quoting the named source.
    SeenSecondary,
    /// Carried by a reference library, and compared with it by a script under `tests/values`.
    Library,
    /// Calculated from stated inputs.
    Computed,
    /// Recalled, and agreeing with something read or computed.
    MemoryChecked,
    /// Recalled, not read.
    Memory,
    /// Recalled, and a page that was read says otherwise.
    MemoryConflict,
    /// Trade habit; no source.
    CommonPractice,
}

impl fmt::Display for Evidence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Seen => "seen",
            Self::SeenSecondary => "seen at second hand",
            Self::Library => "from a reference library",
            Self::Computed => "computed",
            Self::MemoryChecked => "from memory, checked",
            Self::Memory => "from memory",
            Self::MemoryConflict => "from memory, and a page says otherwise",
            Self::CommonPractice => "common practice, no source",
        })
    }
}

/// One figure. The unit is the one its field names.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Published {
    /// The figure.
    pub value: f64,
    /// How far it was checked.
    pub evidence: Evidence,
    /// Where it stands.
    pub source: &'static str,
}

/// A figure of a table.
pub(crate) const fn published(value: f64, evidence: Evidence, source: &'static str) -> Published {
    Published {
        value,
        evidence,
        source,
    }
}
