//! A maker's own grits: from coarse to fine, in steps that take the last scratches out.
//!
//! Invariant: only grades with a known grain are compared; limits are those of `science::abrasive`.

use crate::finish::Grit;
use crate::science::abrasive::{STEP_LIMIT, STEP_WARNING, step_ratio};
use crate::source::{Code, Found, Problem, Problems, Value};

/// Reads `grits`; absent: the schedule's.
pub(super) fn read(value: Value<'_>) -> Vec<Grit> {
    let Some(list) = value.list() else { return Vec::new() };
    let grits: Vec<Option<Found<Grit>>> = list.value.into_iter().map(Value::grit).collect();
    for pair in grits.iter().zip(grits.iter().skip(1)) {
        // a step from or to a grit that could not be read says nothing
        if let (Some(before), Some(after)) = pair {
            check_step(value.problems(), before, after);
        }
    }
    grits.into_iter().flatten().map(|grit| grit.value).collect()
}

fn check_step(problems: &Problems<'_>, before: &Found<Grit>, after: &Found<Grit>) {
    let (Some(coarse), Some(fine)) = (before.value.grade.grain(), after.value.grade.grain()) else {
        return;
    };
    let ratio = step_ratio(coarse, fine);
    let (from, to) = (before.value, after.value);
    let (code, message, accepted) = if ratio <= 1.0 {
        (
            Code::GritsNotFiner,
            format!("{to} is not finer than {from}"),
            "grits from coarse to fine".to_owned(),
        )
    } else if ratio > STEP_LIMIT {
        let message = format!("the step from {from} to {to} leaves the scratches of {from} behind");
        (
            Code::GritStepTooWide,
            message,
            format!("a grain at most {STEP_LIMIT} times finer at each step; here it is {ratio:.2} times"),
        )
    } else if ratio > STEP_WARNING {
        let message = format!("the step from {from} to {to} is wide");
        (
            Code::GritStepWide,
            message,
            format!("a grain at most {STEP_WARNING} times finer at each step; here it is {ratio:.2} times"),
        )
    } else {
        return;
    };
    let problem = Problem::new(code, message)
        .at(after.extent.clone(), format!("{} µm", fine.0))
        .at(before.extent.clone(), format!("{} µm", coarse.0))
        .accepts(accepted);
    problems.push(problem);
}
