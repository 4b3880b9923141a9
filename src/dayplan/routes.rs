//! Which recoat windows a plan relies on: the early one, or the later one with its preparation.
//!
//! Invariant: a route only narrows the network (an optional preparation made due, its window held to that
//! stretch), so every plan of a narrowed network is a plan of the whole one.

use super::frame::Frame;
use crate::planner::{Network, Solution};
use std::collections::{BTreeMap, BTreeSet};

/// A stretch of a window, by the indices of both.
type Stretch = (usize, usize);

/// Windows that go one way together: one coat of one product on pieces held alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fork(Vec<Stretch>);

/// The windows held to a later stretch.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Route(BTreeSet<Stretch>);

/// The forks of a job, in order of their coats.
pub(super) fn forks(frame: &Frame) -> Vec<Fork> {
    let mut found: BTreeMap<(u64, Option<crate::job::Holding>), Fork> = BTreeMap::new();
    for (index, window) in frame.work.windows.iter().enumerate() {
        let operations = &frame.work.operations;
        let Some((before, after)) = operations.get(window.before).zip(operations.get(window.after)) else {
            continue;
        };
        // tape and sanding go stale by themselves; only a film offers two ways
        let Some(span) = window.spans.iter().position(|span| span.via.is_some()) else {
            continue;
        };
        if before.lays_film() && after.lays_film() && frame.fate(window.after).is_none() {
            let fork = found
                .entry((after.campaign, after.holding))
                .or_insert_with(|| Fork(Vec::new()));
            fork.0.push((index, span));
        }
    }
    found.into_values().collect()
}

impl Route {
    /// Nothing held.
    pub fn open() -> Self {
        Self::default()
    }

    /// Every fork held to its later way.
    pub fn later(forks: &[Fork]) -> Self {
        Self(forks.iter().flat_map(|fork| fork.0.iter().copied()).collect())
    }

    /// One fork the other way.
    pub fn turned(&self, fork: &Fork) -> Self {
        let mut turned = self.clone();
        let held = fork.0.iter().all(|stretch| turned.0.contains(stretch));
        for stretch in &fork.0 {
            if held {
                turned.0.remove(stretch);
            } else {
                turned.0.insert(*stretch);
            }
        }
        turned
    }

    /// With every stretch held whose preparation a plan made use of.
    pub fn with_used(&self, network: &Network, solution: &Solution) -> Self {
        let mut used = self.clone();
        for (index, window) in network.windows.iter().enumerate() {
            for (at, span) in window.spans.iter().enumerate() {
                let done = span
                    .via
                    .and_then(|via| solution.starts.get(via as usize))
                    .is_some_and(Option::is_some);
                let optional = span
                    .via
                    .and_then(|via| network.tasks.get(via as usize))
                    .is_some_and(|task| task.optional);
                if done && optional {
                    used.0.insert((index, at));
                }
            }
        }
        used
    }
}

/// The network with the windows of a route held to their later stretch.
pub(super) fn narrowed(network: &Network, route: &Route) -> Network {
    let mut narrow = network.clone();
    for &(window, span) in &route.0 {
        let Some(window) = narrow.windows.get_mut(window) else {
            continue;
        };
        let Some(&kept) = window.spans.get(span) else { continue };
        window.spans = vec![kept];
        if let Some(task) = kept.via.and_then(|via| narrow.tasks.get_mut(via as usize)) {
            task.optional = false;
        }
    }
    narrow
}
