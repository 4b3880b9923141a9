//! Replans: asked for after what changes the plan, taken on when no layer is open.
//!
//! Invariant: an answer of an older generation changes nothing; a plan is in force only once it is in the
//! log; a plan never changes under an open look.

use super::super::model::{Model, Planning, Tone};
use super::super::msg::{Effect, Write};
use crate::dayplan::Plan;
use crate::log::What;
use std::sync::Arc;

/// What is said of a plan that was taken on.
const UP_TO_DATE: &str = "The plan is brought up to date.";

/// Asks for a replan.
pub fn ask(model: &mut Model) -> Effect {
    model.generation += 1;
    model.planning = Planning::Working;
    Effect::Replan(model.generation)
}

/// A replan has ended.
pub fn arrived(model: &mut Model, generation: u64, outcome: Result<Option<Box<Plan>>, String>) -> Vec<Effect> {
    if generation != model.generation {
        return Vec::new();
    }
    model.planning = Planning::Still;
    match outcome {
        Ok(Some(plan)) if !same(&plan, model.sheet.plan.as_deref()) => model.planning = Planning::Found(plan),
        Ok(_) => {}
        Err(why) => {
            model.said = Some((Tone::Wrong, format!("The plan could not be brought up to date: {why}")));
        }
    }
    Vec::new()
}

/// Takes a plan that was found on, when nothing lies over the page.
pub fn take_on(model: &mut Model) -> Vec<Effect> {
    if !model.layers.is_empty() || model.writing || model.read_only {
        return Vec::new();
    }
    let plan = match std::mem::take(&mut model.planning) {
        Planning::Found(plan) => plan,
        other => {
            model.planning = other;
            return Vec::new();
        }
    };
    model.writing = true;
    // what was said of its cause stays
    let words = match &model.said {
        Some((Tone::Done | Tone::Plain, said)) if !said.ends_with(UP_TO_DATE) => format!("{said} {UP_TO_DATE}"),
        _ => UP_TO_DATE.to_owned(),
    };
    vec![Effect::Write(Write {
        what: vec![What::AcceptedPlan { plan: Arc::from(plan) }],
        words,
    })]
}

/// The same rounds and operations at the same times: nothing worth a record.
fn same(new: &Plan, old: Option<&Plan>) -> bool {
    old.is_some_and(|old| {
        new.rounds == old.rounds
            && new.operations == old.operations
            && new.ready == old.ready
            && new.cautions == old.cautions
    })
}
