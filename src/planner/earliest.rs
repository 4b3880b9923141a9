//! The earliest start of one task in the shop as it stands.
//!
//! Invariant: the start found keeps every rule of the network with everything else where it is; each rule
//! moves the candidate to the first minute at which that rule alone would let it stand, so nothing earlier
//! is passed over.

use super::cause::{Cause, Skip};
use super::hand::Blind;
use super::layout::NOT_PLACED;
use super::network::{Clock, PoolId, Stretch, Tail, TaskId, Tick, Window};
use super::reason::Reason;
use super::shop::Shop;

/// No start was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Miss {
    /// Runs that have begun hold the places of this pool and have not ended yet.
    Full(PoolId),
    /// There is none.
    Never(Reason),
}

/// What the later tasks already placed ask of a task's start.
struct Followers {
    /// Not before (their longest waits).
    least: Tick,
    /// Not after (their least waits).
    most: Tick,
    /// Windows into placed tasks must be looked at minute by minute.
    windows: bool,
}

impl Shop<'_, '_> {
    /// The earliest tick that the tasks before it, its release and its chain of waits allow.
    pub(super) fn ready_at(&self, task: TaskId, skip: Skip) -> Result<Tick, Miss> {
        let layout = self.layout;
        let mut ready = if skip.has(Cause::Release) {
            0
        } else {
            layout.network.tasks[task as usize].release
        };
        for &wait in layout.waits_into.of(task) {
            let wait = &layout.network.waits[wait as usize];
            if !self.is_placed(wait.before) || skip.has(Cause::Wait(wait.before)) {
                continue;
            }
            let base = if wait.from_start {
                self.start[wait.before as usize]
            } else {
                self.end(wait.before)
            };
            let until = layout
                .after(wait.min, base)
                .ok_or(Miss::Never(Reason::TailNeverReached))?;
            ready = ready.max(until);
        }
        if let Some(apart) = layout.network.apart
            && layout.network.dust_until > 0
            && layout.network.tasks[task as usize].wet.is_some()
            && !skip.has(Cause::DustSettle)
        {
            ready = ready.max(layout.network.dust_until + apart.settle);
        }
        if layout.is_optional(task) {
            ready = ready.max(self.via_opens(task, skip));
        }
        Ok(ready)
    }

    /// When an optional task may start so that the placed tasks which need it stay inside their windows.
    fn via_opens(&self, via: TaskId, skip: Skip) -> Tick {
        let layout = self.layout;
        let mut opens = 0;
        for &window in layout.windows_via.of(via) {
            let window = &layout.network.windows[window as usize];
            if let Some(open) = self.via_open_in(window, via, skip) {
                opens = opens.max(open);
            }
        }
        opens
    }

    /// Whether a placed task needs this optional one to stay inside its window.
    pub(super) fn is_called_for(&self, via: TaskId) -> bool {
        let layout = self.layout;
        layout.windows_via.of(via).iter().any(|&window| {
            self.via_open_in(&layout.network.windows[window as usize], via, Skip::NOTHING)
                .is_some()
        })
    }

    /// The opening that binds an optional task in one window; `None` when the window does not need it.
    fn via_open_in(&self, window: &Window, via: TaskId, skip: Skip) -> Option<Tick> {
        if !self.is_placed(window.after) || !self.is_placed(window.before) || skip.has(Cause::Window(window.before)) {
            return None;
        }
        let at = self.start[window.after as usize];
        let end = self.end(window.before);
        let mut least = None;
        for span in &window.spans {
            let Some(open) = self.layout.after(span.opens, end) else {
                break;
            };
            let close = span
                .closes
                .map_or(Some(NOT_PLACED), |closes| self.layout.after(closes, end))
                .unwrap_or(NOT_PLACED);
            if !(open..close).contains(&at) {
                continue;
            }
            match span.via {
                Some(one) if one == via => least = Some(least.map_or(open, |least: Tick| least.min(open))),
                Some(other) if !self.is_placed(other) => {}
                _ => return None,
            }
        }
        least
    }

