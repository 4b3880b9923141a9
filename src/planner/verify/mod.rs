//! Checks a plan against the network, from the definitions alone.
//!
//! Invariant: shares no code with the search; every rule of the network has its own paragraph here and is
//! read off the starts and workers of the plan, slowly and plainly.

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

/// Something used over a stretch: by whom, how much.
type Use = (Stretch, u64, Option<TaskId>);

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

    /// Shifts, one task at a time, set-ups; gives the set-ups called for.
    fn hands(&mut self) -> Vec<Setup> {
        let mut setups = Vec::new();
        for worker in 0..self.network.workers.len() {
            let mut tasks: Vec<(u64, u64, TaskId)> = Vec::new();
            for task in self.done() {
                let has = self
                    .solution
                    .workers
                    .get(task as usize)
                    .is_some_and(|hands| hands >> worker & 1 == 1);
                if has && self.minutes(task) > 0 {
                    let start = self.start(task).unwrap_or(0);
                    tasks.push((start, start + self.minutes(task), task));
                }
            }
            tasks.sort_unstable();
            self.one_worker(worker, &tasks, &mut setups);
        }
        setups.sort_by_key(|setup| (setup.start, setup.worker, setup.opens));
        setups
    }

    fn one_worker(&mut self, worker: usize, tasks: &[(u64, u64, TaskId)], setups: &mut Vec<Setup>) {
        let id = worker as u8;
        for &(from, until, task) in tasks {
            if !self.is_fact(task) && !self.in_one_shift(worker, from, until) {
                self.breaches.push(Breach::OutsideShift { task, worker: id });
            }
        }
        for (index, &(_, until, one)) in tasks.iter().enumerate() {
            for &(from, _, other) in &tasks[index + 1..] {
                if from >= until {
                    break;
                }
                if !(self.is_fact(one) && self.is_fact(other)) {
                    self.breaches.push(Breach::TwoAtOnce { one, other, worker: id });
                }
            }
        }
        let family = |task: TaskId| self.network.tasks.get(task as usize).and_then(|task| task.family);
        let sequence: Vec<_> = tasks.iter().filter(|one| family(one.2).is_some()).copied().collect();
        let mut due: Vec<(u64, u64, TaskId, bool)> = Vec::new();
        for (index, &(from, until, task)) in sequence.iter().enumerate() {
            let Some(own) = family(task).and_then(|own| self.network.families.get(own as usize)) else {
                continue;
            };
            let before = index.checked_sub(1).and_then(|at| sequence.get(at));
            let opened = match before {
                None => !self.is_fact(task),
                Some(before) => self.is_parted(*before, (from, until, task)),
            };
            if opened && own.open > 0 {
                due.push((from.saturating_sub(u64::from(own.open)), from, task, true));
                if from < u64::from(own.open) && !self.is_fact(task) {
                    self.breaches.push(Breach::NotOpened { task, worker: id });
                }
            }
            let closed = sequence
                .get(index + 1)
                .is_none_or(|&next| self.is_parted((from, until, task), next));
            if closed && own.close > 0 {
                due.push((until, until + u64::from(own.close), task, false));
            }
        }
        let longest = tasks.iter().map(|one| one.1 - one.0).max().unwrap_or(0);
        let longest_due = due.iter().map(|one| one.1 - one.0).max().unwrap_or(0);
        let mut by_start: Vec<usize> = (0..due.len()).collect();
        by_start.sort_by_key(|&at| due[at].0);
        for (index, &(from, until, task, opens)) in due.iter().enumerate() {
            let mut room = self.is_fact(task)
                || if opens {
                    self.in_one_shift(worker, from, until + self.minutes(task))
                } else {
                    self.in_one_shift(worker, from - self.minutes(task), until)
                };
            // sorted by start: none that begins later meets it, nor any that began longer ago than the longest lasts
            let first = tasks.partition_point(|one| one.0 + longest <= from);
            let near = tasks[first..].iter().take_while(|one| one.0 < until);
            room &= near.into_iter().all(|&(begin, end, other)| {
                other == task || end <= from || begin >= until || (self.is_fact(task) && self.is_fact(other))
            });
            let first = by_start.partition_point(|&at| due[at].0 + longest_due <= from);
            let near = by_start[first..].iter().take_while(|&&at| due[at].0 < until);
            room &= near.into_iter().filter(|&&at| at > index).all(|&at| {
                let (begin, end, other, _) = due[at];
                end <= from || begin >= until || (self.is_fact(task) && self.is_fact(other))
            });
            if !room {
                let breach = if opens {
                    Breach::NotOpened { task, worker: id }
                } else {
                    Breach::NotClosed { task, worker: id }
                };
                self.breaches.push(breach);
            }
            if let Some(family) = family(task).filter(|_| until > from) {
                setups.push(Setup {
                    worker: id,
                    family,
                    opens,
                    start: from as Tick,
                    minutes: (until - from) as Tick,
                    task,
                });
            }
        }
    }

    fn in_one_shift(&self, worker: usize, from: u64, until: u64) -> bool {
        self.network.workers.get(worker).is_some_and(|worker| {
            worker
                .shifts
                .iter()
                .any(|shift| u64::from(shift.from) <= from && until <= u64::from(shift.until))
        })
    }

    /// Whether the first family is closed and the second opened between two tasks of a worker.
    fn is_parted(&self, one: (u64, u64, TaskId), other: (u64, u64, TaskId)) -> bool {
        if self.is_fact(one.2) && self.is_fact(other.2) {
            return false;
        }
        let of = |task: TaskId| self.network.tasks.get(task as usize).and_then(|task| task.family);
        let keeps = of(one.2)
            .and_then(|id| self.network.families.get(id as usize))
            .map_or(0, |family| family.keeps);
        of(one.2) != of(other.2) || other.0.saturating_sub(one.1) > u64::from(keeps)
    }

    /// Pools, chains and budgets.
    fn levels(&mut self) {
        for (pool, uses) in self.uses_of_pools().iter().enumerate() {
            let capacity = u64::from(self.network.pools[pool].capacity);
            if let Some((at, tasks)) = self.first_over(uses, capacity) {
                self.breaches.push(Breach::PoolOver {
                    pool: pool as u32,
                    at,
                    tasks,
                });
            }
        }
        for (index, chain) in self.network.chains.iter().enumerate() {
            let taken = self.solution.pools.get(index);
            if taken != Some(&chain.pool) && taken.is_none_or(|taken| !chain.or.contains(taken)) {
                self.breaches.push(Breach::WrongPool {
                    chain: index as u32,
                    first: chain.first,
                });
            }
            if self.solution.holds.get(index).copied().flatten() != self.chain_hold(index) {
                self.breaches.push(Breach::WrongHold {
                    chain: index as u32,
                    first: chain.first,
                });
            }
        }
        for (budget, &capacity) in self.network.budgets.iter().enumerate() {
            let mut uses: Vec<Use> = Vec::new();
            for id in self.done() {
                let start = self.start(id).unwrap_or(0);
                for &(of, amount, ticks) in &self.network.tasks[id as usize].draws {
                    if of as usize == budget {
                        uses.push((stretch(start, start + u64::from(ticks)), u64::from(amount), Some(id)));
                    }
                }
            }
            if let Some((at, tasks)) = self.first_over(&uses, u64::from(capacity)) {
                self.breaches.push(Breach::BudgetOver {
                    budget: budget as u32,
                    at,
                    tasks,
                });
            }
        }
    }

    /// What is used of each pool.
    fn uses_of_pools(&self) -> Vec<Vec<Use>> {
        let taken = |&(stretch, amount): &(Stretch, u32)| (stretch, u64::from(amount), None);
        let pools = self.network.pools.iter();
        let mut uses: Vec<Vec<Use>> = pools.map(|pool| pool.taken.iter().map(taken).collect()).collect();
        for id in self.done() {
            for demand in &self.network.tasks[id as usize].demands {
                let from = self.edge(demand.from, id).unwrap_or(u64::from(Tick::MAX));
                let until = self.edge(demand.until, id).unwrap_or(u64::from(Tick::MAX));
                if let Some(uses) = uses.get_mut(demand.pool as usize) {
                    uses.push((stretch(from, until), u64::from(demand.amount), Some(id)));
                }
            }
        }
        for (index, chain) in self.network.chains.iter().enumerate() {
            let pool = self.solution.pools.get(index);
            if let Some(held) = self.chain_hold(index)
                && let Some(uses) = pool.and_then(|&pool| uses.get_mut(pool as usize))
            {
                uses.push((held, u64::from(chain.amount), Some(chain.first)));
            }
        }
        uses
    }

    fn chain_hold(&self, chain: usize) -> Option<Stretch> {
        let chain = self.network.chains.get(chain)?;
        let from = self.start(chain.first)?;
        let over = chain.last.iter().filter_map(|&(task, tail)| {
            self.end(task)
                .map(|end| self.over(tail, end).unwrap_or(u64::from(Tick::MAX)))
        });
        let until = over.max()?;
        (from < until).then(|| stretch(from, until))
    }

    /// The first tick at which more is used than there is and it is not facts alone.
    fn first_over(&self, uses: &[Use], capacity: u64) -> Option<(Tick, Vec<TaskId>)> {
        let mut uses: Vec<&Use> = uses
            .iter()
            .filter(|one| one.0.from < one.0.until && one.1 > 0)
            .collect();
        uses.sort_by_key(|one| one.0.from);
        let mut running: Vec<&Use> = Vec::new();
        let mut next = 0;
        while next < uses.len() {
            let at = uses[next].0.from;
            running.retain(|one| one.0.until > at);
            while next < uses.len() && uses[next].0.from == at {
                running.push(uses[next]);
                next += 1;
            }
            let level: u64 = running.iter().map(|one| one.1).sum();
            let tasks: Vec<TaskId> = running.iter().filter_map(|one| one.2).collect();
            if level > capacity && tasks.iter().any(|&task| !self.is_fact(task)) {
                return Some((at, tasks));
            }
        }
        None
    }

    fn dust(&mut self) {
        let Some(apart) = self.network.apart else { return };
        let settle = u64::from(apart.settle);
        let done = self.done();
        let dusty: Vec<TaskId> = done
            .iter()
            .copied()
            .filter(|&task| self.network.tasks[task as usize].dusty && self.minutes(task) > 0)
            .collect();
        let mut wet: Vec<(TaskId, u64, u64)> = done
            .iter()
            .filter_map(|&task| {
                let tail = self.network.tasks[task as usize].wet?;
                let end = self.end(task)?;
                Some((task, self.start(task)?, self.over(tail, end).unwrap_or(u64::MAX)))
            })
            .collect();
        wet.sort_by_key(|one| one.1);
        // the latest end of all that begin up to each: once it lies before a task, none of those can meet it
        let mut latest = 0;
        let over_by: Vec<u64> = wet
            .iter()
            .map(|one| {
                latest = one.2.max(latest);
                latest
            })
            .collect();
        for &dry in &dusty {
            let (from, until) = (self.start(dry).unwrap_or(0), self.end(dry).unwrap_or(0));
            let first = over_by.partition_point(|&over| over <= from);
            // what begins after the dust may begin too soon after it, however short it is
            let first = first.min(wet.partition_point(|one| one.1 < until));
            let near = wet[first..].iter().take_while(|one| one.1 < until + settle);
            for &(task, begin, over) in near {
                if task == dry || (self.is_fact(dry) && self.is_fact(task)) {
                    continue;
                }
                if begin < over && from < over && begin < until {
                    self.breaches.push(Breach::DustOnWet {
                        dusty: dry,
                        wet: Some(task),
                    });
                }
                if begin >= until && begin < until + settle {
                    self.breaches.push(Breach::Unsettled {
                        dusty: Some(dry),
                        wet: task,
                    });
                }
            }
            let before = self.network.wet_already.iter();
            if !self.is_fact(dry)
                && before.into_iter().any(|stretch| {
                    stretch.from < stretch.until && from < u64::from(stretch.until) && u64::from(stretch.from) < until
                })
            {
                self.breaches.push(Breach::DustOnWet { dusty: dry, wet: None });
            }
        }
        if self.network.dust_until > 0 {
            for &(task, begin, _) in &wet {
                if !self.is_fact(task) && begin < u64::from(self.network.dust_until) + settle {
                    self.breaches.push(Breach::Unsettled { dusty: None, wet: task });
                }
            }
        }
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
