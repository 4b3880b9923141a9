//! Stretches in which a room goes through the same again.
//!
//! Invariant: no stretch overlaps another, and none repeats minutes that themselves repeat others: what is worked out
//! for the minutes outside all stretches is known for every minute.

use super::air::Minute;
use crate::science::MoistAir;

/// Minutes after which a room goes through the same again: a day, a week.
const AGAIN: [usize; 2] = [1440, 10_080];
/// Air that differs by less than this, in kelvins and per cent, is the same air.
const SAME: f64 = 1e-6;
/// A shorter stretch is worked out anew.
const SHORT: usize = 16;

/// A stretch of minutes like an earlier one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Repeat {
    /// Its first minute.
    pub from: usize,
    /// The first minute after it.
    pub until: usize,
    /// The minute that its first one repeats.
    pub source: usize,
}

/// The stretches of these minutes, in order.
pub(super) fn of(minutes: &[Minute]) -> Vec<Repeat> {
    let mut found: Vec<Repeat> = Vec::new();
    let mut at = AGAIN[0];
    while at < minutes.len() {
        let mut longest: Option<Repeat> = None;
        for before in AGAIN.iter().filter_map(|again| at.checked_sub(*again)) {
            let repeat = repeat(minutes, &found, at, before);
            longest = longest.into_iter().chain(repeat).max_by_key(|repeat| repeat.until);
            // what is the same for a day is long enough
            if longest.is_some_and(|repeat| repeat.until - repeat.from >= AGAIN[0]) {
                break;
            }
        }
        at = longest.map_or(at + 1, |repeat| repeat.until);
        found.extend(longest);
    }
    found
}

/// The stretch from `at` on that is like that from `before` on, where it is long enough.
fn repeat(minutes: &[Minute], found: &[Repeat], at: usize, before: usize) -> Option<Repeat> {
    let next = found.partition_point(|repeat| repeat.until <= before);
    // the minutes that are repeated end with the stretch they lie in, or before the next one
    let (source, most) = match found.get(next) {
        Some(repeat) if repeat.from <= before => (repeat.source + (before - repeat.from), repeat.until - before),
        Some(repeat) => (before, repeat.from - before),
        None => (before, at - before),
    };
    let most = most.min(minutes.len() - at);
    let pairs = minutes[at..].iter().zip(&minutes[source..]).take(most);
    let length = pairs.take_while(|(one, other)| is_same(one, other)).count();
    (length >= SHORT).then_some(Repeat {
        from: at,
        until: at + length,
        source,
    })
}

fn is_same(one: &Minute, other: &Minute) -> bool {
    alike(one.begin, other.begin) && alike(one.end, other.end) && (one.speed.0 - other.speed.0).abs() < SAME
}

fn alike(one: MoistAir, other: MoistAir) -> bool {
    (one.temperature.0 - other.temperature.0).abs() < SAME && (one.humidity.0 - other.humidity.0).abs() < SAME
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::MetresPerSecond;

    fn minute(kelvins: f64) -> Minute {
        let air = MoistAir::new(kelvins, 50.0);
        Minute {
            begin: air,
            end: air,
            speed: MetresPerSecond(0.1),
        }
    }

    #[test]
    fn every_stretch_is_like_minutes_that_repeat_none() {
        // three like days, one that begins otherwise, a week later the same
        let warmth = |at: usize| {
            let (day, minute) = (at / 1440, at % 1440);
            let other = if day % 7 == 3 && minute < 500 { 5.0 } else { 0.0 };
            (minute / 60) as f64 + other
        };
        let minutes: Vec<Minute> = (0..14 * 1440).map(|at| minute(warmth(at))).collect();
        let repeats = of(&minutes);
        assert!(repeats.len() > 8, "{repeats:?}");
        for (index, repeat) in repeats.iter().enumerate() {
            assert!(repeat.from < repeat.until, "{repeat:?}");
            assert!(index == 0 || repeats[index - 1].until <= repeat.from, "{repeats:?}");
            let length = repeat.until - repeat.from;
            for other in &repeats {
                let apart = repeat.source + length <= other.from || other.until <= repeat.source;
                assert!(apart, "{repeat:?} repeats minutes of {other:?}");
            }
            for step in 0..length {
                assert_eq!(minutes[repeat.from + step], minutes[repeat.source + step]);
            }
        }
        let covered: usize = repeats.iter().map(|repeat| repeat.until - repeat.from).sum();
        assert!(covered > 11 * 1440, "{covered}");
    }
}
