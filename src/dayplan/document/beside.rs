//! What is told beside the work: the air, the faces of panels, the shelf, cautions.
//!
//! Invariant: a caution says how much it weighs, and refers by id to what it is about.

use super::Stamp;
use serde::{Deserialize, Serialize};

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
