//! Moist air: saturation pressure, dew and frost point, wet bulb, humidity ratio.
//!
//! Invariant: holds for −40…60 °C at the pressure given; outside that the formulas are still finite but
//! unchecked.
//!
//! Source: ASHRAE Handbook, Fundamentals (2017), chapter 1: saturation pressure eq. 5 (ice) and 6 (water),
//! humidity ratio eq. 20, wet bulb eq. 33 (liquid) and 35 (ice).

use super::measure::{Kelvin, Pascals};
use crate::units::{Celsius, Percent};

/// Standard air pressure at sea level, exact by definition.
pub const SEA_LEVEL: Pascals = Pascals(101_325.0);

/// Above this water in equilibrium with vapour is liquid (triple point; source above).
const TRIPLE_POINT: f64 = 0.01;
/// Mass of a mole of water over a mole of dry air (source: ASHRAE 2017, chapter 1, eq. 20).
const MASS_RATIO: f64 = 0.621_945;

/// The state of the air in a room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MoistAir {
    /// Air temperature.
    pub temperature: Celsius,
    /// Relative humidity.
    pub humidity: Percent,
}

impl MoistAir {
    /// Air at a temperature in °C and a relative humidity in %.
    pub const fn new(celsius: f64, percent: f64) -> Self {
        Self {
            temperature: Celsius(celsius),
            humidity: Percent(percent),
        }
    }

    /// The pressure of the water vapour in it.
    pub fn vapour_pressure(self) -> Pascals {
        Pascals(saturation_pressure(self.temperature).0 * self.humidity.0 / 100.0)
    }

    /// What the air still lacks to be saturated, as a pressure of water vapour.
    pub fn saturation_deficit(self) -> Pascals {
        Pascals(saturation_pressure(self.temperature).0 - self.vapour_pressure().0)
    }

    /// The temperature at which dew forms on a surface; below 0 °C over supercooled water. `None` in air
    /// without any moisture.
    pub fn dew_point(self) -> Option<Celsius> {
        temperature_of(self.vapour_pressure(), over_water)
    }

    /// The temperature at which frost forms; `None` where that is above freezing (dew forms first) or the
    /// air has no moisture.
    pub fn frost_point(self) -> Option<Celsius> {
        temperature_of(self.vapour_pressure(), over_ice).filter(|point| point.0 <= TRIPLE_POINT)
    }

    /// Water per kilogram of dry air, in grams.
    pub fn humidity_ratio(self, pressure: Pascals) -> f64 {
        1000.0 * ratio(self.vapour_pressure(), pressure)
    }

    /// The temperature a wet surface in moving air falls to. Never above the air's own temperature.
    pub fn wet_bulb(self, pressure: Pascals) -> Celsius {
        wet_bulb(self, pressure)
    }

    /// The same air, its moisture unchanged, at another temperature. Above 100 % it would rain out.
    #[must_use]
    pub fn warmed_to(self, temperature: Celsius) -> Self {
        let humidity = 100.0 * self.vapour_pressure().0 / saturation_pressure(temperature).0;
        Self {
            temperature,
            humidity: Percent(humidity),
        }
    }
}

/// Saturation pressure over liquid water (also supercooled).
pub fn saturation_over_water(temperature: Celsius) -> Pascals {
    Pascals(over_water(Kelvin::from(temperature).0).exp())
}

/// Saturation pressure over ice.
pub fn saturation_over_ice(temperature: Celsius) -> Pascals {
    Pascals(over_ice(Kelvin::from(temperature).0).exp())
}

/// Saturation pressure over what is there: ice up to the triple point, water above it.
pub fn saturation_pressure(temperature: Celsius) -> Pascals {
    if temperature.0 <= TRIPLE_POINT {
        saturation_over_ice(temperature)
    } else {
        saturation_over_water(temperature)
    }
}

/// ASHRAE 2017, chapter 1, eq. 6; kelvins to the logarithm of pascals.
fn over_water(t: f64) -> f64 {
    -5.800_220_6e3 / t + 1.391_499_3 - 4.864_023_9e-2 * t + 4.176_476_8e-5 * t * t - 1.445_209_3e-8 * t.powi(3)
        + 6.545_967_3 * t.ln()
}

