//! The network, checked and indexed for the engine.
//!
//! Invariant: every id in it is in range, every list is sorted, and `latest_start` is such that whatever
//! must be over after a task is over before its clock ends.

use super::check;
use super::lists::Lists;
use super::network::{Bundle, Clock, Edge, Network, PoolId, Tail, TaskId, Tick, Wait};
use super::openings::Openings;
use super::order::Graph;
use super::reason::{Infeasible, Reason};
use std::sync::OnceLock;

/// A mark for "not placed".
pub(super) const NOT_PLACED: Tick = Tick::MAX;
/// A mark for "no bundle" or "no family".
pub(super) const NONE: u32 = u32::MAX;
/// Longest waits of at least this many minutes are met by moving the earlier task; shorter ones by placing
/// the whole bundle at once.
const LOOSE_FROM: u64 = 240;

/// The indexed network.
#[derive(Debug)]
pub(super) struct Layout<'n> {
    pub(super) network: &'n Network,
    /// Minutes that profiles cover.
    pub(super) limit: usize,
    /// Waits (index) by their later task, by their earlier task.
    pub(super) waits_into: Lists<u32>,
    pub(super) waits_from: Lists<u32>,
    /// Windows (index) by their later task, by their earlier task.
    pub(super) windows_into: Lists<u32>,
    pub(super) windows_from: Lists<u32>,
    /// Windows in which an optional task can stand.
    pub(super) windows_via: Lists<u32>,
    /// Chains by first task; chains by the tasks that end them.
    pub(super) chains_begun: Lists<u32>,
    pub(super) chains_ended: Lists<(u32, Tail)>,
    /// By chain: the pools it may take its place from, in the order in which they are looked at.
    pub(super) chain_pools: Vec<Vec<PoolId>>,
    /// Bundle of a task, or [`NONE`].
    pub(super) bundle_of: Vec<u32>,
    /// Whether the bundle's longest waits are long (see [`LOOSE_FROM`]).
    pub(super) loose: Vec<bool>,
    /// Latest start that leaves everything after it time to be over.
    pub(super) latest_start: Vec<Option<Tick>>,
    /// When each task can start at all, once that is asked for.
    openings: OnceLock<Openings>,
    /// What must be over after a task before its goal is reached.
    goal_tails: Lists<Tail>,
    /// Whether a task asks twice for one pool (its own demands must then be added up).
    pub(super) asks_twice: Vec<bool>,
    /// Units placed together: bundles whole.
    pub(super) tight: Graph,
    /// Units with loose bundles taken apart; `None` when there are none.
    pub(super) apart: Option<Graph>,
}

impl<'n> Layout<'n> {
    /// Checks and indexes a network.
    pub(super) fn of(network: &'n Network) -> Result<Self, Infeasible> {
        check::network(network)?;
        let tasks = network.tasks.len();
        let by = |key: &dyn Fn(usize) -> TaskId, count: usize| {
            let pairs: Vec<(u32, u32)> = (0..count).map(|index| (key(index), index as u32)).collect();
            Lists::gather(tasks, &pairs)
        };
        let mut via_pairs = Vec::new();
        for (index, window) in network.windows.iter().enumerate() {
            via_pairs.extend(
                window
                    .spans
                    .iter()
                    .filter_map(|span| span.via)
                    .map(|via| (via, index as u32)),
            );
        }
        let mut ended = Vec::new();
        for (index, chain) in network.chains.iter().enumerate() {
            ended.extend(chain.last.iter().map(|&(task, tail)| (task, (index as u32, tail))));
        }
        let mut bundle_of = vec![NONE; tasks];
        for (index, bundle) in network.bundles.iter().enumerate() {
            for &task in &bundle.tasks {
                bundle_of[task as usize] = index as u32;
            }
        }
        let loose: Vec<bool> = network.bundles.iter().map(|bundle| is_loose(network, bundle)).collect();
        let mut layout = Self {
            network,
            limit: limit_of(network),
            waits_into: by(&|index| network.waits[index].after, network.waits.len()),
            waits_from: by(&|index| network.waits[index].before, network.waits.len()),
            windows_into: by(&|index| network.windows[index].after, network.windows.len()),
            windows_from: by(&|index| network.windows[index].before, network.windows.len()),
            windows_via: Lists::gather(tasks, &via_pairs),
            chains_begun: by(&|index| network.chains[index].first, network.chains.len()),
            chains_ended: Lists::gather(tasks, &ended),
            chain_pools: chain_pools(network),
            tight: Graph::of(network, &bundle_of, |_| true)?,
            apart: None,
            latest_start: Vec::new(),
            openings: OnceLock::new(),
            goal_tails: goal_tails(network),
            asks_twice: Vec::new(),
            bundle_of,
            loose,
        };
        if layout.loose.contains(&true) {
            layout.apart = Some(Graph::of(network, &layout.bundle_of, |bundle| {
                !layout.loose[bundle as usize]
            })?);
        }
        layout.asks_twice = (0..tasks as TaskId)
            .map(|task| layout.asks_twice_for_a_pool(task))
            .collect();
        layout.latest_start = layout.latest_starts();
        check::tasks(&layout)?;
        Ok(layout)
    }

