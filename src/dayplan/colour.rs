//! Colour put on by several hands or on several days: it is then seldom of one tone.
//!
//! Invariant: a caution refers to exactly the colouring outside the largest session by one pair of hands.

use super::document::{Caution, Operation, Plan, Severity};
use super::frame::Frame;
use crate::finish::StepKind;
use std::collections::BTreeMap;

/// The caution of every dye or stain that is not put on in one session by one pair of hands.
pub(super) fn cautions(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    let products = frame.clocks().iter().map(|(product, _)| product);
    products
        .filter_map(|product| {
            let mut sessions: BTreeMap<_, Vec<&Operation>> = BTreeMap::new();
            let colours = plan.operations.iter().filter(|operation| {
                operation.step == StepKind::Colour && operation.product.as_deref() == Some(product.id.as_str())
            });
            for colour in colours {
                let session = (colour.start.date_naive(), colour.hands.clone());
                sessions.entry(session).or_default().push(colour);
            }
            let largest = sessions.values().map(Vec::len).max()?;
            if sessions.len() < 2 {
                return None;
            }
            let main = sessions.iter().find(|session| session.1.len() == largest)?.0.clone();
            let apart = sessions.iter().filter(|session| *session.0 != main);
            let refers = apart.flat_map(|session| session.1).map(|one| one.id.clone()).collect();
            let named = sessions
                .iter()
                .map(|((day, hands), colours)| {
                    format!("{} on {} by {}", colours.len(), day.format("%a %-d %b"), hands.join(" and "))
                })
                .collect::<Vec<_>>();
            Some(Caution::new(
                "colour-in-sessions",
                Severity::Warning,
                format!(
                    "{} goes on in more than one session: two days or two pairs of hands seldom give one tone. Mix and box all of it first, keep the pieces that stand beside each other in one session, and judge the second against a piece of the first; longer hours on that day would bring it together.",
                    product.name
                ),
                Some(named.join(", ")),
                "common practice, no source",
                refers,
            ))
        })
        .collect()
}
