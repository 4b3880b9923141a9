//! Checks a plan against the network, from the definitions alone.
//!
//! Invariant: shares no code with the search; every rule of the network has its own paragraph here and is
//! read off the starts and workers of the plan, slowly and plainly.

mod dust;
mod hands;
mod levels;

use super::breach::Breach;
use super::network::{Edge, Network, Stretch, Tail, TaskId, Tick};
use super::solution::{Setup, Solution};

/// Every rule of the network that the plan breaks.
pub fn verify(network: &Network, solution: &Solution) -> Vec<Breach> {
    let count = network.tasks.len();
    if solution.starts.len() != count
        || solution.workers.len() != count
        || solution.holds.len() != network.chains.len()
        || solution.pools.len() != network.chains.len()
    {
        return vec![Breach::Shape];
    }
    let mut plan = Plan {
        network,
        solution,
        breaches: Vec::new(),
    };
    plan.each_task();
    plan.waits();
    plan.windows();
    plan.tails();
    let setups = plan.hands();
    if setups != solution.setups {
        plan.breaches.push(Breach::WrongSetups);
    }
    plan.levels();
    plan.dust();
    plan.score(&setups);
    plan.breaches
}

struct Plan<'a> {
    network: &'a Network,
    solution: &'a Solution,
    breaches: Vec<Breach>,
}

