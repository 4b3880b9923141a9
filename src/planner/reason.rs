//! Why there can be no plan.
//!
//! Invariant: closed; each names the task where it shows (when there is one) and the rule that cannot hold.

use super::network::TaskId;
use thiserror::Error;

/// The kinds of thing a network refers to by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Thing {
    /// A clock.
    Clock,
    /// A pool.
    Pool,
    /// A family.
    Family,
    /// A budget.
    Budget,
    /// A set of allowed starts.
    StartSet,
    /// A task.
    Task,
    /// A worker.
    Worker,
}

/// A rule that cannot hold.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Error)]
pub enum Reason {
    /// The network refers to something that is not there.
    #[error("refers to a {0:?} that is not there")]
    NoSuch(Thing),
    /// Stretches, clocks or spans are not in order.
    #[error("stretches of a {0:?} are not in order or overlap")]
    Unsorted(Thing),
    /// More than the engine can count (64 workers, fifteen years of minutes).
    #[error("more than can be counted")]
    TooMuch,
    /// Waits run in a circle.
    #[error("waits run in a circle through {0:?}")]
    Cyclic(Vec<TaskId>),
    /// It needs more hands than there are among those who may do it.
    #[error("needs more hands than may do it")]
    CrewTooSmall,
    /// No shift is long enough for it and its set-up.
    #[error("no shift is long enough")]
    NoShiftLongEnough,
    /// It may never start inside its allowed starts.
    #[error("never inside its allowed starts")]
    NeverInStartSet,
    /// Something that must be over after it is never over before the clock ends.
    #[error("what must follow by itself is never over")]
    TailNeverReached,
    /// A pool or budget is smaller than what it asks for, or is never free.
    #[error("asks for more places than there are")]
    CapacityTooSmall,
    /// The tasks of its bundle cannot be placed within their longest waits.
    #[error("the longest wait of its bundle cannot be met")]
    LongestWait,
    /// It fits alone, but in no order tried does everything fit before the horizon.
    #[error("there is no room before the horizon")]
    Horizon,
}

/// There is no plan: the task at which it shows, and the rule.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Error)]
#[error("task {task:?}: {reason}")]
pub struct Infeasible {
    /// The task, when one can be named.
    pub task: Option<TaskId>,
    /// The rule.
    pub reason: Reason,
}

impl Infeasible {
    pub(super) fn at(task: TaskId, reason: Reason) -> Self {
        Self {
            task: Some(task),
            reason,
        }
    }

    pub(super) fn network(reason: Reason) -> Self {
        Self { task: None, reason }
    }
}
