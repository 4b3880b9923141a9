//! How much vapour a litre makes and how much air thins it.
//!
//! Invariant: ideal gas at 101.325 kPa; functions that would divide by nothing return `None`.
//!
//! Sources: air to hold a quarter of the explosive limit, 29 CFR 1910.94(c)(6)(ii), V = 4 (100 − LEL) v / LEL
//! (recalled; the meaning of its table's columns was read in an OSHA memorandum of 14 July 2009; its worked
//! example, 8,564 ft³ a gallon of toluene, recalled); dilution for health, Industrial Ventilation (ACGIH), Q = 403 SG
//! ER K 10⁶ / (M L), read on a university's formula page.

use crate::science::drying::GAS_CONSTANT;
use crate::science::measure::Kelvin;
use crate::units::Celsius;

/// Litres of a mole of vapour at 25 °C, as exposure limits convert ppm to mg/m³ (source: 29 CFR 1910.1000, NIOSH).
pub const MOLAR_VOLUME_25: f64 = 24.45;
/// Standard pressure, Pa, exact by definition.
const PRESSURE: f64 = 101_325.0;

/// Litres of a mole of vapour at a temperature.
pub fn molar_volume(at: Celsius) -> f64 {
    1000.0 * GAS_CONSTANT * Kelvin::from(at).0 / PRESSURE
}

/// Litres of vapour from one litre of liquid of this density (kg/L) and molar mass.
pub fn litres_of_vapour(density: f64, molar_mass: f64, at: Celsius) -> Option<f64> {
    (molar_mass > 0.0 && density > 0.0).then(|| 1000.0 * density / molar_mass * molar_volume(at))
}

/// Parts per million of mg/m³ at 25 °C.
pub fn ppm(mg_m3: f64, molar_mass: f64) -> f64 {
    mg_m3 * MOLAR_VOLUME_25 / molar_mass
}

/// Mg/m³ of parts per million at 25 °C.
pub fn mg_m3(ppm: f64, molar_mass: f64) -> f64 {
    ppm * molar_mass / MOLAR_VOLUME_25
}

/// Volume of air that holds the vapour of one volume of liquid at a quarter of its explosive limit; `vapour`
/// and the result in the same unit (ft³ a gallon, or m³ a litre). `None` for a limit that is none.
pub fn air_to_quarter_lel(vapour: f64, lel_percent: f64) -> Option<f64> {
    (lel_percent > 0.0 && lel_percent < 100.0).then(|| 4.0 * (100.0 - lel_percent) * vapour / lel_percent)
}

/// Air in m³/h that thins a steady `grams_per_hour` to `limit` ppm, with a mixing factor of 1 (good) to 10
/// (poor), at this temperature.
pub fn dilution_air(grams_per_hour: f64, molar_mass: f64, limit_ppm: f64, mixing: f64, at: Celsius) -> Option<f64> {
    (molar_mass > 0.0 && limit_ppm > 0.0)
        .then(|| grams_per_hour / molar_mass * molar_volume(at) / 1000.0 / (limit_ppm * 1e-6) * mixing)
}

/// The same in the unit it is published in: ft³/min from pints an hour.
pub fn dilution_air_cfm(
    pints_per_hour: f64,
    gravity: f64,
    molar_mass: f64,
    limit_ppm: f64,
    mixing: f64,
) -> Option<f64> {
    (molar_mass > 0.0 && limit_ppm > 0.0)
        .then(|| 403.0 * gravity * (pints_per_hour / 60.0) * 1e6 * mixing / (molar_mass * limit_ppm))
}
