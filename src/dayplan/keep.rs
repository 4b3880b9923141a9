//! Keeping to the plan in force: in the hours already arranged by all means, beyond them where it costs nothing.
//!
//! Invariant: pinning and holding only narrow the network, so a plan of the narrower network is a plan of the
//! whole one.

use super::document::Plan;
use super::frame::Frame;
use super::network::Named;
use crate::job::PlaceKind;
use crate::planner::{Network, PoolId, Stretch, TaskId, Tick};
use crate::units::{Moment, Span};
use foldhash::HashMap;

/// People have arranged themselves for this long ahead (judgement, no source).
pub(super) const ARRANGED: Span = Span::hours(4);

/// The plan in force as the network sees it.
pub(super) struct InForce {
    /// Start of each task; `None` where the plan does not have it.
    pub starts: Vec<Option<Tick>>,
    /// Hands of each task (bits).
    pub workers: Vec<u64>,
    /// The pool each run stands on; `None` where the plan does not say.
    pub pools: Vec<Option<PoolId>>,
    /// Tasks in order of their starts.
    pub order: Vec<TaskId>,
    /// Something due before now has not begun.
    pub behind: bool,
}

impl InForce {
    /// Lays a plan beside a frame and its network.
    pub fn of(frame: &Frame, named: &Named, plan: &Plan) -> Self {
        let mut starts = vec![None; frame.work.operations.len()];
        let mut workers = vec![0; frame.work.operations.len()];
        let mut order = Vec::with_capacity(plan.operations.len());
        let mut behind = false;
        for operation in &plan.operations {
            let Some(at) = frame.find(&operation.id) else {
                continue;
            };
            let start = Moment::of(&operation.start);
            behind |= start < frame.now && frame.fate(at).is_none();
            if let Some(known) = starts.get_mut(at) {
                *known = Some(frame.tick(start));
                order.push((start, at));
            }
            if let Some(own) = workers.get_mut(at) {
                let hands = frame.job.hands.iter().take(64).enumerate();
                let hands = hands.filter(|(_, hand)| operation.hands.contains(&hand.name));
                *own = hands.fold(0, |all, (bit, _)| all | 1_u64 << bit);
            }
        }
        order.sort_unstable();
        let order = order.into_iter().map(|(_, at)| at as TaskId).collect();
        Self {
            starts,
            workers,
            pools: pools(frame, named, plan),
            order,
            behind,
        }
    }
}

/// The pool each run of the network stands on by a plan.
fn pools(frame: &Frame, named: &Named, plan: &Plan) -> Vec<Option<PoolId>> {
    let mut pools = vec![None; named.network.chains.len()];
    let kinds: HashMap<&str, PlaceKind> = plan.places.iter().map(|line| (line.id.as_str(), line.kind)).collect();
    let on: HashMap<&str, &str> = plan
        .operations
        .iter()
        .filter_map(|operation| Some((operation.id.as_str(), operation.place.as_deref()?)))
        .collect();
    for (place, run) in frame.work.places.iter().zip(&named.runs) {
        let first = frame.work.operations.get(place.first);
        let kind = first
            .and_then(|first| on.get(first.id.as_str()))
            .and_then(|id| kinds.get(id));
        let pool = kind.and_then(|kind| named.pools.iter().position(|known| known == kind));
        if let Some(run) = run
            && let Some(own) = pools.get_mut(*run as usize)
        {
            *own = pool.map(|pool| pool as PoolId);
        }
    }
    pools
}

/// The network in which nothing starts before it does in the plan in force, nor in other hands: filled in the order of that plan
/// it gives the plan itself where nothing has changed, and else the plan with what must move put back.
pub(super) fn held(network: &Network, in_force: &InForce) -> Network {
    let mut narrow = network.clone();
    let known = in_force.starts.iter().zip(&in_force.workers);
    for (task, (start, workers)) in narrow.tasks.iter_mut().zip(known) {
        if let Some(start) = start.filter(|_| task.fixed.is_none()) {
            task.release = task.release.max(start);
            if workers.count_ones() == u32::from(task.crew.count) && task.crew.count > 0 {
                task.crew.among = *workers;
            }
        }
    }
    narrow
}

/// The network with everything due soon held to its start in the plan in force; `None` when something due has
/// not begun, so that the rest has to move, or nothing is due.
pub(super) fn pinned(frame: &Frame, network: &Network, in_force: &InForce) -> Option<Network> {
    if in_force.behind {
        return None;
    }
    let mut narrow = network.clone();
    let mut held = false;
    let soon = frame.tick(frame.now + ARRANGED);
    for (at, start) in in_force.starts.iter().enumerate() {
        let Some(tick) = start.filter(|&start| start < soon && frame.fate(at).is_none()) else {
            continue;
        };
        let task = network.tasks.get(at)?;
        let allowed = task.starts.and_then(|set| network.start_sets.get(set as usize));
        if allowed.is_some_and(|set| !set.iter().any(|stretch| (stretch.from..stretch.until).contains(&tick))) {
            // the room has changed: it may not start then any more
            return None;
        }
        narrow.start_sets.push(vec![Stretch {
            from: tick,
            until: tick + 1,
        }]);
        let set = narrow.start_sets.len() as u32 - 1;
        if let Some(task) = narrow.tasks.get_mut(at) {
            task.starts = Some(set);
            held = true;
        }
    }
    held.then_some(narrow)
}
