//! The shop as far as it is filled: every placed task and what it takes.
//!
//! Invariant: `unplace` undoes `place` exactly; facts are in before anything else and never leave.

use super::barred::Barred;
use super::hand::{Hand, Slot};
use super::layout::{Layout, NOT_PLACED};
use super::network::{PoolId, Stretch, TaskId, Tick};
use super::profile::Profile;
use super::search::Placing;

/// A run that holds a place.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Held {
    /// Its first task is placed.
    pub(super) begun: bool,
    /// Ending tasks that are neither placed nor known not to be needed.
    pub(super) pending: u32,
    /// What the profile holds now.
    pub(super) stretch: Option<Stretch>,
    /// Where it holds it, or would rather.
    pub(super) pool: PoolId,
}

/// Levels of everything that has a level.
#[derive(Debug)]
pub(super) struct Levels {
    /// Pools, then budgets.
    pub(super) pools: Vec<Profile>,
    /// Wet tasks.
    pub(super) wet: Profile,
    /// Starts of wet tasks.
    pub(super) wet_starts: Profile,
    /// Dusty tasks.
    pub(super) dust: Profile,
    /// What wet tasks, and settling before them, leave for dusty ones.
    pub(super) barred: Barred,
}

/// The shop.
#[derive(Debug)]
pub(super) struct Shop<'l, 'n> {
    pub(super) layout: &'l Layout<'n>,
    pub(super) start: Vec<Tick>,
    pub(super) workers: Vec<u64>,
    pub(super) hands: Vec<Hand>,
    pub(super) levels: Levels,
    /// Pools and wet times before any task, where they are not empty.
    base_pools: Vec<Option<Profile>>,
    base_wet: Option<Profile>,
    pub(super) held: Vec<Held>,
    pub(super) fresh: Vec<Held>,
    /// How many windows that could use an optional task are still open.
    pub(super) undecided: Vec<u32>,
    fresh_undecided: Vec<u32>,
    pub(super) spans: Vec<Stretch>,
    pub(super) span_ends: Vec<usize>,
    /// Windows are taken as if every optional task that they could use were done.
    pub(super) trusting: bool,
    /// The plan is whole: taking one task out leaves it settled which optional tasks are done, and runs do
    /// not become endless.
    whole: bool,
    /// Runs take their places where the plan taken in says, not where there is room.
    as_given: bool,
    /// How often it has been emptied: what is known of one filling says nothing of the next.
    pub(super) filling: u64,
}

impl<'l, 'n> Shop<'l, 'n> {
    pub(super) fn new(layout: &'l Layout<'n>) -> Self {
        let network = layout.network;
        let limit = layout.limit;
        let levels = Levels {
            pools: network
                .pools
                .iter()
                // what there is one of is in use now and then; a shop of a thousand pieces has a thousand such
                .map(|pool| {
                    if pool.capacity == 1 {
                        Profile::seldom(limit)
                    } else {
                        Profile::new(limit)
                    }
                })
                .chain(network.budgets.iter().map(|_| Profile::new(limit)))
                .collect(),
            wet: Profile::new(if network.apart.is_some() { limit } else { 0 }),
            wet_starts: Profile::new(if network.apart.is_some() { limit } else { 0 }),
            dust: Profile::new(if network.apart.is_some() { limit } else { 0 }),
            barred: Barred::new(if network.apart.is_some() { limit } else { 0 }),
        };
        let mut undecided = vec![0; network.tasks.len()];
        for via in network
            .windows
            .iter()
            .filter(|window| !layout.is_fixed(window.after))
            .flat_map(|window| {
                let mut vias: Vec<TaskId> = window.spans.iter().filter_map(|span| span.via).collect();
                vias.sort_unstable();
                vias.dedup();
                vias
            })
        {
            undecided[via as usize] += 1;
        }
        let fresh = network
            .chains
            .iter()
            .zip(&layout.chain_pools)
            .map(|(chain, pools)| {
                let mut tasks: Vec<TaskId> = chain.last.iter().map(|last| last.0).collect();
                tasks.sort_unstable();
                tasks.dedup();
                // an optional task that nothing can call for never comes
                let pending = tasks
                    .iter()
                    .filter(|&&task| !layout.is_optional(task) || undecided[task as usize] > 0);
                Held {
                    begun: false,
                    pending: pending.count() as u32,
                    stretch: None,
                    pool: pools.first().copied().unwrap_or(chain.pool),
                }
            })
            .collect::<Vec<_>>();
        let mut shop = Self {
            layout,
            start: vec![NOT_PLACED; network.tasks.len()],
            workers: vec![0; network.tasks.len()],
            hands: network.workers.iter().map(|worker| Hand::new(worker, limit)).collect(),
            base_pools: Vec::new(),
            base_wet: None,
            levels,
            held: fresh.clone(),
            fresh,
            undecided: undecided.clone(),
            fresh_undecided: undecided,
            spans: Vec::new(),
            span_ends: Vec::new(),
            trusting: false,
            whole: false,
            as_given: false,
            filling: 0,
        };
        shop.take_in_outside();
        shop.base_pools = shop.levels.pools.iter_mut().map(Profile::base).collect();
        shop.base_wet = shop.levels.wet.base();
        shop.levels.barred.keep_as_base();
        shop.clear();
        shop
    }

