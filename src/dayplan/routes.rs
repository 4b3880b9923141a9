//! Which recoat windows a plan relies on: the early one, or the later one with its preparation.
//!
//! Invariant: a route only narrows the network (an optional preparation made due, its window held to that
//! stretch), so every plan of a narrowed network is a plan of the whole one.

use super::frame::Frame;
use crate::planner::{Network, Solution, TaskId, Window, WindowSpan};
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

    /// With every stretch held in which a plan made use of a preparation. What was prepared for the sake of one window may
    /// lie in the open stretch of another: that one is not held.
    pub fn with_used(&self, network: &Network, solution: &Solution) -> Self {
        let mut used = self.clone();
        for (index, window) in network.windows.iter().enumerate() {
            if let Some(at) = stretch_used(network, window, solution) {
                used.0.insert((index, at));
            }
        }
        used
    }
}

/// The stretch of a window that a plan is in, where that asks for a preparation that need not be done otherwise.
fn stretch_used(network: &Network, window: &Window, solution: &Solution) -> Option<usize> {
    let start = |task: TaskId| solution.starts.get(task as usize).copied().flatten();
    let end = start(window.before)?.saturating_add(network.tasks.get(window.before as usize)?.minutes);
    let at = start(window.after)?;
    let is_done = |span: &WindowSpan| span.via.is_none_or(|via| start(via).is_some());
    let (place, _, span) = network
        .stretches_at(window, end, at)
        .filter(|(_, _, span)| is_done(span))
        .min_by_key(|(_, _, span)| span.via.is_some())?;
    let via = network.tasks.get(span.via? as usize)?;
    via.optional.then_some(place)
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

#[cfg(test)]
#[allow(clippy::expect_used, reason = "a failed check says so")]
mod tests {
    use super::*;
    use crate::dayplan::{History, network_of};
    use crate::planner::{self, Settings, verify};
    use crate::source::SourceFile;
    use std::ops::ControlFlow;

    /// What is prepared again may serve one window while another is open still: held as well, that one would keep the
    /// piece waiting for weeks.
    #[test]
    fn a_plan_keeps_to_the_route_it_used() {
        let text = include_str!("../../demo/linen-press.toml");
        let file = SourceFile::new("linen-press.toml", text.to_owned());
        let job = crate::job::read(&file, &crate::finish::shipped()).0.expect("the demo");
        let network = network_of(&job, &History::none(job.start));
        let settings = Settings {
            tries: 20,
            ..Settings::default()
        };
        let plan = planner::solve(&network, &settings, &mut |_| ControlFlow::Continue(())).expect("a plan");
        let route = Route::open().with_used(&network, &plan);
        let prepared: BTreeSet<TaskId> = route
            .0
            .iter()
            .filter_map(|&(window, at)| network.windows[window].spans[at].via)
            .collect();
        let done = (0..network.tasks.len()).filter(|&task| network.tasks[task].optional && plan.starts[task].is_some());
        assert_eq!(prepared, done.map(|task| task as TaskId).collect());
        assert!(!prepared.is_empty());
        assert_eq!(verify(&narrowed(&network, &route), &plan), Vec::new());
    }
}
