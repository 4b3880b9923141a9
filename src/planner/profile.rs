//! How much of something is in use at every minute.
//!
//! Invariant: the level at minute m is `minute[m] + whole[m / 64]`, and `top[b]` is the highest of `minute`
//! inside block b. Long stretches touch blocks, not minutes; queries skip blocks whose top is low enough.
//! Of things that are seldom in use (one piece, one machine) only the changes of level are kept.

use super::network::Tick;
use super::steps::Steps;

const BITS: usize = 6;
const BLOCK: usize = 1 << BITS;

/// A level through time that can be raised and lowered over stretches.
#[derive(Clone, Debug)]
pub(super) struct Profile {
    minute: Vec<u32>,
    top: Vec<u32>,
    whole: Vec<u32>,
    /// Minutes and blocks changed since the last [`Profile::restore`].
    changed_minutes: usize,
    changed_blocks: usize,
    /// The level by its changes alone; the vectors above are empty then.
    steps: Option<Steps>,
}

impl Profile {
    /// Level zero over `limit` minutes (a multiple of 64).
    pub(super) fn new(limit: usize) -> Self {
        let blocks = limit.div_ceil(BLOCK);
        Self {
            minute: vec![0; blocks * BLOCK],
            top: vec![0; blocks],
            whole: vec![0; blocks],
            changed_minutes: 0,
            changed_blocks: 0,
            steps: None,
        }
    }

    /// Level zero over `limit` minutes of something that is seldom in use: memory and time go by the number of
    /// stretches, not by minutes.
    pub(super) fn seldom(limit: usize) -> Self {
        Self {
            steps: Some(Steps::new(limit)),
            ..Self::new(0)
        }
    }

    /// A copy to come back to; none when the level is zero throughout, so that nothing need be kept.
    pub(super) fn base(&mut self) -> Option<Self> {
        if let Some(steps) = &self.steps {
            return (!steps.is_level()).then(|| self.clone());
        }
        let base = (self.changed_minutes > 0 || self.changed_blocks > 0).then(|| self.clone());
        self.changed_minutes = 0;
        self.changed_blocks = 0;
        base
    }

    /// Back to what `base` says, touching only what has changed.
    pub(super) fn restore(&mut self, base: Option<&Self>) {
        if let Some(steps) = &mut self.steps {
            steps.restore(base.and_then(|base| base.steps.as_ref()));
            return;
        }
        let Some(base) = base else {
            let minutes = self.changed_minutes;
            self.minute[..minutes].fill(0);
            self.top[..minutes.div_ceil(BLOCK)].fill(0);
            self.whole[..self.changed_blocks].fill(0);
            self.changed_minutes = 0;
            self.changed_blocks = 0;
            return;
        };
        let minutes = self.changed_minutes;
        self.minute[..minutes].copy_from_slice(&base.minute[..minutes]);
        let blocks = minutes.div_ceil(BLOCK);
        self.top[..blocks].copy_from_slice(&base.top[..blocks]);
        let blocks = self.changed_blocks;
        self.whole[..blocks].copy_from_slice(&base.whole[..blocks]);
        self.changed_minutes = 0;
        self.changed_blocks = 0;
    }

    fn limit(&self) -> usize {
        self.minute.len()
    }

    /// Raises the level over `from..until`. What lies past the end is held in the last minute.
    pub(super) fn raise(&mut self, from: Tick, until: Tick, amount: u32) {
        if let Some(steps) = &mut self.steps {
            steps.change(from, until, i64::from(amount));
            return;
        }
        self.change::<true>(from, until, amount);
    }

    /// Takes back what [`Profile::raise`] added.
    pub(super) fn lower(&mut self, from: Tick, until: Tick, amount: u32) {
        if let Some(steps) = &mut self.steps {
            steps.change(from, until, -i64::from(amount));
            return;
        }
        self.change::<false>(from, until, amount);
    }

    fn change<const UP: bool>(&mut self, from: Tick, until: Tick, amount: u32) {
        if from >= until || amount == 0 || self.minute.is_empty() {
            return;
        }
        let until = (until as usize).min(self.limit());
        // a hold that begins past the end counts in the last minute: never too little
        let mut at = (from as usize).min(self.limit() - 1);
        let until = until.max(at + 1);
        while at < until {
            let block = at >> BITS;
            let next = (block + 1) << BITS;
            if at == block << BITS && next <= until && (UP || self.whole[block] >= amount) {
                let whole = &mut self.whole[block];
                *whole = if UP {
                    whole.saturating_add(amount)
                } else {
                    *whole - amount
                };
                self.changed_blocks = self.changed_blocks.max(block + 1);
                at = next;
                continue;
            }
            let stop = next.min(until);
            if !UP && self.whole[block] > 0 {
                self.spread(block);
            }
            for level in &mut self.minute[at..stop] {
                *level = if UP {
                    level.saturating_add(amount)
                } else {
                    level.saturating_sub(amount)
                };
            }
            let highest = |levels: &[u32]| levels.iter().copied().max().unwrap_or(0);
            self.top[block] = if UP {
                self.top[block].max(highest(&self.minute[at..stop]))
            } else {
                highest(&self.minute[block << BITS..next])
            };
            self.changed_minutes = self.changed_minutes.max(stop);
            at = stop;
        }
    }

