//! A level through time kept by its changes alone.
//!
//! Invariant: sorted by tick, one change a tick, none of them nothing; all ticks lie within the limit, and what
//! would lie past it is held in the last minute, as [`super::profile::Profile`] does.

use super::network::Tick;

/// A level by its changes.
#[derive(Clone, Debug)]
pub(super) struct Steps {
    limit: Tick,
    changes: Vec<(Tick, i64)>,
}

impl Steps {
    /// Level zero over `limit` minutes.
    pub(super) fn new(limit: usize) -> Self {
        Self {
            limit: Tick::try_from(limit).unwrap_or(Tick::MAX),
            changes: Vec::new(),
        }
    }

    /// Whether nothing is in use at any time.
    pub(super) fn is_level(&self) -> bool {
        self.changes.is_empty()
    }

    /// Back to what `base` says; to nothing in use without one.
    pub(super) fn restore(&mut self, base: Option<&Self>) {
        self.changes.clear();
        if let Some(base) = base {
            self.changes.extend_from_slice(&base.changes);
        }
    }

    /// Raises the level over `from..until`, or lowers it by a negative amount.
    pub(super) fn change(&mut self, from: Tick, until: Tick, amount: i64) {
        if from >= until || amount == 0 || self.limit == 0 {
            return;
        }
        let from = from.min(self.limit - 1);
        let until = until.min(self.limit).max(from + 1);
        self.step(from, amount);
        self.step(until, -amount);
    }

    fn step(&mut self, at: Tick, by: i64) {
        match self.changes.binary_search_by_key(&at, |change| change.0) {
            Ok(found) => {
                self.changes[found].1 += by;
                if self.changes[found].1 == 0 {
                    self.changes.remove(found);
                }
            }
            Err(place) => self.changes.insert(place, (at, by)),
        }
    }

    /// The last minute of `from..until` whose level is above `most`.
    pub(super) fn last_above(&self, from: Tick, until: Tick, most: u32) -> Option<Tick> {
        if from >= until || self.limit == 0 {
            return None;
        }
        let from = from.min(self.limit - 1);
        let until = until.min(self.limit).max(from + 1);
        let mut level = 0;
        let mut begin = 0;
        let mut last = None;
        let ends = self.changes.iter().copied().chain([(self.limit, 0)]);
        for (end, by) in ends {
            let (low, high) = (begin.max(from), end.min(until));
            if level > i64::from(most) && low < high {
                last = Some(high - 1);
            }
            if end >= until {
                break;
            }
            level += by;
            begin = end;
        }
        last
    }

    /// The first minute at or after `from` whose level is `most` at the most; past the end when there is none.
    pub(super) fn first_within(&self, from: Tick, most: u32) -> Tick {
        if from >= self.limit {
            return from;
        }
        let mut level = 0;
        let mut begin = 0;
        for (end, by) in self.changes.iter().copied().chain([(self.limit, 0)]) {
            if level <= i64::from(most) && end > from && begin < end {
                return begin.max(from);
            }
            level += by;
            begin = end;
        }
        self.limit
    }

    /// The level in the last minute.
    pub(super) fn level_at_end(&self) -> u32 {
        let before_end = self.changes.iter().take_while(|change| change.0 < self.limit);
        let level: i64 = before_end.map(|change| change.1).sum();
        u32::try_from(level.max(0)).unwrap_or(u32::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::super::profile::Profile;

    #[test]
    fn both_ways_of_keeping_a_level_agree() {
        let mut seed = 4_321_u32;
        let mut roll = |n: u32| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) % n
        };
        let (mut minutes, mut steps) = (Profile::new(640), Profile::seldom(640));
        let mut held: Vec<(u32, u32, u32)> = Vec::new();
        let base = (minutes.base(), steps.base());
        assert!(base.0.is_none() && base.1.is_none());
        for round in 0..4000 {
            if round % 1000 == 999 {
                minutes.restore(None);
                steps.restore(None);
                held.clear();
            }
            if round % 3 == 2 && !held.is_empty() {
                let at = roll(held.len() as u32) as usize;
                let (from, until, amount) = held.swap_remove(at);
                minutes.lower(from, until, amount);
                steps.lower(from, until, amount);
            } else {
                // past the end too: held in the last minute
                let from = roll(660);
                let until = from + roll(200);
                let amount = roll(4);
                minutes.raise(from, until, amount);
                steps.raise(from, until, amount);
                held.push((from, until, amount));
            }
            let (from, until, most) = (roll(640), roll(700), roll(12));
            assert_eq!(
                minutes.last_above(from, until, most),
                steps.last_above(from, until, most)
            );
            assert_eq!(
                minutes.first_within(from, most),
                steps.first_within(from, most),
                "{from} {most}"
            );
            assert_eq!(minutes.level_at_end(), steps.level_at_end());
        }
    }
}
