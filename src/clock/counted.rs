//! The hours that counted: how much of a wait a film dried at all, and what held it up.
//!
//! Invariant: what counted is never more than what went by; without a drying floor all of it counts.

use super::air::Air;
use super::drying::DryingClock;
use crate::finish::Product;
use crate::units::{Celsius, Moment, Span};
use std::fmt;

/// A wait for a film, taken apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Counted {
    /// What went by on the wall.
    pub waited: Span,
    /// What of it the room was warm enough to dry the film, rounded down.
    pub dried: Span,
    /// The floor under which nothing counted.
    pub floor: Option<Celsius>,
    /// Minutes as stated on the tin that surely passed.
    pub stated: f64,
}

impl Counted {
    /// Whether the wait was no plain one: part of it did not count, or a fifth and more of it (own choice) did
    /// less than its time.
    pub fn tells(&self) -> bool {
        self.dried < self.waited || self.stated < 0.8 * self.waited.0 as f64
    }
}

impl fmt::Display for Counted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let stated = Span(self.stated.round() as i64);
        match self.floor.filter(|_| self.dried < self.waited) {
            Some(floor) => {
                write!(
                    f,
                    "{} of {} counted, the rest under {} °C",
                    self.dried,
                    self.waited,
                    tenth(floor.0)
                )?;
                if self.stated < 0.8 * self.dried.0 as f64 {
                    write!(f, "; worth {stated} as stated on the tin")?;
                }
                Ok(())
            }
            None => write!(f, "{} here for {stated} as stated on the tin", self.waited),
        }
    }
}

/// To a tenth, without a useless nought.
fn tenth(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

/// What of the time between two moments counted for a film of this product. `None` where the air is not known
/// for all of it.
pub fn counted(product: &Product, air: &Air, clock: &DryingClock, start: Moment, end: Moment) -> Option<Counted> {
    let known = start <= end && air.first() <= start && end <= air.end();
    let dried = clock.above_floor(start, end).filter(|_| known)?;
    let floor = product.drying_floor.as_ref().map(|floor| Celsius(floor.high));
    Some(Counted {
        waited: end - start,
        // a hair above, so that shares that add up to whole minutes are not lost
        dried: Span((dried + 1e-6).floor() as i64),
        floor,
        stated: clock.passed(start, end),
    })
}
