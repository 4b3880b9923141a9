//! What the acceptance scenarios share: a draft over their job, and the check that a trap is refused.
//!
//! Invariant: a trap is refused for exactly the rules it names.

use crate::draft::Draft;
use crate::shop::at;
use denib::dayplan::document::Plan;
use denib::dayplan::verify::{Rule, verify};
use denib::job::Job;
use denib::units::Moment;
use std::collections::BTreeSet;

/// The plan is refused, for exactly these rules.
pub fn refused(trap: &str, draft: &Draft, rules: &[Rule]) {
    refused_plan(trap, &draft.plan(), &draft.job, rules);
}

pub fn refused_plan(trap: &str, plan: &Plan, job: &Job, rules: &[Rule]) {
    let found = verify(plan, job);
    let broken: BTreeSet<Rule> = found.iter().map(|breach| breach.rule).collect();
    let lines: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert_eq!(broken, rules.iter().copied().collect(), "{trap}:\n{}", lines.join("\n"));
}

pub fn draft(job: Job, bound: &str, shifts: Vec<(Moment, Moment)>) -> Draft {
    Draft {
        job,
        lines: Vec::new(),
        bound: at(bound),
        shifts,
        clocks: None,
    }
}
