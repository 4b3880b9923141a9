//! What became of each operation, as far as the shelf is concerned.
//!
//! Invariant: skipped operations are not here; those the plan no longer names are here if they were done.

use crate::dayplan::document::{Operation, State};
use crate::dayplan::history::Fate;
use crate::dayplan::{History, Plan};

/// An operation that takes from the shelf.
#[derive(Clone, Copy)]
pub(super) struct Counted<'a> {
    pub operation: &'a Operation,
    /// It is done or on the bench: what it takes is gone.
    pub used: bool,
}

/// The operations of a plan, and where a history is given of what was done before it.
pub(super) fn counted<'a>(plan: &'a Plan, history: Option<&'a History>) -> Vec<Counted<'a>> {
    let fate = |id: &str| history.and_then(|history| history.operations.get(id));
    let planned = plan
        .operations
        .iter()
        .filter_map(|operation| match fate(&operation.id) {
            Some(Fate::Skipped { .. }) => None,
            Some(Fate::Done(_) | Fate::Begun { .. }) => Some(Counted { operation, used: true }),
            None if operation.state == State::Skipped => None,
            None => Some(Counted {
                operation,
                used: matches!(operation.state, State::Done | State::Running),
            }),
        });
    let earlier = history.into_iter().flat_map(|history| history.earlier.values());
    let done = earlier.filter(|operation| matches!(fate(&operation.id), Some(Fate::Done(_) | Fate::Begun { .. })));
    planned
        .chain(done.map(|operation| Counted { operation, used: true }))
        .collect()
}
