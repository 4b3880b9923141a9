//! When each stage of a planned coat is reached.
//!
//! Invariant: stages by the slow estimate; closings by the fast one; a stage the product does not give or
//! the foreseen air never brings is `None`.

use super::document::{Dry, DryWindow, StageName, Stamp};
use super::tell::Told;
use crate::finish::Stage;
use crate::units::Moment;
use crate::work::Delay;

/// Name of a stage in documents.
pub(super) fn stage_name(stage: Stage) -> StageName {
    match stage {
        Stage::SetToTouch => StageName::SetToTouch,
        Stage::DustFree => StageName::DustFree,
        Stage::TackFree => StageName::TackFree,
        Stage::DryToTouch => StageName::DryToTouch,
        Stage::DryToSand => StageName::DryToSand,
        Stage::DryToRecoat => StageName::DryToRecoat,
        Stage::DryToHandle => StageName::DryToHandle,
        Stage::DryHard => StageName::DryHard,
        Stage::DryToStack => StageName::DryToStack,
        Stage::DryThrough => StageName::DryThrough,
        Stage::Cured => StageName::Cured,
    }
}

/// The drying of the film laid by an operation that ended at `end`.
pub(super) fn of(told: &Told, operation: usize, end: Moment) -> Dry {
    let frame = told.frame;
    let given = |stage: Stage| {
        let laid = frame.work.operations.get(operation)?;
        let product = frame.product(operation)?;
        product.time_to(stage, laid.coat.unwrap_or(1))
    };
    let at = |stage: Stage| -> Option<Stamp> {
        given(stage)?;
        frame.over(operation, Delay::Film(stage), end).map(|at| told.stamp(at))
    };
    let mut windows = Vec::new();
    let from = told.windows_from.get(operation).into_iter().flatten();
    for window in from.filter_map(|&window| frame.work.windows.get(window as usize)) {
        let coats = frame
            .work
            .operations
            .get(window.after)
            .is_some_and(crate::work::WorkOperation::lays_film);
        for span in window.spans.iter().filter(|_| coats) {
            if let Some(from) = frame.over(operation, span.opens, end) {
                let until = span.closes.and_then(|closes| frame.over(operation, closes, end));
                windows.push(DryWindow {
                    from: told.stamp(from),
                    until: until.map(|until| told.stamp(until)),
                    prepare: span.prepare,
                });
            }
        }
    }
    Dry {
        set_to_touch: at(Stage::SetToTouch),
        dust_free: at(Stage::DustFree),
        tack_free: at(Stage::TackFree),
        dry_to_touch: at(Stage::DryToTouch),
        // laid over on bearers at dry to touch
        dry_to_turn: at(Stage::DryToTouch),
        dry_to_sand: at(Stage::DryToSand),
        dry_to_recoat: at(Stage::DryToRecoat),
        dry_to_handle: at(Stage::DryToHandle),
        dry_hard: at(Stage::DryHard),
        dry_to_stack: at(Stage::DryToStack),
        dry_through: at(Stage::DryThrough),
        cured: at(Stage::Cured),
        windows,
    }
}
