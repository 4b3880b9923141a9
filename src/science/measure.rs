//! Quantities only the sciences use.
//!
//! Invariant: the number inside is always in the unit the type is named after.

use crate::units::Celsius;

/// A pressure in pascals.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Pascals(pub f64);

/// An absolute temperature in kelvins.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Kelvin(pub f64);

/// A thickness or grain size in micrometres.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct Micrometres(pub f64);

/// How far a litre goes, in square metres.
#[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd)]
pub struct SquareMetresPerLitre(pub f64);

impl From<Celsius> for Kelvin {
    fn from(celsius: Celsius) -> Self {
        Self(celsius.0 + 273.15)
    }
}

impl From<Kelvin> for Celsius {
    fn from(kelvin: Kelvin) -> Self {
        Self(kelvin.0 - 273.15)
    }
}
