//! The stage ladder of a product: which rungs stand above which, and which every product must have.
//!
//! Invariant: pure questions about a product; what is done about an answer is decided by who asks.
//!
//! The rungs to sand, to recoat and to handle stand side by side: a shellac is recoated long before it can be
//! sanded, a varnish is carried before it is recoated. All three stand above dry to touch and below dry hard.

use super::product::{Product, Stage};
use std::collections::BTreeSet;

/// Two rungs out of order: `later` is reached before `earlier`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fall {
    /// The rung that should come first.
    pub earlier: Stage,
    /// The rung that should not come before it.
    pub later: Stage,
    /// The coat number for which it does.
    pub coat: u8,
}

/// The rungs a product must give where it is a coat.
pub const COAT_STAGES: [Stage; 9] = [
    Stage::DustFree,
    Stage::DryToTouch,
    Stage::DryToSand,
    Stage::DryToRecoat,
    Stage::DryToHandle,
    Stage::DryHard,
    Stage::DryToStack,
    Stage::DryThrough,
    Stage::Cured,
];

/// The rungs a product must give where nothing goes over it (wax is not sanded).
pub const TERMINAL_STAGES: [Stage; 6] = [
    Stage::DustFree,
    Stage::DryToTouch,
    Stage::DryToRecoat,
    Stage::DryToHandle,
    Stage::DryHard,
    Stage::DryToStack,
];

/// How high a rung stands; rungs of one height stand side by side.
pub const fn height(stage: Stage) -> u8 {
    match stage {
        Stage::SetToTouch => 0,
        Stage::DustFree => 1,
        Stage::TackFree => 2,
        Stage::DryToTouch => 3,
        Stage::DryToSand | Stage::DryToRecoat | Stage::DryToHandle => 4,
        Stage::DryHard => 5,
        Stage::DryToStack => 6,
        Stage::DryThrough => 7,
        Stage::Cured => 8,
    }
}

/// The coat numbers at which some rung changes its time; 1 is always among them.
pub fn coat_numbers(product: &Product) -> BTreeSet<u8> {
    let changes = product.stages.iter().map(|rung| rung.from_coat.max(1));
    changes.chain([1]).collect()
}

/// Every pair of rungs out of order, by its low or its high end, each with the first coat it happens for.
pub fn falls(product: &Product) -> Vec<Fall> {
    let mut found: Vec<Fall> = Vec::new();
    for coat in coat_numbers(product) {
        for later in Stage::ALL {
            let Some(after) = product.time_to(later, coat) else {
                continue;
            };
            for earlier in Stage::ALL.into_iter().filter(|stage| height(*stage) < height(later)) {
                let Some(before) = product.time_to(earlier, coat) else {
                    continue;
                };
                let falls = after.low < before.low || after.high < before.high;
                let known = |fall: &Fall| (fall.earlier, fall.later) == (earlier, later);
                if falls && !found.iter().any(known) {
                    found.push(Fall { earlier, later, coat });
                }
            }
        }
    }
    found
}

/// The rungs this product must give and does not.
pub fn missing(product: &Product) -> Vec<Stage> {
    let needed: &[Stage] = if product.terminal {
        &TERMINAL_STAGES
    } else {
        &COAT_STAGES
    };
    let absent = |stage: &Stage| product.time_to(*stage, 1).is_none();
    needed.iter().copied().filter(absent).collect()
}
