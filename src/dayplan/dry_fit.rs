//! Which checks of a plan are the dry fit once more: the joints tried after the last coat.
//!
//! Invariant: told from the step and the id alone, which the plan as a document carries.

use super::document::{Operation, Round};
use crate::finish::StepKind;

/// Whether an operation is the dry fit.
pub fn is_dry_fit(operation: &Operation) -> bool {
    is_fit(operation.step, &operation.id)
}

/// Whether a round is.
pub fn is_round_of_dry_fits(round: &Round) -> bool {
    round.operations.first().is_some_and(|id| is_fit(round.step, id))
}

fn is_fit(step: StepKind, id: &str) -> bool {
    step == StepKind::Check && id.rsplit('/').next() == Some("dry-fit")
}
