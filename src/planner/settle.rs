//! Draws a finished plan together: each task to its earliest, until nothing moves.
//!
//! Invariant: the score never gets worse; every single move keeps every rule.

use super::cause::{Cause, Skip};
use super::network::{TaskId, Tick};
use super::score::Score;
use super::search::Placing;
use super::shop::Shop;

/// Rounds after which a plan is drawn together enough.
const MOST_ROUNDS: usize = 8;
/// Above this many tasks moves are judged all together, not one by one.
const ONE_BY_ONE: usize = 1500;

impl Shop<'_, '_> {
    /// Draws the plan in the shop together and gives its score.
    pub(super) fn settle(&mut self, score: Score) -> Score {
        let placing = self.snapshot();
        self.draw_in(None);
        let drawn = self.score();
        if drawn <= score {
            return drawn;
        }
        self.take_in(&placing);
        if placing.starts.len() > ONE_BY_ONE {
            return score;
        }
        self.draw_in(Some(score));
        self.score()
    }

    pub(super) fn snapshot(&self) -> Placing {
        let tasks = 0..self.start.len() as TaskId;
        let starts = tasks
            .map(|task| self.is_placed(task).then(|| self.start[task as usize]))
            .collect();
        Placing {
            starts,
            workers: self.workers.clone(),
            pools: self.held.iter().map(|held| held.pool).collect(),
        }
    }

    /// One task after the other to its earliest; with a score given, only where that does not get worse.
    fn draw_in(&mut self, mut keep: Option<Score>) {
        let mut order: Vec<TaskId> = (0..self.start.len() as TaskId)
            .filter(|&task| self.is_placed(task) && !self.layout.is_fixed(task))
            .collect();
        for _ in 0..MOST_ROUNDS {
            order.sort_by_key(|&task| (self.start[task as usize], task));
            let mut moved = false;
            for &task in &order {
                let old = (self.start[task as usize], self.workers[task as usize]);
                let Some(new) = self.earlier(task) else { continue };
                self.unplace(task);
                self.place(task, new.0, new.1);
                if let Some(best) = keep {
                    let score = self.score();
                    if score > best {
                        self.unplace(task);
                        self.place(task, old.0, old.1);
                        continue;
                    }
                    keep = Some(score);
                }
                moved = true;
            }
            if !moved {
                break;
            }
        }
    }

    /// An earlier start for one task with all else where it is.
    pub(super) fn earlier(&mut self, task: TaskId) -> Option<(Tick, u64)> {
        let old = (self.start[task as usize], self.workers[task as usize]);
        self.unplace(task);
        let found = self.earliest_now(task, old.0, Skip::NOTHING);
        self.place(task, old.0, old.1);
        found
    }

    /// The earliest start before `old` of a task just taken out, with some causes disregarded.
    pub(super) fn earliest_now(&mut self, task: TaskId, old: Tick, skip: Skip) -> Option<(Tick, u64)> {
        let ready = self.ready_at(task, skip).ok()?;
        if ready >= old {
            return None;
        }
        let (start, workers) = self.earliest_by(task, ready, old - 1, skip).ok()?;
        self.sound_without(task, old, (start, workers), skip)
            .then_some((start, workers))
    }

    /// Whether set-ups around the place a task has left still have their minutes, with the task where it
    /// would go.
    pub(super) fn sound_without(&mut self, task: TaskId, old: Tick, new: (Tick, u64), skip: Skip) -> bool {
        let network = self.layout.network;
        if skip.has(Cause::SetUp) || network.tasks[task as usize].family.is_none() {
            return true;
        }
        // other hands than there are would do it: then it is simply gone from these
        let (start, workers) = if skip.has(Cause::Hands) { (new.0, 0) } else { new };
        self.put_hands(task, start, workers);
        let sound = self.hands.iter().all(|hand| hand.sound_around(old, &network.families));
        self.take_hands(task, start, workers);
        sound
    }
}
