//! From an order of units to a filled shop: each unit at its earliest, the most urgent that may go first.
//!
//! Invariant: a unit goes in after all it waits for; one whose place cannot be promised waits aside until a
//! run ends, so runs that have begun are never cut off. The outcome depends on the keys alone.

use super::earliest::Miss;
use super::layout::{Layout, NONE};
use super::network::{PoolId, TaskId, Tick};
use super::order::Graph;
use super::played::Played;
use super::reason::{Infeasible, Reason};
use super::shop::Shop;
use std::cmp::Reverse;
use std::collections::{BTreeSet, BinaryHeap};

/// How often a bundle may be moved before the order is given up.
const MOST_BUMPS: u32 = 20_000;
/// The same for one task of a bundle taken apart.
const MOST_LOOSE_BUMPS: u32 = 40;

/// A key by which units go: smaller first.
pub(super) type Key = i64;

/// Fills a shop from orders.
#[derive(Debug)]
pub(super) struct Decoder<'l, 'n> {
    pub(super) shop: Shop<'l, 'n>,
    graph: &'l Graph,
    left: Vec<u32>,
    ready: BinaryHeap<Reverse<(Key, u32)>>,
    aside: Vec<BTreeSet<(Key, u32)>>,
    waiting: usize,
    /// Units in so far, and how many were in when a unit was last put aside: without one more, asking again
    /// is no use.
    done: u32,
    asked_at: Vec<u32>,
    /// Tasks in the order they went in.
    pub(super) log: Vec<TaskId>,
    /// Bumped least starts of tasks in bundles taken apart.
    least: Vec<Tick>,
    /// Latest starts beyond which the plan is of no interest; empty: all are.
    pub(super) deadlines: Vec<Tick>,
    /// Orders decoded so far.
    pub(super) tries: u64,
    /// The turns of the last order.
    played: Played,
}

impl<'l, 'n> Decoder<'l, 'n> {
    /// A decoder over whole bundles, or over bundles taken apart where their waits are long.
    pub(super) fn new(layout: &'l Layout<'n>, whole: bool) -> Self {
        let graph = if whole {
            &layout.tight
        } else {
            layout.apart.as_ref().unwrap_or(&layout.tight)
        };
        let network = layout.network;
        Self {
            shop: Shop::new(layout),
            graph,
            left: Vec::new(),
            ready: BinaryHeap::new(),
            aside: vec![BTreeSet::new(); network.pools.len() + network.budgets.len()],
            waiting: 0,
            done: 0,
            asked_at: vec![0; graph.tasks.len()],
            log: Vec::new(),
            least: vec![0; network.tasks.len()],
            deadlines: Vec::new(),
            tries: 0,
            played: Played::new(layout),
        }
    }

