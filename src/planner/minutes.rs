//! A set of minutes, kept in words of 64.
//!
//! Invariant: bits past the end are clear, so a run never reaches past it.

use super::network::{Stretch, Tick};

/// A set of minutes.
#[derive(Clone, Debug)]
pub(super) struct Minutes {
    words: Vec<u64>,
    /// Words changed since the last [`Minutes::restore`].
    changed: usize,
}

impl Minutes {
    /// No minutes, room for `limit`.
    pub(super) fn new(limit: usize) -> Self {
        Self {
            words: vec![0; limit.div_ceil(64)],
            changed: 0,
        }
    }

    /// Back to what `base` says.
    pub(super) fn restore(&mut self, base: &Self) {
        self.words[..self.changed].copy_from_slice(&base.words[..self.changed]);
        self.changed = 0;
    }

    /// Puts a stretch in or takes it out; what lies past the end is left out.
    pub(super) fn mark(&mut self, stretch: Stretch, present: bool) {
        let until = (stretch.until as usize).min(self.words.len() * 64);
        let mut at = stretch.from as usize;
        while at < until {
            let word = at >> 6;
            let stop = until.min((word + 1) << 6);
            let width = stop - at;
            let mask = if width == 64 {
                u64::MAX
            } else {
                ((1 << width) - 1) << (at & 63)
            };
            if present {
                self.words[word] |= mask;
            } else {
                self.words[word] &= !mask;
            }
            self.changed = self.changed.max(word + 1);
            at = stop;
        }
    }

    /// Writes every word of 64 minutes that a stretch touches anew.
    pub(super) fn set_words(&mut self, stretch: Stretch, word: impl Fn(usize) -> u64) {
        let last = (stretch.until as usize).div_ceil(64).min(self.words.len());
        let first = stretch.from as usize >> 6;
        for at in first.min(last)..last {
            self.words[at] = word(at);
        }
        self.changed = self.changed.max(last);
    }

    /// The first minute at or after `at` from which `length` minutes in a row are in the set.
    #[inline]
    pub(super) fn run_from(&self, at: Tick, length: Tick) -> Option<Tick> {
        run(self.words.len(), |word| self.words[word], at, length)
    }

    /// The same for minutes that are in another set of the same length too.
    #[inline]
    pub(super) fn run_in_both(&self, other: &Self, at: Tick, length: Tick) -> Option<Tick> {
        let words = self.words.len().min(other.words.len());
        run(words, |word| self.words[word] & other.words[word], at, length)
    }

    /// Whether every minute of the stretch is in the set.
    pub(super) fn covers(&self, from: Tick, until: Tick) -> bool {
        from >= until || self.run_from(from, until - from) == Some(from)
    }
}

/// The first minute at or after `at` from which `length` minutes in a row are set in these words.
#[inline]
fn run(words: usize, word: impl Fn(usize) -> u64, at: Tick, length: Tick) -> Option<Tick> {
    let length = length as usize;
    let end = words * 64;
    let mut at = at as usize;
    loop {
        if at >= end {
            return None;
        }
        let rest = word(at >> 6) >> (at & 63);
        if rest == 0 {
            at = ((at >> 6) + 1) << 6;
            continue;
        }
        at += rest.trailing_zeros() as usize;
        let mut reached = at;
        while reached - at < length && reached < end {
            let rest = word(reached >> 6) >> (reached & 63);
            let run = ((!rest).trailing_zeros() as usize).min(64 - (reached & 63));
            reached += run;
            if run == 0 || reached & 63 != 0 {
                break;
            }
        }
        if reached - at >= length {
            return Some(at as Tick);
        }
        at = reached.max(at + 1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_agree_with_a_plain_array() {
        let mut seed = 99_u32;
        let mut roll = |n: u32| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) % n
        };
        let mut set = Minutes::new(512);
        let mut plain = [false; 512];
        for _ in 0..3000 {
            let from = roll(512);
            let until = (from + roll(150)).min(512);
            let present = roll(3) > 0;
            set.mark(Stretch { from, until }, present);
            plain[from as usize..until as usize].fill(present);
            let at = roll(512);
            let length = 1 + roll(140);
            let expected = (at..512)
                .find(|&m| m + length <= 512 && plain[m as usize..(m + length) as usize].iter().all(|&minute| minute));
            assert_eq!(set.run_from(at, length), expected);
        }
    }
}
