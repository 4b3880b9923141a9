//! The turns of the last order filled in, so that the next one need not place again what both begin with.
//!
//! Invariant: while turns are played again the shop stands as it stood after the last of them, so far as the queue
//! asks of it; the turns kept are those of the tasks the shop holds.

use super::layout::Layout;
use super::network::PoolId;

/// Pools are not followed where there are more of them: keeping their levels would cost more than placing again.
const MOST_POOLS: usize = 32;
/// The row of a turn after which nothing waited aside.
const NO_ROW: u32 = u32::MAX;

/// One unit's turn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn {
    pub(super) unit: u32,
    /// The pool it found full; `None` where it went in.
    pub(super) full: Option<PoolId>,
    /// Tasks in before it.
    pub(super) before: u32,
    /// Levels of the followed pools after it.
    row: u32,
}

/// The turns of an order.
#[derive(Debug)]
pub(super) struct Played {
    turns: Vec<Turn>,
    /// Tasks in after the last turn.
    pub(super) tasks: usize,
    /// Which turn comes next.
    at: usize,
    /// Turns are played again, none has been cut off.
    again: bool,
    /// Place of each followed pool in a row.
    place: Vec<usize>,
    followed: Vec<usize>,
    /// Levels at the end of time of all followed pools, row by row.
    levels: Vec<u32>,
    /// The row after the last turn.
    row: u32,
    /// The turns say all that has happened.
    whole: bool,
    /// Which filling of the shop these are the turns of.
    filling: u64,
    #[cfg(test)]
    stood: usize,
}

impl Played {
    /// None yet.
    pub(super) fn new(layout: &Layout) -> Self {
        let mut followed: Vec<usize> = layout.chain_pools.iter().flatten().map(|&pool| pool as usize).collect();
        followed.sort_unstable();
        followed.dedup();
        if followed.len() > MOST_POOLS {
            followed.clear();
        }
        let mut place = vec![usize::MAX; layout.network.pools.len()];
        for (at, &pool) in followed.iter().enumerate() {
            place[pool] = at;
        }
        Self {
            turns: Vec::new(),
            tasks: 0,
            at: 0,
            again: false,
            place,
            followed,
            levels: Vec::new(),
            row: NO_ROW,
            whole: false,
            filling: 0,
            #[cfg(test)]
            stood: 0,
        }
    }

    /// Begins an order in a shop in its so many-th filling. Whether the turns of the last order are played again.
    pub(super) fn begin(&mut self, filling: u64) -> bool {
        self.again = self.whole && self.filling == filling && !self.turns.is_empty();
        self.at = 0;
        self.row = NO_ROW;
        self.again
    }

    /// Begins an order in a shop just emptied.
    pub(super) fn begin_anew(&mut self, filling: u64) {
        self.turns.clear();
        self.levels.clear();
        self.tasks = 0;
        (self.at, self.again, self.row) = (0, false, NO_ROW);
        (self.whole, self.filling) = (true, filling);
    }

    /// The turns from the next one on are another order's; the shop has been brought back to where they began.
    pub(super) fn cut(&mut self, filling: u64) {
        #[cfg(test)]
        {
            self.stood = self.at;
        }
        self.turns.truncate(self.at);
        let rows = self.turns.iter().rev().find(|turn| turn.row != NO_ROW);
        let kept = rows.map_or(0, |turn| turn.row as usize + 1);
        self.levels.truncate(kept * self.followed.len());
        self.again = false;
        self.filling = filling;
    }

    /// Turns that stood when the orders parted last.
    #[cfg(test)]
    pub(super) fn parted(&self) -> usize {
        self.stood
    }

    /// Whether turns are played again.
    pub(super) fn is_again(&self) -> bool {
        self.again
    }

    /// The turn that comes next in the last order.
    pub(super) fn next(&self) -> Option<Turn> {
        self.turns.get(self.at).copied()
    }

    /// That turn has been played again.
    pub(super) fn pass(&mut self) {
        if let Some(turn) = self.turns.get(self.at)
            && turn.full.is_none()
        {
            self.row = turn.row;
        }
        self.at += 1;
    }

    /// Writes a turn down, with `after` tasks in now.
    pub(super) fn write(&mut self, unit: u32, full: Option<PoolId>, before: usize, after: usize) {
        if full.is_some_and(|pool| self.place.get(pool as usize).is_none_or(|&place| place == usize::MAX)) {
            self.whole = false;
        }
        if !self.whole {
            return;
        }
        self.turns.push(Turn {
            unit,
            full,
            before: before as u32,
            row: NO_ROW,
        });
        self.tasks = after;
        self.at = self.turns.len();
    }

    /// Writes the levels after the last turn down.
    pub(super) fn write_levels(&mut self, level: impl Fn(usize) -> u32) {
        if !self.whole || self.again {
            return;
        }
        if let Some(turn) = self.turns.last_mut() {
            turn.row = (self.levels.len() / self.followed.len().max(1)) as u32;
            self.row = turn.row;
            self.levels.extend(self.followed.iter().map(|&pool| level(pool)));
        }
    }

    /// What has happened is more than turns can say.
    pub(super) fn lose(&mut self) {
        self.whole = false;
    }

    /// The level of a pool at the end of time after the last turn played again; `None` where it was not followed.
    pub(super) fn level(&self, pool: usize) -> Option<u32> {
        let place = *self.place.get(pool)?;
        let row = (self.row != NO_ROW).then_some(self.row as usize)?;
        (place < self.followed.len()).then(|| self.levels[row * self.followed.len() + place])
    }
}
