//! A tick before which no plan can be ready.
//!
//! Invariant: never above the `ready` of any plan that keeps every rule. Each step drops rules and never
//! adds one: paths keep waits, shifts and allowed starts; energy keeps only that hands and places cannot
//! give more minutes than they have between the first and the last tick at which work can be done.

mod asked;
mod lasting;
mod paths;
mod run;
mod supply;
mod turns;

use super::layout::Layout;
use super::network::{PoolId, Tick};
use asked::supplies;
use lasting::Lasting;
use paths::{heads, reached};
use turns::Turns;

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

impl Bound {
    /// Before it is reckoned: no plan is ready before the first tick.
    pub const UNKNOWN: Self = Self {
        ready: 0,
        reason: BoundReason::Drying,
    };
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
    // refuted: no plan is ready at or before it
    let mut refuted = path.saturating_sub(1);
    let mut next = tails(layout, path);
    let mut raise = |reason, refutes: &mut dyn FnMut(&[Option<Tick>]) -> bool| {
        // what does not refute the tick after the best so far refutes nothing later
        if !refutes(&next) {
            return;
        }
        refuted += 1;
        let mut open = layout.limit as Tick;
        while refuted + 1 < open {
            let middle = refuted + (open - refuted) / 2;
            if refutes(&tails(layout, middle)) {
                refuted = middle;
            } else {
                open = middle;
            }
        }
        next = tails(layout, refuted + 1);
        best = Bound {
            ready: refuted + 1,
            reason,
        };
    };
    raise(BoundReason::Calendar, &mut |lasts| {
        layout.tight.sequence.iter().any(|&task| {
            !layout.is_optional(task) && lasts[task as usize].is_none_or(|last| last < heads[task as usize])
        })
    });
    let mut lasting = Lasting::new(layout);
    for mut supply in supplies(layout, &mut lasting) {
        let reason = supply.reason;
        raise(reason, &mut |lasts| supply.falls_short(network, &heads, lasts));
    }
    for mut turns in Turns::of(layout, &mut lasting) {
        let reason = turns.reason;
        raise(reason, &mut |lasts| turns.fall_short(layout, &heads, lasts));
    }
    best
}
