//! The search over routes and campaigns: the planner places, this decides what it is asked to place.
//!
//! Invariant: the same frame, seed and tries give the same answer; without tries the answer is the plan made
//! by rounds.

use super::cost::{Cost, Costs};
use super::frame::Frame;
use super::keep::{self, InForce};
use super::make::Settings;
use super::orders::Orders;
use super::routes::{self, Route};
use super::waves;
use crate::finish::{Phase, Stage};
use crate::planner::{self, Bound, Indexed, Infeasible, Network, Solution, Tail, TaskId, Teller, Wait};
use crate::work::Delay;
use std::cmp::Ordering::Equal;
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// How often what a plan relied on is made due and planned again.
const REFINEMENTS: usize = 3;
/// After so many moves of whole groups the planner's own moves of single pieces get their turn.
const GROUP_MOVES: u32 = 120;
/// How many orders the planner then tries for each of ours.
const PIECE_MOVES: u32 = 4;

/// Networks of more tasks get one way less to a first plan: an even number is shared out to two lines.
const MANY_WAYS: usize = 4_000;

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

/// A way to a first plan.
enum Way {
    /// In this order.
    Order(Vec<TaskId>),
    /// In so many waves of the engine's own.
    Waves(usize),
}

/// Which ways to choose among, where no order is in force.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Among {
    All,
    /// All pieces together, or wave by wave as the places hold them.
    Rounds,
    /// Those that take longest first.
    Longest,
}

/// The plan of one of several ways.
struct Costed {
    cost: Cost,
    at: usize,
    plan: Solution,
}

impl Costed {
    /// The cheaper of two; of equals that of the earlier way.
    fn or(self, other: Self) -> Self {
        let order = self.cost.partial_cmp(&other.cost).unwrap_or(Equal);
        if order.then(self.at.cmp(&other.at)).is_le() {
            self
        } else {
            other
        }
    }
}

type GoOn<'a> = &'a mut dyn FnMut() -> bool;

