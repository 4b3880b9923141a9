//! The search over routes and campaigns: the planner places, this decides what it is asked to place.
//!
//! Invariant: the same frame, seed and tries give the same answer; without tries the answer is the best of
//! the constructions.

use super::cost::{Cost, cost};
use super::frame::Frame;
use super::make::Settings;
use super::orders::Orders;
use super::routes::{self, Route};
use crate::finish::{Phase, Stage};
use crate::planner::{self, Infeasible, Network, Solution, Tail, TaskId, Wait};
use crate::work::Delay;
use std::ops::ControlFlow;

/// How often what a plan relied on is made due and planned again.
const REFINEMENTS: usize = 3;

/// A plan with what it was asked for.
struct Found {
    solution: Solution,
    cost: Cost,
    route: Route,
}

struct Search<'a> {
    network: &'a Network,
    settings: Settings,
    first: Option<Vec<TaskId>>,
    go_on: &'a mut dyn FnMut() -> bool,
}

impl Search<'_> {
    fn solve(&mut self, route: &Route, order: Option<&[TaskId]>) -> Result<Found, Infeasible> {
        let narrow = routes::narrowed(self.network, route);
        let search = planner::Settings {
            seed: self.settings.seed,
            tries: 0,
            first: order.map(<[TaskId]>::to_vec).or_else(|| self.first.clone()),
            only_first: order.is_some(),
            ..planner::Settings::default()
        };
        let go_on = &mut self.go_on;
        let mut watch = |_: &Solution| {
            if go_on() {
                ControlFlow::Continue(())
            } else {
                ControlFlow::Break(())
            }
        };
        let solution = planner::solve(&narrow, &search, &mut watch)?;
        Ok(Found {
            cost: cost(self.network, &solution),
            solution,
            route: route.clone(),
        })
    }

    fn try_better(&mut self, best: &mut Found, route: &Route, order: Option<&[TaskId]>) -> bool {
        match self.solve(route, order) {
            Ok(other) if other.cost <= best.cost => {
                // an equal plan is taken up too: from there the next step may lead on
                let better = other.cost < best.cost;
                *best = other;
                better
            }
            _ => false,
        }
    }
}

/// The best plan found.
pub(super) fn best(
    frame: &Frame,
    network: &Network,
    first: Option<Vec<TaskId>>,
    settings: Settings,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<Solution, Infeasible> {
    let forks = routes::forks(frame);
    let mut search = Search {
        network,
        settings,
        first,
        go_on,
    };
    // every fork left open always has an answer where there is one at all
    let mut best = search.solve(&Route::open(), None)?;
    let all = Route::later(&forks);
    search.try_better(&mut best, &all, None);
    for fork in &forks {
        let turned = best.route.turned(fork);
        search.try_better(&mut best, &turned, None);
    }
    // preparations a plan had to take in by the way are better planned as rounds of their own
    for _ in 0..REFINEMENTS {
        let relied = best.route.with_used(network, &best.solution);
        if relied == best.route || !search.try_better(&mut best, &relied, None) {
            break;
        }
    }
    let mut orders = Orders::new(frame, network, settings.seed);
    for _ in 0..settings.tries {
        if !(search.go_on)() {
            break;
        }
        let order = orders.next(&best.solution);
        let route = best.route.clone();
        if search.try_better(&mut best, &route, Some(&order)) {
            let relied = best.route.with_used(network, &best.solution);
            if relied != best.route {
                search.try_better(&mut best, &relied, Some(&order));
            }
        }
    }
    finished(network, &best.solution)
}

/// One piece after the other, each begun when the one before has left its place: slow, and always there where
/// every piece can be finished alone in the empty shop.
pub(super) fn end_to_end(frame: &Frame, network: &Network, settings: Settings) -> Result<Solution, Infeasible> {
    let mut narrow = network.clone();
    let line = |piece: usize| {
        let operations = frame.work.operations.iter().enumerate();
        operations.filter(move |(_, operation)| {
            operation.piece == Some(piece) && !operation.optional && operation.phase == Phase::Loose
        })
    };
    for piece in 1..frame.job.pieces.len() {
        let (Some((first, _)), Some((last, _))) = (line(piece).next(), line(piece - 1).next_back()) else {
            continue;
        };
        if frame.fate(first).is_some() || frame.fate(last).is_some() {
            continue;
        }
        let after = first as TaskId;
        let mut follow = |before: usize, min: Tail| {
            let before = before as TaskId;
            narrow.waits.push(Wait {
                before,
                from_start: false,
                after,
                min,
                max: None,
            });
        };
        follow(last, Tail { clock: 0, amount: 0 });
        // and its place is free
        let films = frame.work.places.iter().filter(|place| place.piece + 1 == piece);
        for &film in films.flat_map(|place| &place.last) {
            follow(film, frame.tail(film, Delay::Film(Stage::DryToHandle)));
        }
    }
    let search = planner::Settings {
        seed: settings.seed,
        tries: 0,
        ..planner::Settings::default()
    };
    let solution = planner::solve(&narrow, &search, &mut |_| ControlFlow::Continue(()))?;
    finished(network, &solution)
}

/// What is done again by need is done just before it is needed; the bound is that of the whole network, not of
/// the narrowed one.
fn finished(network: &Network, solution: &Solution) -> Result<Solution, Infeasible> {
    let mut solution = planner::put_off(network, solution)?;
    solution.bound = planner::bound(network)?;
    Ok(solution)
}
