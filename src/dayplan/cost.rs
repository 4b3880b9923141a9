//! What makes one plan better than another for the people who carry it out.
//!
//! Invariant: lateness first; then one sum in minutes, so that a day's earlier glue-up buys a few more
//! rounds and a minute's buys none.

use crate::planner::{Network, Solution, Tick};

/// Minutes a further round costs in going over and finding one's place (judgement, no source).
const ROUND: f64 = 12.0;
/// What an earlier section is worth beside the last one being ready (judgement, no source).
const SECTIONS: f64 = 0.5;
/// What a minute of unequal faces is worth (judgement, no source).
const APART: f64 = 0.02;
/// What a minute earlier home is worth once everything is ready (judgement, no source).
const END: f64 = 0.05;

/// The cost of a plan.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(super) struct Cost {
    late: u64,
    minutes: f64,
}

/// The cost of a solution.
pub(super) fn cost(network: &Network, solution: &Solution) -> Cost {
    let score = solution.score;
    let weights: u64 = network.goals.iter().map(|goal| u64::from(goal.weight)).sum();
    let sections = score.early as f64 / weights.max(1) as f64;
    let rounds = ROUND * runs(network, solution) as f64;
    let minutes = score.ready as f64
        + SECTIONS * sections
        + score.effort as f64
        + rounds
        + APART * score.apart as f64
        + END * score.end as f64;
    Cost {
        late: score.late,
        minutes,
    }
}

/// How many times some hands turn to another campaign.
fn runs(network: &Network, solution: &Solution) -> u64 {
    let placed = solution
        .starts
        .iter()
        .enumerate()
        .filter_map(|(task, start)| Some(((*start)?, task)));
    let mut order: Vec<(Tick, usize)> = placed.collect();
    order.sort_unstable();
    let mut last = [None; 64];
    let mut runs = 0;
    for (_, task) in order {
        let Some(rank) = network.tasks.get(task).map(|task| task.rank) else {
            continue;
        };
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
