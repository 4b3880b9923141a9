//! The minutes in which dust may be made: no film is wet then, and none is begun before the dust has settled.
//!
//! Invariant: the minutes left are those at level zero; a dusty task may be done in a row of them and nowhere else.

use super::minutes::Minutes;
use super::network::{Stretch, Tick};
use super::profile::Profile;

/// When wet films bar dust.
#[derive(Debug)]
pub(super) struct Barred {
    level: Profile,
    left: Minutes,
    /// Both before any task; none where nothing is wet then.
    base: Option<(Profile, Minutes)>,
    /// Every minute is left.
    all: Minutes,
}

impl Barred {
    /// Nothing is barred in so many minutes (a multiple of 64).
    pub(super) fn new(limit: usize) -> Self {
        let mut all = Minutes::new(limit);
        let whole = Stretch {
            from: 0,
            until: limit as Tick,
        };
        all.mark(whole, true);
        Self {
            level: Profile::new(limit),
            left: all.clone(),
            base: None,
            all,
        }
    }

    /// What is barred now is barred before any task.
    pub(super) fn keep_as_base(&mut self) {
        self.base = self.level.base().map(|level| (level, self.left.clone()));
    }

    /// Back to what is barred before any task.
    pub(super) fn restore(&mut self) {
        let base = self.base.as_ref();
        self.level.restore(base.map(|(level, _)| level));
        self.left.restore(base.map_or(&self.all, |(_, left)| left));
    }

    /// Bars a stretch.
    pub(super) fn raise(&mut self, stretch: Stretch) {
        self.level.raise(stretch.from, stretch.until, 1);
        self.look_again(stretch);
    }

    /// Takes back what [`Barred::raise`] barred.
    pub(super) fn lower(&mut self, stretch: Stretch) {
        self.level.lower(stretch.from, stretch.until, 1);
        self.look_again(stretch);
    }

    fn look_again(&mut self, stretch: Stretch) {
        let level = &self.level;
        self.left.set_words(stretch, |word| level.zero_minutes(word));
    }

    /// The minutes left for dust.
    pub(super) fn left(&self) -> &Minutes {
        &self.left
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_is_what_nothing_bars() {
        const LIMIT: usize = 640;
        let mut barred = Barred::new(LIMIT);
        barred.raise(Stretch { from: 0, until: 70 });
        barred.keep_as_base();
        let mut plain = [0_u32; LIMIT];
        plain[..70].fill(1);
        let mut held: Vec<Stretch> = Vec::new();
        let mut seed = 7_u32;
        let mut roll = |n: u32| {
            seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (seed >> 8) % n
        };
        for _ in 0..1000 {
            let (stretch, up) = if roll(5) > 1 && !held.is_empty() {
                (held.swap_remove(roll(held.len() as u32) as usize), false)
            } else {
                let from = roll(LIMIT as u32 - 1);
                let until = from + 1 + roll(200.min(LIMIT as u32 - from - 1).max(1));
                (Stretch { from, until }, true)
            };
            for level in &mut plain[stretch.from as usize..stretch.until as usize] {
                *level = if up { *level + 1 } else { *level - 1 };
            }
            if up {
                barred.raise(stretch);
                held.push(stretch);
            } else {
                barred.lower(stretch);
            }
            let (at, length) = (roll(LIMIT as u32), 1 + roll(90));
            let is_left = |from: u32| {
                plain[from as usize..(from + length) as usize]
                    .iter()
                    .all(|level| *level == 0)
            };
            let expected = (at..LIMIT as u32).find(|&from| from + length <= LIMIT as u32 && is_left(from));
            assert_eq!(barred.left().run_from(at, length), expected);
        }
        barred.restore();
        assert_eq!(barred.left().run_from(0, 570), Some(70));
    }
}
