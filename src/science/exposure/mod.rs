//! Exposure limits by substance and country, and the sum for a mixture.
//!
//! Invariant: limits are facts with a source, a year and how far they were checked, never a promise; a
//! substance without a limit in a table is said to have none, not given another's.
//!
//! Mixture: substances that act alike are added, Σ Cᵢ/Lᵢ ≤ 1 (29 CFR 1910.1000(d)(2); read in a state's rule and
//! on a university's formula page). Where a substance has an eight-hour limit but none for fifteen minutes,
//! three times the eight-hour limit is taken for the short sum (guidance of both countries, recalled).

mod limits;

pub use limits::all;

use super::published::Evidence;
use super::vapour::substance::Substance;
use super::vapour::volume::mg_m3;
use serde::{Deserialize, Serialize};

/// Whose limits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Country {
    /// Great Britain: EH40 workplace exposure limits.
    #[default]
    GreatBritain,
    /// United States: OSHA permissible limits, and NIOSH recommended ones where they are lower.
    UnitedStates,
}

impl Country {
    /// The name of the table, for reading.
    pub const fn table(self) -> &'static str {
        match self {
            Self::GreatBritain => "Great Britain, EH40/2005 (4th edition, 2020)",
            Self::UnitedStates => "United States, the lower of OSHA's permissible and NIOSH's recommended limits",
        }
    }
}

/// Over how long a limit is averaged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Averaged {
    /// A shift of eight hours (NIOSH: up to ten).
    EightHours,
    /// Fifteen minutes; ceilings are counted here too.
    FifteenMinutes,
}

/// Whether a limit is law or advice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Force {
    /// Binding.
    Law,
    /// Recommended.
    Advice,
}

/// How a table writes a limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Amount {
    /// Parts per million.
    Ppm(f64),
    /// Milligrams per cubic metre.
    MgM3(f64),
}

/// One limit.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Limit {
    /// Substance, by its name in [`super::vapour::substance`].
    pub substance: &'static str,
    /// Whose.
    pub country: Country,
    /// Over how long.
    pub averaged: Averaged,
    /// How much.
    pub amount: Amount,
    /// Law or advice.
    pub force: Force,
    /// It also goes through the skin.
    pub skin: bool,
    /// How far it was checked.
    pub evidence: Evidence,
    /// Where it stands.
    pub source: &'static str,
    /// Year of the page or edition it was read in, or recalled of.
    pub year: u16,
}

impl Limit {
    /// The limit in mg/m³.
    pub fn mg_m3(&self, substance: &Substance) -> f64 {
        match self.amount {
            Amount::MgM3(amount) => amount,
            Amount::Ppm(amount) => mg_m3(amount, substance.molar_mass),
        }
    }
}

/// The lowest limit of a country for a substance.
pub fn limit(substance: &Substance, country: Country, averaged: Averaged) -> Option<&'static Limit> {
    let here = all()
        .iter()
        .filter(|limit| limit.substance == substance.name && limit.country == country && limit.averaged == averaged);
    here.min_by(|one, other| one.mg_m3(substance).total_cmp(&other.mg_m3(substance)))
}

/// The figure the short sum uses, mg/m³: the limit for fifteen minutes, else three times that for eight hours.
pub fn short_mg_m3(substance: &Substance, country: Country) -> Option<f64> {
    let short = limit(substance, country, Averaged::FifteenMinutes).map(|limit| limit.mg_m3(substance));
    short.or_else(|| limit(substance, country, Averaged::EightHours).map(|limit| 3.0 * limit.mg_m3(substance)))
}

/// The figure the sum over a shift uses, mg/m³.
pub fn shift_mg_m3(substance: &Substance, country: Country) -> Option<f64> {
    limit(substance, country, Averaged::EightHours).map(|limit| limit.mg_m3(substance))
}

/// Σ Cᵢ/Lᵢ of concentrations with their limits in the same unit; parts without a limit add nothing.
pub fn mixture_sum(parts: impl IntoIterator<Item = (f64, Option<f64>)>) -> f64 {
    let share = |(amount, limit): (f64, Option<f64>)| limit.filter(|limit| *limit > 0.0).map(|limit| amount / limit);
    parts.into_iter().filter_map(share).sum()
}