    /// Turns what a block holds as a whole into what its minutes hold, so that part of it can be let go.
    fn spread(&mut self, block: usize) {
        let whole = std::mem::take(&mut self.whole[block]);
        let minutes = block << BITS..(block + 1) << BITS;
        for level in &mut self.minute[minutes.clone()] {
            *level = level.saturating_add(whole);
        }
        self.top[block] = self.top[block].saturating_add(whole);
        self.changed_minutes = self.changed_minutes.max(minutes.end);
        self.changed_blocks = self.changed_blocks.max(block + 1);
    }

    /// The minutes of a block of 64 at level zero, the first in the lowest bit.
    pub(super) fn zero_minutes(&self, block: usize) -> u64 {
        let (whole, top) = (self.whole.get(block), self.top.get(block));
        match (whole, top) {
            (Some(0), Some(0)) => u64::MAX,
            (Some(0), Some(_)) => {
                let levels = &self.minute[block << BITS..(block + 1) << BITS];
                let bits = levels.iter().enumerate();
                bits.fold(0, |all, (at, &level)| all | u64::from(level == 0) << at)
            }
            _ => 0,
        }
    }

    /// The last minute of `from..until` whose level is above `most`.
    #[inline]
    pub(super) fn last_above(&self, from: Tick, until: Tick, most: u32) -> Option<Tick> {
        if let Some(steps) = &self.steps {
            return steps.last_above(from, until, most);
        }
        if from >= until || self.minute.is_empty() {
            return None;
        }
        let from = (from as usize).min(self.limit() - 1);
        let mut end = (until as usize).min(self.limit()).max(from + 1);
        while end > from {
            let block = (end - 1) >> BITS;
            let begin = from.max(block << BITS);
            let whole = self.whole[block];
            if whole > most {
                return Some((end - 1) as Tick);
            }
            let most = most - whole;
            if self.top[block] > most
                && let Some(at) = self.minute[begin..end].iter().rposition(|&level| level > most)
            {
                return Some((begin + at) as Tick);
            }
            end = begin;
        }
        None
    }

    /// The first minute at or after `from` whose level is `most` at the most; past the end when there is none.
    pub(super) fn first_within(&self, from: Tick, most: u32) -> Tick {
        if let Some(steps) = &self.steps {
            return steps.first_within(from, most);
        }
        let mut at = from as usize;
        while at < self.limit() {
            let block = at >> BITS;
            let end = (block + 1) << BITS;
            if let Some(most) = most.checked_sub(self.whole[block]) {
                if self.top[block] <= most {
                    return at as Tick;
                }
                if let Some(found) = self.minute[at..end].iter().position(|&level| level <= most) {
                    return (at + found) as Tick;
                }
            }
            at = end;
        }
        at as Tick
    }

    /// The level in the last minute: what is held for ever, as far as is known.
    pub(super) fn level_at_end(&self) -> u32 {
        if let Some(steps) = &self.steps {
            return steps.level_at_end();
        }
        match (self.minute.last(), self.whole.last()) {
            (Some(minute), Some(whole)) => minute.saturating_add(*whole),
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_a_plain_array() {
        let mut profile = Profile::new(640);
        profile.raise(100, 300, 2);
        let base = profile.base();
        profile.lower(100, 300, 2);
        let mut plain = [0_u32; 640];
        let mut held: Vec<(u32, u32, u32)> = Vec::new();
        let mut seed = 12345_u32;
        let mut roll = |n: u32| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) % n
        };
        for step in 0..2000 {
            if step % 3 == 2 && !held.is_empty() {
                let at = roll(held.len() as u32) as usize;
                let (begin, until, amount) = held.swap_remove(at);
                // let go of the later part first, as a hold that has found its end does
                let from = begin + roll(until - begin);
                if begin < from {
                    held.push((begin, from, amount));
                }
                profile.lower(from, until, amount);
                plain[from as usize..until as usize]
                    .iter_mut()
                    .for_each(|level| *level -= amount);
            } else {
                let from = roll(639);
                let until = from + 1 + roll(640 - from - 1);
                let amount = roll(5);
                profile.raise(from, until, amount);
                plain[from as usize..until as usize]
                    .iter_mut()
                    .for_each(|level| *level += amount);
                held.push((from, until, amount));
            }
            let from = roll(640);
            let until = roll(641);
            let most = roll(60);
            let expected = (from..until).rev().find(|&m| plain[m as usize] > most);
            assert_eq!(profile.last_above(from, until, most), expected);
            let expected = (from..640).find(|&m| plain[m as usize] <= most).unwrap_or(640);
            assert_eq!(profile.first_within(from, most), expected);
        }
        profile.restore(base.as_ref());
        assert_eq!(profile.last_above(0, 640, 1), Some(299));
        assert_eq!(profile.last_above(0, 100, 0), None);
        let mut empty = Profile::new(640);
        assert!(empty.base().is_none());
        empty.raise(3, 600, 1);
        empty.restore(None);
        assert_eq!(empty.last_above(0, 640, 0), None);
        assert_eq!(profile.level_at_end(), 0);
    }
}
