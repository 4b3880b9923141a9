//! Abrasive grades as they are named on the paper.
//!
//! Invariant: a [`Grade`] always says which scale its number belongs to; grain sizes live in
//! `science::abrasive`.

use std::fmt;

/// The scale a grit number belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Scale {
    /// FEPA P grades (ISO 6344).
    P,
    /// CAMI grades, as printed on much US wet-or-dry paper.
    Cami,
    /// Wire (steel) wool, `0000` being the finest.
    Wool,
    /// Non-woven hand pads, named by their equivalent P grade.
    Pad,
}

/// One grade on one scale. For wool, `number` counts the noughts (4 is `0000`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Grade {
    /// The scale.
    pub scale: Scale,
    /// The number on that scale.
    pub number: u16,
}

/// What a sanding or rubbing step uses: a grade, and whether it is used wet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Grit {
    /// The grade.
    pub grade: Grade,
    /// Used with water or soap: makes slurry, not dust.
    pub wet: bool,
}

impl fmt::Display for Grade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.scale {
            Scale::P => write!(f, "P{}", self.number),
            Scale::Cami => write!(f, "CAMI {}", self.number),
            Scale::Wool => {
                for _ in 0..self.number.max(1) {
                    f.write_str("0")?;
                }
                f.write_str(" wool")
            }
            Scale::Pad => write!(f, "P{} pad", self.number),
        }
    }
}

impl fmt::Display for Grit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.grade, if self.wet { " wet" } else { "" })
    }
}

impl Grade {
    /// Mean grain (or fibre) size in µm, where the scale gives one (pads: as their P grade).
    pub fn grain_size(self) -> Option<f64> {
        let size = match self.scale {
            Scale::P | Scale::Pad => crate::science::abrasive::p_grain(self.number),
            Scale::Cami => crate::science::abrasive::cami_grain(self.number),
            Scale::Wool => crate::science::abrasive::wool_fibre(self.number),
        };
        size.map(|size| size.0)
    }
}
