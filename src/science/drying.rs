//! Drying laws: how many minutes of drying, as stated on the tin, one minute in this air is worth.
//!
//! Invariant: a pace is never negative, is 1 in the air the times were stated for, and never falls as the
//! air warms at the same relative humidity (0…45 °C; for water from 10 °C, where any floor lies above); the
//! slow pace is never above the fast one.
//!
//! Each mechanism has its own law, so that a cold or damp room slows each as it does in the shop. Where
//! sources differ, all their laws are kept: the slow pace is the least any of them gives, the fast one the
//! greatest, so that the spread of an estimate is that of its sources.
//! Sources:
//! * Evaporation follows vapour pressure: the evaporation rate of a still film is proportional to vapour
//!   pressure times molar mass (Mackay and van Wesenbeeck, Environmental Science and Technology, 2014, abstract
//!   read). A blend follows none of its solvents alone: the range is that of those it names.
//! * Water leaving a waterborne film follows the wet-bulb depression, the film sitting near the wet-bulb
//!   temperature (heat and mass balance after ASHRAE Fundamentals), or the vapour pressure the air still lacks,
//!   p(T)·(1 − RH), as for a film as warm as the air. Neither is a published correlation for coatings.
//! * Oxidation and two-part cure follow Arrhenius with [`ACTIVATION`]; or double every [`DOUBLING`] (two-part
//!   coatings twice as long at 10 °C as at 20 °C: a page at second hand); or every [`DOUBLING_STEEP`], as a maker
//!   of wood finishes says (20 minutes at 25 °C, 40 at 18, 80 at 12). Activation energies of 40 to 100 kJ/mol are
//!   met over all of chemistry; no page on finishes goes so far.
//!
//! How moving air speeds up what evaporates is [`super::draught`]'s; what a thick or thinned coat does,
//! [`super::thick`]'s. Not in the laws: humidity on oxidation. The trade says a varnish stated 24 h takes 36 h
//! in humid air, but no page read says how humid, so there is no honest law and oxidation ignores humidity.

use super::psychrometrics::{MoistAir, SEA_LEVEL};
use super::solvent::Solvent;
use crate::science::measure::Kelvin;
use crate::units::Celsius;

/// Molar gas constant, J/(mol K) (source: SI, 2019, exact to the digits given).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Activation energy taken for oxidation and two-part cure, kJ/mol: equal to a doubling for every 10 K near
/// 23 °C (49 to 52 kJ/mol, computed; source above).
pub const ACTIVATION: f64 = 50.0;
/// Kelvins for which a curing film doubles its pace, by the general rule (source above, read at second hand).
pub const DOUBLING: f64 = 10.0;
/// The same as a maker of wood finishes gives it: 12 °F (source above, read).
pub const DOUBLING_STEEP: f64 = 12.0 / 1.8;

/// What sets the pace of a film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// A solvent leaves: its vapour pressure.
    Evaporation(Solvent),
    /// Water leaves a film at the wet-bulb temperature: the wet-bulb depression.
    Depression,
    /// Water leaves a film as warm as the air: the vapour pressure the air still lacks.
    Deficit,
    /// A reaction by its activation energy.
    Arrhenius {
        /// kJ/mol.
        activation: f64,
    },
    /// A reaction by the rule of thumb.
    Doubling {
        /// Kelvins for twice the pace.
        kelvins: f64,
    },
}

/// The laws sources give for water leaving a film.
pub const WATER: [Law; 2] = [Law::Depression, Law::Deficit];

/// The laws sources give for a film that cures by oxygen or in two parts.
pub const CURE: [Law; 3] = [
    Law::Arrhenius { activation: ACTIVATION },
    Law::Doubling { kelvins: DOUBLING },
    Law::Doubling {
        kelvins: DOUBLING_STEEP,
    },
];

/// A pace by the sources that give the least and by those that give the most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worth {
    /// Stated minutes for one minute at least.
    pub slow: f64,
    /// Stated minutes for one minute at most.
    pub fast: f64,
}

impl Worth {
    /// Nothing dries.
    pub const NONE: Self = Self { slow: 0.0, fast: 0.0 };
}

/// A law made ready for one product's stated air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    law: Law,
    /// The driving force in the stated air.
    stated: f64,
}

impl Pace {
    /// The pace of `law` measured against `stated`; `None` where nothing would dry in the stated air itself
    /// (water at saturation), so that no time could have been stated.
    pub fn new(law: Law, stated: MoistAir) -> Option<Self> {
        let force = force(law, stated);
        (force.is_finite() && force > 0.0).then_some(Self { law, stated: force })
    }

    /// Stated minutes that one minute in this air is worth.
    pub fn at(&self, air: MoistAir) -> f64 {
        let pace = force(self.law, air) / self.stated;
        if pace.is_finite() { pace.max(0.0) } else { 0.0 }
    }

    /// What a stated time becomes in this air: times this factor. `None` where nothing dries.
    pub fn time_factor(&self, air: MoistAir) -> Option<f64> {
        let pace = self.at(air);
        (pace > 0.0).then(|| 1.0 / pace)
    }
}

/// All the laws sources give for one film.
#[derive(Clone, Debug, PartialEq)]
pub struct Paces(Vec<Pace>);

impl Paces {
    /// The paces of these laws against the stated air; `None` where there is no law, or one by which no time
    /// could have been stated.
    pub fn new(laws: &[Law], stated: MoistAir) -> Option<Self> {
        let paces: Option<Vec<Pace>> = laws.iter().map(|law| Pace::new(*law, stated)).collect();
        paces.filter(|paces| !paces.is_empty()).map(Self)
    }

    /// What one minute in this air is worth.
    pub fn at(&self, air: MoistAir) -> Worth {
        let each = self.0.iter().map(|pace| pace.at(air));
        let (slow, fast) = each.fold((f64::INFINITY, 0.0_f64), |(slow, fast), pace| {
            (slow.min(pace), fast.max(pace))
        });
        Worth { slow, fast }
    }
}

/// What drives the film, in a unit of the law's own; only ratios of it are used.
fn force(law: Law, air: MoistAir) -> f64 {
    match law {
        Law::Evaporation(solvent) => solvent.vapour_pressure(air.temperature).0,
        Law::Depression => air.temperature.0 - air.wet_bulb(SEA_LEVEL).0,
        Law::Deficit => air.saturation_deficit().0,
        Law::Arrhenius { activation } => arrhenius(activation, air.temperature),
        // against 23 °C, where the times of most tins are stated; only the ratio counts
        Law::Doubling { kelvins } => 2.0_f64.powf((air.temperature.0 - 23.0) / kelvins),
    }
}

/// Reaction rate against that at 23 °C.
fn arrhenius(activation: f64, temperature: Celsius) -> f64 {
    // 23 °C in kelvins, exact by definition
    const REFERENCE: f64 = 296.15;
    let t = Kelvin::from(temperature).0;
    (activation * 1000.0 / GAS_CONSTANT * (1.0 / REFERENCE - 1.0 / t)).exp()
}