/// ASHRAE 2017, chapter 1, eq. 5; kelvins to the logarithm of pascals.
fn over_ice(t: f64) -> f64 {
    -5.674_535_9e3 / t + 6.392_524_7 - 9.677_843e-3 * t + 6.221_570_1e-7 * t * t + 2.074_782_5e-9 * t.powi(3)
        - 9.484_024e-13 * t.powi(4)
        + 4.163_501_9 * t.ln()
}

/// Humidity ratio by mass, kg/kg.
fn ratio(vapour: Pascals, pressure: Pascals) -> f64 {
    MASS_RATIO * vapour.0 / (pressure.0 - vapour.0)
}

/// The temperature at which `law` gives this pressure, by Newton's method on its logarithm (which is almost
/// straight, so it settles in a few steps from anywhere).
fn temperature_of(pressure: Pascals, law: fn(f64) -> f64) -> Option<Celsius> {
    if pressure.0 <= 0.0 || !pressure.0.is_finite() {
        return None;
    }
    let wanted = pressure.0.ln();
    let mut t = 280.0_f64;
    for _ in 0..50 {
        let slope = (law(t + 0.01) - law(t - 0.01)) / 0.02;
        let step = ((wanted - law(t)) / slope).clamp(-40.0, 40.0);
        t = (t + step).clamp(150.0, 400.0);
        if step.abs() < 1e-9 {
            break;
        }
    }
    Some(Celsius::from(Kelvin(t)))
}

/// The humidity ratio air at `dry` must have for its wet bulb to be `wet` (eq. 33 and 35), kg/kg.
fn ratio_for(dry: f64, wet: f64, pressure: Pascals) -> f64 {
    let saturated = ratio(saturation_pressure(Celsius(wet)), pressure);
    if wet >= 0.0 {
        ((2501.0 - 2.326 * wet) * saturated - 1.006 * (dry - wet)) / (2501.0 + 1.86 * dry - 4.186 * wet)
    } else {
        ((2830.0 - 0.24 * wet) * saturated - 1.006 * (dry - wet)) / (2830.0 + 1.86 * dry - 2.1 * wet)
    }
}

/// The first slope is taken over so many kelvins (own choice, no source: the law bends little in them).
const NEAR: f64 = 1e-3;

/// Finds the wet bulb between two bounds, by secants where they stay inside and by halving where they
/// do not (the law has a small step at 0 °C, where the wick freezes).
fn wet_bulb(air: MoistAir, pressure: Pascals) -> Celsius {
    let dry = air.temperature.0;
    let wanted = ratio(air.vapour_pressure(), pressure);
    if air.humidity.0 >= 100.0 {
        return air.temperature;
    }
    // where both laws have an answer (the step at 0 °C) the wick is taken to be wet, not frozen
    let frozen = dry < 0.0 || ratio_for(dry, 0.0, pressure) > wanted;
    let (mut low, mut high) = if frozen {
        (dry - 60.0, dry.min(-1e-9))
    } else {
        (0.0, dry)
    };
    let off_at = |wet: f64| ratio_for(dry, wet, pressure) - wanted;
    let mut wet = (dry - 12.0 * (1.0 - air.humidity.0 / 100.0)).clamp(low, high);
    let beside = if wet + NEAR < high { wet + NEAR } else { wet - NEAR };
    let mut last = (beside, off_at(beside));
    for _ in 0..80 {
        let off = off_at(wet);
        if off > 0.0 {
            high = wet;
        } else {
            low = wet;
        }
        let slope = (off - last.1) / (wet - last.0);
        let next = wet - off / slope;
        if (next - wet).abs() < 1e-7 {
            return Celsius(next);
        }
        last = (wet, off);
        wet = if next > low && next < high {
            next
        } else {
            f64::midpoint(low, high)
        };
        if high - low < 1e-9 {
            break;
        }
    }
    Celsius(wet)
}
