//! What of a product lands on the work, by how it is put on.
//!
//! Invariant: shares are of the volume used, above 0 and at most 1.

use super::product::Method;
use crate::science::Evidence;
use serde::Serialize;

/// The share that lands.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Landing {
    /// At worst.
    pub low: f64,
    /// What is reckoned with.
    pub usual: f64,
    /// At best.
    pub high: f64,
    /// How far it was checked.
    pub evidence: Evidence,
    /// Where it comes from.
    pub source: &'static str,
}

impl Method {
    /// The share of the volume used that lands on the work.
    pub const fn landing(self) -> Landing {
        match self {
            Self::Brush => Landing {
                low: 0.85,
                usual: 0.875,
                high: 0.90,
                evidence: Evidence::SeenSecondary,
                source: "brush loss of 10 to 15 %, a page of coating data",
            },
            Self::Wipe | Self::Pad => Landing {
                low: 0.85,
                usual: 0.90,
                high: 0.95,
                evidence: Evidence::CommonPractice,
                source: "common practice, no source",
            },
            // the plan does not say which gun: high-volume low-pressure is reckoned with, an old one is the worst
            Self::Spray => Landing {
                low: 0.25,
                usual: 0.65,
                high: 0.80,
                evidence: Evidence::Seen,
                source: "high-volume low-pressure guns land 65 to 80 % (case study); conventional guns 25 to 40 % (recalled)",
            },
        }
    }
}
