//! First and last starts that waits, shifts and allowed starts leave each task.
//!
//! Invariant: `heads` are never above the start a task has in any plan; `tails` never below the start it has
//! in any plan that is ready in time.

use crate::planner::layout::Layout;
use crate::planner::network::{Network, Stretch, Tail, Tick};

/// The first start that waits (and, if asked, shifts and allowed starts) leave each task.
pub(super) fn heads(layout: &Layout, calendar: bool) -> Vec<Tick> {
    let network = layout.network;
    let mut heads = vec![0; network.tasks.len()];
    for (id, task) in network.tasks.iter().enumerate() {
        if let Some(fixed) = task.fixed {
            heads[id] = fixed.start;
        }
    }
    for &id in &layout.tight.sequence {
        let task = &network.tasks[id as usize];
        if layout.is_optional(id) {
            continue;
        }
        let mut head = task.release;
        for &wait in layout.waits_into.of(id) {
            let wait = &network.waits[wait as usize];
            if layout.is_optional(wait.before) {
                continue;
            }
            let lead = layout.lead(wait);
            head = head.max(
                layout
                    .after(wait.min, heads[wait.before as usize] + lead)
                    .unwrap_or(head),
            );
        }
        for &window in layout.windows_into.of(id) {
            let window = &network.windows[window as usize];
            if !layout.is_optional(window.before) {
                let end = heads[window.before as usize] + layout.minutes(window.before);
                let first = window
                    .spans
                    .iter()
                    .filter_map(|span| layout.after(span.opens, end))
                    .min();
                head = head.max(first.unwrap_or(head));
            }
        }
        heads[id as usize] = if calendar {
            layout.openings().first(id, head).unwrap_or(head)
        } else {
            head
        };
    }
    heads
}

pub(super) fn among(network: &Network, mask: u64) -> impl Iterator<Item = &[Stretch]> {
    let workers = network.workers.iter().enumerate();
    workers
        .filter(move |(worker, _)| mask >> worker & 1 == 1)
        .map(|(_, worker)| worker.shifts.as_slice())
}

pub(super) fn reached(layout: &Layout, heads: &[Tick]) -> Tick {
    let network = layout.network;
    let mut latest = 0;
    for &(task, tail) in network.goals.iter().flat_map(|goal| &goal.tasks) {
        if !layout.is_optional(task) {
            let end = heads[task as usize] + layout.minutes(task);
            latest = latest.max(layout.after(tail, end).unwrap_or(latest));
        }
    }
    latest
}

/// The last start each task may have if everything is to be ready by `ready`; `None` when there is none.
pub(in crate::planner) fn tails(layout: &Layout, ready: Tick) -> Vec<Option<Tick>> {
    let network = layout.network;
    let mut ends: Vec<Option<Tick>> = vec![Some(layout.limit as Tick); network.tasks.len()];
    for &(task, tail) in network.goals.iter().flat_map(|goal| &goal.tasks) {
        let last = layout.last_before(tail, ready);
        ends[task as usize] = ends[task as usize].zip(last).map(|(one, other)| one.min(other));
    }
    let mut starts: Vec<Option<Tick>> = vec![Some(network.horizon); network.tasks.len()];
    for &id in layout.tight.sequence.iter().rev() {
        if layout.is_optional(id) {
            continue;
        }
        let task = &network.tasks[id as usize];
        let (mut end, mut start) = (ends[id as usize], Some(network.horizon));
        let mut keep = |tail: Tail, from_start: bool, until: Option<Tick>| {
            let bound = until.and_then(|until| layout.last_before(tail, until));
            let side = if from_start { &mut start } else { &mut end };
            *side = (*side).zip(bound).map(|(one, other)| one.min(other));
        };
        for &wait in layout.waits_from.of(id) {
            let wait = &network.waits[wait as usize];
            if !layout.is_optional(wait.after) && !layout.is_fixed(wait.after) {
                keep(wait.min, wait.from_start, starts[wait.after as usize]);
            }
        }
        for &window in layout.windows_from.of(id) {
            let window = &network.windows[window as usize];
            if !layout.is_optional(window.after)
                && !layout.is_fixed(window.after)
                && let Some(span) = window.spans.first()
            {
                keep(span.opens, false, starts[window.after as usize]);
            }
        }
        let last = start
            .zip(end)
            .and_then(|(start, end)| Some(start.min(end.checked_sub(task.minutes)?)));
        starts[id as usize] = last.and_then(|last| layout.openings().last(id, last));
    }
    starts
}
