//! What makes one plan better than another for the people who carry it out.
//!
//! Invariant: compared field by field, smaller is better. Readiness counts in half hours: saving four
//! minutes never buys ten more rounds.

use crate::planner::{Network, Solution, Tick};

/// Minutes within which readiness is the same to a finisher (judgement, no source).
const GRAIN: u64 = 30;
/// Minutes a further round costs in going over and finding one's place (judgement, no source).
const ROUND: u64 = 5;

/// The cost of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cost {
    late: u64,
    ready: u64,
    early: u64,
    effort: u64,
    apart: u64,
    end: u64,
}

/// The cost of a solution.
pub(super) fn cost(network: &Network, solution: &Solution) -> Cost {
    let score = solution.score;
    let weights: u64 = network.goals.iter().map(|goal| u64::from(goal.weight)).sum();
    Cost {
        late: score.late.div_ceil(GRAIN),
        ready: score.ready.div_ceil(GRAIN),
        // four hours more or less over all sections are worth some rounds
        early: score.early.div_ceil(8 * GRAIN * weights.max(1)),
        effort: score.effort + ROUND * runs(network, solution),
        apart: score.apart,
        end: score.end,
    }
}

/// How many times some hands turn to another campaign.
fn runs(network: &Network, solution: &Solution) -> u64 {
    let mut order: Vec<(Tick, usize)> =
        solution.starts.iter().enumerate().filter_map(|(task, start)| Some(((*start)?, task))).collect();
    order.sort_unstable();
    let mut last = [None; 64];
    let mut runs = 0;
    for (_, task) in order {
        let Some(rank) = network.tasks.get(task).map(|task| task.rank) else { continue };
        let mut workers = solution.workers.get(task).copied().unwrap_or(0);
        while workers != 0 {
            let worker = workers.trailing_zeros() as usize;
            workers &= workers - 1;
            if last[worker].replace(rank) != Some(rank) {
                runs += 1;
            }
        }
    }
    runs
}