impl Search<'_> {
    /// The plan made by rounds, in a few large waves, or by the order of the plan in force: the best of them.
    pub fn first(&self) -> Result<Solution, Infeasible> {
        if let Some(first) = self.cheapest(Among::All)? {
            return Ok(first);
        }
        // rounds may hold each other up where places are few; other orders come through
        let found = self.solve(&Route::open(), &mut || true)?;
        self.finished(&found.solution)
    }

    /// The best plan of the order in force, or without one of all pieces together, wave by wave as the places hold them,
    /// and those that take longest first; with the engine's own waves among them where asked for, and then two at a time.
    fn cheapest(&self, of: Among) -> Result<Option<Solution>, Infeasible> {
        let with_waves = of == Among::All && self.first.is_none();
        let mut ways = match self.first {
            Some(order) => vec![Way::Order(order.to_vec())],
            None if of == Among::Longest => Vec::new(),
            None => vec![
                Way::Order(Vec::new()),
                Way::Order(waves::order(self.frame, self.network)),
            ],
        };
        if with_waves {
            ways.extend(planner::WAVES.map(Way::Waves));
        }
        let indexed = Indexed::of(self.network)?;
        if of != Among::Rounds && self.first.is_none() {
            let lasts = indexed.lasts();
            ways.push(Way::Order(waves::longest_first(self.frame, self.network, &lasts)));
            if self.network.tasks.len() <= MANY_WAYS {
                ways.push(Way::Order(waves::longest_waves(self.frame, self.network, &lasts)));
            }
        }
        let taken = AtomicUsize::new(0);
        let found = if with_waves {
            // one from the first on, the other from the last
            let (one, other) = std::thread::scope(|scope| {
                let beside = scope.spawn(|| self.least_of(&indexed, &ways, &taken, |nth| ways.len() - 1 - nth));
                (self.least_of(&indexed, &ways, &taken, |nth| nth), beside.join())
            });
            // what broke off beside is done again here
            let again = |_| self.least_of(&indexed, &ways, &AtomicUsize::new(0), |nth| nth);
            one.into_iter().chain(other.unwrap_or_else(again)).reduce(Costed::or)
        } else {
            self.least_of(&indexed, &ways, &taken, |nth| nth)
        };
        found.map(|first| self.finished(&first.plan)).transpose()
    }

    /// The cheapest plan of as many ways, each at its place, as are taken on here before all are.
    fn least_of(
        &self,
        indexed: &Indexed,
        ways: &[Way],
        taken: &AtomicUsize,
        place: impl Fn(usize) -> usize,
    ) -> Option<Costed> {
        let mut placer = indexed.placer(self.bound);
        let mut least: Option<Costed> = None;
        let mut own = 0..;
        while taken.fetch_add(1, Ordering::Relaxed) < ways.len() {
            let at = own.next().map_or(0, &place);
            let plan = match ways.get(at)? {
                Way::Order(order) => placer.place_only(order).ok(),
                Way::Waves(parts) => placer.in_waves(*parts),
            };
            let costed = plan.map(|plan| Costed {
                cost: self.costs.of(self.network, &plan),
                at,
                // how many orders came before it on its placer hangs on which line was quicker
                plan: Solution { tries: 1, ..plan },
            });
            least = least.into_iter().chain(costed).reduce(Costed::or);
        }
        least
    }

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
        self.finished(&found.solution)
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

    /// Order after order on the best route, with whole sections brought before or behind the others or not, until the tries
    /// are used up.
    fn orders(&self, best: &mut Found, (seed, leaps): (u64, bool), tries: u32, go_on: GoOn) {
        let mut orders = Orders::new(self.frame, self.network, seed, leaps);
        let mut left = tries;
        let mut turn = 0;
        while left > 0 && go_on() {
            let narrow = routes::narrowed(self.network, &best.route);
            let share = left.min(GROUP_MOVES);
            let Ok(indexed) = Indexed::of(&narrow) else { break };
            let mut placer = indexed.placer(self.bound);
            let mut done = 0;
            while done < share && go_on() {
                done += 1;
                let order = orders.next(&best.solution);
                let other = if self.network.tasks.len() > DRAWN_TOGETHER {
                    placer.place_only(&order)
                } else {
                    placer.place_near(&order, Some(best.solution.score))
                };
                let Ok(other) = other else { continue };
                let cost = self.costs.of(self.network, &other);
                // an equal plan is taken up too: from there the next step may lead on
                if cost > best.cost {
                    continue;
                }
                let better = cost < best.cost;
                (best.solution, best.cost) = (other, cost);
                if better && best.route.with_used(self.network, &best.solution) != best.route {
                    break;
                }
            }
            left -= done.max(1).min(left);
            let relied = best.route.with_used(self.network, &best.solution);
            let taken = relied != best.route && self.try_route(best, &relied, go_on);
            if !taken && done == GROUP_MOVES {
                turn += 1;
                // what was once made due need not be: every other turn all forks are open again
                let route = (turn % 2 == 1).then(Route::open);
                let network = if route.is_some() { self.network } else { &narrow };
                self.single_pieces(best, (network, route), seed.wrapping_add(turn), go_on);
            }
        }
    }

    /// The planner's own moves, of single pieces and runs, from the best plan on, in the network of a route or else of
    /// the best one.
    fn single_pieces(&self, best: &mut Found, (network, route): (&Network, Option<Route>), seed: u64, go_on: GoOn) {
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

    fn solve(&self, route: &Route, go_on: GoOn) -> Result<Found, Infeasible> {
        let narrow = routes::narrowed(self.network, route);
        let settings = planner::Settings {
            seed: self.settings.seed,
            tries: 0,
            first: self.first.map(<[TaskId]>::to_vec),
            bound: Some(self.bound),
            ..planner::Settings::default()
        };
        let solution = planner::solve(&narrow, &settings, &mut watching(go_on))?;
        Ok(Found {
            cost: self.costs.of(self.network, &solution),
            solution,
            route: route.clone(),
        })
    }

    fn try_route(&self, best: &mut Found, route: &Route, go_on: GoOn) -> bool {
        if !go_on() {
            return false;
        }
        match self.solve(route, go_on) {
            Ok(other) => self.take_up(best, other.solution, Some(other.route)),
            Err(_) => false,
        }
    }

    /// Takes a plan up where it is no worse; whether it is better.
    fn take_up(&self, best: &mut Found, solution: Solution, route: Option<Route>) -> bool {
        let cost = self.costs.of(self.network, &solution);
        if cost > best.cost {
            return false;
        }
        let better = cost < best.cost;
        let route = route.unwrap_or_else(|| best.route.clone());
        *best = Found { solution, cost, route };
        better
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