    pub(super) fn graph(&self) -> &'l Graph {
        self.graph
    }

    /// Empties the shop and fills it by `keys` (one a unit). As far as the last order went the same way, what it placed
    /// stays where it is.
    pub(super) fn decode(&mut self, keys: &[Key]) -> Result<(), Infeasible> {
        self.tries += 1;
        if self.played.begin(self.shop.filling) {
            self.begin_queue();
        } else {
            self.begin();
        }
        self.fill(keys)
    }

    /// Why a task could not be placed: with nothing in the shop but what it waits for, either something fails
    /// still, or there was no more room before the horizon.
    pub(super) fn diagnose(&mut self, keys: &[Key], refused: Infeasible) -> Infeasible {
        let Some(task) = refused.task else { return refused };
        let Some(&unit) = self.graph.unit_of.get(task as usize).filter(|&&unit| unit != NONE) else {
            return refused;
        };
        let count = self.graph.tasks.len();
        let mut wanted = vec![false; count];
        wanted[unit as usize] = true;
        // against the order of the links, so that all earlier units are seen after those that need them
        for &task in self.graph.sequence.iter().rev() {
            let unit = self.graph.unit_of[task as usize];
            if unit != NONE && self.graph.next.of(unit).iter().any(|&next| wanted[next as usize]) {
                wanted[unit as usize] = true;
            }
        }
        self.deadlines.clear();
        self.begin();
        for unit in (0..count).filter(|&unit| !wanted[unit]) {
            // never counted down to nothing
            self.left[unit] = u32::MAX;
        }
        match self.fill(keys) {
            Ok(()) => Infeasible::at(task, Reason::Horizon),
            Err(alone) => alone,
        }
    }

    fn begin(&mut self) {
        self.shop.clear();
        self.log.clear();
        self.played.begin_anew(self.shop.filling);
        self.begin_queue();
    }

    fn begin_queue(&mut self) {
        self.left.clone_from(&self.graph.links_into);
        self.ready.clear();
        self.aside.iter_mut().for_each(BTreeSet::clear);
        self.waiting = 0;
        self.done = 0;
        self.least.fill(0);
    }

    /// A unit's turn: as the last order had it as long as the two go the same way, else it is placed.
    fn turn(&mut self, unit: u32) -> Result<(), (TaskId, Miss)> {
        if self.played.is_again() {
            match self.played.next() {
                Some(turn) if turn.unit == unit => {
                    self.played.pass();
                    let task = self.graph.tasks[unit as usize].first().copied().unwrap_or(NONE);
                    return turn.full.map_or(Ok(()), |pool| Err((task, Miss::Full(pool))));
                }
                Some(turn) => self.part_ways(turn.before as usize),
                None => self.part_ways(self.played.tasks),
            }
        }
        let before = self.log.len();
        let outcome = self.unit(unit);
        match &outcome {
            Ok(()) => self.played.write(unit, None, before, self.log.len()),
            Err((_, Miss::Full(pool))) => self.played.write(unit, Some(*pool), before, before),
            Err(_) => {}
        }
        outcome
    }

    /// The orders part: only the first so many tasks stay in.
    fn part_ways(&mut self, kept: usize) {
        if kept < self.log.len() / 2 {
            // putting these in again is less than taking the others out
            let placed = |&task: &TaskId| (task, (self.shop.start[task as usize], self.shop.workers[task as usize]));
            let again: Vec<_> = self.log[..kept].iter().map(placed).collect();
            self.shop.clear();
            self.log.clear();
            for (task, found) in again {
                self.put(task, found);
            }
        } else {
            self.undo_to(kept);
        }
        self.played.cut(self.shop.filling);
    }

    fn fill(&mut self, keys: &[Key]) -> Result<(), Infeasible> {
        for unit in 0..self.left.len() as u32 {
            if self.left[unit as usize] == 0 {
                self.ready.push(Reverse((keys[unit as usize], unit)));
            }
        }
        loop {
            while let Some(Reverse((key, unit))) = self.ready.pop() {
                match self.turn(unit) {
                    Ok(()) => {
                        self.done += 1;
                        if let Some(task) = self.overdue(unit) {
                            return Err(Infeasible::at(task, Reason::Horizon));
                        }
                        for &next in self.graph.next.of(unit) {
                            self.left[next as usize] -= 1;
                            if self.left[next as usize] == 0 {
                                self.ready.push(Reverse((keys[next as usize], next)));
                            }
                        }
                        if self.waiting > 0 {
                            let levels = &self.shop.levels.pools;
                            self.played.write_levels(|pool| levels[pool].level_at_end());
                            self.call_in();
                        }
                    }
                    Err((_, Miss::Full(pool))) => {
                        self.asked_at[unit as usize] = self.done;
                        self.waiting += usize::from(self.aside[pool as usize].insert((key, unit)));
                    }
                    Err((task, Miss::Never(reason))) => return Err(Infeasible::at(task, reason)),
                }
            }
            if self.waiting == 0 {
                return Ok(());
            }
            self.any_that_fits()?;
        }
    }

    /// A task of the unit that has started too late for the plan to be of interest.
    fn overdue(&self, unit: u32) -> Option<TaskId> {
        let tasks = self.graph.tasks[unit as usize].iter();
        tasks.copied().find(|&task| {
            self.deadlines
                .get(task as usize)
                .is_some_and(|&deadline| self.shop.start[task as usize] > deadline)
        })
    }

    /// Calls in those waiting aside, most urgent first, while places can be promised.
    fn call_in(&mut self) {
        for pool in 0..self.aside.len() {
            let mut promised = 0;
            while let Some(&(key, unit)) = self.aside[pool].first() {
                let asked = self.asked(unit, pool as PoolId);
                if self.has_room(pool, asked + promised) {
                    promised += asked;
                } else if !self.has_room_elsewhere(unit, pool as PoolId) {
                    break;
                }
                self.aside[pool].pop_first();
                self.waiting -= 1;
                self.ready.push(Reverse((key, unit)));
            }
        }
    }

    fn has_room(&self, pool: usize, asked: u32) -> bool {
        let network = self.shop.layout.network;
        let capacity = match pool.checked_sub(network.pools.len()) {
            Some(budget) => network.budgets[budget],
            None => network.pools[pool].capacity,
        };
        let level = if self.played.is_again() {
            self.played.level(pool).unwrap_or(u32::MAX)
        } else {
            self.shop.levels.pools[pool].level_at_end()
        };
        level.saturating_add(asked) <= capacity
    }

    /// Whether every run that a unit begins on a pool could stand on another one instead.
    fn has_room_elsewhere(&self, unit: u32, pool: PoolId) -> bool {
        let layout = self.shop.layout;
        let tasks = self.graph.tasks[unit as usize].iter();
        let mut runs = tasks
            .flat_map(|&task| layout.chains_begun.of(task))
            .map(|&chain| &layout.network.chains[chain as usize])
            .filter(|chain| chain.pool == pool)
            .peekable();
        runs.peek().is_some()
            && runs.all(|chain| {
                chain
                    .or
                    .iter()
                    .any(|&other| self.has_room(other as usize, chain.amount))
            })
    }

    /// How much a unit takes from a pool without an end in sight.
    fn asked(&self, unit: u32, pool: PoolId) -> u32 {
        let layout = self.shop.layout;
        let mut asked = 0;
        for &task in &self.graph.tasks[unit as usize] {
            let chains = layout.chains_begun.of(task).iter().map(|&chain| chain as usize);
            asked += chains
                .filter(|&chain| layout.chain_pools[chain].first() == Some(&pool))
                .map(|chain| layout.network.chains[chain].amount)
                .sum::<u32>();
            let demands = layout.network.tasks[task as usize].demands.iter();
            asked += demands
                .filter(|demand| demand.pool == pool)
                .map(|demand| demand.amount)
                .max()
                .unwrap_or(0);
        }
        asked
    }

    /// Nothing else can go: one of those waiting must, or the runs hold each other up for good.
    fn any_that_fits(&mut self) -> Result<(), Infeasible> {
        for pool in 0..self.aside.len() {
            let fits = self.aside[pool].iter().find(|&&(_, unit)| {
                let here = || self.has_room(pool, self.asked(unit, pool as PoolId));
                self.asked_at[unit as usize] < self.done && (here() || self.has_room_elsewhere(unit, pool as PoolId))
            });
            if let Some(&(key, unit)) = fits {
                self.aside[pool].remove(&(key, unit));
                self.waiting -= 1;
                self.ready.push(Reverse((key, unit)));
                return Ok(());
            }
        }
        let stuck = self
            .aside
            .iter()
            .find_map(BTreeSet::first)
            .and_then(|&(_, unit)| self.graph.tasks[unit as usize].first());
        Err(Infeasible {
            task: stuck.copied(),
            reason: Reason::CapacityTooSmall,
        })
    }

    pub(super) fn undo_to(&mut self, length: usize) {
        while self.log.len() > length {
            if let Some(task) = self.log.pop() {
                self.shop.unplace(task);
                self.shop.forget_pools(task);
            }
        }
    }

    pub(super) fn put(&mut self, task: TaskId, (start, workers): (Tick, u64)) {
        self.shop.place(task, start, workers);
        self.log.push(task);
    }

    fn unit(&mut self, unit: u32) -> Result<(), (TaskId, Miss)> {
        let graph = self.graph;
        let tasks = &graph.tasks[unit as usize];
        let layout = self.shop.layout;
        if let [task] = tasks[..] {
            let bundle = layout.bundle_of[task as usize];
            return if bundle == NONE {
                self.task(task, 0).map_err(|miss| (task, miss))
            } else if layout.loose[bundle as usize] {
                self.loose(task, bundle)
            } else {
                self.bundle(tasks)
            };
        }
        self.bundle(tasks)
    }

    /// Places tasks one after the other; where a longest wait is missed, moves the earlier task and begins
    /// again from there.
    fn bundle(&mut self, tasks: &[TaskId]) -> Result<(), (TaskId, Miss)> {
        let begin = self.log.len();
        let mut marks = vec![begin; tasks.len()];
        let mut least = vec![0; tasks.len()];
        let mut bumps = 0;
        let mut at = 0;
        while let Some(&task) = tasks.get(at) {
            marks[at] = self.log.len();
            if let Err(miss) = self.task(task, least[at]) {
                self.undo_to(begin);
                let miss = if bumps > 0 {
                    match miss {
                        Miss::Full(_) => miss,
                        Miss::Never(_) => Miss::Never(Reason::LongestWait),
                    }
                } else {
                    miss
                };
                return Err((task, miss));
            }
            let Some((before, later)) = self.missed_longest(task) else {
                at += 1;
                continue;
            };
            bumps += 1;
            let back = tasks[..at].iter().position(|&member| member == before);
            let Some(back) = back.filter(|_| bumps <= MOST_BUMPS) else {
                self.undo_to(begin);
                return Err((task, Miss::Never(Reason::LongestWait)));
            };
            least[back] = later.max(least[back] + 1);
            self.undo_to(marks[back]);
            at = back;
        }
        Ok(())
    }

    /// A longest wait that a placed task has missed: the earlier task and the start it would need.
    fn missed_longest(&self, task: TaskId) -> Option<(TaskId, Tick)> {
        let layout = self.shop.layout;
        let start = self.shop.start[task as usize];
        layout.waits_into.of(task).iter().find_map(|&wait| {
            let wait = &layout.network.waits[wait as usize];
            let max = wait.max?;
            if !self.shop.is_placed(wait.before) {
                return None;
            }
            let lead = layout.lead(wait);
            let base = self.shop.start[wait.before as usize] + lead;
            let last = layout.after(max, base)?;
            let needed = self.shop.first_reaching(max, start).saturating_sub(lead);
            (start > last).then_some((wait.before, needed))
        })
    }

    /// Places one task of a bundle taken apart, moving earlier tasks of its bundle where it must.
    fn loose(&mut self, task: TaskId, bundle: u32) -> Result<(), (TaskId, Miss)> {
        let layout = self.shop.layout;
        let members = &layout.network.bundles[bundle as usize].tasks;
        let place = |task: TaskId| members.iter().position(|&member| member == task);
        let Some(last) = place(task) else {
            return self.task(task, 0).map_err(|miss| (task, miss));
        };
        let mut wanted: Vec<usize> = vec![last];
        let mut bumps = 0;
        while let Some(at) = wanted.pop() {
            let member = members[at];
            self.task(member, self.least[member as usize])
                .map_err(|miss| match miss {
                    // its bundle has begun: waiting aside would cut it off
                    Miss::Full(_) if bumps > 0 => (member, Miss::Never(Reason::CapacityTooSmall)),
                    miss => (member, miss),
                })?;
            let Some((before, later)) = self.missed_longest(member) else {
                continue;
            };
            bumps += 1;
            let back = place(before).filter(|_| bumps <= MOST_LOOSE_BUMPS);
            let Some(back) = back else {
                return Err((member, Miss::Never(Reason::LongestWait)));
            };
            self.played.lose();
            let bumped = later.max(self.least[before as usize] + 1);
            self.least[before as usize] = bumped;
            for index in (back..members.len()).rev() {
                if self.shop.is_placed(members[index]) && !layout.is_fixed(members[index]) {
                    self.shop.unplace(members[index]);
                    if !wanted.contains(&index) {
                        wanted.push(index);
                    }
                }
            }
            wanted.sort_unstable_by(|one, other| other.cmp(one));
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests;
