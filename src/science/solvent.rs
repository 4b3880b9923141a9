//! Solvents by name: how heavy their vapour is and how fast it leaves at a temperature.
//!
//! Invariant: every solvent a shipped schedule names is in [`all`]; vapour pressures hold for 0…45 °C.
//!
//! Source of the coefficients: Perry's Chemical Engineers' Handbook, 8th edition, table 2-8, ln P = C1 + C2/T +
//! C3 ln T + C4 T^C5 with P in Pa, T in K; for n-butyl acetate, where that fit lies well below all others in
//! the cold, the Wagner form of `McGarry` (1983). Both as carried by the Python package `chemicals` 1.5.2. White
//! spirit is a blend: n-decane stands in for how it follows the temperature, as an approximation.

use super::measure::{Kelvin, Pascals};
use crate::units::Celsius;

/// A published fit of vapour pressure to temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Fit {
    /// C1 to C5 of ln P = C1 + C2/T + C3 ln T + C4 T^C5.
    Perry([f64; 5]),
    /// ln(P/Pc) = (a τ + b τ^1.5 + c τ³ + d τ⁶)·Tc/T with τ = 1 − T/Tc.
    Wagner {
        abcd: [f64; 4],
        critical_pressure: f64,
        critical_temperature: f64,
    },
}

/// One solvent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solvent {
    /// Its name in schedule files.
    pub name: &'static str,
    /// Number in the Chemical Abstracts registry.
    pub cas: &'static str,
    /// Grams per mole.
    pub molar_mass: f64,
    fit: Fit,
    /// The substance the coefficients are of, where it is not this one.
    pub stands_in: Option<&'static str>,
}

impl Solvent {
    /// The pressure of its vapour over the liquid.
    pub fn vapour_pressure(&self, temperature: Celsius) -> Pascals {
        let kelvin = Kelvin::from(temperature).0;
        Pascals(match self.fit {
            Fit::Perry([c1, c2, c3, c4, c5]) => (c1 + c2 / kelvin + c3 * kelvin.ln() + c4 * kelvin.powf(c5)).exp(),
            Fit::Wagner {
                abcd: [a, b, c, d],
                critical_pressure,
                critical_temperature,
            } => {
                // at and above the critical point there is no liquid; no shop is that hot
                let tau = (1.0 - kelvin / critical_temperature).max(0.0);
                let sum = a * tau + b * tau.powf(1.5) + c * tau.powi(3) + d * tau.powi(6);
                critical_pressure * (sum * critical_temperature / kelvin).exp()
            }
        })
    }
}

/// The solvent of this name.
pub fn find(name: &str) -> Option<&'static Solvent> {
    SOLVENTS.iter().find(|solvent| solvent.name == name)
}

/// Every solvent known.
pub fn all() -> &'static [Solvent] {
    SOLVENTS
}

const fn pure(name: &'static str, cas: &'static str, molar_mass: f64, coefficients: [f64; 5]) -> Solvent {
    Solvent {
        name,
        cas,
        molar_mass,
        fit: Fit::Perry(coefficients),
        stands_in: None,
    }
}

/// Coefficients of n-decane (source above).
const DECANE: [f64; 5] = [112.73, -9_749.6, -13.245, 7.126_6e-6, 2.0];

/// Molar masses and coefficients (source above).
const SOLVENTS: &[Solvent] = &[
    pure(
        "water",
        "7732-18-5",
        18.015,
        [73.649, -7_258.2, -7.303_7, 4.165_3e-6, 2.0],
    ),
    pure(
        "methanol",
        "67-56-1",
        32.042,
        [82.718, -6_904.5, -8.862_2, 7.466_4e-6, 2.0],
    ),
    pure(
        "ethanol",
        "64-17-5",
        46.068,
        [73.304, -7_122.3, -7.142_4, 2.885_3e-6, 2.0],
    ),
    pure(
        "2-propanol",
        "67-63-0",
        60.095,
        [96.094, -8_575.4, -10.292, 1.666_5e-17, 6.0],
    ),
    pure(
        "n-butanol",
        "71-36-3",
        74.122,
        [106.295, -9_866.4, -11.655, 1.083_2e-17, 6.0],
    ),
    pure(
        "acetone",
        "67-64-1",
        58.079,
        [69.006, -5_599.6, -7.098_5, 6.223_7e-6, 2.0],
    ),
    pure(
        "methyl ethyl ketone",
        "78-93-3",
        72.106,
        [72.698, -6_143.6, -7.577_9, 5.647_6e-6, 2.0],
    ),
    pure(
        "methyl isobutyl ketone",
        "108-10-1",
        100.159,
        [80.503, -7_421.8, -8.379, 1.811_4e-17, 6.0],
    ),
    pure(
        "ethyl acetate",
        "141-78-6",
        88.105,
        [66.824, -6_227.6, -6.41, 1.791_4e-17, 6.0],
    ),
    Solvent {
        name: "n-butyl acetate",
        cas: "123-86-4",
        molar_mass: 116.158,
        fit: Fit::Wagner {
            abcd: [-8.366_58, 2.409_85, -6.425_11, 4.859_39],
            critical_pressure: 3_141_100.0,
            critical_temperature: 579.0,
        },
        stands_in: None,
    },
    pure(
        "toluene",
        "108-88-3",
        92.138,
        [76.945, -6_729.8, -8.179, 5.301_7e-6, 2.0],
    ),
    pure(
        "xylene",
        "108-38-3",
        106.165,
        [85.099, -7_615.9, -9.307_2, 5.564_3e-6, 2.0],
    ),
    pure(
        "n-nonane",
        "111-84-2",
        128.255,
        [109.35, -9_030.4, -12.882, 7.854_4e-6, 2.0],
    ),
    pure("n-decane", "124-18-5", 142.282, DECANE),
    Solvent {
        name: "white spirit",
        cas: "8052-41-3",
        molar_mass: 142.282,
        fit: Fit::Perry(DECANE),
        stands_in: Some("n-decane"),
    },
];
