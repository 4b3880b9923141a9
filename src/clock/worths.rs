//! What each minute of a room's air is worth to a film, minute after minute.
//!
//! Invariant: a minute's worth depends on the air alone; a minute in which the room crosses the floor counts with
//! the share above it, one below it nothing.
//!
//! A heated room goes through the same day again and again: a minute whose air is that of the same minute a day
//! or a week before is worth the same. Only what is new is looked up ([`super::corners`]).

use super::air::{Air, Minute};
use super::corners::Corners;
use super::drying::above;
use crate::science::MoistAir;
use crate::units::Celsius;

/// `N` worths of every minute, filled from the first on.
pub(super) struct Worths<'a, const N: usize> {
    minutes: &'a [Minute],
    again: &'a [Option<u32>],
    floor: Option<Celsius>,
    corners: Corners<N>,
    known: Vec<[f64; N]>,
}

impl<'a, const N: usize> Worths<'a, N> {
    /// Nothing worked out yet.
    pub fn new(air: &'a Air, floor: Option<Celsius>) -> Self {
        let minutes = air.minutes();
        Self {
            minutes,
            again: air.again(),
            floor,
            corners: Corners::new(),
            known: Vec::with_capacity(minutes.len()),
        }
    }

    /// The worths of the next minute; asked for in order of time. `law` works them out for a whole minute in
    /// this air.
    pub fn at(&mut self, index: usize, law: impl Fn(MoistAir) -> [f64; N]) -> [f64; N] {
        let worth = self.as_before(index).unwrap_or_else(|| self.new_air(index, law));
        self.known.push(worth);
        worth
    }

    fn as_before(&self, index: usize) -> Option<[f64; N]> {
        let before = (*self.again.get(index)?)?;
        self.known.get(before as usize).copied()
    }

    fn new_air(&mut self, index: usize, law: impl Fn(MoistAir) -> [f64; N]) -> [f64; N] {
        let Some(minute) = self.minutes.get(index) else {
            return [0.0; N];
        };
        let (share, air) = above(*minute, self.floor);
        if share <= 0.0 {
            return [0.0; N];
        }
        self.corners.at(air, law).map(|worth| worth * share)
    }
}
