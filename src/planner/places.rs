//! Room in pools, budgets and for runs that hold a place.
//!
//! Invariant: `None` means there is room for everything the task asks for at that start; a tick given is the
//! first that is not ruled out at once.

use super::cause::{Cause, Skip};
use super::earliest::Miss;
use super::network::{Edge, PoolId, Stretch, TaskId, Tick};
use super::reason::Reason;
use super::shop::Shop;

impl Shop<'_, '_> {
    /// Pools, budgets and chains: `Ok(None)` when there is room at `at`, else the first tick worth trying.
    pub(super) fn places_free(&mut self, task: TaskId, at: Tick, skip: Skip) -> Result<Option<Tick>, Miss> {
        let layout = self.layout;
        let network = layout.network;
        let data = &network.tasks[task as usize];
        if data.demands.is_empty() && data.draws.is_empty() && layout.chains_begun.of(task).is_empty() {
            return Ok(None);
        }
        if layout.asks_twice[task as usize] {
            return self.places_free_together(task, at, skip);
        }
        for demand in &data.demands {
            let pool = demand.pool as usize;
            if skip.has(Cause::Place(demand.pool)) || demand.amount == 0 {
                continue;
            }
            let end_of_time = layout.limit as Tick;
            let from = layout.edge(demand.from, at, data.minutes).unwrap_or(end_of_time);
            let until = layout.edge(demand.until, at, data.minutes).unwrap_or(end_of_time);
            if from >= until {
                continue;
            }
            let Some(most) = network.pools[pool].capacity.checked_sub(demand.amount) else {
                return Err(Miss::Never(Reason::CapacityTooSmall));
            };
            if let Some(last) = self.levels.pools[pool].last_above(from, until, most) {
                if self.levels.pools[pool].level_at_end() > most {
                    return Err(Miss::Full(demand.pool));
                }
                let room = self.levels.pools[pool].first_within(last + 1, most);
                return Ok(Some(self.start_with_edge_after(
                    demand.from,
                    at,
                    data.minutes,
                    room - 1,
                )));
            }
        }
        if let Some(later) = self.budgets_free(task, at, skip)? {
            return Ok(Some(later));
        }
        for &chain in layout.chains_begun.of(task) {
            let data = &network.chains[chain as usize];
            if data.pools().any(|pool| skip.has(Cause::Place(pool))) || data.amount == 0 {
                continue;
            }
            let until = self.hold_until(chain).max(self.chain_end_if(chain, task, at));
            if at < until
                && let Some(later) = self.run_free(chain, Stretch { from: at, until })?
            {
                return Ok(Some(later));
            }
        }
        Ok(None)
    }

    /// As [`Shop::places_free`] for the place of one run: `Ok(None)` when one of its pools has room.
    fn run_free(&mut self, chain: u32, stretch: Stretch) -> Result<Option<Tick>, Miss> {
        let network = self.layout.network;
        let data = &network.chains[chain as usize];
        let mut soonest = None;
        let mut full = Miss::Never(Reason::CapacityTooSmall);
        for &pool in &self.layout.chain_pools[chain as usize] {
            let Some(most) = network.pools[pool as usize].capacity.checked_sub(data.amount) else {
                continue;
            };
            match self.levels.pools[pool as usize].last_above(stretch.from, stretch.until, most) {
                None => return Ok(None),
                // the pool it would rather have is the one it waits for
                Some(last) if last as usize + 1 >= self.layout.limit => {
                    if matches!(full, Miss::Never(_)) {
                        full = Miss::Full(pool);
                    }
                }
                Some(last) => soonest = Some(soonest.map_or(last + 1, |tick: Tick| tick.min(last + 1))),
            }
        }
        soonest.map_or(Err(full), |tick| Ok(Some(tick)))
    }

    /// The pool a run would take beside what else its first task asks for: the first choice where none has room.
    fn pool_beside(&mut self, chain: u32, stretch: Stretch, asked: &[(usize, Stretch, u32)]) -> PoolId {
        for &(pool, own, amount) in asked {
            self.levels.pools[pool].raise(own.from, own.until, amount);
        }
        let pool = self.pool_with_room(chain, stretch);
        for &(pool, own, amount) in asked {
            self.levels.pools[pool].lower(own.from, own.until, amount);
        }
        pool.unwrap_or(self.layout.network.chains[chain as usize].pool)
    }

    /// The pool it had where that has room still, else the first that has.
    fn pool_with_room(&mut self, chain: u32, stretch: Stretch) -> Option<PoolId> {
        let network = self.layout.network;
        let data = &network.chains[chain as usize];
        let had = self.held[chain as usize].pool;
        let pools = self.layout.chain_pools[chain as usize].iter().copied();
        std::iter::once(had).chain(pools).find(|&pool| {
            let most = network.pools[pool as usize].capacity.checked_sub(data.amount);
            most.is_some_and(|most| {
                let above = self.levels.pools[pool as usize].last_above(stretch.from, stretch.until, most);
                stretch.from >= stretch.until || above.is_none()
            })
        })
    }

    /// The pool a run takes its place from: the one it had where that has room still, else the first that has.
    pub(super) fn choose_pool(&mut self, chain: u32) {
        let network = self.layout.network;
        let data = &network.chains[chain as usize];
        if data.or.is_empty() {
            return;
        }
        let stretch = Stretch {
            from: self.start[data.first as usize],
            until: self.hold_until(chain),
        };
        if let Some(pool) = self.pool_with_room(chain, stretch) {
            self.held[chain as usize].pool = pool;
        }
    }