    /// What the network says is taken before any task.
    fn take_in_outside(&mut self) {
        let network = self.layout.network;
        for (pool, profile) in network.pools.iter().zip(&mut self.levels.pools) {
            for &(stretch, amount) in &pool.taken {
                profile.raise(stretch.from, stretch.until, amount);
            }
        }
        if network.apart.is_some() {
            for stretch in &network.wet_already {
                self.levels.wet.raise(stretch.from, stretch.until, 1);
                self.levels.barred.raise(*stretch);
            }
        }
    }

    /// Fills the shop with a plan found before.
    pub(super) fn take_in(&mut self, placing: &Placing) {
        self.load(&placing.starts, &placing.workers, &placing.pools);
    }

    /// Fills the shop with a whole plan.
    pub(super) fn load(&mut self, starts: &[Option<Tick>], workers: &[u64], pools: &[PoolId]) {
        self.empty();
        for (held, &pool) in self.held.iter_mut().zip(pools) {
            held.pool = pool;
        }
        self.as_given = true;
        self.place_facts();
        for optional in [true, false] {
            for (task, start) in starts.iter().enumerate() {
                let task = task as TaskId;
                if let Some(start) = *start
                    && !self.layout.is_fixed(task)
                    && self.layout.is_optional(task) == optional
                {
                    self.place(task, start, workers[task as usize]);
                }
            }
        }
        self.as_given = false;
        self.whole = true;
    }

    /// Empties the shop but for the facts.
    pub(super) fn clear(&mut self) {
        self.empty();
        self.place_facts();
    }

    fn empty(&mut self) {
        self.filling += 1;
        self.whole = false;
        for (profile, base) in self.levels.pools.iter_mut().zip(&self.base_pools) {
            profile.restore(base.as_ref());
        }
        self.levels.wet.restore(self.base_wet.as_ref());
        self.levels.wet_starts.restore(None);
        self.levels.dust.restore(None);
        self.levels.barred.restore();
        self.hands.iter_mut().for_each(Hand::clear);
        self.start.fill(NOT_PLACED);
        self.workers.fill(0);
        self.held.clone_from(&self.fresh);
        self.undecided.clone_from(&self.fresh_undecided);
    }

    fn place_facts(&mut self) {
        for (id, task) in self.layout.network.tasks.iter().enumerate() {
            if let Some(fixed) = task.fixed {
                self.place(id as TaskId, fixed.start, fixed.workers);
            }
        }
    }

    pub(super) fn is_placed(&self, task: TaskId) -> bool {
        self.start[task as usize] != NOT_PLACED
    }

    /// End of a placed task.
    pub(super) fn end(&self, task: TaskId) -> Tick {
        self.start[task as usize].saturating_add(self.layout.minutes(task))
    }

