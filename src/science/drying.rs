//! Drying laws: how many minutes of drying, as stated on the tin, one minute in this air is worth.
//!
//! Invariant: a pace is never negative, is 1 in the air the times were stated for, and never falls as the
//! air warms at the same relative humidity (0…45 °C; for water from 10 °C, where any floor lies above).
//!
//! Each mechanism has its own law, so that a cold or damp room slows each as it does in the shop:
//! * evaporation follows the vapour pressure of the leading solvent: the evaporation rate of a still film is
//!   proportional to vapour pressure times molar mass (Mackay and van Wesenbeeck, Environmental Science and
//!   Technology, 2014, abstract read);
//! * water leaving a waterborne film follows the wet-bulb depression, the film sitting near the wet-bulb
//!   temperature (heat and mass balance after ASHRAE Fundamentals; not a published coating correlation);
//! * oxidation and two-part cure follow Arrhenius with [`ACTIVATION`], which is a doubling for every 10 K
//!   near room temperature ([`ACTIVATION_RANGE`] is the spread met; weak secondary sources).
//!
//! Not in the laws: humidity on oxidation. The trade says a varnish stated 24 h takes 36 h in humid air, but
//! no page read says how humid, so there is no honest law and the pace of oxidation ignores humidity.

use super::psychrometrics::{MoistAir, SEA_LEVEL};
use super::solvent::Solvent;
use crate::science::measure::Kelvin;
use crate::units::Celsius;

/// Molar gas constant, J/(mol K) (SI, 2019).
pub const GAS_CONSTANT: f64 = 8.314_462_618;
/// Activation energy taken for oxidation and two-part cure, kJ/mol: equal to a doubling for every 10 K near
/// 23 °C (49 to 52 kJ/mol, computed).
pub const ACTIVATION: f64 = 50.0;
/// The spread of activation energies met, kJ/mol (secondary, weak).
pub const ACTIVATION_RANGE: (f64, f64) = (40.0, 100.0);

/// What sets the pace of a film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// A solvent leaves.
    Evaporation(Solvent),
    /// Water leaves and droplets flow together.
    Coalescence,
    /// A reaction: oxidation or two parts, with its activation energy in kJ/mol.
    Cure {
        /// kJ/mol.
        activation: f64,
    },
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

/// What drives the film, in a unit of the law's own; only ratios of it are used.
fn force(law: Law, air: MoistAir) -> f64 {
    match law {
        Law::Evaporation(solvent) => solvent.vapour_pressure(air.temperature).0,
        Law::Coalescence => air.temperature.0 - air.wet_bulb(SEA_LEVEL).0,
        Law::Cure { activation } => arrhenius(activation, air.temperature),
    }
}

/// Reaction rate against that at 23 °C.
fn arrhenius(activation: f64, temperature: Celsius) -> f64 {
    const REFERENCE: f64 = 296.15;
    let t = Kelvin::from(temperature).0;
    (activation * 1000.0 / GAS_CONSTANT * (1.0 / REFERENCE - 1.0 / t)).exp()
}

/// The phase a film is in decides how its time grows with thickness (standard drying theory, from memory).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thickness {
    /// Solvent still leaves freely: time goes with the wet film.
    Evaporating,
    /// What is left must come through the film: time goes with its square at worst.
    Diffusing,
}

/// How a film thicker or thinner than the stated one stretches its times: `share` is its thickness over the
/// stated thickness. Returns the low and high factor; `None` for a share that is no thickness.
pub fn thickness_factor(share: f64, phase: Thickness) -> Option<(f64, f64)> {
    if !share.is_finite() || share <= 0.0 {
        return None;
    }
    let (one, other) = match phase {
        Thickness::Evaporating => (share, share),
        // exponent 1.5 to 2, from memory: trade rule "two thin coats beat one thick"
        Thickness::Diffusing => (share.powf(1.5), share.powi(2)),
    };
    Some((one.min(other), one.max(other)))
}