    /// A task taken out for good leaves no wish for the pools its runs had.
    pub(super) fn forget_pools(&mut self, task: TaskId) {
        for &chain in self.layout.chains_begun.of(task) {
            self.held[chain as usize].pool = self.fresh[chain as usize].pool;
        }
    }

    /// Budgets. A task's draws all begin at its start, so together they are a stair that only goes down: where some
    /// step of it does not fit under what others draw at a tick, no start up to that tick fits either.
    fn budgets_free(&self, task: TaskId, at: Tick, skip: Skip) -> Result<Option<Tick>, Miss> {
        let network = self.layout.network;
        let draws = &network.tasks[task as usize].draws;
        for (index, &(budget, _, _)) in draws.iter().enumerate() {
            if skip.has(Cause::Budget(budget)) || draws[..index].iter().any(|draw| draw.0 == budget) {
                continue;
            }
            let own = || draws.iter().filter(|draw| draw.0 == budget && draw.1 > 0 && draw.2 > 0);
            let profile = &self.levels.pools[network.pools.len() + budget as usize];
            let top: u64 = own().map(|draw| u64::from(draw.1)).sum();
            let room = |level: u64| {
                let left = u64::from(network.budgets[budget as usize]).checked_sub(level);
                left.map(|left| left.min(u64::from(u32::MAX)) as u32)
            };
            let Some(least) = room(top) else {
                return Err(Miss::Never(Reason::CapacityTooSmall));
            };
            let mut from = 0;
            while let Some(until) = own().map(|draw| draw.2).filter(|ticks| *ticks > from).min() {
                let level: u64 = own().filter(|draw| draw.2 >= until).map(|draw| u64::from(draw.1)).sum();
                let most = room(level).unwrap_or(least);
                if let Some(last) = profile.last_above(at.saturating_add(from), at.saturating_add(until), most) {
                    return Ok(Some(profile.first_within(last + 1, least)));
                }
                from = until;
            }
        }
        Ok(None)
    }

    /// The tick at which a chain would end for this task's sake, were it to start at `at`.
    fn chain_end_if(&self, chain: u32, task: TaskId, at: Tick) -> Tick {
        let end = at.saturating_add(self.layout.minutes(task));
        let own = self.layout.network.chains[chain as usize]
            .last
            .iter()
            .filter(|last| last.0 == task);
        own.filter_map(|&(_, tail)| self.layout.after(tail, end))
            .max()
            .unwrap_or(0)
    }

    /// The first start after `at` whose `edge` comes after `last`.
    fn start_with_edge_after(&self, edge: Edge, at: Tick, minutes: Tick, last: Tick) -> Tick {
        let (mut low, mut high) = (at + 1, (last + 1).max(at + 1));
        while low < high {
            let middle = low + (high - low) / 2;
            if self.layout.edge(edge, middle, minutes).is_none_or(|edge| edge > last) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        low
    }

    /// As [`Shop::places_free`] for a task that asks more than once for one pool: its own demands count too.
    fn places_free_together(&mut self, task: TaskId, at: Tick, skip: Skip) -> Result<Option<Tick>, Miss> {
        let layout = self.layout;
        let network = layout.network;
        let mut asked: Vec<(usize, Stretch, u32)> = Vec::new();
        self.each_demand(task, at, |pool, stretch, amount| {
            if pool < network.pools.len() {
                asked.push((pool, stretch, amount));
            }
        });
        for &chain in layout.chains_begun.of(task) {
            let data = &network.chains[chain as usize];
            let until = self.hold_until(chain).max(self.chain_end_if(chain, task, at));
            let stretch = Stretch { from: at, until };
            let pool = if data.or.is_empty() {
                data.pool
            } else {
                self.pool_beside(chain, stretch, &asked)
            };
            asked.push((pool as usize, stretch, data.amount));
        }
        let mut ended: Vec<u32> = layout.chains_ended.of(task).iter().map(|&(chain, _)| chain).collect();
        ended.dedup();
        for chain in ended {
            let data = &network.chains[chain as usize];
            if data.first != task && self.held[chain as usize].begun {
                let from = self.hold_until(chain).max(self.start[data.first as usize]);
                let until = self.chain_end_if(chain, task, at);
                let pool = self.held[chain as usize].pool;
                asked.push((pool as usize, Stretch { from, until }, data.amount));
            }
        }
        let mut room = Ok(None);
        let mut added = 0;
        for &(pool, stretch, amount) in &asked {
            added += 1;
            self.levels.pools[pool].raise(stretch.from, stretch.until, amount);
            if amount == 0 || skip.has(Cause::Place(pool as PoolId)) {
                continue;
            }
            let capacity = network.pools[pool].capacity;
            if let Some(last) = self.levels.pools[pool].last_above(stretch.from, stretch.until, capacity) {
                let for_ever = last as usize + 1 >= layout.limit;
                room = if for_ever && stretch.until as usize >= layout.limit {
                    Err(Miss::Full(pool as PoolId))
                } else {
                    Ok(Some(at + 1))
                };
                break;
            }
        }
        for &(pool, stretch, amount) in &asked[..added] {
            self.levels.pools[pool].lower(stretch.from, stretch.until, amount);
        }
        match room {
            Ok(None) => self.budgets_free(task, at, skip),
            room => room,
        }
    }
}
