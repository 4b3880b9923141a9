//! A plan as the engine gives it.
//!
//! Invariant: `starts` and `workers` have one entry a task, `holds` and `pools` one a chain; everything else follows
//! from them.

use super::bound::Bound;
use super::layout::NOT_PLACED;
use super::network::{FamilyId, PoolId, Stretch, TaskId, Tick};
use super::score::{self, Score};
use super::shop::Shop;

/// A family opened or closed by a worker.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Setup {
    /// Which worker.
    pub worker: u8,
    /// Which family.
    pub family: FamilyId,
    /// Opened before its task (otherwise closed after it).
    pub opens: bool,
    /// When it begins.
    pub start: Tick,
    /// How long it takes.
    pub minutes: Tick,
    /// The task it stands before or after.
    pub task: TaskId,
}

/// A plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solution {
    /// Start of each task; `None` for an optional task that is not done.
    pub starts: Vec<Option<Tick>>,
    /// Who does it (bits).
    pub workers: Vec<u64>,
    /// Set-ups in order of time, then worker.
    pub setups: Vec<Setup>,
    /// The stretch for which each chain holds its place; `None` when it holds none.
    pub holds: Vec<Option<Stretch>>,
    /// The pool each chain takes its place from.
    pub pools: Vec<PoolId>,
    /// How good it is.
    pub score: Score,
    /// No plan can be ready before this.
    pub bound: Bound,
    /// How many orders were tried.
    pub tries: u64,
}

impl Shop<'_, '_> {
    fn setups(&self) -> Vec<Setup> {
        let families = &self.layout.network.families;
        let mut setups = Vec::new();
        for (worker, hand) in self.hands.iter().enumerate() {
            hand.setups(families, |slot, opens, start, minutes| {
                if let Some(family) = slot.family.filter(|_| minutes > 0) {
                    setups.push(Setup {
                        worker: worker as u8,
                        family,
                        opens,
                        start,
                        minutes,
                        task: slot.task,
                    });
                }
            });
        }
        setups.sort_by_key(|setup| (setup.start, setup.worker, setup.opens));
        setups
    }

    /// The score of the shop as filled.
    pub(super) fn score(&self) -> Score {
        let families = &self.layout.network.families;
        let (mut minutes, mut visits) = (0, 0);
        for hand in &self.hands {
            hand.setups(families, |_, _, _, length| minutes += u64::from(length));
            visits += hand.visits();
        }
        score::score(
            self.layout.network,
            |task| self.is_placed(task).then(|| self.start[task as usize]),
            minutes,
            visits,
        )
    }

    /// The sum of squared starts. Of two plans that are ready at the same time the search goes on from the
    /// one whose work is done sooner all over, for there a day falls free first; squared, because what lies
    /// late counts most.
    pub(super) fn pace(&self) -> u64 {
        let placed = self.start.iter().filter(|&&start| start != NOT_PLACED);
        placed
            .map(|&start| u64::from(start) * u64::from(start))
            .fold(0, u64::saturating_add)
    }

    /// The shop as filled, as a plan.
    pub(super) fn solution(&self, score: Score, bound: Bound, tries: u64) -> Solution {
        let tasks = 0..self.start.len() as TaskId;
        Solution {
            starts: tasks
                .map(|task| self.is_placed(task).then(|| self.start[task as usize]))
                .collect(),
            workers: self.workers.clone(),
            setups: self.setups(),
            holds: self.held.iter().map(|held| held.stretch).collect(),
            pools: self.held.iter().map(|held| held.pool).collect(),
            score,
            bound,
            tries,
        }
    }
}
