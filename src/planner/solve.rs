//! From a network to a plan.
//!
//! Invariant: there is a plan or a named reason; the same network, settings and (unless stopped) watch give
//! the same plan.

use super::bound;
use super::layout::Layout;
use super::network::{Network, TaskId};
use super::reason::Infeasible;
use super::search::Search;
use super::shop::Shop;
use super::solution::Solution;
use std::ops::ControlFlow;

/// How to search.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Which chances are taken.
    pub seed: u64,
    /// How many orders are tried; with 0 the best of the first orders is given.
    pub tries: u32,
    /// An order to start from, such as that of an earlier plan.
    pub first: Option<Vec<TaskId>>,
    /// Lines of search side by side, at least one.
    pub threads: u32,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            seed: 1,
            tries: 1000,
            first: None,
            threads: 1,
        }
    }
}

/// Called with the best plan so far at each improvement and from time to time; [`ControlFlow::Break`] stops
/// the search, and that plan is the answer.
pub type Watch<'a> = dyn FnMut(&Solution) -> ControlFlow<()> + 'a;

/// Orders between two calls of the watch when nothing improves.
const WATCH_EVERY: u64 = 50;

/// Solves a network.
pub fn solve(network: &Network, settings: &Settings, watch: &mut Watch) -> Result<Solution, Infeasible> {
    let layout = Layout::of(network)?;
    let bound = bound::bound(&layout);
    let mut shop = Shop::new(&layout);
    let mut search = Search::new(&layout, true, settings.seed, 0);
    let mut refused = None;
    for keys in search.first_orders(settings.first.as_deref()) {
        if let Err(infeasible) = search.decode(&keys) {
            refused.get_or_insert(infeasible);
        }
    }
    let plan_of = |search: &Search, shop: &mut Shop| {
        search.best.as_ref().map(|(score, (starts, workers))| {
            shop.load(starts, workers);
            shop.solution(*score, bound, search.tries())
        })
    };
    let Some(mut best) = plan_of(&search, &mut shop) else {
        return Err(refused.unwrap_or(Infeasible {
            task: None,
            reason: super::reason::Reason::Horizon,
        }));
    };
    let mut stopped = watch(&best).is_break();
    let begun = search.tries();
    while !stopped && search.can_move() && search.tries() - begun < u64::from(settings.tries) {
        let better = search.step();
        if better && let Some(found) = plan_of(&search, &mut shop) {
            best = found;
        }
        if better || search.tries().is_multiple_of(WATCH_EVERY) {
            stopped = watch(&best).is_break();
        }
    }
    shop.load(&best.starts, &best.workers);
    let score = shop.settle(best.score);
    Ok(shop.solution(score, bound, search.tries()))
}
