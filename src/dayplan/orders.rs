//! Orders for the planner to place by: the plan in hand with whole groups of work moved.
//!
//! Invariant: what moves is a section, a kind of piece or a campaign, never a single piece, so rounds stay
//! whole; the same seed gives the same orders.

use super::frame::Frame;
use crate::planner::{Network, Solution, TaskId};

/// The start of what is not done.
const NEVER: i64 = i64::MAX / 2;
/// Place of the section among a task's groups.
const SECTION: usize = 0;

/// A source of orders.
pub(super) struct Orders {
    /// By task: the groups it can move with (section, part, campaign).
    groups: Vec<[u64; 3]>,
    ranks: Vec<u64>,
    /// Whether a section may be brought before or behind all others.
    leaps: bool,
    state: u64,
}

impl Orders {
    pub fn new(frame: &Frame, network: &Network, seed: u64, leaps: bool) -> Self {
        let operations = frame.work.operations.iter();
        let groups = operations.map(|operation| {
            let piece = operation.piece.and_then(|piece| frame.job.pieces.get(piece));
            let section = piece.map_or(u64::MAX, |piece| piece.section as u64);
            let part = piece.map_or(u64::MAX, |piece| piece.part as u64);
            [section, part, operation.campaign]
        });
        Self {
            groups: groups.collect(),
            ranks: network.tasks.iter().map(|task| task.rank).collect(),
            leaps: leaps && frame.job.sections.len() > 1,
            state: seed,
        }
    }

    /// The next order to try.
    pub fn next(&mut self, best: &Solution) -> Vec<TaskId> {
        let mut keys: Vec<(i64, u64, TaskId)> = Vec::with_capacity(self.groups.len());
        for (task, &rank) in self.ranks.iter().enumerate() {
            let start = best.starts.get(task).copied().flatten().map_or(NEVER, i64::from);
            keys.push((start, rank, task as TaskId));
        }
        for _ in 0..=self.below(2) {
            self.shift(&mut keys);
        }
        // campaigns that begin within the same few hours go by rank, so that what was cut apart can join
        let hours = [1, 60, 360, 1440][self.below(4) as usize];
        keys.sort_by_key(|&(start, rank, task)| (start.div_euclid(hours), rank, start, task));
        keys.into_iter().map(|(_, _, task)| task).collect()
    }

    /// Moves one group by up to three days either way, or a section before or behind all others.
    fn shift(&mut self, keys: &mut [(i64, u64, TaskId)]) {
        let kind = self.below(3) as usize;
        let pick = self.below(self.groups.len().max(1) as u64) as usize;
        let Some(group) = self.groups.get(pick).map(|groups| groups[kind]) else {
            return;
        };
        let by = if kind == SECTION && self.leaps && self.below(2) == 0 {
            let starts = keys.iter().map(|key| key.0).filter(|start| *start < NEVER);
            let all = starts.max().unwrap_or(0);
            if self.below(2) == 0 { -all } else { all }
        } else {
            self.below(8_640) as i64 - 4_320
        };
        for (start, _, task) in keys.iter_mut() {
            if self
                .groups
                .get(*task as usize)
                .is_some_and(|groups| groups[kind] == group)
            {
                *start = start.saturating_add(by);
            }
        }
    }

    /// A number below `n`, by splitmix64 (Steele, Lea and Flood 2014).
    fn below(&mut self, n: u64) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (mixed ^ (mixed >> 31)) % n.max(1)
    }
}
