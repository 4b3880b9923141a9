//! Longest waits that what has happened left no way to keep: the wipe that was due while nobody was there.
//!
//! Invariant: only limits of work that has begun are eased, no further than to when hands can be at it first, and not
//! where they can be at it in time.

use super::frame::Frame;
use super::keep::InForce;
use super::verify::{Breach, Rule};
use crate::planner::{Bound, Indexed, Network, TaskId};

/// Eases the limits of what has begun to what can still be done, that before all else; gives what is late by it.
pub(super) fn eased(network: &mut Network, bound: Bound, in_force: Option<&InForce>) -> Vec<TaskId> {
    let limits = limits(network);
    if limits.is_empty() {
        return Vec::new();
    }
    let mut without = network.clone();
    for &at in &limits {
        if let Some(wait) = without.waits.get_mut(at) {
            wait.max = None;
        }
    }
    // what has begun goes before all else in every order
    let order = in_force.map_or(&[][..], |plan| plan.order.as_slice());
    let found = Indexed::of(&without).and_then(|indexed| indexed.placer(bound).place_only(order));
    let Ok(found) = found else { return Vec::new() };
    let start = |task: TaskId| found.starts.get(task as usize).copied().flatten();
    let minutes: Vec<u32> = network.tasks.iter().map(|task| task.minutes).collect();
    let mut late = Vec::new();
    for at in limits {
        let Some(wait) = network.waits.get_mut(at) else {
            continue;
        };
        let (Some(before), Some(after), Some(max)) = (start(wait.before), start(wait.after), wait.max.as_mut()) else {
            continue;
        };
        let lead = minutes.get(wait.before as usize).filter(|_| !wait.from_start);
        let stood = u64::from(after.saturating_sub(before + lead.copied().unwrap_or(0)));
        if stood > max.amount {
            max.amount = stood;
            late.push(wait.after);
        }
    }
    late
}

/// The longest waits, on the wall's clock, of bundles of which something is a fact, to what is still to be done.
fn limits(network: &Network) -> Vec<usize> {
    let is_fixed = |task: TaskId| {
        let task = network.tasks.get(task as usize);
        task.is_some_and(|task| task.fixed.is_some())
    };
    let bundles = network.bundles.iter().map(|bundle| &bundle.tasks);
    let begun: Vec<&Vec<TaskId>> = bundles
        .filter(|tasks| tasks.iter().any(|&task| is_fixed(task)))
        .collect();
    let waits = network.waits.iter().enumerate();
    let open = waits.filter(|(_, wait)| {
        wait.max.is_some_and(|max| max.clock == 0)
            && !is_fixed(wait.after)
            && begun
                .iter()
                .any(|tasks| tasks.contains(&wait.before) && tasks.contains(&wait.after))
    });
    open.map(|(at, _)| at).collect()
}

/// Whether a breach is that something late by fact is late.
pub(super) fn excuses(frame: &Frame, late: &[TaskId], breach: &Breach) -> bool {
    let first = breach.operations.first().and_then(|id| frame.find(id));
    matches!(breach.rule, Rule::WipeBack | Rule::ReWipe) && first.is_some_and(|at| late.contains(&(at as TaskId)))
}