    /// Minutes in which a demand holds; what is never over is held to the end.
    fn demand(&self, task: TaskId, index: usize, start: Tick) -> (usize, Stretch, u32) {
        let demand = self.layout.network.tasks[task as usize].demands[index];
        let minutes = self.layout.minutes(task);
        let end_of_time = self.layout.limit as Tick;
        let from = self.layout.edge(demand.from, start, minutes).unwrap_or(end_of_time);
        let until = self.layout.edge(demand.until, start, minutes).unwrap_or(end_of_time);
        (demand.pool as usize, Stretch { from, until }, demand.amount)
    }

    /// Each level a task raises by its own demands and draws (not its chains).
    pub(super) fn each_demand(&self, task: TaskId, start: Tick, mut each: impl FnMut(usize, Stretch, u32)) {
        let data = &self.layout.network.tasks[task as usize];
        for index in 0..data.demands.len() {
            let (pool, stretch, amount) = self.demand(task, index, start);
            each(pool, stretch, amount);
        }
        let pools = self.layout.network.pools.len();
        for &(budget, amount, ticks) in &data.draws {
            each(
                pools + budget as usize,
                Stretch {
                    from: start,
                    until: start.saturating_add(ticks),
                },
                amount,
            );
        }
    }

    /// Puts a task in.
    pub(super) fn place(&mut self, task: TaskId, start: Tick, workers: u64) {
        self.start[task as usize] = start;
        self.workers[task as usize] = workers;
        self.put_hands(task, start, workers);
        self.change_levels::<true>(task, start);
        let layout = self.layout;
        for &chain in layout.chains_begun.of(task) {
            if !self.as_given {
                self.choose_pool(chain);
            }
            self.held[chain as usize].begun = true;
            self.hold(chain);
        }
        self.chain_end_decided::<true>(task);
        self.decide::<true>(task);
    }

    /// Takes a placed task out again.
    pub(super) fn unplace(&mut self, task: TaskId) {
        let start = self.start[task as usize];
        self.decide::<false>(task);
        self.start[task as usize] = NOT_PLACED;
        let layout = self.layout;
        for &chain in layout.chains_begun.of(task) {
            self.held[chain as usize].begun = false;
            self.hold(chain);
        }
        self.chain_end_decided::<false>(task);
        self.change_levels::<false>(task, start);
        let workers = std::mem::take(&mut self.workers[task as usize]);
        self.take_hands(task, start, workers);
    }

    pub(super) fn take_hands(&mut self, task: TaskId, start: Tick, workers: u64) {
        let mut left = workers;
        while left != 0 {
            self.hands[left.trailing_zeros() as usize].take(task, start);
            left &= left - 1;
        }
    }

    pub(super) fn put_hands(&mut self, task: TaskId, start: Tick, workers: u64) {
        let data = &self.layout.network.tasks[task as usize];
        if data.minutes == 0 {
            return;
        }
        let slot = Slot {
            start,
            end: start + data.minutes,
            task,
            family: data.family,
            fixed: data.fixed.is_some(),
        };
        let mut left = workers;
        while left != 0 {
            self.hands[left.trailing_zeros() as usize].put(slot);
            left &= left - 1;
        }
    }

    fn change_levels<const UP: bool>(&mut self, task: TaskId, start: Tick) {
        let layout = self.layout;
        let data = &layout.network.tasks[task as usize];
        let change = |profile: &mut Profile, stretch: Stretch, amount: u32| {
            if UP {
                profile.raise(stretch.from, stretch.until, amount);
            } else {
                profile.lower(stretch.from, stretch.until, amount);
            }
        };
        for index in 0..data.demands.len() {
            let (pool, stretch, amount) = self.demand(task, index, start);
            change(&mut self.levels.pools[pool], stretch, amount);
        }
        for &(budget, amount, ticks) in &data.draws {
            let stretch = Stretch {
                from: start,
                until: start.saturating_add(ticks),
            };
            change(
                &mut self.levels.pools[layout.network.pools.len() + budget as usize],
                stretch,
                amount,
            );
        }
        let Some(apart) = layout.network.apart else { return };
        let end = start.saturating_add(data.minutes);
        if let Some(wet) = data.wet {
            let until = layout.after(wet, end).unwrap_or(layout.limit as Tick);
            change(&mut self.levels.wet, Stretch { from: start, until }, 1);
            let barred = Stretch {
                from: start.saturating_sub(apart.settle),
                until,
            };
            if UP {
                self.levels.barred.raise(barred);
            } else {
                self.levels.barred.lower(barred);
            }
            change(
                &mut self.levels.wet_starts,
                Stretch {
                    from: start,
                    until: start + 1,
                },
                1,
            );
        }
        if data.dusty {
            change(
                &mut self.levels.dust,
                Stretch {
                    from: start,
                    until: end,
                },
                1,
            );
        }
    }

