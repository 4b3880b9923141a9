//! Pools, runs that hold a place, and budgets: never more in use than there is.
//!
//! Invariant: what is over among facts alone is no breach.

use super::{Plan, stretch};
use crate::planner::breach::Breach;
use crate::planner::network::{Stretch, TaskId, Tick};

/// Something used over a stretch: by whom, how much.
type Use = (Stretch, u64, Option<TaskId>);

impl Plan<'_> {
    /// Pools, chains and budgets.
    pub(super) fn levels(&mut self) {
        for (pool, uses) in self.uses_of_pools().iter().enumerate() {
            let capacity = u64::from(self.network.pools[pool].capacity);
            if let Some((at, tasks)) = self.first_over(uses, capacity) {
                self.breaches.push(Breach::PoolOver {
                    pool: pool as u32,
                    at,
                    tasks,
                });
            }
        }
        for (index, chain) in self.network.chains.iter().enumerate() {
            let taken = self.solution.pools.get(index);
            if taken != Some(&chain.pool) && taken.is_none_or(|taken| !chain.or.contains(taken)) {
                self.breaches.push(Breach::WrongPool {
                    chain: index as u32,
                    first: chain.first,
                });
            }
            if self.solution.holds.get(index).copied().flatten() != self.chain_hold(index) {
                self.breaches.push(Breach::WrongHold {
                    chain: index as u32,
                    first: chain.first,
                });
            }
        }
        for (budget, &capacity) in self.network.budgets.iter().enumerate() {
            let mut uses: Vec<Use> = Vec::new();
            for id in self.done() {
                let start = self.start(id).unwrap_or(0);
                for &(of, amount, ticks) in &self.network.tasks[id as usize].draws {
                    if of as usize == budget {
                        uses.push((stretch(start, start + u64::from(ticks)), u64::from(amount), Some(id)));
                    }
                }
            }
            if let Some((at, tasks)) = self.first_over(&uses, u64::from(capacity)) {
                self.breaches.push(Breach::BudgetOver {
                    budget: budget as u32,
                    at,
                    tasks,
                });
            }
        }
    }

    /// What is used of each pool.
    fn uses_of_pools(&self) -> Vec<Vec<Use>> {
        let taken = |&(stretch, amount): &(Stretch, u32)| (stretch, u64::from(amount), None);
        let pools = self.network.pools.iter();
        let mut uses: Vec<Vec<Use>> = pools.map(|pool| pool.taken.iter().map(taken).collect()).collect();
        for id in self.done() {
            for demand in &self.network.tasks[id as usize].demands {
                let from = self.edge(demand.from, id).unwrap_or(u64::from(Tick::MAX));
                let until = self.edge(demand.until, id).unwrap_or(u64::from(Tick::MAX));
                if let Some(uses) = uses.get_mut(demand.pool as usize) {
                    uses.push((stretch(from, until), u64::from(demand.amount), Some(id)));
                }
            }
        }
        for (index, chain) in self.network.chains.iter().enumerate() {
            let pool = self.solution.pools.get(index);
            if let Some(held) = self.chain_hold(index)
                && let Some(uses) = pool.and_then(|&pool| uses.get_mut(pool as usize))
            {
                uses.push((held, u64::from(chain.amount), Some(chain.first)));
            }
        }
        uses
    }

    fn chain_hold(&self, chain: usize) -> Option<Stretch> {
        let chain = self.network.chains.get(chain)?;
        let from = self.start(chain.first)?;
        let over = chain.last.iter().filter_map(|&(task, tail)| {
            self.end(task)
                .map(|end| self.over(tail, end).unwrap_or(u64::from(Tick::MAX)))
        });
        let until = over.max()?;
        (from < until).then(|| stretch(from, until))
    }

    /// The first tick at which more is used than there is and it is not facts alone.
    fn first_over(&self, uses: &[Use], capacity: u64) -> Option<(Tick, Vec<TaskId>)> {
        let mut uses: Vec<&Use> = uses
            .iter()
            .filter(|one| one.0.from < one.0.until && one.1 > 0)
            .collect();
        uses.sort_by_key(|one| one.0.from);
        let mut running: Vec<&Use> = Vec::new();
        let mut next = 0;
        while next < uses.len() {
            let at = uses[next].0.from;
            running.retain(|one| one.0.until > at);
            while next < uses.len() && uses[next].0.from == at {
                running.push(uses[next]);
                next += 1;
            }
            let level: u64 = running.iter().map(|one| one.1).sum();
            let tasks: Vec<TaskId> = running.iter().filter_map(|one| one.2).collect();
            if level > capacity && tasks.iter().any(|&task| !self.is_fact(task)) {
                return Some((at, tasks));
            }
        }
        None
    }
}
