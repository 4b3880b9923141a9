//! Preparation that a plan has gone stale is put off in the network, and the job planned again.
//!
//! Invariant: only releases are moved, and only later, so a plan of the narrowed network is one of the whole.
//!
//! The search prepares as early as it can. Where coats have to wait long (for the vapour of others, for places, for
//! a warm day), what was sanded too early is done later instead, as a finisher would.

use super::frame::Frame;
use super::verify::{Breach, Rule};
use crate::planner::{Network, Solution, Tick};

/// How often preparation is put off before another way is taken.
pub(super) const ROUNDS: usize = 24;
/// How much later each time.
const LATER: Tick = 12 * 60;

/// The network with what was stale in a solution released later; `None` where nothing that is not a fact was.
pub(super) fn freshened(frame: &Frame, network: &Network, solution: &Solution, breaches: &[Breach]) -> Option<Network> {
    let mut narrow = network.clone();
    let mut moved = false;
    for breach in breaches.iter().filter(|breach| breach.rule == Rule::Stale) {
        // the coat first, then what is too old under it
        let Some(at) = breach.operations.get(1).and_then(|id| frame.find(id)) else {
            continue;
        };
        let start = solution.starts.get(at).copied().flatten();
        let (Some(start), Some(task)) = (start, narrow.tasks.get_mut(at)) else {
            continue;
        };
        if task.fixed.is_none() {
            task.release = task.release.max(start + LATER);
            moved = true;
        }
    }
    moved.then_some(narrow)
}
