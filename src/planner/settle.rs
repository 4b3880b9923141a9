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

/// What has moved while a plan is drawn together: a task looked at before need not be looked at again where
/// nothing has left room before its end since.
struct Moves {
    /// For each move, from when on it can have left room.
    left: Vec<Tick>,
    /// How many moves there had been when a task was looked at last.
    seen: Vec<Option<usize>>,
}

impl Moves {
    fn new(tasks: usize) -> Self {
        Self {
            left: Vec::new(),
            seen: vec![None; tasks],
        }
    }

    /// Whether a task that ends at `end` is worth a look; it counts as looked at from now on.
    fn concern(&mut self, task: TaskId, end: Tick) -> bool {
        let seen = self.seen[task as usize].replace(self.left.len());
        let since = seen.and_then(|seen| self.left.get(seen..));
        since.is_none_or(|since| since.iter().any(|&from| from < end))
    }
}

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
        let mut noted = Moves::new(self.start.len());
        for _ in 0..MOST_ROUNDS {
            order.sort_by_key(|&task| (self.start[task as usize], task));
            let mut moved = false;
            for &task in &order {
                let old = (self.start[task as usize], self.workers[task as usize]);
                if !noted.concern(task, self.end(task)) || self.is_held(task, old) {
                    continue;
                }
                self.unplace(task);
                let found = self.earliest_now(task, old.0, Skip::NOTHING);
                let new = found.unwrap_or(old);
                self.place(task, new.0, new.1);
                if found.is_none() {
                    continue;
                }
                if let Some(best) = keep {
                    let score = self.score();
                    if score > best {
                        self.unplace(task);
                        self.place(task, old.0, old.1);
                        continue;
                    }
                    keep = Some(score);
                }
                self.note_move(&mut noted, task);
                moved = true;
            }
            if !moved {
                break;
            }
        }
    }

    /// Writes down that a task has moved, and what waits or windows tie to it.
    fn note_move(&self, moves: &mut Moves, task: TaskId) {
        let layout = self.layout;
        let settle = layout.network.apart.map_or(0, |apart| apart.settle);
        moves.left.push(self.start[task as usize].saturating_sub(settle));
        for &wait in layout.waits_into.of(task) {
            moves.seen[layout.network.waits[wait as usize].before as usize] = None;
        }
        for &window in layout.windows_into.of(task) {
            let window = &layout.network.windows[window as usize];
            let vias = window.spans.iter().filter_map(|span| span.via);
            for task in vias.chain([window.before]) {
                moves.seen[task as usize] = None;
            }
        }
    }

    /// Whether waits and windows from other tasks, or the hands, alone keep a placed task from starting before where
    /// it is. This is often so, and is seen without taking the task out of everything.
    fn is_held(&mut self, task: TaskId, (old, workers): (Tick, u64)) -> bool {
        let Ok(ready) = self.ready_at(task, Skip::NOTHING) else {
            return true;
        };
        if ready >= old {
            return true;
        }
        self.lay_out_windows(task, Skip::NOTHING);
        let Some(inside) = self.inside_windows(ready).filter(|&inside| inside < old) else {
            return true;
        };
        if self.layout.hands_needed(task) == 0 {
            return false;
        }
        self.take_hands(task, old, workers);
        let wet = self.layout.network.tasks[task as usize].wet.is_some();
        let only = self.left_for_dust(task, Skip::NOTHING).filter(|_| !wet);
        let found = self.hands_from(task, (inside, old - 1), only, Skip::NOTHING);
        self.put_hands(task, old, workers);
        found.is_none_or(|(start, _)| start >= old)
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
