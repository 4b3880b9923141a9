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

/// What a task that starts at another time than in the plan in force costs in telling people (judgement, no
/// source): a reshuffle of a hundred operations has to save half an hour.
const MOVED: f64 = 0.3;
/// A start that differs by less than this is not felt as another (judgement, no source).
const SAME: Tick = 15;

/// Costs plans, beside the plan in force where there is one.
#[derive(Clone, Debug, Default)]
pub(super) struct Costs {
    /// Starts of the plan in force, by task; empty without one.
    pub in_force: Vec<Option<Tick>>,
}

impl Costs {
    /// The cost of a solution.
    pub fn of(&self, network: &Network, solution: &Solution) -> Cost {
        let mut cost = cost(network, solution);
        let beside = self.in_force.iter().zip(&solution.starts);
        let moved = beside.filter(|(old, new)| match (old, new) {
            (Some(old), Some(new)) => old.abs_diff(*new) > SAME,
            _ => false,
        });
        cost.minutes += MOVED * moved.count() as f64;
        cost
    }
}

fn cost(network: &Network, solution: &Solution) -> Cost {
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
