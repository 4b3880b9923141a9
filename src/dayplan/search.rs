//! The search over routes and campaigns: the planner places, this decides what it is asked to place.
//!
//! Invariant: the same frame, seed and tries give the same answer; without tries the answer is the plan made
//! by rounds.

use super::cost::{Cost, Costs};
use super::first::Among;
use super::frame::Frame;
use super::keep::{self, InForce};
use super::make::Settings;
use super::orders::Orders;
use super::routes::{self, Route};
use crate::finish::{Phase, Stage};
use crate::planner::{self, Bound, Indexed, Infeasible, Network, Solution, Tail, TaskId, Teller, Wait};
use crate::work::Delay;
use std::cmp::Ordering::Equal;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};

/// How often what a plan relied on is made due and planned again.
const REFINEMENTS: usize = 3;
/// After so many moves of whole groups the planner's own moves of single pieces get their turn.
const GROUP_MOVES: u32 = 120;
/// How many orders the planner then tries for each of ours.
const PIECE_MOVES: u32 = 4;

/// Plans of more tasks are not drawn together one by one: another order is tried in that time.
const DRAWN_TOGETHER: usize = 1_200;

/// A plan with what it was asked for.
#[derive(Clone)]
struct Found {
    solution: Solution,
    cost: Cost,
    route: Route,
}

/// What to plan, and what it costs to differ from the plan in force.
#[derive(Clone)]
pub(super) struct Search<'a> {
    pub frame: &'a Frame<'a>,
    pub network: &'a Network,
    pub settings: Settings,
    /// Lines of search side by side.
    pub threads: u32,
    /// No line beside from the plan with the longest pieces first.
    pub alone: bool,
    /// The order of the plan in force, to begin from.
    pub first: Option<&'a [TaskId]>,
    pub costs: Costs,
    pub bound: Bound,
}

pub(super) type GoOn<'a> = &'a mut dyn FnMut() -> bool;

