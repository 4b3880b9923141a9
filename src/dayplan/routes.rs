//! Which recoat windows a plan relies on: the early one, or the later one with its preparation.
//!
//! Invariant: a route only narrows the network (an optional preparation made due, its window held to that
//! stretch), so every plan of a narrowed network is a plan of the whole one.

use super::frame::Frame;
use crate::planner::{Network, TaskId};
use std::collections::BTreeMap;

/// Windows that go one way together: one coat of one product on pieces held alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fork {
    /// Indices of the windows, each with the index of its stretch that needs a preparation.
    windows: Vec<(usize, usize)>,
}

/// The forks of a job, in order of their coats.
pub(super) fn forks(frame: &Frame) -> Vec<Fork> {
    let mut found: BTreeMap<(u64, Option<crate::job::Holding>), Fork> = BTreeMap::new();
    for (index, window) in frame.work.windows.iter().enumerate() {
        let coats = frame
            .work
            .operations
            .get(window.before)
            .zip(frame.work.operations.get(window.after));
        let Some((before, after)) = coats.filter(|(before, after)| before.coat.is_some() && after.coat.is_some())
        else {
            continue;
        };
        // tape and sanding go stale by themselves; only a film offers two ways
        let Some(span) = window.spans.iter().position(|span| span.via.is_some()) else {
            continue;
        };
        if before.lays_film() && after.lays_film() && frame.fate(window.after).is_none() {
            let fork = found
                .entry((after.campaign, after.holding))
                .or_insert_with(|| Fork { windows: Vec::new() });
            fork.windows.push((index, span));
        }
    }
    found.into_values().collect()
}

/// The network with some forks held to the later way.
pub(super) fn narrowed(network: &Network, forks: &[Fork], later: &[bool]) -> Network {
    let mut narrow = network.clone();
    for (fork, _) in forks.iter().zip(later).filter(|(_, later)| **later) {
        for &(window, span) in &fork.windows {
            let Some(window) = narrow.windows.get_mut(window) else {
                continue;
            };
            let Some(&kept) = window.spans.get(span) else { continue };
            window.spans = vec![kept];
            let via = kept.via.and_then(|via: TaskId| narrow.tasks.get_mut(via as usize));
            if let Some(task) = via.filter(|task| task.fixed.is_none()) {
                task.optional = false;
            }
        }
    }
    narrow
}
