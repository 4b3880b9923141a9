//! How good a plan is.
//!
//! Invariant: compared field by field in the order written, smaller is better. Why this order: a promise
//! kept comes before all; then the day on which everything can be glued, for the glue-up waits for the last
//! section; then the sections that matter most, early; then the hours spent on setting up and the times
//! somebody must come to the shop at all; then the two sides of a panel coated close together, so that it
//! does not cup; then simply being done.

use super::network::{Network, TaskId, Tick};

/// A visit to the shop weighs as much as this many minutes of setting up (judgement, no source).
const VISIT_MINUTES: u64 = 15;

/// How good a plan is; smaller is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Score {
    /// Weight × minutes late, over goals with a due time.
    pub late: u64,
    /// The latest goal.
    pub ready: u64,
    /// Weight × tick over all goals.
    pub early: u64,
    /// Set-up minutes and visits.
    pub effort: u64,
    /// Minutes between the ends of pairs.
    pub apart: u64,
    /// The last end.
    pub end: u64,
}

/// When each goal is reached, and what that is worth.
pub(super) fn score(
    network: &Network,
    start: impl Fn(TaskId) -> Option<Tick>,
    setup_minutes: u64,
    visits: u64,
) -> Score {
    let mut score = Score {
        effort: setup_minutes + VISIT_MINUTES * visits,
        ..Score::default()
    };
    let end = |task: TaskId| start(task).map(|start| start.saturating_add(network.tasks[task as usize].minutes));
    for goal in &network.goals {
        let mut reached = 0;
        for &(task, tail) in &goal.tasks {
            let Some(end) = end(task) else { continue };
            let at = network.clocks[tail.clock as usize]
                .after(end, tail.amount)
                .unwrap_or(Tick::MAX);
            reached = reached.max(u64::from(at));
        }
        score.ready = score.ready.max(reached);
        score.early = score.early.saturating_add(u64::from(goal.weight) * reached);
        if let Some(due) = goal.due {
            let late = u64::from(goal.weight) * reached.saturating_sub(u64::from(due));
            score.late = score.late.saturating_add(late);
        }
    }
    for pair in &network.pairs {
        if let Some((one, other)) = end(pair.one).zip(end(pair.other)) {
            score.apart += u64::from(one.abs_diff(other));
        }
    }
    score.end = (0..network.tasks.len() as TaskId)
        .filter_map(end)
        .max()
        .map_or(0, u64::from);
    score
}
