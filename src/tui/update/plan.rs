//! Replans: asked for after what changes the plan, taken on when no layer is open.
//!
//! Invariant: an answer of an older generation changes nothing; a plan is in force only once it is in the
//! log; a plan never changes under an open look. Where several screens plan for one change of the files the first
//! that writes counts, and the others take its plan from the log.

use super::super::model::{Better, Cause, Model, Planning, Tone};
use super::super::msg::{Effect, Write};
use crate::dayplan::{self, Plan};
use crate::log::What;
use std::sync::Arc;

/// What is said of a plan that was taken on.
const UP_TO_DATE: &str = "The plan is brought up to date.";

/// What is said of one that was there at once.
const FOR_NOW: &str = "A first plan is there; a better one is looked for.";

/// Asks for a replan.
pub fn ask(model: &mut Model) -> Effect {
    model.cause = Cause::Here;
    model.generation += 1;
    model.planning = Planning::Working;
    model.better = Better::NotLookedFor;
    Effect::Replan(model.generation)
}

/// The same because somebody else changed the files.
pub fn ask_for_files(model: &mut Model) -> Effect {
    let effect = ask(model);
    model.cause = Cause::Files;
    effect
}

/// Another screen took a plan on: one that was only wanted for the files they share is not wanted any more.
pub fn overtaken(model: &mut Model) {
    if model.cause == Cause::Files && (model.planning != Planning::Still || model.better == Better::LookedFor) {
        model.cause = Cause::Here;
        model.generation += 1;
        model.planning = Planning::Still;
        model.better = Better::NotLookedFor;
    }
}

/// Whether the plan in force keeps every rule of the job as it stands.
pub fn holds(model: &Model) -> bool {
    let plan = model.sheet.plan.as_deref();
    plan.is_some_and(|plan| dayplan::verify(plan, &model.sheet.job).is_empty())
}

/// A replan has a plan at once: it is taken on while a better one is looked for.
pub fn at_once(model: &mut Model, generation: u64, plan: Box<Plan>) -> Vec<Effect> {
    if generation == model.generation {
        model.better = Better::LookedFor;
        model.planning = if same(&plan, model.sheet.plan.as_deref()) {
            Planning::Still
        } else {
            Planning::Found(plan)
        };
    }
    Vec::new()
}

/// A replan has ended.
pub fn arrived(model: &mut Model, generation: u64, outcome: Result<Option<Box<Plan>>, String>) -> Vec<Effect> {
    if generation != model.generation {
        return Vec::new();
    }
    let had = std::mem::take(&mut model.planning);
    let better = std::mem::take(&mut model.better);
    if let Some((_, said)) = &mut model.said
        && let Some(cause) = said.strip_suffix(FOR_NOW)
    {
        // nothing is looked for any more
        *said = format!("{cause}{UP_TO_DATE}");
    }
    match outcome {
        // none is better than the one that was there at once
        Err(_) if better == Better::LookedFor => model.planning = had,
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
    let news = match model.better {
        Better::LookedFor => FOR_NOW,
        Better::NotLookedFor => UP_TO_DATE,
    };
    // what was said of its cause stays
    let words = match &model.said {
        Some((Tone::Done | Tone::Plain, said)) if !said.ends_with(UP_TO_DATE) => format!("{said} {news}"),
        _ => news.to_owned(),
    };
    vec![Effect::Write(Write {
        what: vec![What::AcceptedPlan { plan: Arc::from(plan) }],
        words,
        over: model.sheet.plan.clone(),
    })]
}

/// Whether a new plan changes nothing.
fn same(new: &Plan, old: Option<&Plan>) -> bool {
    old.is_some_and(|old| new.tells_the_same(old))
}