    pub(super) fn minutes(&self, task: TaskId) -> Tick {
        self.network.tasks[task as usize].minutes
    }

    /// Ticks from the earlier task's start to where a wait begins.
    pub(super) fn lead(&self, wait: &Wait) -> Tick {
        if wait.from_start { 0 } else { self.minutes(wait.before) }
    }

    /// How many hands a task needs: none when it takes no time.
    pub(super) fn hands_needed(&self, task: TaskId) -> u32 {
        let task = &self.network.tasks[task as usize];
        if task.minutes == 0 {
            0
        } else {
            u32::from(task.crew.count)
        }
    }

    #[inline]
    pub(super) fn after(&self, tail: Tail, start: Tick) -> Option<Tick> {
        self.network.clocks[tail.clock as usize].after(start, tail.amount)
    }

    /// When an edge of a task that starts at `start` comes.
    #[inline]
    pub(super) fn edge(&self, edge: Edge, start: Tick, minutes: Tick) -> Option<Tick> {
        match edge {
            Edge::Start => Some(start),
            Edge::End => Some(start.saturating_add(minutes)),
            Edge::After(tail) => self.after(tail, start.saturating_add(minutes)),
            Edge::AfterStart(tail) => self.after(tail, start),
        }
    }

    /// When each task can start at all.
    pub(super) fn openings(&self) -> &Openings {
        self.openings.get_or_init(|| Openings::of(self))
    }

    pub(super) fn is_fixed(&self, task: TaskId) -> bool {
        self.network.tasks[task as usize].fixed.is_some()
    }

    pub(super) fn is_optional(&self, task: TaskId) -> bool {
        let task = &self.network.tasks[task as usize];
        task.optional && task.fixed.is_none()
    }

    fn asks_twice_for_a_pool(&self, task: TaskId) -> bool {
        let data = &self.network.tasks[task as usize];
        let chains = self
            .chains_begun
            .of(task)
            .iter()
            .flat_map(|&chain| self.network.chains[chain as usize].pools());
        let mut pools: Vec<u32> = data.demands.iter().map(|demand| demand.pool).chain(chains).collect();
        // the run it ends still holds its place while the next begins
        let ended = self
            .chains_ended
            .of(task)
            .iter()
            .flat_map(|&(chain, _)| self.network.chains[chain as usize].pools());
        let ended: Vec<u32> = ended.filter(|pool| pools.contains(pool)).collect();
        pools.extend(ended);
        pools.sort_unstable();
        pools.windows(2).any(|two| two[0] == two[1])
    }

    /// The last tick `t` with `after(tail, t) <= until`; `None` when there is none.
    pub(super) fn last_before(&self, tail: Tail, until: Tick) -> Option<Tick> {
        match &self.network.clocks[tail.clock as usize] {
            Clock::Wall => u64::from(until).checked_sub(tail.amount).map(|tick| tick as Tick),
            Clock::Measured(_) if tail.amount == 0 => Some(until),
            Clock::Measured(total) => {
                let last = (until as usize).min(total.len().checked_sub(1)?);
                let most = total[last].checked_sub(tail.amount)?;
                let found = total[..=last].partition_point(|&passed| passed <= most);
                found.checked_sub(1).map(|tick| tick as Tick)
            }
        }
    }

