//! What can hold a task back.
//!
//! Invariant: closed, and each cause can be disregarded alone by the search for the earliest start, so a
//! reason given is a reason that was tried.

use super::network::{PoolId, TaskId};

/// One thing that holds a task back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Cause {
    /// The least wait between it and this task.
    Wait(TaskId),
    /// The window between it and this task: too early yet, or in the gap.
    Window(TaskId),
    /// The hands are at other work.
    Hands,
    /// Hours in which nobody works.
    Shift,
    /// Setting up or cleaning out.
    SetUp,
    /// Places.
    Place(PoolId),
    /// Dust has not settled, or would not have by the next coat.
    DustSettle,
    /// Dust and something wet would meet.
    DustWet,
    /// It may not start in these hours.
    StartSet,
    /// It may not start before.
    Release,
    /// A budget is used up.
    Budget(u32),
    /// The longest wait between it and this task of its bundle.
    Bundle(TaskId),
}

/// Causes to disregard.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Skip {
    causes: [Option<Cause>; 2],
}

impl Skip {
    pub(super) const NOTHING: Self = Self { causes: [None, None] };

    pub(super) fn one(cause: Cause) -> Self {
        Self {
            causes: [Some(cause), None],
        }
    }

    pub(super) fn two(one: Cause, other: Cause) -> Self {
        Self {
            causes: [Some(one), Some(other)],
        }
    }

    #[inline]
    pub(super) fn has(self, cause: Cause) -> bool {
        self.causes[0].is_some() && (self.causes[0] == Some(cause) || self.causes[1] == Some(cause))
    }
}
