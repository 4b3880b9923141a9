//! Work done again by need is done just before it is needed, so that it is not stale once more.
//!
//! Invariant: only tasks that a window calls for move, only later, and never past what they are needed for.

use super::cause::Skip;
use super::layout::Layout;
use super::network::{Network, TaskId, Tick};
use super::reason::Infeasible;
use super::shop::Shop;
use super::solution::Solution;

/// How finely a later start is looked for.
const STEP: Tick = 7;
/// How far back from the latest start to look.
const MOST_STEPS: u32 = 3_000;

/// A plan with what its windows call for put off to just before it is needed, and what nothing calls for any
/// more left out.
pub fn put_off(network: &Network, solution: &Solution) -> Result<Solution, Infeasible> {
    let layout = Layout::of(network)?;
    let mut shop = Shop::new(&layout);
    shop.load(&solution.starts, &solution.workers, &solution.pools);
    shop.put_off();
    let score = shop.score();
    Ok(shop.solution(score, solution.bound, solution.tries))
}

impl Shop<'_, '_> {
    /// Puts off what windows call for to as late as it may be.
    fn put_off(&mut self) {
        self.leave_out_needless();
        let mut called: Vec<(Tick, TaskId, Tick)> = Vec::new();
        for window in &self.layout.network.windows {
            if !self.is_placed(window.after) {
                continue;
            }
            let needed = self.start[window.after as usize];
            for via in window.spans.iter().filter_map(|span| span.via) {
                if self.is_placed(via) && !self.layout.is_fixed(via) {
                    called.push((self.start[via as usize], via, needed));
                }
            }
        }
        called.sort_unstable_by(|one, other| other.cmp(one));
        called.dedup_by_key(|one| one.1);
        for (start, via, needed) in called {
            self.put_one_off(via, start, needed);
        }
    }

    /// Optional tasks that nothing calls for any more, since what they served has moved, are left out.
    fn leave_out_needless(&mut self) {
        for task in 0..self.start.len() as TaskId {
            let by_need = self.layout.is_optional(task) && self.is_placed(task) && !self.layout.is_fixed(task);
            if by_need && !self.is_called_for(task) {
                self.unplace(task);
            }
        }
    }

    fn put_one_off(&mut self, via: TaskId, start: Tick, needed: Tick) {
        let workers = self.workers[via as usize];
        let Some(latest) = needed.checked_sub(self.layout.minutes(via)) else {
            return;
        };
        self.unplace(via);
        let mut at = latest;
        for _ in 0..MOST_STEPS {
            if at <= start {
                break;
            }
            // a start found further on than asked for would have been found before
            if let Ok((found, who)) = self.earliest_by(via, at, latest, Skip::NOTHING)
                && self.ready_at(via, Skip::NOTHING).is_ok_and(|ready| ready <= found)
                && self.sound_without(via, start, (found, who), Skip::NOTHING)
            {
                self.place(via, found, who);
                return;
            }
            at = at.saturating_sub(STEP);
        }
        self.place(via, start, workers);
    }
}
