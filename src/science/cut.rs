//! Shellac cuts: pounds of flakes to a US gallon of alcohol, as the trade still counts.
//!
//! Invariant: a cut is the flakes added to a gallon of alcohol, not to a gallon of the mix.
//!
//! Source: the definition was read on a supplier's page; the pound (453.59237 g) and the US gallon
//! (3.785411784 L) are exact (NIST Special Publication 811).

use crate::units::{Grams, Percent};

/// Grams in a pound, exact by definition.
const POUND: f64 = 453.592_37;
/// Litres in a US gallon, exact by definition.
const GALLON: f64 = 3.785_411_784;
/// Density of ethanol at 20 °C, kg/L (source: Python package `thermo` 0.6.1).
const ETHANOL: f64 = 0.7894;

/// Flakes for one litre of alcohol.
pub fn flakes_per_litre(pounds: f64) -> Grams {
    Grams(pounds * POUND / GALLON)
}

/// Solids by weight of a fresh cut in ethanol.
pub fn weight_solids(pounds: f64) -> Percent {
    let flakes = flakes_per_litre(pounds).0;
    Percent(100.0 * flakes / (flakes + 1000.0 * ETHANOL))
}

/// Solids by volume, for a resin of this density in kg/L (1.10 to 1.20; volumes taken to add up). `None` for
/// a density that is none.
pub fn volume_solids(pounds: f64, resin_density: f64) -> Option<Percent> {
    let resin = flakes_per_litre(pounds).0 / 1000.0 / resin_density;
    (resin_density > 0.0).then(|| Percent(100.0 * resin / (resin + 1.0)))
}
