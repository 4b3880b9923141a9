//! Which coats give off what, and when.
//!
//! Invariant: every operation of the plan that puts a product on is either a coat here or named among what is
//! missing.

use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, Stamp, State};
use crate::finish::{Product, StepKind};
use crate::job::Job;
use crate::science::vapour::{Release, Substance};
use crate::units::{Grams, Millilitres, Moment};
use serde::Serialize;
use std::collections::BTreeMap;

/// One coat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CoatAir {
    /// Its operation.
    pub operation: String,
    /// Product.
    pub product: String,
    /// Begun.
    pub start: Stamp,
    /// Ended.
    pub end: Stamp,
    /// Solvent given off, grams, spray that misses the work included.
    pub grams: f64,
    /// Time constant of its release, minutes.
    pub release_minutes: f64,
    /// Grams by solvent.
    pub by_solvent: BTreeMap<String, f64>,
}

/// Something that keeps a coat's vapour from being computed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Missing {
    /// Product.
    pub product: String,
    /// What is missing, in words.
    pub what: String,
    /// Operations it is missing for.
    pub operations: Vec<String>,
}

/// A coat ready to be followed through the room.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    pub operation: String,
    pub product: String,
    pub start: Moment,
    pub end: Moment,
    pub release: Release,
    pub parts: Vec<(&'static Substance, Grams)>,
}

/// The coats of a plan, with what is missing.
#[derive(Clone, Debug, Default)]
pub(super) struct Coats {
    pub told: Vec<CoatAir>,
    pub laid: Vec<Laid>,
    pub missing: Vec<Missing>,
}

/// Whether an operation puts a product on.
pub(super) fn puts_on(operation: &Operation) -> bool {
    let on = matches!(
        operation.step,
        StepKind::Seal | StepKind::Coat | StepKind::Wax | StepKind::Colour | StepKind::Fill
    );
    on && operation.state != State::Skipped && operation.product.is_some()
}

/// The coats of a plan.
pub(super) fn of(job: &Job, plan: &Plan) -> Coats {
    let mut coats = Coats::default();
    for operation in plan.operations.iter().filter(|operation| puts_on(operation)) {
        let Some(id) = operation.product.as_deref() else {
            continue;
        };
        match coat(job, operation, id) {
            Ok((told, laid, unknown)) => {
                coats.told.push(told);
                coats.laid.push(laid);
                for name in unknown {
                    let what = format!("nothing is known of its solvent {name}; its vapour is left out");
                    coats.miss(id, what, &operation.id);
                }
            }
            Err(what) => coats.miss(id, what.to_owned(), &operation.id),
        }
    }
    coats
}

impl Coats {
    fn miss(&mut self, product: &str, what: String, operation: &str) {
        let known = self
            .missing
            .iter_mut()
            .find(|one| one.product == product && one.what == what);
        if let Some(known) = known {
            known.operations.push(operation.to_owned());
        } else {
            self.missing.push(Missing {
                product: product.to_owned(),
                what,
                operations: vec![operation.to_owned()],
            });
        }
    }
}

fn coat(job: &Job, operation: &Operation, id: &str) -> Result<(CoatAir, Laid, Vec<String>), &'static str> {
    let product: &Product = job.product(id).ok_or("the job has no such product any more")?;
    let on_work = operation
        .volume
        .ok_or("its wet film is not given, so its volume is not known")?;
    let used = job.in_the_air(id, operation.step, Millilitres(on_work));
    let what = "its solvents or its density are not given";
    let given = product.given_off(used).ok_or(what)?;
    let release = product.release(operation.coat.unwrap_or(1));
    let by_solvent = given
        .parts
        .iter()
        .map(|(substance, grams)| (substance.name.to_owned(), grams.0));
    let told = CoatAir {
        operation: operation.id.clone(),
        product: id.to_owned(),
        start: operation.start,
        end: operation.end,
        grams: given.total().0,
        release_minutes: release.time_constant(),
        by_solvent: by_solvent.collect(),
    };
    let laid = Laid {
        operation: operation.id.clone(),
        product: id.to_owned(),
        start: Moment::of(&operation.start),
        end: Moment::of(&operation.end),
        release,
        parts: given.parts,
    };
    Ok((told, laid, given.unknown.into_iter().map(|(name, _)| name).collect()))
}