impl Search<'_> {
    /// The plan of the same order with every preparation it took in by the way made due.
    pub fn with_rounds_of_their_own(&self, first: &Solution) -> Result<Solution, Infeasible> {
        let route = Route::open().with_used(self.network, first);
        let narrow = routes::narrowed(self.network, &route);
        let order = self.first.unwrap_or_default();
        let found = Indexed::of(&narrow)?.placer(self.bound).place(order)?;
        self.finished(&found)
    }

    /// The best of the planner's own orders: wave by wave, in waves of many sizes.
    pub fn in_waves(&self, _: &Solution) -> Result<Solution, Infeasible> {
        let found = self.solve(&Route::open(), &mut || true)?;
        self.finished(&found)
    }

    /// The plan in force with what must move put back, and nothing brought forward.
    pub fn put_back(&self, in_force: &InForce) -> Result<Solution, Infeasible> {
        let held = keep::held(self.network, in_force);
        Indexed::of(&held)?.placer(self.bound).place_only(&in_force.order)
    }

    /// The same without an order to begin from.
    pub fn anew(&self) -> Self {
        Search {
            first: None,
            ..self.clone()
        }
    }

    /// The ways on from a plan that cannot stand, the cheapest first: what must move put back; all in the order in
    /// force; all made anew. A few minutes lost may cost days where the old order is kept at any price.
    pub fn ways_on(&self, in_force: &InForce) -> Vec<Solution> {
        let ways = [self.put_back(in_force), self.first(), self.anew().first()];
        let mut ways: Vec<Solution> = ways.into_iter().filter_map(Result::ok).collect();
        let cost = |way: &Solution| self.costs.of(self.network, way);
        ways.sort_by(|one, other| cost(one).partial_cmp(&cost(other)).unwrap_or(Equal));
        ways
    }

    /// The best plan found. The search begins from the plan by rounds and from that with the longest pieces first: that of
    /// the engine's waves is often shorter and the entrance to a longer valley, so it only stands where nothing better is
    /// found.
    pub fn best(&self, first: Solution, go_on: GoOn) -> Result<Solution, Infeasible> {
        if self.settings.tries == 0 || !go_on() {
            return Ok(first);
        }
        let begin = |of| match self.first {
            Some(_) => Ok(None),
            None => self.cheapest(of),
        };
        let found = |solution: Solution| Found {
            cost: self.costs.of(self.network, &solution),
            solution,
            route: Route::open(),
        };
        let mut best = found(begin(Among::Rounds)?.unwrap_or_else(|| first.clone()));
        self.ways(&mut best, go_on);
        let other = if self.alone { None } else { begin(Among::Longest)? };
        let other = other.map(found);
        self.side_by_side(&mut best, other, go_on);
        if self.costs.of(self.network, &first) < best.cost {
            return Ok(first);
        }
        self.finished(&best.solution)
    }

    /// Which way every fork goes: early in one run, or later with its preparation.
    fn ways(&self, best: &mut Found, go_on: GoOn) {
        let forks = routes::forks(self.frame);
        // every fork left open always has an answer where there is one at all
        self.try_route(best, &Route::open(), go_on);
        self.try_route(best, &Route::later(&forks), go_on);
        for fork in &forks {
            let turned = best.route.turned(fork);
            self.try_route(best, &turned, go_on);
        }
        // preparations a plan had to take in by the way are better planned as rounds of their own
        for _ in 0..REFINEMENTS {
            let relied = best.route.with_used(self.network, &best.solution);
            if relied == best.route || !self.try_route(best, &relied, go_on) {
                break;
            }
        }
    }

    /// The lines of search, each from the best so far with a seed of its own and its share of the tries, and one more
    /// from another plan; of equally good plans that of the first line is taken.
    fn side_by_side(&self, best: &mut Found, other: Option<Found>, go_on: GoOn) {
        let share = self.settings.tries.div_ceil(self.threads);
        let own = (1..self.threads).map(|line| {
            let seed = self.settings.seed ^ u64::from(line).rotate_left(40);
            (best.clone(), seed, false)
        });
        let others: Vec<(Found, u64, bool)> = own
            .chain(other.map(|other| (other, self.settings.seed, true)))
            .collect();
        if others.is_empty() {
            self.orders(best, (self.settings.seed, false), share, go_on);
            return;
        }
        let stop = AtomicBool::new(false);
        let found = std::thread::scope(|scope| {
            let begun: Vec<_> = others
                .into_iter()
                .map(|(mut own, seed, leaps)| {
                    let stop = &stop;
                    scope.spawn(move || {
                        self.orders(&mut own, (seed, leaps), share, &mut || !stop.load(Ordering::Relaxed));
                        own
                    })
                })
                .collect();
            self.orders(best, (self.settings.seed, false), share, go_on);
            if !go_on() {
                stop.store(true, Ordering::Relaxed);
            }
            let ended = begun.into_iter().map(std::thread::ScopedJoinHandle::join);
            ended.filter_map(Result::ok).collect::<Vec<Found>>()
        });
        for other in found {
            if other.cost < best.cost {
                *best = other;
            }
        }
    }

    /// Order after order until the tries are used up: in turn with what the best plan prepares again as rounds of its own,
    /// and with all forks open, for what was once made due need not be. The line that leaps, in which whole sections are
    /// brought before or behind the others too, begins with the forks open, the other with the rounds.
    fn orders(&self, best: &mut Found, (seed, leaps): (u64, bool), tries: u32, go_on: GoOn) {
        let mut orders = Orders::new(self.frame, self.network, seed, leaps);
        let mut left = tries;
        let mut turn = u64::from(leaps);
        let mut held = None;
        while left > 0 && go_on() {
            let is_open = turn % 2 == 1;
            if !is_open {
                self.hold_what_is_used(best, &mut held, go_on);
            }
            let route = if is_open { Route::open() } else { best.route.clone() };
            let narrow = routes::narrowed(self.network, &route);
            let done = self.groups(
                best,
                (&narrow, &route, is_open),
                &mut orders,
                left.min(GROUP_MOVES),
                go_on,
            );
            left -= done.max(1).min(left);
            if done == GROUP_MOVES {
                turn += 1;
                self.single_pieces(best, (&narrow, &route), seed.wrapping_add(turn), go_on);
            }
        }
    }

    /// Puts the best plan on the route of what it uses: made anew where that is no worse, else in its own order. `held` is
    /// the route that was tried last.
    fn hold_what_is_used(&self, best: &mut Found, held: &mut Option<Route>, go_on: GoOn) {
        let used = Route::open().with_used(self.network, &best.solution);
        if used == best.route {
            return;
        }
        let is_new = held.as_ref() != Some(&used);
        if !(is_new && self.try_route(best, &used, go_on)) {
            self.keep_to(best, &used);
        }
        *held = Some(used);
    }

    /// Moves of whole groups on a route, so many at the most; how many. A better plan that uses another preparation ends
    /// them, but where all forks are open.
    fn groups(
        &self,
        best: &mut Found,
        (narrow, route, is_open): (&Network, &Route, bool),
        orders: &mut Orders,
        most: u32,
        go_on: GoOn,
    ) -> u32 {
        let Ok(indexed) = Indexed::of(narrow) else { return most };
        let mut placer = indexed.placer(self.bound);
        let together = self.network.tasks.len() <= DRAWN_TOGETHER;
        let mut done = 0;
        while done < most && go_on() {
            done += 1;
            let order = orders.next(&best.solution);
            let Ok(other) = placer.place_near(&order, best.solution.score, together) else {
                continue;
            };
            // an equal plan is taken up too: from there the next step may lead on
            let is_better = self.take_up(best, other, route);
            if is_better && !is_open && route.with_used(self.network, &best.solution) != *route {
                break;
            }
        }
        done
    }

    /// The planner's own moves, of single pieces and runs, from the best plan on, in the network of a route.
    fn single_pieces(&self, best: &mut Found, (network, route): (&Network, &Route), seed: u64, go_on: GoOn) {
        let settings = planner::Settings {
            seed,
            tries: GROUP_MOVES * PIECE_MOVES,
            first: Some(order_of(&best.solution)),
            only_first: true,
            bound: Some(self.bound),
            ..planner::Settings::default()
        };
        if let Ok(other) = planner::solve(network, &settings, &mut watching(go_on)) {
            self.take_up(best, other, route);
        }
    }

    pub(super) fn solve(&self, route: &Route, go_on: GoOn) -> Result<Solution, Infeasible> {
        let settings = planner::Settings {
            seed: self.settings.seed,
            tries: 0,
            first: self.first.map(<[TaskId]>::to_vec),
            bound: Some(self.bound),
            ..planner::Settings::default()
        };
        planner::solve(&routes::narrowed(self.network, route), &settings, &mut watching(go_on))
    }

    fn try_route(&self, best: &mut Found, route: &Route, go_on: GoOn) -> bool {
        go_on()
            && self
                .solve(route, go_on)
                .is_ok_and(|other| self.take_up(best, other, route))
    }

    /// The best plan's own order on a route that it keeps to already; taken up where that makes it no worse.
    fn keep_to(&self, best: &mut Found, route: &Route) {
        let narrow = routes::narrowed(self.network, route);
        let placed =
            Indexed::of(&narrow).map(|indexed| indexed.placer(self.bound).place_only(&order_of(&best.solution)));
        if let Ok(Ok(same)) = placed {
            self.take_up(best, same, route);
        }
    }

    /// Takes a plan up where it is no worse; whether it is better.
    fn take_up(&self, best: &mut Found, solution: Solution, route: &Route) -> bool {
        let cost = self.costs.of(self.network, &solution);
        if cost > best.cost {
            return false;
        }
        let is_better = cost < best.cost;
        (best.solution, best.cost) = (solution, cost);
        if best.route != *route {
            best.route = route.clone();
        }
        is_better
    }

    /// What is done again by need is done just before it is needed; the bound is that of the whole network,
    /// not of the narrowed one.
    pub fn finished(&self, solution: &Solution) -> Result<Solution, Infeasible> {
        let mut solution = planner::put_off(self.network, solution)?;
        solution.bound = self.bound;
        Ok(solution)
    }
}

