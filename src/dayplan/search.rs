//! The search over routes and campaigns: the planner places, this decides what it is asked to place.
//!
//! Invariant: the same frame, seed and tries give the same answer; without tries the answer is the best of
//! the constructions.

use super::frame::Frame;
use super::make::Settings;
use super::routes;
use crate::planner::{self, Infeasible, Network, Solution, TaskId};
use std::ops::ControlFlow;

/// The best plan found.
pub(super) fn best(
    frame: &Frame,
    network: &Network,
    first: Option<Vec<TaskId>>,
    settings: Settings,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<Solution, Infeasible> {
    let forks = routes::forks(frame);
    let solve = |later: &[bool], tries: u32, go_on: &mut dyn FnMut() -> bool| {
        let narrow = routes::narrowed(network, &forks, later);
        let search = planner::Settings {
            seed: settings.seed,
            tries,
            first: first.clone(),
            ..planner::Settings::default()
        };
        let mut watch = |_: &Solution| {
            if go_on() {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            }
        };
        planner::solve(&narrow, &search, &mut watch)
    };
    // every fork left open always has an answer where there is one at all
    let mut later = vec![false; forks.len()];
    let mut found = solve(&later, 0, go_on)?;
    if !forks.is_empty() {
        let all = vec![true; forks.len()];
        if let Ok(other) = solve(&all, 0, go_on)
            && other.score < found.score
        {
            (later, found) = (all, other);
        }
    }
    for fork in 0..forks.len() {
        if !go_on() {
            break;
        }
        let mut turned = later.clone();
        turned[fork] = !turned[fork];
        if let Ok(other) = solve(&turned, 0, go_on)
            && other.score < found.score
        {
            (later, found) = (turned, other);
        }
    }
    if settings.tries > 0
        && let Ok(other) = solve(&later, settings.tries, go_on)
        && other.score < found.score
    {
        found = other;
    }
    // the bound of the whole network, not of the narrowed one
    found.bound = planner::bound(network)?;
    Ok(found)
}
