//! Order after order on one network, looked at once.
//!
//! Invariant: the plan of an order depends on the network and that order alone, not on the orders before it.

use super::bound::{self, Bound};
use super::construct::{self, Runs};
use super::decode::Decoder;
use super::explain::{self, Because};
use super::explained::Explained;
use super::layout::Layout;
use super::network::{PoolId, TaskId, Tick};
use super::reason::Infeasible;
use super::score::Score;
use super::shop::Shop;
use super::solution::Solution;
use super::verify::verify;

/// Into how many waves the runs are best parted for a first plan; measured on generated jobs of 40 to 300 pieces.
pub const WAVES: [usize; 3] = [2, 4, 8];

/// A plan that is later than the best by more than this part of it is far from it. Of 3,500 orders tried on the demo
/// under seven finishes half were farther, and none of those came to a plan as good as the best.
const NEAR: u64 = 20;

/// Makes plans of orders.
#[derive(Debug)]
pub struct Placer<'l, 'n> {
    layout: &'l Layout<'n>,
    decoder: Decoder<'l, 'n>,
    /// The runs that hold a place, once they are asked for.
    runs: Option<Runs>,
    /// A shop to draw plans together in, once one is asked for.
    shop: Option<Shop<'l, 'n>>,
    bound: Bound,
    /// The last starts with which all is ready by a tick, once that is asked.
    lasts: Option<(Tick, Vec<Tick>)>,
}

impl<'l, 'n> Placer<'l, 'n> {
    pub(super) fn new(layout: &'l Layout<'n>, bound: Bound) -> Self {
        Self {
            layout,
            decoder: Decoder::new(layout, true),
            runs: None,
            shop: None,
            bound,
            lasts: None,
        }
    }

    /// The plan of an order, drawn together. Tasks it does not name come last, by rank.
    pub fn place(&mut self, order: &[TaskId]) -> Result<Solution, Infeasible> {
        self.fill(order)?;
        Ok(self.drawn_together())
    }

    /// The same, or as it falls out, beside a plan that is to be bettered: one that falls out much later is given up as
    /// soon as that is seen, for drawing together hardly ever makes up for it.
    pub fn place_near(&mut self, order: &[TaskId], best: Score, together: bool) -> Result<Solution, Infeasible> {
        self.give_up_after(best);
        let filled = self.fill(order);
        self.decoder.deadlines.clear();
        filled?;
        let score = self.decoder.shop.score();
        if together && score.late <= best.late {
            return Ok(self.drawn_together());
        }
        Ok(self.decoder.shop.solution(score, self.bound, self.decoder.tries))
    }

    fn drawn_together(&mut self) -> Solution {
        let score = self.decoder.shop.score();
        let placing = self.decoder.shop.snapshot();
        let shop = self.shop.get_or_insert_with(|| Shop::new(self.layout));
        shop.take_in(&placing);
        let score = shop.settle(score);
        shop.solution(score, self.bound, self.decoder.tries)
    }

    /// Orders that fall out much later than a plan are given up; while something is late in it being ready does not
    /// decide, so none is.
    fn give_up_after(&mut self, best: Score) {
        let cut = (best.late == 0).then(|| Tick::try_from(best.ready + best.ready / NEAR).ok());
        let Some(cut) = cut.flatten() else { return };
        if self.lasts.as_ref().is_none_or(|(known, _)| *known != cut) {
            let lasts = bound::tails(self.layout, cut).into_iter();
            self.lasts = Some((cut, lasts.map(|last| last.unwrap_or(0)).collect()));
        }
        if let Some((_, lasts)) = &self.lasts {
            self.decoder.deadlines.clone_from(lasts);
        }
    }

    /// The plan of an order just as it falls out: nothing is drawn together, so what had a start stays there.
    pub fn place_only(&mut self, order: &[TaskId]) -> Result<Solution, Infeasible> {
        self.fill(order)?;
        let score = self.decoder.shop.score();
        Ok(self.decoder.shop.solution(score, self.bound, self.decoder.tries))
    }

    /// The plan in so many waves of the runs that hold a place; `None` where there is none, or a wave would be one run.
    pub fn in_waves(&mut self, parts: usize) -> Option<Solution> {
        let graph = self.decoder.graph();
        let runs = self.runs.get_or_insert_with(|| Runs::of(self.layout, graph));
        let wave = runs.units.len().div_ceil(parts.max(1));
        if wave <= 1 {
            return None;
        }
        let keys = construct::by_runs(self.layout, graph, runs, wave);
        self.decoder.decode(&keys).ok()?;
        let score = self.decoder.shop.score();
        Some(self.decoder.shop.solution(score, self.bound, self.decoder.tries))
    }

    /// The plan with every task that is no fact at the start and in the hands given, and every run on the place
    /// given (its first choice where none is); `None` where that breaks a rule.
    pub fn as_it_stands(
        &mut self,
        starts: &[Option<Tick>],
        workers: &[u64],
        pools: &[Option<PoolId>],
    ) -> Option<Solution> {
        let network = self.layout.network;
        if starts.len() != network.tasks.len() || workers.len() != starts.len() {
            return None;
        }
        let chains = network.chains.iter().enumerate();
        let pools = chains.map(|(at, chain)| pools.get(at).copied().flatten().unwrap_or(chain.pool));
        let shop = &mut self.decoder.shop;
        shop.load(starts, workers, &pools.collect::<Vec<_>>());
        let score = shop.score();
        let plan = shop.solution(score, self.bound, 0);
        verify(network, &plan).is_empty().then_some(plan)
    }

    /// The plan as [`Placer::as_it_stands`] gives it, and who tells the reasons of its tasks.
    pub fn standing(
        mut self,
        starts: &[Option<Tick>],
        workers: &[u64],
        pools: &[Option<PoolId>],
    ) -> Option<(Solution, Teller<'l, 'n>)> {
        let plan = self.as_it_stands(starts, workers, pools)?;
        Some((plan, Teller(self.decoder.shop)))
    }

    fn fill(&mut self, order: &[TaskId]) -> Result<(), Infeasible> {
        let keys = construct::by_tasks(self.layout, self.decoder.graph(), order);
        self.decoder.decode(&keys)
    }
}

/// Tells the reasons of the one plan it is filled with.
#[derive(Debug)]
pub struct Teller<'l, 'n>(Shop<'l, 'n>);

impl Teller<'_, '_> {
    /// The reason for every task of that plan that is placed and no fact; those known already need not be found again.
    pub fn explain(mut self, plan: &Solution, known: Option<&Explained>) -> Vec<Option<Because>> {
        explain::reasons_in(&mut self.0, plan, known)
    }
}
