//! Keeping to the plan in force for the hours that have already been arranged.
//!
//! Invariant: pinning only narrows the network, so a plan of the pinned network is a plan of the whole one.

use super::frame::Frame;
use crate::planner::{Network, Stretch};
use crate::units::{Moment, Span};

/// People have arranged themselves for this long ahead (judgement, no source).
pub(super) const ARRANGED: Span = Span::hours(4);

/// The network with everything due soon held to its start in the plan in force; `None` without such a plan,
/// or when something due has not begun, so that the rest has to move.
pub(super) fn pinned(frame: &Frame, network: &Network) -> Option<Network> {
    let plan = frame.history.plan.as_deref()?;
    let mut narrow = network.clone();
    let mut held = false;
    for operation in &plan.operations {
        let Some(at) = frame.work.find(&operation.id) else {
            continue;
        };
        let start = Moment::of(&operation.start);
        if frame.fate(at).is_some() || start >= frame.now + ARRANGED {
            continue;
        }
        if start < frame.now {
            return None;
        }
        let tick = frame.tick(start);
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
