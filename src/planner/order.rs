//! What must be placed before what.
//!
//! Invariant: `sequence` holds every task that is not a fact exactly once, each after all it waits for,
//! ties by rank, then id.

use super::layout::NONE;
use super::lists::Lists;
use super::network::{Network, TaskId};
use super::reason::{Infeasible, Reason};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Units (a task, or a bundle placed whole) and their order.
#[derive(Debug)]
pub(super) struct Graph {
    /// Unit of each task; [`NONE`] for facts and optional tasks.
    pub(super) unit_of: Vec<u32>,
    /// Tasks of each unit, in placing order.
    pub(super) tasks: Vec<Vec<TaskId>>,
    /// How many links come into each unit.
    pub(super) links_into: Vec<u32>,
    /// The units at the other end of the links out of each unit (repeats allowed).
    pub(super) next: Lists<u32>,
    /// All tasks, optional ones too, in an order that respects every link.
    pub(super) sequence: Vec<TaskId>,
}

impl Graph {
    /// Builds the graph; bundles for which `whole` says so become one unit.
    pub(super) fn of(network: &Network, bundle_of: &[u32], whole: impl Fn(u32) -> bool) -> Result<Self, Infeasible> {
        let count = network.tasks.len();
        let is_unit = |task: TaskId| {
            let task = &network.tasks[task as usize];
            task.fixed.is_none() && !task.optional
        };
        let mut unit_of = vec![NONE; count];
        let mut tasks: Vec<Vec<TaskId>> = Vec::new();
        for task in 0..count as TaskId {
            if !is_unit(task) || unit_of[task as usize] != NONE {
                continue;
            }
            let unit = tasks.len() as u32;
            let bundle = bundle_of[task as usize];
            let members = if bundle != NONE && whole(bundle) {
                let all = &network.bundles[bundle as usize].tasks;
                let mut members: Vec<TaskId> = Vec::with_capacity(all.len());
                for &member in all {
                    if is_unit(member) && bundle_of[member as usize] == bundle && !members.contains(&member) {
                        members.push(member);
                    }
                }
                members
            } else {
                vec![task]
            };
            for &member in &members {
                unit_of[member as usize] = unit;
            }
            tasks.push(members);
        }
        let links = links(network);
        let mut between = Vec::with_capacity(links.len());
        for &(before, after) in &links {
            let (one, other) = (unit_of[before as usize], unit_of[after as usize]);
            if one == NONE || other == NONE {
                continue;
            }
            if one != other {
                between.push((one, other));
            } else if !in_order(&tasks[one as usize], before, after) {
                return Err(Infeasible::at(before, Reason::Cyclic(vec![before, after])));
            }
        }
        let mut links_into = vec![0; tasks.len()];
        for &(_, after) in &between {
            links_into[after as usize] += 1;
        }
        let next = Lists::gather(tasks.len(), &between);
        let order = sort(&links_into, &next, |unit| {
            tasks[unit as usize]
                .iter()
                .map(|&task| (network.tasks[task as usize].rank, task))
                .min()
                .unwrap_or((0, 0))
        });
        if order.len() < tasks.len() {
            let circle = circle(&order, &tasks, &next);
            let first = circle.first().copied();
            return Err(Infeasible {
                task: first,
                reason: Reason::Cyclic(circle),
            });
        }
        let mut sequence: Vec<TaskId> = Vec::with_capacity(count);
        let mut vias: Vec<Vec<TaskId>> = vec![Vec::new(); count];
        for window in &network.windows {
            for via in window.spans.iter().filter_map(|span| span.via) {
                vias[window.after as usize].push(via);
            }
        }
        let mut seen = vec![false; count];
        for &task in order.iter().flat_map(|&unit| &tasks[unit as usize]) {
            for &via in &vias[task as usize] {
                if network.tasks[via as usize].optional && !seen[via as usize] {
                    seen[via as usize] = true;
                    sequence.push(via);
                }
            }
            sequence.push(task);
        }
        Ok(Self {
            unit_of,
            tasks,
            links_into,
            next,
            sequence,
        })
    }
}

/// Every "this before that" among tasks, optional ones standing in for the task they serve.
fn links(network: &Network) -> Vec<(TaskId, TaskId)> {
    let optional = |task: TaskId| network.tasks[task as usize].optional;
    let mut served: Vec<Vec<TaskId>> = vec![Vec::new(); network.tasks.len()];
    for window in &network.windows {
        for via in window.spans.iter().filter_map(|span| span.via) {
            served[via as usize].push(window.after);
        }
    }
    let mut links = Vec::new();
    for wait in &network.waits {
        match (optional(wait.before), optional(wait.after)) {
            (false, false) => links.push((wait.before, wait.after)),
            (false, true) => {
                for &after in served[wait.after as usize]
                    .iter()
                    .filter(|&&after| after != wait.before)
                {
                    links.push((wait.before, after));
                }
            }
            (true, _) => {}
        }
    }
    for window in &network.windows {
        links.push((window.before, window.after));
    }
    links
}

fn in_order(members: &[TaskId], before: TaskId, after: TaskId) -> bool {
    let place = |task| members.iter().position(|&member| member == task);
    place(before) < place(after)
}

/// Units in an order that respects the links, smallest key first; shorter than all when there is a circle.
fn sort<K: Ord>(links_into: &[u32], next: &Lists<u32>, key: impl Fn(u32) -> K) -> Vec<u32> {
    let mut left = links_into.to_vec();
    let mut ready: BinaryHeap<Reverse<(K, u32)>> = BinaryHeap::new();
    for unit in 0..left.len() as u32 {
        if left[unit as usize] == 0 {
            ready.push(Reverse((key(unit), unit)));
        }
    }
    let mut order = Vec::with_capacity(left.len());
    while let Some(Reverse((_, unit))) = ready.pop() {
        order.push(unit);
        for &after in next.of(unit) {
            left[after as usize] -= 1;
            if left[after as usize] == 0 {
                ready.push(Reverse((key(after), after)));
            }
        }
    }
    order
}

/// The tasks of one circle: walk back along links among the units that could not be ordered.
fn circle(ordered: &[u32], tasks: &[Vec<TaskId>], next: &Lists<u32>) -> Vec<TaskId> {
    let mut left = vec![true; tasks.len()];
    for &unit in ordered {
        left[unit as usize] = false;
    }
    let mut before = vec![NONE; tasks.len()];
    for unit in (0..tasks.len() as u32).filter(|&unit| left[unit as usize]) {
        for &after in next.of(unit) {
            before[after as usize] = unit;
        }
    }
    let Some(mut at) = left.iter().position(|&is_left| is_left) else {
        return Vec::new();
    };
    let mut path = Vec::new();
    let mut seen = vec![false; tasks.len()];
    while !seen[at] {
        seen[at] = true;
        path.push(at);
        let Some(&back) = before.get(at).filter(|&&back| back != NONE) else {
            break;
        };
        at = back as usize;
    }
    let begin = path.iter().position(|&unit| unit == at).unwrap_or(0);
    path[begin..]
        .iter()
        .rev()
        .filter_map(|&unit| tasks[unit].first().copied())
        .collect()
}
