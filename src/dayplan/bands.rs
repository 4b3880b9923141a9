//! What has to be wiped off sooner than a whole surface can be: it is worked in bands.
//!
//! Invariant: a caution refers to exactly the coats that take longer than their product may stand.

use super::document::{Caution, Plan, Severity};
use super::frame::Frame;

/// The caution of every product some surface is too large for.
pub(super) fn cautions(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    let mut found = Vec::new();
    for (product, _) in frame.clocks() {
        let Some(wipe) = &product.wipe else { continue };
        let takes = |operation: &&super::document::Operation| {
            let minutes = (operation.end - operation.start).num_minutes() as f64;
            operation.product.as_deref() == Some(product.id.as_str())
                && operation.dry.is_some()
                && operation.surfaces.len() == 1
                && minutes > wipe.within.low
        };
        let slow: Vec<_> = plan.operations.iter().filter(takes).collect();
        let longest = slow.iter().map(|one| (one.end - one.start).num_minutes()).max();
        let Some(longest) = longest else { continue };
        let alone = slow.iter().any(|one| one.hands.len() < 2);
        let hands = if alone {
            "A second pair of hands that wipes behind, or a retarder, is surer"
        } else {
            "One pair of hands floods, the other wipes behind"
        };
        found.push(Caution::new(
            "in-bands",
            Severity::Warning,
            format!(
                "{} has to be wiped off sooner than the largest surfaces can be gone over: work them in bands along the grain, each wiped before the next, and keep the edge between them wet, or it laps. {hands}.",
                product.name
            ),
            Some(format!("off within {} min; the longest takes {longest} min", wipe.within.low)),
            &wipe.within.source,
            slow.iter().map(|one| one.id.clone()).collect(),
        ));
    }
    found
}