    /// Goes against the order of the waits, so that a task's limit knows of those after it.
    fn latest_starts(&self) -> Vec<Option<Tick>> {
        let network = self.network;
        let end_of_time = self.limit as Tick;
        let mut latest: Vec<Option<Tick>> = vec![network.horizon.checked_sub(1); network.tasks.len()];
        for &task in self.tight.sequence.iter().rev() {
            let data = &network.tasks[task as usize];
            let mut end = Some(end_of_time);
            let mut start = network.horizon.checked_sub(1);
            let mut keep = |tail: Tail, from_start: bool, until: Option<Tick>| {
                let bound = until.and_then(|until| self.last_before(tail, until));
                let side = if from_start { &mut start } else { &mut end };
                *side = (*side).zip(bound).map(|(one, other)| one.min(other));
            };
            let never = Some(Tick::MAX - 1);
            if let Some(tail) = data.wet {
                keep(tail, false, never);
            }
            for edge in data.demands.iter().flat_map(|demand| [demand.from, demand.until]) {
                match edge {
                    Edge::After(tail) => keep(tail, false, never),
                    Edge::AfterStart(tail) => keep(tail, true, never),
                    Edge::Start | Edge::End => {}
                }
            }
            for &(_, tail) in self.chains_ended.of(task) {
                keep(tail, false, never);
            }
            for &tail in self.goal_tails.of(task) {
                keep(tail, false, never);
            }
            for &wait in self.waits_from.of(task) {
                let wait = &network.waits[wait as usize];
                if !self.is_optional(wait.after) && !self.is_fixed(wait.after) {
                    keep(wait.min, wait.from_start, latest[wait.after as usize]);
                }
            }
            for &window in self.windows_from.of(task) {
                let window = &network.windows[window as usize];
                if !self.is_optional(window.after)
                    && !self.is_fixed(window.after)
                    && let Some(span) = window.spans.first()
                {
                    keep(span.opens, false, latest[window.after as usize]);
                }
            }
            latest[task as usize] = start
                .zip(end)
                .and_then(|(start, end)| Some(start.min(end.checked_sub(data.minutes)?)));
        }
        latest
    }

    /// Why a task has no latest start.
    pub(super) fn why_never(&self, task: TaskId) -> Reason {
        let data = &self.network.tasks[task as usize];
        let edges = data.demands.iter().flat_map(|demand| [demand.from, demand.until]);
        let held = edges.filter_map(|edge| match edge {
            Edge::After(tail) | Edge::AfterStart(tail) => Some(tail),
            Edge::Start | Edge::End => None,
        });
        let chained = self.chains_ended.of(task).iter().map(|&(_, tail)| tail);
        let waits = self.waits_from.of(task).iter();
        let waits = waits.map(|&wait| self.network.waits[wait as usize].min);
        let goals = self.goal_tails.of(task).iter().copied();
        let mut tails = data
            .wet
            .into_iter()
            .chain(held)
            .chain(chained)
            .chain(waits)
            .chain(goals);
        if tails.any(|tail| self.after(tail, 0).is_none()) {
            Reason::TailNeverReached
        } else {
            Reason::Horizon
        }
    }
}

fn goal_tails(network: &Network) -> Lists<Tail> {
    let mut tails = Vec::new();
    for goal in &network.goals {
        tails.extend(goal.tasks.iter().copied());
    }
    Lists::gather(network.tasks.len(), &tails)
}

/// Whether a bundle may be taken apart: every longest wait in it is long, on the wall clock.
fn is_loose(network: &Network, bundle: &Bundle) -> bool {
    let mut any = false;
    for wait in &network.waits {
        let Some(max) = wait.max else { continue };
        if bundle.tasks.contains(&wait.before) && bundle.tasks.contains(&wait.after) {
            any = true;
            if max.amount < LOOSE_FROM || network.clocks[max.clock as usize] != Clock::Wall {
                return false;
            }
        }
    }
    any
}

fn limit_of(network: &Network) -> usize {
    let longest = network.tasks.iter().map(|task| task.minutes).max().unwrap_or(0);
    let facts = network
        .tasks
        .iter()
        .filter_map(|task| Some(task.fixed?.start + task.minutes))
        .max()
        .unwrap_or(0);
    let close = network.families.iter().map(|family| family.close).max().unwrap_or(0);
    ((network.horizon + longest).max(facts) + close + 1).next_multiple_of(64) as usize
}

/// The pools of each chain. Where not all that may be there at once fits, those without a choice come first, so a
/// chain with one looks first where least is asked by others.
fn chain_pools(network: &Network) -> Vec<Vec<PoolId>> {
    let mut bound = vec![0_u64; network.pools.len()];
    let mut all = bound.clone();
    for chain in &network.chains {
        if let (true, Some(bound)) = (chain.or.is_empty(), bound.get_mut(chain.pool as usize)) {
            *bound += u64::from(chain.amount);
        }
        for pool in chain.pools() {
            if let Some(all) = all.get_mut(pool as usize) {
                *all += u64::from(chain.amount);
            }
        }
    }
    let capacity = |pool: PoolId| u64::from(network.pools[pool as usize].capacity);
    // parts in a million, so that pools of different size compare
    let asked = |pool: PoolId| bound[pool as usize].saturating_mul(1_000_000) / capacity(pool).max(1);
    let chains = network.chains.iter().map(|chain| {
        let mut pools: Vec<PoolId> = chain.pools().collect();
        if pools.iter().any(|&pool| all[pool as usize] > capacity(pool)) {
            pools.sort_by_key(|&pool| asked(pool));
        }
        pools
    });
    chains.collect()
}