impl Plan<'_> {
    fn start(&self, task: TaskId) -> Option<u64> {
        self.solution
            .starts
            .get(task as usize)
            .copied()
            .flatten()
            .map(u64::from)
    }

    fn minutes(&self, task: TaskId) -> u64 {
        self.network
            .tasks
            .get(task as usize)
            .map_or(0, |task| u64::from(task.minutes))
    }

    fn end(&self, task: TaskId) -> Option<u64> {
        Some(self.start(task)? + self.minutes(task))
    }

    fn is_fact(&self, task: TaskId) -> bool {
        self.network
            .tasks
            .get(task as usize)
            .is_some_and(|task| task.fixed.is_some())
    }

    /// When a tail begun at `at` is over.
    fn over(&self, tail: Tail, at: u64) -> Option<u64> {
        let clock = self.network.clocks.get(tail.clock as usize)?;
        clock.after(Tick::try_from(at).ok()?, tail.amount).map(u64::from)
    }

    fn edge(&self, edge: Edge, task: TaskId) -> Option<u64> {
        match edge {
            Edge::Start => self.start(task),
            Edge::End => self.end(task),
            Edge::After(tail) => self.over(tail, self.end(task)?),
            Edge::AfterStart(tail) => self.over(tail, self.start(task)?),
        }
    }

    fn done(&self) -> Vec<TaskId> {
        (0..self.network.tasks.len() as TaskId)
            .filter(|&task| self.start(task).is_some())
            .collect()
    }

    /// Done, facts, releases, allowed starts, horizon, the number of hands.
    fn each_task(&mut self) {
        let called_for = self.called_for();
        for (id, task) in self.network.tasks.iter().enumerate() {
            let id = id as TaskId;
            if let Some(fact) = task.fixed {
                let hands = self.solution.workers.get(id as usize).copied();
                if self.start(id) != Some(u64::from(fact.start)) || hands != Some(fact.workers) {
                    self.breaches.push(Breach::FactMoved(id));
                }
                continue;
            }
            let Some(start) = self.start(id) else {
                if !task.optional {
                    self.breaches.push(Breach::NotDone(id));
                }
                continue;
            };
            if start < u64::from(task.release) {
                self.breaches.push(Breach::BeforeRelease(id));
            }
            if start >= u64::from(self.network.horizon) {
                self.breaches.push(Breach::AfterHorizon(id));
            }
            let set = task.starts.and_then(|set| self.network.start_sets.get(set as usize));
            if set.is_some_and(|set| !set.iter().any(|stretch| holds(*stretch, start))) {
                self.breaches.push(Breach::OutsideStarts(id));
            }
            let hands = self.solution.workers.get(id as usize).copied().unwrap_or(0);
            let needed = if task.minutes == 0 {
                0
            } else {
                u32::from(task.crew.count)
            };
            if hands.count_ones() != needed || hands & !task.crew.among != 0 {
                self.breaches.push(Breach::WrongHands(id));
            }
            if task.optional && !called_for[id as usize] {
                self.breaches.push(Breach::Needless(id));
            }
        }
    }

    /// The optional tasks some window calls for.
    fn called_for(&self) -> Vec<bool> {
        let mut called = vec![false; self.network.tasks.len()];
        for window in &self.network.windows {
            let Some((end, start)) = self.end(window.before).zip(self.start(window.after)) else {
                continue;
            };
            let inside = |span: &&super::network::WindowSpan| {
                self.over(span.opens, end).is_some_and(|open| open <= start)
                    && span
                        .closes
                        .and_then(|closes| self.over(closes, end))
                        .is_none_or(|close| start < close)
            };
            let held: Vec<_> = window.spans.iter().filter(inside).collect();
            if held.iter().all(|span| span.via.is_some()) {
                for via in held.iter().filter_map(|span| span.via) {
                    if let Some(called) = called.get_mut(via as usize) {
                        *called = true;
                    }
                }
            }
        }
        called
    }

    fn waits(&mut self) {
        for wait in &self.network.waits {
            if self.is_fact(wait.after) {
                continue;
            }
            let base = if wait.from_start {
                self.start(wait.before)
            } else {
                self.end(wait.before)
            };
            let Some((base, start)) = base.zip(self.start(wait.after)) else {
                continue;
            };
            if self.over(wait.min, base).is_none_or(|least| start < least) {
                self.breaches.push(Breach::TooSoon {
                    before: wait.before,
                    after: wait.after,
                });
            }
            if let Some(max) = wait.max
                && self.over(max, base).is_some_and(|most| start > most)
            {
                self.breaches.push(Breach::TooLate {
                    before: wait.before,
                    after: wait.after,
                });
            }
        }
    }

    fn windows(&mut self) {
        for window in &self.network.windows {
            if self.is_fact(window.after) {
                continue;
            }
            let Some((end, start)) = self.end(window.before).zip(self.start(window.after)) else {
                continue;
            };
            let kept = window.spans.iter().any(|span| {
                let Some(open) = self.over(span.opens, end) else {
                    return false;
                };
                let closed = span
                    .closes
                    .and_then(|closes| self.over(closes, end))
                    .is_some_and(|close| start >= close);
                let prepared = span.via.is_none_or(|via| {
                    self.start(via)
                        .zip(self.end(via))
                        .is_some_and(|(from, until)| from >= open && until <= start)
                });
                start >= open && !closed && prepared
            });
            if !kept {
                self.breaches.push(Breach::OutsideWindow {
                    before: window.before,
                    after: window.after,
                });
            }
        }
    }

    /// Wet, held and wanted tails must all be over some time.
    fn tails(&mut self) {
        let mut never: Vec<TaskId> = Vec::new();
        for (id, task) in self.network.tasks.iter().enumerate() {
            let id = id as TaskId;
            let Some(end) = self.end(id) else { continue };
            let wet = task.wet.is_some_and(|wet| self.over(wet, end).is_none());
            let edges = task.demands.iter().flat_map(|demand| [demand.from, demand.until]);
            if wet || edges.into_iter().any(|edge| self.edge(edge, id).is_none()) {
                never.push(id);
            }
        }
        let last = self.network.chains.iter().flat_map(|chain| &chain.last);
        for &(task, tail) in last.chain(self.network.goals.iter().flat_map(|goal| &goal.tasks)) {
            if self.end(task).is_some_and(|end| self.over(tail, end).is_none()) {
                never.push(task);
            }
        }
        never.sort_unstable();
        never.dedup();
        never.retain(|&task| !self.is_fact(task));
        self.breaches.extend(never.into_iter().map(Breach::NeverOver));
    }

    fn score(&mut self, setups: &[Setup]) {
        let mut late = 0_u64;
        let mut early = 0_u64;
        let mut ready = 0_u64;
        for goal in &self.network.goals {
            let at = goal.tasks.iter().filter_map(|&(task, tail)| {
                self.end(task)
                    .map(|end| self.over(tail, end).unwrap_or(u64::from(Tick::MAX)))
            });
            let at = at.max().unwrap_or(0);
            let weight = u64::from(goal.weight);
            ready = ready.max(at);
            early = early.saturating_add(weight * at);
            late = late.saturating_add(goal.due.map_or(0, |due| weight * at.saturating_sub(u64::from(due))));
        }
        let score = self.solution.score;
        let setup: u64 = setups.iter().map(|setup| u64::from(setup.minutes)).sum();
        let end = self
            .done()
            .into_iter()
            .filter_map(|task| self.end(task))
            .max()
            .unwrap_or(0);
        let ends = |pair: &super::network::Pair| Some(self.end(pair.one)?.abs_diff(self.end(pair.other)?));
        let apart: u64 = self.network.pairs.iter().filter_map(ends).sum();
        let given = (score.late, score.ready, score.early, score.apart, score.end);
        if given != (late, ready, early, apart, end) || score.effort < setup {
            self.breaches.push(Breach::WrongScore);
        }
    }
}

fn holds(stretch: Stretch, at: u64) -> bool {
    u64::from(stretch.from) <= at && at < u64::from(stretch.until)
}

fn stretch(from: u64, until: u64) -> Stretch {
    let tick = |at: u64| Tick::try_from(at).unwrap_or(Tick::MAX);
    Stretch {
        from: tick(from),
        until: tick(until),
    }
}
