//! How much of something is in use at every minute.
//!
//! Invariant: the level at minute m, in block b of era e, is `minute[m] + whole[b] + vast[e]`; `top[b]` is the
//! highest of `minute` inside block b, and `crest[e]` the highest of `top + whole` inside era e. Long stretches
//! touch blocks and eras, not minutes; queries skip eras and blocks that are low enough.
//! Of things that are seldom in use (one piece, one machine) only the changes of level are kept.

use super::network::Tick;
use super::steps::Steps;

const BITS: usize = 6;
const BLOCK: usize = 1 << BITS;
/// Blocks of an era (4,096 minutes, near three days).
const ERA: usize = 64;

/// A level through time that can be raised and lowered over stretches.
#[derive(Clone, Debug)]
pub(super) struct Profile {
    minute: Vec<u32>,
    top: Vec<u32>,
    whole: Vec<u32>,
    crest: Vec<u32>,
    vast: Vec<u32>,
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
            crest: vec![0; blocks.div_ceil(ERA)],
            vast: vec![0; blocks.div_ceil(ERA)],
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
        let has_changed =
            self.changed_minutes > 0 || self.changed_blocks > 0 || self.vast.iter().any(|&level| level > 0);
        let base = has_changed.then(|| self.clone());
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
            self.crest.fill(0);
            self.vast.fill(0);
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
        self.crest.copy_from_slice(&base.crest);
        self.vast.copy_from_slice(&base.vast);
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
        let from = (from as usize).min(self.limit() - 1);
        let until = until.max(from + 1);
        let (first, last) = (from.div_ceil(BLOCK), until >> BITS);
        if first > last {
            self.change_part::<UP>(from, until, amount);
            return;
        }
        self.change_part::<UP>(from, first << BITS, amount);
        self.change_part::<UP>(last << BITS, until, amount);
        let (early, late) = (first.div_ceil(ERA), last / ERA);
        if early < late {
            self.change_blocks::<UP>(first, early * ERA, amount);
            self.change_eras::<UP>(early, late, amount);
            self.change_blocks::<UP>(late * ERA, last, amount);
        } else {
            // at most one border of eras between them
            let border = last.min(early * ERA);
            self.change_blocks::<UP>(first, border, amount);
            self.change_blocks::<UP>(border, last, amount);
        }
    }

    /// Changes whole eras.
    fn change_eras<const UP: bool>(&mut self, first: usize, last: usize, amount: u32) {
        for era in first..last {
            let vast = &mut self.vast[era];
            if UP {
                *vast = vast.saturating_add(amount);
            } else if *vast >= amount {
                *vast -= amount;
            } else {
                self.change_blocks::<UP>(era * ERA, (era + 1) * ERA, amount);
            }
        }
    }

    /// Changes whole blocks of one era.
    fn change_blocks<const UP: bool>(&mut self, first: usize, last: usize, amount: u32) {
        if first >= last {
            return;
        }
        self.changed_blocks = self.changed_blocks.max(last);
        let era = first / ERA;
        let whole = &mut self.whole[first..last];
        if UP {
            let mut crest = self.crest[era];
            for (level, top) in whole.iter_mut().zip(&self.top[first..last]) {
                *level = level.saturating_add(amount);
                crest = crest.max(level.saturating_add(*top));
            }
            self.crest[era] = crest;
            return;
        }
        self.spread_era(era);
        let whole = &mut self.whole[first..last];
        if whole.iter().fold(u32::MAX, |least, &level| least.min(level)) >= amount {
            let mut before = 0_u32;
            for (level, top) in whole.iter_mut().zip(&self.top[first..last]) {
                before = before.max(level.saturating_add(*top));
                *level -= amount;
            }
            self.see_crest(era, before);
        } else {
            for block in first..last {
                if self.whole[block] >= amount {
                    let before = self.whole[block].saturating_add(self.top[block]);
                    self.whole[block] -= amount;
                    self.see_crest(era, before);
                } else {
                    self.change_part::<UP>(block << BITS, (block + 1) << BITS, amount);
                }
            }
        }
    }

    /// Looks up the highest level in an era in which something that went up to `before` has come down.
    fn see_crest(&mut self, era: usize, before: u32) {
        if before < self.crest[era] {
            return;
        }
        let blocks = era * ERA..((era + 1) * ERA).min(self.whole.len());
        let levels = self.top[blocks.clone()].iter().zip(&self.whole[blocks]);
        self.crest[era] = levels.fold(0, |crest, (&top, &whole)| crest.max(top.saturating_add(whole)));
    }

    /// Changes minutes of one block.
    fn change_part<const UP: bool>(&mut self, from: usize, until: usize, amount: u32) {
        if from >= until {
            return;
        }
        let block = from >> BITS;
        self.changed_minutes = self.changed_minutes.max(until);
        if UP {
            let mut top = self.top[block];
            for level in &mut self.minute[from..until] {
                *level = level.saturating_add(amount);
                top = top.max(*level);
            }
            self.top[block] = top;
            let level = top.saturating_add(self.whole[block]);
            self.crest[block / ERA] = self.crest[block / ERA].max(level);
            return;
        }
        self.spread_era(block / ERA);
        let before = self.top[block].saturating_add(self.whole[block]);
        if self.whole[block] > 0 {
            self.spread(block);
        }
        for level in &mut self.minute[from..until] {
            *level = level.saturating_sub(amount);
        }
        let levels = &self.minute[block << BITS..(block + 1) << BITS];
        self.top[block] = levels.iter().fold(0, |top, &level| top.max(level));
        self.see_crest(block / ERA, before);
    }

    /// Turns what an era holds as a whole into what its blocks hold.
    fn spread_era(&mut self, era: usize) {
        let vast = std::mem::take(&mut self.vast[era]);
        if vast == 0 {
            return;
        }
        let blocks = era * ERA..((era + 1) * ERA).min(self.whole.len());
        self.changed_blocks = self.changed_blocks.max(blocks.end);
        for level in &mut self.whole[blocks] {
            *level = level.saturating_add(vast);
        }
        self.crest[era] = self.crest[era].saturating_add(vast);
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
        if self.vast.get(block / ERA).is_some_and(|&vast| vast > 0) {
            return 0;
        }
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
            let era = block / ERA;
            let vast = self.vast[era];
            if self.crest[era].saturating_add(vast) <= most {
                end = era * (ERA << BITS);
                continue;
            }
            let begin = from.max(block << BITS);
            let whole = self.whole[block].saturating_add(vast);
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
            let whole = self.whole[block].saturating_add(self.vast[block / ERA]);
            if let Some(most) = most.checked_sub(whole) {
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
        match (self.minute.last(), self.whole.last(), self.vast.last()) {
            (Some(minute), Some(whole), Some(vast)) => minute.saturating_add(*whole).saturating_add(*vast),
            _ => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_a_plain_array() {
        // a little more than two eras
        const END: u32 = 2 * 4096 + 640;
        let mut profile = Profile::new(END as usize);
        profile.raise(100, 300, 2);
        let base = profile.base();
        profile.lower(100, 300, 2);
        let mut plain = vec![0_u32; END as usize];
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
                let from = roll(END - 1);
                let until = from + 1 + roll(END - from - 1);
                let amount = roll(5);
                profile.raise(from, until, amount);
                plain[from as usize..until as usize]
                    .iter_mut()
                    .for_each(|level| *level += amount);
                held.push((from, until, amount));
            }
            let from = roll(END);
            let until = roll(END + 1);
            let most = roll(60);
            let expected = (from..until).rev().find(|&m| plain[m as usize] > most);
            assert_eq!(profile.last_above(from, until, most), expected);
            let expected = (from..END).find(|&m| plain[m as usize] <= most).unwrap_or(END);
            assert_eq!(profile.first_within(from, most), expected);
        }
        profile.restore(base.as_ref());
        assert_eq!(profile.last_above(0, END, 1), Some(299));
        assert_eq!(profile.last_above(0, 100, 0), None);
        let mut empty = Profile::new(640);
        assert!(empty.base().is_none());
        empty.raise(3, 600, 1);
        empty.restore(None);
        assert_eq!(empty.last_above(0, 640, 0), None);
        assert_eq!(profile.level_at_end(), 0);
        let mut long = Profile::new(END as usize);
        long.raise(0, 4096, 3);
        let base = long.base();
        assert!(base.is_some());
        long.lower(0, 4096, 3);
        long.restore(base.as_ref());
        assert_eq!(long.last_above(0, END, 2), Some(4095));
        long.raise(4000, END, 2);
        assert_eq!((long.level_at_end(), long.zero_minutes(70)), (2, 0));
    }
}
