//! The plan to begin from: the best of a few ways to fill the shop.
//!
//! Invariant: which line comes to a way first does not show in the plan; there is a plan where the planner finds any.

use super::routes::Route;
use super::search::Search;
use super::{cost::Cost, waves};
use crate::planner::{self, Indexed, Infeasible, Solution, TaskId};
use std::cmp::Ordering::Equal;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Networks of more tasks get one way less to a first plan: an even number is shared out to two lines.
const MANY_WAYS: usize = 4_000;

/// A way to a first plan.
enum Way {
    /// In this order.
    Order(Vec<TaskId>),
    /// In so many waves of the engine's own.
    Waves(usize),
}

/// Which ways to choose among, where no order is in force.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Among {
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

impl Search<'_> {
    /// The plan made by rounds, in a few large waves, or by the order of the plan in force: the best of them.
    pub fn first(&self) -> Result<Solution, Infeasible> {
        if let Some(first) = self.cheapest(Among::All)? {
            return Ok(first);
        }
        // rounds may hold each other up where places are few; other orders come through
        let found = self.solve(&Route::open(), &mut || true)?;
        self.finished(&found)
    }

    /// The best plan of the order in force, or without one of all pieces together, wave by wave as the places hold them,
    /// and those that take longest first; with the engine's own waves among them where asked for, and then two at a time.
    pub(super) fn cheapest(&self, of: Among) -> Result<Option<Solution>, Infeasible> {
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
}
