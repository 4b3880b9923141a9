//! What the maker says of the vapour in the room: whose limits, how well the air mixes, how much is let in.
//!
//! Invariant: the mixing factor is 1 to 10, the cap above nothing and never above a quarter of the lower
//! explosive limit.

use crate::science::exposure::Country;
use crate::science::vapour::room::USUAL_MIXING;
use crate::units::Percent;

/// Share of the lower explosive limit no plan may pass (29 CFR 1910.94(c) and 1910.107(a)(2): a quarter).
pub const QUARTER: Percent = Percent(25.0);

/// The cap where the job gives none: well under half of the quarter, since close to wet work the air is richer than
/// the room's mean (judgement, no source).
pub const USUAL_CAP: Percent = Percent(10.0);

/// The rules for the room's air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirRules {
    /// Whose exposure limits; `None` where the job does not say.
    pub country: Option<Country>,
    /// Mixing factor, 1 (good) to 10 (poor).
    pub mixing: f64,
    /// Share of the lower explosive limit the plan keeps the mixed room under.
    pub cap: Percent,
}

impl Default for AirRules {
    fn default() -> Self {
        Self {
            country: None,
            mixing: USUAL_MIXING,
            cap: USUAL_CAP,
        }
    }
}

impl AirRules {
    /// Whose limits are used: those asked for, else those of Great Britain.
    pub fn country(&self) -> Country {
        self.country.unwrap_or_default()
    }
}