    /// Counts an ending task as placed (or not any more).
    fn chain_end_decided<const DONE: bool>(&mut self, task: TaskId) {
        let layout = self.layout;
        let mut last = None;
        for &(chain, _) in layout.chains_ended.of(task) {
            if last == Some(chain) {
                continue;
            }
            last = Some(chain);
            let counted = !layout.is_optional(task) || self.undecided[task as usize] > 0;
            if counted {
                let pending = &mut self.held[chain as usize].pending;
                *pending = if DONE { pending.saturating_sub(1) } else { *pending + 1 };
            }
            self.hold(chain);
        }
    }

    /// Placing the later task of a window settles whether the optional tasks of that window are done.
    fn decide<const DONE: bool>(&mut self, task: TaskId) {
        let layout = self.layout;
        if self.whole {
            return;
        }
        for &window in layout.windows_into.of(task) {
            let spans = &layout.network.windows[window as usize].spans;
            for (index, span) in spans.iter().enumerate() {
                let Some(via) = span.via else { continue };
                if spans[..index].iter().any(|earlier| earlier.via == Some(via)) || layout.is_fixed(task) {
                    continue;
                }
                let undecided = &mut self.undecided[via as usize];
                let was_open = *undecided > 0;
                *undecided = if DONE {
                    undecided.saturating_sub(1)
                } else {
                    *undecided + 1
                };
                let is_open = *undecided > 0;
                if was_open != is_open && !self.is_placed(via) && layout.is_optional(via) {
                    self.via_settled(via, DONE);
                }
            }
        }
    }

    fn via_settled(&mut self, via: TaskId, done: bool) {
        let layout = self.layout;
        let mut last = None;
        for &(chain, _) in layout.chains_ended.of(via) {
            if last == Some(chain) {
                continue;
            }
            last = Some(chain);
            let pending = &mut self.held[chain as usize].pending;
            *pending = if done { pending.saturating_sub(1) } else { *pending + 1 };
            self.hold(chain);
        }
    }

    /// Until when a run begun holds its place: to the end of time while any ending task is to come.
    pub(super) fn hold_until(&self, chain: u32) -> Tick {
        let layout = self.layout;
        let data = &layout.network.chains[chain as usize];
        if self.held[chain as usize].pending > 0 && !self.whole {
            return layout.limit as Tick;
        }
        let over = |&(task, tail): &(TaskId, _)| {
            self.is_placed(task)
                .then(|| layout.after(tail, self.end(task)).unwrap_or(layout.limit as Tick))
        };
        data.last.iter().filter_map(over).max().unwrap_or(0)
    }

    /// Brings the profile in line with what the chain holds now.
    fn hold(&mut self, chain: u32) {
        let data = &self.layout.network.chains[chain as usize];
        let held = self.held[chain as usize];
        let wanted = held
            .begun
            .then(|| Stretch {
                from: self.start[data.first as usize],
                until: self.hold_until(chain),
            })
            .filter(|stretch| stretch.from < stretch.until);
        if wanted == held.stretch {
            return;
        }
        let profile = &mut self.levels.pools[held.pool as usize];
        match (held.stretch, wanted) {
            (Some(old), Some(new)) if old.from == new.from && new.until <= old.until => {
                profile.lower(new.until, old.until, data.amount);
            }
            (old, new) => {
                if let Some(old) = old {
                    profile.lower(old.from, old.until, data.amount);
                }
                if let Some(new) = new {
                    profile.raise(new.from, new.until, data.amount);
                }
            }
        }
        self.held[chain as usize].stretch = wanted;
    }
}