    /// Fills `spans` with the stretches in which each window into `task` lets it start.
    fn lay_out_windows(&mut self, task: TaskId, skip: Skip) {
        self.spans.clear();
        self.span_ends.clear();
        let layout = self.layout;
        for &window in layout.windows_into.of(task) {
            let window = &layout.network.windows[window as usize];
            if !self.is_placed(window.before) || skip.has(Cause::Window(window.before)) {
                continue;
            }
            let end = self.end(window.before);
            for span in &window.spans {
                let Some(mut open) = layout.after(span.opens, end) else {
                    break;
                };
                let close = span
                    .closes
                    .and_then(|closes| layout.after(closes, end))
                    .unwrap_or(NOT_PLACED);
                if let Some(via) = span.via
                    && (!self.trusting || self.is_placed(via))
                {
                    if !self.is_placed(via) || self.start[via as usize] < open {
                        continue;
                    }
                    open = open.max(self.end(via));
                }
                if open < close {
                    self.spans.push(Stretch {
                        from: open,
                        until: close,
                    });
                }
            }
            self.span_ends.push(self.spans.len());
        }
    }

    /// First tick at or after `at` inside a stretch of every window.
    fn inside_windows(&self, mut at: Tick) -> Option<Tick> {
        loop {
            let before = at;
            let mut begin = 0;
            for &end in &self.span_ends {
                let spans = &self.spans[begin..end];
                at = spans
                    .iter()
                    .filter(|span| at < span.until)
                    .map(|span| at.max(span.from))
                    .min()?;
                begin = end;
            }
            if at == before {
                return Some(at);
            }
        }
    }

    fn followers(&self, task: TaskId, skip: Skip) -> Followers {
        let layout = self.layout;
        let minutes = layout.minutes(task);
        let mut followers = Followers {
            least: 0,
            most: NOT_PLACED,
            windows: false,
        };
        for &wait in layout.waits_from.of(task) {
            let wait = &layout.network.waits[wait as usize];
            if !self.is_placed(wait.after) || layout.is_fixed(wait.after) {
                continue;
            }
            let start = self.start[wait.after as usize];
            let lead = if wait.from_start { 0 } else { minutes };
            if let Some(max) = wait.max
                && !skip.has(Cause::Bundle(wait.after))
            {
                followers.least = followers
                    .least
                    .max(self.first_reaching(max, start).saturating_sub(lead));
            }
            if !skip.has(Cause::Wait(wait.after)) {
                let last = self.last_reached(wait.min, start);
                followers.most = followers.most.min(last.map_or(0, |last| last.saturating_sub(lead)));
                if last.is_none_or(|last| last < lead) {
                    followers.least = NOT_PLACED;
                }
            }
        }
        for &window in layout.windows_from.of(task) {
            let window = &layout.network.windows[window as usize];
            followers.windows |= self.is_placed(window.after)
                && !layout.is_fixed(window.after)
                && !skip.has(Cause::Window(window.after));
        }
        for &window in layout.windows_via.of(task) {
            let window = &layout.network.windows[window as usize];
            if self.via_open_in(window, task, skip).is_some() {
                let start = self.start[window.after as usize];
                followers.most = followers.most.min(start.saturating_sub(minutes));
            }
        }
        followers
    }

    /// The first start of a tail that is not over before `at`.
    pub(super) fn first_reaching(&self, tail: Tail, at: Tick) -> Tick {
        match &self.layout.network.clocks[tail.clock as usize] {
            Clock::Wall => u64::from(at).saturating_sub(tail.amount) as Tick,
            Clock::Measured(_) => {
                let (mut low, mut high) = (0, at);
                while low < high {
                    let middle = low + (high - low) / 2;
                    if self.layout.after(tail, middle).is_none_or(|over| over >= at) {
                        high = middle;
                    } else {
                        low = middle + 1;
                    }
                }
                low
            }
        }
    }