/// The plan in force as it stands, its bound not known yet, and who tells its reasons; `None` where something must move.
pub(super) fn stands<'l, 'n>(indexed: &'l Indexed<'n>, in_force: &InForce) -> Option<(Solution, Teller<'l, 'n>)> {
    let placer = indexed.placer(Bound::UNKNOWN);
    placer.standing(&in_force.starts, &in_force.workers, &in_force.pools)
}

/// The order of a plan's starts.
fn order_of(solution: &Solution) -> Vec<TaskId> {
    let starts = solution.starts.iter().enumerate();
    let mut order: Vec<(u32, usize)> = starts.map(|(task, start)| (start.unwrap_or(u32::MAX), task)).collect();
    order.sort_unstable();
    order.into_iter().map(|(_, task)| task as TaskId).collect()
}

fn watching(go_on: &mut dyn FnMut() -> bool) -> impl FnMut(&Solution) -> ControlFlow<()> + '_ {
    move |_| {
        if go_on() {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    }
}

/// One piece after the other, each begun when the one before has left its place: slow, and always there where
/// every piece can be finished alone in the empty shop.
pub(super) fn end_to_end(
    frame: &Frame,
    network: &Network,
    bound: Bound,
    settings: Settings,
) -> Result<Solution, Infeasible> {
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
        bound: Some(bound),
        ..planner::Settings::default()
    };
    let solution = planner::solve(&narrow, &search, &mut |_| ControlFlow::Continue(()))?;
    let mut solution = planner::put_off(network, &solution)?;
    solution.bound = bound;
    Ok(solution)
}
