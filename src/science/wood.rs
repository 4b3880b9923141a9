//! Wood and the air round it: the moisture content it settles at.
//!
//! Invariant: moisture contents are per cent of oven-dry mass and never fall as the humidity rises at one
//! temperature.
//!
//! Source: Wood Handbook, FPL-GTR-190, eq. 4-5, Celsius coefficients (recalled; they reproduce all 342
//! printed cells of Table 4-2 within 0.06 % moisture content, see `tests/science/wood.rs`).

use super::psychrometrics::MoistAir;
use crate::units::Percent;

/// The moisture content wood settles at in this air.
pub fn equilibrium_moisture(air: MoistAir) -> Percent {
    let t = air.temperature.0;
    let h = air.humidity.0.clamp(0.0, 100.0) / 100.0;
    let w = 349.0 + 1.29 * t + 0.0135 * t * t;
    let k = 0.805 + 0.000_736 * t - 0.000_002_73 * t * t;
    let k1 = 6.27 - 0.009_38 * t - 0.000_303 * t * t;
    let k2 = 1.91 + 0.0407 * t - 0.000_293 * t * t;
    let kh = k * h;
    let dissolved = kh / (1.0 - kh);
    let bound = (k1 * kh + 2.0 * k1 * k2 * kh * kh) / (1.0 + k1 * kh + k1 * k2 * kh * kh);
    Percent(1800.0 / w * (dissolved + bound))
}