    /// The last start of a tail that is over by `at`.
    fn last_reached(&self, tail: Tail, at: Tick) -> Option<Tick> {
        self.first_reaching(tail, at.saturating_add(1)).checked_sub(1)
    }

    /// Whether the placed tasks after `task` stay inside their windows if it ends at `end`.
    fn windows_hold(&self, task: TaskId, end: Tick, skip: Skip) -> bool {
        let layout = self.layout;
        layout.windows_from.of(task).iter().all(|&window| {
            let window = &layout.network.windows[window as usize];
            if !self.is_placed(window.after) || layout.is_fixed(window.after) || skip.has(Cause::Window(window.after)) {
                return true;
            }
            let at = self.start[window.after as usize];
            window.spans.iter().any(|span| {
                let Some(open) = layout.after(span.opens, end) else {
                    return false;
                };
                let close = span
                    .closes
                    .and_then(|closes| layout.after(closes, end))
                    .unwrap_or(NOT_PLACED);
                let via = span
                    .via
                    .is_none_or(|via| self.is_placed(via) && self.start[via as usize] >= open && self.end(via) <= at);
                via && (open..close).contains(&at)
            })
        })
    }

    /// The earliest start at or after `from`, and who does it.
    pub(super) fn earliest(&mut self, task: TaskId, from: Tick, skip: Skip) -> Result<(Tick, u64), Miss> {
        let layout = self.layout;
        let data = &layout.network.tasks[task as usize];
        let never = |reason| Err(Miss::Never(reason));
        let Some(latest) = layout.latest_start[task as usize] else {
            return never(layout.why_never(task));
        };
        self.lay_out_windows(task, skip);
        let has_windows = !self.span_ends.is_empty();
        let followers = self.followers(task, skip);
        let latest = latest.min(followers.most);
        let starts = data.starts.filter(|_| !skip.has(Cause::StartSet));
        let needed = layout.hands_needed(task);
        let mut at = from.max(followers.least);
        let mut late = Reason::Horizon;
        let mut workers = 0;
        loop {
            if at > latest {
                return never(if late == Reason::Horizon {
                    layout.why_never(task)
                } else {
                    late
                });
            }
            if let Some(set) = starts {
                let set = &layout.network.start_sets[set as usize];
                let Some(stretch) = set.get(set.partition_point(|stretch| stretch.until <= at)) else {
                    return never(Reason::NeverInStartSet);
                };
                if stretch.from > at {
                    (at, late) = (stretch.from, Reason::NeverInStartSet);
                    continue;
                }
            }
            if has_windows {
                match self.inside_windows(at) {
                    None => return never(Reason::TailNeverReached),
                    Some(inside) if inside > at => {
                        (at, late) = (inside, Reason::Horizon);
                        continue;
                    }
                    Some(_) => {}
                }
            }
            if needed > 0 {
                let Some((free, who)) = self.hands_from(task, at, skip) else {
                    return never(Reason::NoShiftLongEnough);
                };
                workers = who;
                if free > at {
                    (at, late) = (free, Reason::NoShiftLongEnough);
                    if starts.is_some() || has_windows {
                        continue;
                    }
                    if at > latest {
                        continue;
                    }
                }
            }
            if let Some(clear) = self.kept_apart(task, at, skip) {
                (at, late) = (clear.max(at + 1), Reason::Horizon);
                continue;
            }
            if let Some(free) = self.places_free(task, at, skip)? {
                (at, late) = (free.max(at + 1), Reason::CapacityTooSmall);
                continue;
            }
            if followers.windows && !self.windows_hold(task, at.saturating_add(data.minutes), skip) {
                at += 1;
                continue;
            }
            return Ok((at, workers));
        }
    }

