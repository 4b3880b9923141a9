//! What up to four pools have left in every minute.
//!
//! Invariant: the top bit of each lane of a minute is set, and stays so while nothing is borrowed from it; nobody takes
//! what is not there.
//!
//! A minute is one word with a lane for each pool, so that one subtraction asks all pools at once, and thirty-two
//! minutes are asked together without a branch: which of them are short, and where among them enough follow each other.

/// Pools a word has room for.
pub(super) const LANES: usize = 4;

/// What a task asks of each pool.
pub(super) type Asks = [u32; LANES];

/// Minutes looked at together.
const TOGETHER: usize = 32;

/// A minute's bit among those looked at together.
const BIT: [u32; TOGETHER] = {
    let mut bits = [0; TOGETHER];
    let mut at = 0;
    while at < TOGETHER {
        bits[at] = 1 << at;
        at += 1;
    }
    bits
};

/// Halvings after which a run of all of them is one.
const HALVINGS: usize = 5;

/// Minutes taken together.
const AT_ONCE: usize = 16;

/// A word with a lane for each pool.
pub(super) trait Word: Copy + Default + Eq + std::fmt::Debug {
    /// Most a lane counts.
    const MOST: u32;
    /// So much in each lane, with the top bits set.
    fn whole(capacity: Asks) -> Self;
    /// So much in each lane.
    fn of(asks: Asks) -> Self;
    /// Whether some lane has less than is asked.
    fn is_short(self, asks: Self) -> bool;
    /// What is left when so much is taken.
    #[must_use]
    fn without(self, asks: Self) -> Self;
}

macro_rules! word {
    ($word:ty, $bits:expr, $tops:expr) => {
        impl Word for $word {
            const MOST: u32 = (1 << ($bits - 1)) - 1;

            fn whole(capacity: Asks) -> Self {
                Self::of(capacity) | $tops
            }

            fn of(asks: Asks) -> Self {
                let lanes = asks.into_iter().enumerate();
                lanes.fold(0, |word, (lane, ask)| word | Self::from(ask) << ($bits * lane))
            }

            fn is_short(self, asks: Self) -> bool {
                self.wrapping_sub(asks) & $tops != $tops
            }

            fn without(self, asks: Self) -> Self {
                self.wrapping_sub(asks)
            }
        }
    };
}
word!(u32, 8, 0x8080_8080);
word!(u64, 16, 0x8000_8000_8000_8000);

/// What is left.
#[derive(Debug)]
pub(super) struct Left<W> {
    whole: W,
    minutes: Vec<W>,
    /// Minutes up to which something may have been taken.
    used: usize,
}

/// A stretch a task asks for.
#[derive(Debug)]
pub(super) struct Wanted<W> {
    asks: W,
    /// A short stretch with nothing after it.
    stretch: [W; AT_ONCE],
    /// Minutes, at least one.
    length: usize,
    /// How far each halving shifts a word of minutes, so that only the first minutes of long enough runs are left.
    shifts: [u8; HALVINGS],
}

impl<W: Word> Wanted<W> {
    pub(super) fn new(asks: Asks, length: usize) -> Self {
        let mut shifts = [0; HALVINGS];
        let mut known = 1;
        for shift in &mut shifts {
            let step = known.min(length.saturating_sub(known));
            *shift = step as u8;
            known += step;
        }
        let asks = W::of(asks);
        let mut stretch = [W::default(); AT_ONCE];
        let minutes = stretch.iter_mut().take(length);
        minutes.for_each(|minute| *minute = asks);
        Self {
            asks,
            stretch,
            length,
            shifts,
        }
    }

    /// Which of the minutes looked at together have less than is asked.
    fn short(&self, minutes: &[W; TOGETHER]) -> u32 {
        let mut short = 0;
        for (left, bit) in minutes.iter().zip(BIT) {
            short |= if left.is_short(self.asks) { bit } else { 0 };
        }
        short
    }
}

