//! What a stretch of a room's minutes is worth to a film, added up.
//!
//! Invariant: a minute's worth depends on its air alone; a minute in which the room crosses the floor counts with
//! the share above it, one below it nothing.
//!
//! A heated room goes through the same day again and again ([`super::repeats`]): a stretch like an earlier one is
//! taken over from it, and only what is new is worked out. The sums are kept unrounded, so that nothing is lost from
//! one stretch to the next.

use super::air::{Air, Minute};
use super::repeats::Repeat;

/// `N` sums through every minute.
pub(super) struct Sums<const N: usize> {
    /// Rounded down: `total[n][i]` after `i` minutes.
    pub(super) total: [Vec<u64>; N],
    /// Unrounded, where a minute was worked out or a stretch ends.
    exact: Vec<[f64; N]>,
}

impl<const N: usize> Sums<N> {
    /// The sums over all minutes of the air, each minute worth what `worth` says of it; never less than nothing.
    pub(super) fn of(air: &Air, mut worth: impl FnMut(&Minute) -> [f64; N]) -> Self {
        let minutes = air.minutes();
        let mut sums = Self {
            total: std::array::from_fn(|_| vec![0; minutes.len() + 1]),
            exact: vec![[0.0; N]; minutes.len() + 1],
        };
        let mut at = 0;
        for repeat in air.repeats() {
            sums.add(at, &minutes[at..repeat.from], &mut worth);
            sums.take_over(*repeat);
            at = repeat.until;
        }
        sums.add(at, &minutes[at..], &mut worth);
        sums
    }

    /// Adds up minutes from `at` on.
    fn add(&mut self, at: usize, minutes: &[Minute], worth: &mut impl FnMut(&Minute) -> [f64; N]) {
        let mut sum = self.exact[at];
        for (index, minute) in minutes.iter().enumerate() {
            for ((sum, worth), total) in sum.iter_mut().zip(worth(minute)).zip(&mut self.total) {
                *sum += worth;
                total[at + index + 1] = whole(*sum);
            }
            self.exact[at + index + 1] = sum;
        }
    }

    /// Takes a stretch over from the one it repeats.
    fn take_over(&mut self, repeat: Repeat) {
        let Repeat { from, until, source } = repeat;
        let end = source + (until - from);
        let (here, there) = (self.exact[from], self.exact[source]);
        for (which, total) in self.total.iter_mut().enumerate() {
            let since = |sums: &[f64; N]| here[which] + (sums[which] - there[which]);
            let own = total[from + 1..=until].iter_mut();
            for (own, sums) in own.zip(&self.exact[source + 1..=end]) {
                *own = whole(since(sums));
            }
            self.exact[until][which] = since(&self.exact[end]);
        }
    }
}

/// Added before rounding down, so that a minute that is worth exactly one is not counted as 0.999.
const HAIR: f64 = 1e-6;

/// A sum rounded down: it is never negative, so cutting it off does.
fn whole(sum: f64) -> u64 {
    (sum + HAIR) as u64
}
