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