impl<W: Word> Left<W> {
    /// So much of each pool for so many minutes.
    pub(super) fn new(capacity: Asks, minutes: usize) -> Self {
        let whole = W::whole(capacity);
        Self {
            whole,
            minutes: vec![whole; minutes + TOGETHER],
            used: 0,
        }
    }

    /// Gives everything back.
    pub(super) fn restore(&mut self) {
        self.minutes[..self.used].fill(self.whole);
        self.used = 0;
    }

    /// Takes the first stretch there is from a minute on, and says where it begins.
    pub(super) fn take(&mut self, wanted: &Wanted<W>, from: usize) -> usize {
        let at = if wanted.length <= AT_ONCE {
            self.first(wanted, from)
        } else {
            self.first_long(wanted, from)
        };
        let until = at + wanted.length;
        self.used = self.used.max(until);
        if wanted.length > AT_ONCE {
            let minutes = self.minutes[at..until].iter_mut();
            minutes.for_each(|left| *left = left.without(wanted.asks));
            return at;
        }
        if let Some(minutes) = self.minutes[at..].first_chunk_mut::<AT_ONCE>() {
            for (left, asks) in minutes.iter_mut().zip(wanted.stretch) {
                *left = left.without(asks);
            }
        }
        at
    }

    fn first(&self, wanted: &Wanted<W>, from: usize) -> usize {
        let mut at = from;
        while at < self.used {
            let Some(minutes) = self.minutes[at..].first_chunk() else {
                break;
            };
            let short = wanted.short(minutes);
            let runs = wanted.shifts.iter().fold(!short, |runs, shift| runs & (runs >> shift));
            if runs != 0 {
                return at + runs.trailing_zeros() as usize;
            }
            at += TOGETHER - short.leading_zeros() as usize;
        }
        at
    }

    /// The same for long stretches.
    fn first_long(&self, wanted: &Wanted<W>, from: usize) -> usize {
        let mut at = from;
        loop {
            // the last minute without room tells where to go on
            let stretch = self.minutes.get(at..at + wanted.length).unwrap_or_default();
            match stretch.iter().rposition(|left| left.is_short(wanted.asks)) {
                Some(short) => at += short + 1,
                None => return at,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::dice::Dice;
    use super::*;

    /// The first stretch, minute by minute.
    fn slow(left: &[Asks], asks: Asks, from: usize, length: usize) -> usize {
        let has = |minute: usize| {
            let left = left.get(minute);
            left.is_none_or(|left| left.iter().zip(asks).all(|(left, ask)| *left >= ask))
        };
        (from..20_000)
            .find(|&at| (at..at + length).all(has))
            .unwrap_or(usize::MAX)
    }

    fn agrees<W: Word>(most: usize) {
        let mut dice = Dice::new(7, 0);
        for _ in 0..200 {
            let capacity: Asks = std::array::from_fn(|_| dice.below(most + 1) as u32);
            let mut left = Left::<W>::new(capacity, 5_000);
            for long in [10, 60] {
                let mut each = vec![capacity; 5_000];
                for _ in 0..40 {
                    let asks = capacity.map(|most| dice.below(most as usize + 1) as u32);
                    let (from, length) = (dice.below(300), 1 + dice.below(long));
                    let expected = slow(&each, asks, from, length);
                    let at = left.take(&Wanted::new(asks, length), from);
                    assert_eq!(at, expected, "{asks:?} from {from} for {length}");
                    for left in &mut each[at..at + length] {
                        for (left, ask) in left.iter_mut().zip(asks) {
                            *left -= ask;
                        }
                    }
                }
                left.restore();
            }
        }
    }

    #[test]
    fn agrees_with_a_look_at_every_minute() {
        agrees::<u32>(u32::MOST as usize);
        agrees::<u32>(20);
        agrees::<u64>(u64::MOST as usize);
    }
}
