//! A tick before which no plan can be ready.
//!
//! Invariant: never above the `ready` of any plan that keeps every rule. Each step drops rules and never
//! adds one: paths keep waits, shifts and allowed starts; energy keeps only that hands and places cannot
//! give more minutes than they have between the first and the last tick at which work can be done.

mod asked;
mod lasting;
mod paths;
mod supply;

use super::layout::Layout;
use super::network::{PoolId, Tick};
use asked::supplies;
use paths::{heads, reached};
use supply::Supply;

pub(super) use paths::tails;

/// What the bound rests on: of the things a network has, the one that no plan can get round sooner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BoundReason {
    /// Hands cannot do the work sooner.
    Hands,
    /// Waits alone take that long.
    Drying,
    /// This pool cannot hold more at once.
    Places(PoolId),
    /// This budget (index) cannot take more at once.
    Budget(u32),
    /// Dust and wet work cannot go on together.
    Dust,
    /// Closed hours between the waits.
    Calendar,
    /// Every shorter plan was tried and ruled out.
    Search,
}

/// No plan can be ready before `ready`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Bound {
    /// The tick.
    pub ready: Tick,
    /// Why.
    pub reason: BoundReason,
}

/// The bound of a network that has passed its checks.
pub(super) fn bound(layout: &Layout) -> Bound {
    let network = layout.network;
    let heads = heads(layout, true);
    let path = reached(layout, &heads);
    let drying = reached(layout, &paths::heads(layout, false));
    let reason = if u64::from(drying) * 5 >= u64::from(path) * 4 {
        BoundReason::Drying
    } else {
        BoundReason::Calendar
    };
    let mut best = Bound { ready: path, reason };
    if network.goals.is_empty() {
        return best;
    }
    let supplies = supplies(layout);
    if supplies.is_empty() {
        return best;
    }
    // refuted: no plan is ready at or before it
    let (mut refuted, mut open) = (path.saturating_sub(1), layout.limit as Tick);
    while refuted + 1 < open {
        let middle = refuted + (open - refuted) / 2;
        match refute(layout, &heads, &supplies, middle) {
            Some(reason) => {
                refuted = middle;
                best = Bound {
                    ready: middle + 1,
                    reason,
                };
            }
            None => open = middle,
        }
    }
    best
}

/// Whether some supply falls short if all is to be ready by `ready`.
fn refute(layout: &Layout, heads: &[Tick], supplies: &[Supply], ready: Tick) -> Option<BoundReason> {
    let lasts = tails(layout, ready);
    for &task in &layout.tight.sequence {
        if !layout.is_optional(task) && lasts[task as usize].is_none_or(|last| last < heads[task as usize]) {
            return Some(BoundReason::Calendar);
        }
    }
    supplies
        .iter()
        .find(|supply| supply.falls_short(layout.network, heads, &lasts))
        .map(|supply| supply.reason)
}
