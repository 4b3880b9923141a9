//! Moving air: how much faster what evaporates leaves a film when the air over it moves.
//!
//! Invariant: the factor is 1 in still air, never falls with the speed, and never goes above [`MOST`]; the
//! slow one is never above the fast one.
//!
//! Sources differ widely, so all are kept, as ratios to still air:
//! * ASHRAE, HVAC Applications (natatoria): evaporation goes as 0.089 + 0.0782 v (recalled);
//! * Kawamura and Mackay: the mass transfer coefficient goes as the wind to the power of 7/9, 0.78 (read);
//! * an abstract on pools of solvent: measured, the power is nearer 0.10 (read).
//!
//! A draught does more for an oil varnish than any of this (oxygen), says the trade, without a number; and hurts
//! a fresh waterborne film. Neither is a law. So a curing film is not sped up here.

use super::drying::Worth;
use crate::units::MetresPerSecond;

/// The air of a room in which nothing blows: upper end of what is felt as still (comfort practice, from memory).
/// Times on a tin are taken to be stated for it.
pub const STILL: MetresPerSecond = MetresPerSecond(0.15);
/// No more than twice the pace, however hard it blows (own cap, no source: those above differ too much for more).
pub const MOST: f64 = 2.0;
/// ...and no less than this in dead air, m/s (own choice, no source): there the steepest of the sources above gives
/// 0.42.
const LEAST_SPEED: f64 = 0.05;

/// How many times the pace in still air.
pub fn factor(speed: MetresPerSecond) -> Worth {
    let speed = if speed.0.is_finite() {
        speed.0.max(LEAST_SPEED)
    } else {
        STILL.0
    };
    let share = speed / STILL.0;
    let each = [
        (0.089 + 0.0782 * speed) / (0.089 + 0.0782 * STILL.0),
        share.powf(0.78),
        share.powf(0.10),
    ];
    let (slow, fast) = each.iter().fold((MOST, 0.0_f64), |(slow, fast), factor| {
        (slow.min(*factor), fast.max(factor.min(MOST)))
    });
    Worth { slow, fast }
}
