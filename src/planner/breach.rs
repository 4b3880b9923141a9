//! What can be wrong with a plan.
//!
//! Invariant: closed; each names the tasks by which it shows. What is wrong among facts alone is no breach.

use super::network::{PoolId, TaskId, Tick};

/// A rule of the network that a plan breaks.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Breach {
    /// The plan does not have one entry a task and one a chain.
    Shape,
    /// A task that must be done is not.
    NotDone(TaskId),
    /// An optional task is done though no window calls for it.
    Needless(TaskId),
    /// A fact is given another start or other hands.
    FactMoved(TaskId),
    /// A run holds a place of a kind it may not stand on.
    WrongPool {
        /// The run.
        chain: u32,
        /// Its first task.
        first: TaskId,
    },
    /// It starts before its release.
    BeforeRelease(TaskId),
    /// It starts outside its allowed starts.
    OutsideStarts(TaskId),
    /// It starts at or after the horizon.
    AfterHorizon(TaskId),
    /// What must be over after it never is.
    NeverOver(TaskId),
    /// It starts before the least wait is over.
    TooSoon {
        /// The earlier task.
        before: TaskId,
        /// The later task.
        after: TaskId,
    },
    /// It starts after the longest wait is over.
    TooLate {
        /// The earlier task.
        before: TaskId,
        /// The later task.
        after: TaskId,
    },
    /// It starts in no stretch of the window, or without the task that stretch calls for.
    OutsideWindow {
        /// The earlier task.
        before: TaskId,
        /// The later task.
        after: TaskId,
    },
    /// Too many, too few or the wrong hands.
    WrongHands(TaskId),
    /// A worker works outside a shift, or over its end.
    OutsideShift {
        /// The task.
        task: TaskId,
        /// The worker.
        worker: u8,
    },
    /// A worker does two tasks at once.
    TwoAtOnce {
        /// One task.
        one: TaskId,
        /// The other.
        other: TaskId,
        /// The worker.
        worker: u8,
    },
    /// There is no room to set up before it.
    NotOpened {
        /// The task.
        task: TaskId,
        /// The worker.
        worker: u8,
    },
    /// There is no room to clean out after it.
    NotClosed {
        /// The task.
        task: TaskId,
        /// The worker.
        worker: u8,
    },
    /// The set-ups listed are not those the order of tasks calls for.
    WrongSetups,
    /// More of a pool is in use than there is.
    PoolOver {
        /// The pool.
        pool: PoolId,
        /// When.
        at: Tick,
        /// The tasks that use it then.
        tasks: Vec<TaskId>,
    },
    /// More of a budget is drawn than there is.
    BudgetOver {
        /// The budget.
        budget: u32,
        /// When.
        at: Tick,
        /// The tasks that draw on it then.
        tasks: Vec<TaskId>,
    },
    /// A chain is not held from its first start until its last tail is over.
    WrongHold {
        /// The chain.
        chain: u32,
        /// Its first task.
        first: TaskId,
    },
    /// Dust is made while something is wet.
    DustOnWet {
        /// The dusty task.
        dusty: TaskId,
        /// The wet task; `None` when it has been wet from before.
        wet: Option<TaskId>,
    },
    /// Something wet starts before the dust has settled.
    Unsettled {
        /// The dusty task; `None` when the dust is from before.
        dusty: Option<TaskId>,
        /// The wet task.
        wet: TaskId,
    },
    /// The score is not that of the plan.
    WrongScore,
}