    /// First tick at or after `from` at which enough hands can do the task, and whose.
    fn hands_from(&self, task: TaskId, from: Tick, skip: Skip) -> Option<(Tick, u64)> {
        let network = self.layout.network;
        let data = &network.tasks[task as usize];
        let blind = Blind {
            to_tasks: skip.has(Cause::Hands),
            to_shifts: skip.has(Cause::Shift),
            to_setups: skip.has(Cause::SetUp),
        };
        let first = |worker: usize, at: Tick| {
            self.hands[worker].first_start(at, data.minutes, data.family, &network.families, blind)
        };
        if data.crew.count == 1 {
            return self.one_hand_from(task, from, first);
        }
        let among = (0..self.hands.len()).filter(|worker| data.crew.among >> worker & 1 == 1);
        let needed = usize::from(data.crew.count);
        let mut found = [(NOT_PLACED, 0_usize); 64];
        let mut count = 0;
        for worker in among {
            if let Some(start) = first(worker, from) {
                found[count] = (start, worker);
                count += 1;
            }
        }
        loop {
            if count < needed {
                return None;
            }
            let found = &mut found[..count];
            if needed > 1 {
                found.sort_unstable();
            }
            let at = if needed == 1 {
                found.iter().map(|one| one.0).min()?
            } else {
                found.get(needed - 1)?.0
            };
            let mut together = 0;
            let mut kept = 0;
            for index in 0..count {
                let (mut start, worker) = found[index];
                if start < at {
                    match first(worker, at) {
                        Some(again) => start = again,
                        None => continue,
                    }
                }
                together += usize::from(start == at);
                found[kept] = (start, worker);
                kept += 1;
            }
            count = kept;
            if together >= needed {
                return Some((at, self.pick(task, at, needed, &found[..count])));
            }
        }
    }

    /// As [`Shop::hands_from`] for a task that one worker does.
    #[inline]
    fn one_hand_from(
        &self,
        task: TaskId,
        from: Tick,
        first: impl Fn(usize, Tick) -> Option<Tick>,
    ) -> Option<(Tick, u64)> {
        let mut left = self.layout.network.tasks[task as usize].crew.among;
        let (mut at, mut who, mut equal) = (NOT_PLACED, 0_u64, false);
        while left != 0 {
            let worker = left.trailing_zeros() as usize;
            left &= left - 1;
            if worker >= self.hands.len() {
                break;
            }
            let Some(start) = first(worker, from) else { continue };
            if start < at {
                (at, who, equal) = (start, 1 << worker, false);
            } else if start == at {
                who |= 1 << worker;
                equal = true;
            }
        }
        if who == 0 {
            return None;
        }
        if equal {
            let ready: Vec<(Tick, usize)> = (0..self.hands.len())
                .filter(|worker| who >> worker & 1 == 1)
                .map(|worker| (at, worker))
                .collect();
            who = self.pick(task, at, 1, &ready);
        }
        Some((at, who))
    }

    /// Who does it: least added set-up, then who is in the shop anyway, then the first.
    fn pick(&self, task: TaskId, at: Tick, needed: usize, found: &[(Tick, usize)]) -> u64 {
        let ready = found.iter().filter(|one| one.0 == at).map(|one| one.1);
        if ready.clone().count() == needed {
            return ready.fold(0, |all, worker| all | 1 << worker);
        }
        let network = self.layout.network;
        let data = &network.tasks[task as usize];
        let mut ranked: Vec<((Tick, bool), usize)> = ready
            .map(|worker| {
                (
                    self.hands[worker].cost(at, data.minutes, data.family, &network.families),
                    worker,
                )
            })
            .collect();
        ranked.sort_unstable();
        ranked
            .iter()
            .take(needed)
            .fold(0, |all, &(_, worker)| all | 1 << worker)
    }

