//! The plan as it has been lived so far: what is done at the times it was done.
//!
//! Invariant: only times and states change; operations the plan does not name stay out.

use crate::dayplan::document::State;
use crate::dayplan::history::Fate;
use crate::dayplan::{History, Plan};
use crate::job::Job;

/// A plan with what has happened to its operations laid over it: air and panels are then reckoned by what was done.
pub fn as_lived(job: &Job, plan: &Plan, history: &History) -> Plan {
    let mut lived = plan.clone();
    for operation in &mut lived.operations {
        match history.operations.get(&operation.id) {
            Some(Fate::Done(done)) => {
                operation.start = done.start.with_offset(job.zone);
                operation.end = done.end.with_offset(job.zone);
                operation.state = State::Done;
            }
            Some(Fate::Begun { start, .. }) => {
                let minutes = operation.end - operation.start;
                operation.start = start.with_offset(job.zone);
                operation.end = operation.start + minutes;
                operation.state = State::Running;
            }
            Some(Fate::Skipped { .. }) => operation.state = State::Skipped,
            None => {}
        }
    }
    lived.operations.sort_by_key(|operation| operation.start);
    lived
}
