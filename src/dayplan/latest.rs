//! Can it be ready by a time, and how late may it begin?
//!
//! Invariant: a start is called good only when a real plan from it keeps every rule and is ready in time; that
//! it cannot be is said only when the bound is past the time.

use super::document::{Plan, Stamp};
use super::history::History;
use super::make::{Means, NoPlan, Settings, plan_by};
use super::shifts;
use crate::job::Job;
use crate::units::{Moment, Span};

/// Starts are looked at in steps of this many minutes.
const STEP: i64 = 15;

/// The answer.
#[derive(Clone, Debug, PartialEq)]
pub enum By {
    /// It can be done.
    Can {
        /// The plan from the latest start found.
        plan: Box<Plan>,
        /// That start.
        latest: Stamp,
        /// The next start looked at, from which no plan was ready in time; `None` where the search was stopped
        /// or that start is past the time itself.
        too_late: Option<Stamp>,
    },
    /// No plan whatever can be ready by then.
    Cannot {
        /// No plan can be ready before this.
        bound: Stamp,
        /// The plan that was found.
        plan: Box<Plan>,
    },
    /// No plan ready by then was found, and none was ruled out.
    NotFound {
        /// The plan that was found.
        plan: Box<Plan>,
    },
}

/// Whether everything can be ready to glue by `by`, from where things stand, and the latest sound start.
pub fn by(
    job: &Job,
    history: &History,
    settings: Settings,
    means: Means,
    by: Moment,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<By, NoPlan> {
    let now = history.now.max(job.start);
    let first = plan_by(job, history, settings, means, go_on)?;
    if Moment::of(&first.bound) > by {
        return Ok(By::Cannot {
            bound: first.bound,
            plan: Box::new(first),
        });
    }
    if Moment::of(&first.ready) > by {
        return Ok(By::NotFound { plan: Box::new(first) });
    }
    let starts = starts(job, now, by);
    let (mut best, mut latest) = (first, now);
    // starts[..low] are known to do, starts[high..] not to
    let (mut low, mut high) = (0, starts.len());
    let mut too_late = None;
    while low < high && go_on() {
        let middle = low + (high - low) / 2;
        let Some(&start) = starts.get(middle) else { break };
        let found = plan_by(&begun(job, start), &held_until(history, start), settings, means, go_on).ok();
        if let Some(plan) = found.filter(|plan| Moment::of(&plan.ready) <= by) {
            (best, latest) = (plan, start);
            low = middle + 1;
        } else {
            too_late = Some(start.with_offset(job.zone));
            high = middle;
        }
    }
    Ok(By::Can {
        plan: Box::new(best),
        latest: latest.with_offset(job.zone),
        too_late: too_late.filter(|_| low == high),
    })
}

/// Starts worth looking at: when somebody is there, in steps.
fn starts(job: &Job, from: Moment, until: Moment) -> Vec<Moment> {
    let hours = job.hands.iter().map(|hand| hand.hours.as_ref().unwrap_or(&job.hours));
    let mut starts: Vec<Moment> = hours
        .flat_map(|hours| shifts::stretches(job, hours, from, until))
        .flat_map(|(begin, end)| {
            let steps = 0..(end - begin).0.div_euclid(STEP).max(1);
            steps.map(move |step| begin + Span(step * STEP))
        })
        .filter(|start| *start > from)
        .collect();
    starts.sort_unstable();
    starts.dedup();
    starts
}

/// The job begun no earlier than this.
fn begun(job: &Job, start: Moment) -> Job {
    Job {
        start: job.start.max(start),
        ..job.clone()
    }
}

/// The facts, with nothing new before this.
fn held_until(history: &History, start: Moment) -> History {
    History {
        now: history.now.max(start),
        plan: None,
        ..history.clone()
    }
}