    /// Dust against wet: `None` when it may start at `at`, else the first tick that is not ruled out at once.
    #[inline]
    fn kept_apart(&self, task: TaskId, at: Tick, skip: Skip) -> Option<Tick> {
        let layout = self.layout;
        let apart = layout.network.apart?;
        let data = &layout.network.tasks[task as usize];
        let end = at.saturating_add(data.minutes);
        let (meet, settle) = (!skip.has(Cause::DustWet), !skip.has(Cause::DustSettle));
        if let Some(wet) = data.wet {
            let settling = if settle { apart.settle } else { 0 };
            if settle && let Some(last) = self.levels.dust.last_above(at.saturating_sub(settling), at, 0) {
                return Some(last + 1 + settling);
            }
            if meet {
                let until = layout.after(wet, end).unwrap_or(NOT_PLACED);
                if let Some(last) = self.levels.dust.last_above(at, until, 0) {
                    return Some(last + 1 + settling);
                }
            }
        }
        if data.dusty && data.minutes > 0 {
            if meet && let Some(last) = self.levels.wet.last_above(at, end, 0) {
                return Some(self.levels.wet.first_within(last + 1, 0));
            }
            if settle && apart.settle > 0 {
                let until = end.saturating_add(apart.settle);
                if let Some(start) = self.levels.wet_starts.last_above(end, until, 0) {
                    // no room before that wet start: past it, then past its wet time
                    return Some(start + 1);
                }
            }
        }
        None
    }

    /// Pools, budgets and chains: `Ok(None)` when there is room at `at`, else the first tick worth trying.
    fn places_free(&mut self, task: TaskId, at: Tick, skip: Skip) -> Result<Option<Tick>, Miss> {
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
        for &(budget, amount, ticks) in &data.draws {
            if skip.has(Cause::Budget(budget)) || amount == 0 || ticks == 0 {
                continue;
            }
            let Some(most) = network.budgets[budget as usize].checked_sub(amount) else {
                return Err(Miss::Never(Reason::CapacityTooSmall));
            };
            let profile = &self.levels.pools[network.pools.len() + budget as usize];
            if let Some(last) = profile.last_above(at, at.saturating_add(ticks), most) {
                return Ok(Some(profile.first_within(last + 1, most)));
            }
        }
        for &chain in layout.chains_begun.of(task) {
            let data = &network.chains[chain as usize];
            if skip.has(Cause::Place(data.pool)) || data.amount == 0 {
                continue;
            }
            let until = self.hold_until(chain).max(self.chain_end_if(chain, task, at));
            if at >= until {
                continue;
            }
            let Some(most) = network.pools[data.pool as usize].capacity.checked_sub(data.amount) else {
                return Err(Miss::Never(Reason::CapacityTooSmall));
            };
            if let Some(last) = self.levels.pools[data.pool as usize].last_above(at, until, most) {
                if last as usize + 1 >= layout.limit {
                    return Err(Miss::Full(data.pool));
                }
                return Ok(Some(last + 1));
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
    fn start_with_edge_after(&self, edge: super::network::Edge, at: Tick, minutes: Tick, last: Tick) -> Tick {
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
        self.each_demand(task, at, |pool, stretch, amount| asked.push((pool, stretch, amount)));
        for &chain in layout.chains_begun.of(task) {
            let data = &network.chains[chain as usize];
            let until = self.hold_until(chain).max(self.chain_end_if(chain, task, at));
            asked.push((data.pool as usize, Stretch { from: at, until }, data.amount));
        }
        let mut ended: Vec<u32> = layout.chains_ended.of(task).iter().map(|&(chain, _)| chain).collect();
        ended.dedup();
        for chain in ended {
            let data = &network.chains[chain as usize];
            if data.first != task && self.held[chain as usize].begun {
                let from = self.hold_until(chain).max(self.start[data.first as usize]);
                let until = self.chain_end_if(chain, task, at);
                asked.push((data.pool as usize, Stretch { from, until }, data.amount));
            }
        }
        let mut room = Ok(None);
        let mut added = 0;
        for &(pool, stretch, amount) in &asked {
            added += 1;
            self.levels.pools[pool].raise(stretch.from, stretch.until, amount);
            let (cause, capacity) = match pool.checked_sub(network.pools.len()) {
                Some(budget) => (Cause::Budget(budget as u32), network.budgets[budget]),
                None => (Cause::Place(pool as PoolId), network.pools[pool].capacity),
            };
            if amount == 0 || skip.has(cause) {
                continue;
            }
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
        room
    }
}
