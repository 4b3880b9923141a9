//! A tick before which no plan can be ready.
//!
//! Invariant: never above the `ready` of any plan that keeps every rule. Each step drops rules and never
//! adds one: paths keep waits, shifts and allowed starts; energy keeps only that hands and places cannot
//! give more minutes than they have between the first and the last tick at which work can be done.

use super::layout::Layout;
use super::network::{Edge, Network, PoolId, Stretch, Tail, TaskId, Tick};

/// What the bound rests on: of the things a network has, the one that no plan can get round sooner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BoundReason {
    /// Hands cannot do the work sooner.
    Hands,
    /// Waits alone take that long.
    Drying,
    /// This pool cannot hold more at once.
    Places(PoolId),
    /// This budget (index) cannot take more at once.
    Budget(u32),
    /// Dust and wet work cannot go on together.
    Dust,
    /// Closed hours between the waits.
    Calendar,
}

/// No plan can be ready before `ready`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Bound {
    /// The tick.
    pub ready: Tick,
    /// Why.
    pub reason: BoundReason,
}

/// Something that gives so many units a minute: a set of hands, a pool.
struct Supply {
    reason: BoundReason,
    /// Task, minutes it lasts at least (counted from its start), units a minute.
    uses: Vec<(TaskId, Tick, u64)>,
    stretches: Vec<Stretch>,
    /// Units given before each stretch begins.
    before: Vec<u64>,
    rate: Vec<u64>,
}

impl Supply {
    /// Units given before `at`.
    fn until(&self, at: Tick) -> u64 {
        let index = self.stretches.partition_point(|stretch| stretch.from < at);
        let Some(last) = index.checked_sub(1) else { return 0 };
        let stretch = self.stretches[last];
        self.before[last] + self.rate[last] * u64::from(at.min(stretch.until) - stretch.from)
    }
}

/// The bound of a network that has passed its checks.
pub(super) fn bound(layout: &Layout) -> Bound {
    let network = layout.network;
    let heads = heads(layout, true);
    let path = reached(layout, &heads);
    let drying = reached(layout, &self::heads(layout, false));
    let reason = if u64::from(drying) * 5 >= u64::from(path) * 4 {
        BoundReason::Drying
    } else {
        BoundReason::Calendar
    };
    let mut best = Bound { ready: path, reason };
    if network.goals.is_empty() {
        return best;
    }
    let supplies = supplies(layout);
    if supplies.is_empty() {
        return best;
    }
    // refuted: no plan is ready at or before it
    let (mut refuted, mut open) = (path.saturating_sub(1), layout.limit as Tick);
    while refuted + 1 < open {
        let middle = refuted + (open - refuted) / 2;
        match refute(layout, &heads, &supplies, middle) {
            Some(reason) => {
                refuted = middle;
                best = Bound {
                    ready: middle + 1,
                    reason,
                };
            }
            None => open = middle,
        }
    }
    best
}

/// The first start that waits (and, if asked, shifts and allowed starts) leave each task.
fn heads(layout: &Layout, calendar: bool) -> Vec<Tick> {
    let network = layout.network;
    let mut heads = vec![0; network.tasks.len()];
    for (id, task) in network.tasks.iter().enumerate() {
        if let Some(fixed) = task.fixed {
            heads[id] = fixed.start;
        }
    }
    for &id in &layout.tight.sequence {
        let task = &network.tasks[id as usize];
        if layout.is_optional(id) {
            continue;
        }
        let mut head = task.release;
        for &wait in layout.waits_into.of(id) {
            let wait = &network.waits[wait as usize];
            if layout.is_optional(wait.before) {
                continue;
            }
            let lead = if wait.from_start {
                0
            } else {
                layout.minutes(wait.before)
            };
            head = head.max(
                layout
                    .after(wait.min, heads[wait.before as usize] + lead)
                    .unwrap_or(head),
            );
        }
        for &window in layout.windows_into.of(id) {
            let window = &network.windows[window as usize];
            if !layout.is_optional(window.before) {
                let end = heads[window.before as usize] + layout.minutes(window.before);
                let first = window
                    .spans
                    .iter()
                    .filter_map(|span| layout.after(span.opens, end))
                    .min();
                head = head.max(first.unwrap_or(head));
            }
        }
        heads[id as usize] = if calendar { fit(layout, id, head) } else { head };
    }
    heads
}

/// The first start at or after `at` inside allowed starts and some shift.
fn fit(layout: &Layout, id: TaskId, mut at: Tick) -> Tick {
    let network = layout.network;
    let task = &network.tasks[id as usize];
    let needed = layout.hands_needed(id) as usize;
    loop {
        let before = at;
        if let Some(set) = task.starts {
            let set = &network.start_sets[set as usize];
            if let Some(stretch) = set.get(set.partition_point(|stretch| stretch.until <= at)) {
                at = at.max(stretch.from);
            }
        }
        if needed > 0 {
            let mut firsts: Vec<Tick> = among(network, task.crew.among)
                .filter_map(|shifts| first_in(shifts, at, task.minutes))
                .collect();
            firsts.sort_unstable();
            if let Some(&first) = firsts.get(needed - 1) {
                at = at.max(first);
            }
        }
        if at == before {
            return at;
        }
    }
}

fn among(network: &Network, mask: u64) -> impl Iterator<Item = &[Stretch]> {
    let workers = network.workers.iter().enumerate();
    workers
        .filter(move |(worker, _)| mask >> worker & 1 == 1)
        .map(|(_, worker)| worker.shifts.as_slice())
}

fn first_in(shifts: &[Stretch], at: Tick, minutes: Tick) -> Option<Tick> {
    let from = shifts.partition_point(|shift| shift.until <= at);
    shifts[from..]
        .iter()
        .map(|shift| (at.max(shift.from), shift.until))
        .find_map(|(start, until)| (start + minutes <= until).then_some(start))
}

fn last_in(shifts: &[Stretch], end: Tick, minutes: Tick) -> Option<Tick> {
    let until = shifts.partition_point(|shift| shift.from < end);
    shifts[..until].iter().rev().find_map(|shift| {
        let start = end.min(shift.until).checked_sub(minutes)?;
        (start >= shift.from).then_some(start)
    })
}

fn reached(layout: &Layout, heads: &[Tick]) -> Tick {
    let network = layout.network;
    let mut latest = 0;
    for &(task, tail) in network.goals.iter().flat_map(|goal| &goal.tasks) {
        if !layout.is_optional(task) {
            let end = heads[task as usize] + layout.minutes(task);
            latest = latest.max(layout.after(tail, end).unwrap_or(latest));
        }
    }
    latest
}

/// The last start each task may have if everything is to be ready by `ready`; `None` when there is none.
pub(super) fn tails(layout: &Layout, ready: Tick) -> Vec<Option<Tick>> {
    let network = layout.network;
    let mut ends: Vec<Option<Tick>> = vec![Some(layout.limit as Tick); network.tasks.len()];
    for &(task, tail) in network.goals.iter().flat_map(|goal| &goal.tasks) {
        let last = layout.last_before(tail, ready);
        ends[task as usize] = ends[task as usize].zip(last).map(|(one, other)| one.min(other));
    }
    let mut starts: Vec<Option<Tick>> = vec![Some(network.horizon); network.tasks.len()];
    for &id in layout.tight.sequence.iter().rev() {
        if layout.is_optional(id) {
            continue;
        }
        let task = &network.tasks[id as usize];
        let (mut end, mut start) = (ends[id as usize], Some(network.horizon));
        let mut keep = |tail: Tail, from_start: bool, until: Option<Tick>| {
            let bound = until.and_then(|until| layout.last_before(tail, until));
            let side = if from_start { &mut start } else { &mut end };
            *side = (*side).zip(bound).map(|(one, other)| one.min(other));
        };
        for &wait in layout.waits_from.of(id) {
            let wait = &network.waits[wait as usize];
            if !layout.is_optional(wait.after) && !layout.is_fixed(wait.after) {
                keep(wait.min, wait.from_start, starts[wait.after as usize]);
            }
        }
        for &window in layout.windows_from.of(id) {
            let window = &network.windows[window as usize];
            if !layout.is_optional(window.after)
                && !layout.is_fixed(window.after)
                && let Some(span) = window.spans.first()
            {
                keep(span.opens, false, starts[window.after as usize]);
            }
        }
        let last = start
            .zip(end)
            .and_then(|(start, end)| Some(start.min(end.checked_sub(task.minutes)?)));
        let needed = layout.hands_needed(id) as usize;
        starts[id as usize] = last.and_then(|last| {
            if needed == 0 {
                return Some(last);
            }
            let mut lasts: Vec<Tick> = among(network, task.crew.among)
                .filter_map(|shifts| last_in(shifts, last + task.minutes, task.minutes))
                .collect();
            lasts.sort_unstable_by(|one, other| other.cmp(one));
            lasts.get(needed - 1).copied()
        });
    }
    starts
}

/// Whether some supply falls short if all is to be ready by `ready`.
fn refute(layout: &Layout, heads: &[Tick], supplies: &[Supply], ready: Tick) -> Option<BoundReason> {
    let lasts = tails(layout, ready);
    for &task in &layout.tight.sequence {
        if !layout.is_optional(task) && lasts[task as usize].is_none_or(|last| last < heads[task as usize]) {
            return Some(BoundReason::Calendar);
        }
    }
    supplies
        .iter()
        .find(|supply| falls_short(supply, heads, &lasts))
        .map(|supply| supply.reason)
}

/// Heads looked at per supply: the rest are covered by the nearest one before them.
const MOST_HEADS: usize = 24;

fn falls_short(supply: &Supply, heads: &[Tick], lasts: &[Option<Tick>]) -> bool {
    // (latest end, head, units)
    let mut uses: Vec<(Tick, Tick, u64)> = supply
        .uses
        .iter()
        .filter_map(|&(task, minutes, rate)| {
            let last = lasts[task as usize]?;
            Some((
                last.saturating_add(minutes),
                heads[task as usize],
                u64::from(minutes) * rate,
            ))
        })
        .collect();
    uses.sort_unstable();
    let mut from: Vec<Tick> = uses.iter().map(|one| one.1).collect();
    from.sort_unstable();
    from.dedup();
    let step = from.len().div_ceil(MOST_HEADS).max(1);
    from.into_iter().step_by(step).any(|head| {
        let given = supply.until(head);
        let mut units = 0;
        uses.iter().filter(|one| one.1 >= head).any(|&(end, _, amount)| {
            units += amount;
            units > supply.until(end).saturating_sub(given)
        })
    })
}

fn supplies(layout: &Layout) -> Vec<Supply> {
    let network = layout.network;
    let mut supplies = Vec::new();
    let counted = |id: TaskId| !layout.is_optional(id) && !layout.is_fixed(id);
    let tasks = || (0..network.tasks.len() as TaskId).filter(|&id| counted(id));
    let mut masks: Vec<u64> = tasks()
        .filter(|&id| layout.hands_needed(id) > 0)
        .map(|id| network.tasks[id as usize].crew.among)
        .collect();
    masks.sort_unstable();
    masks.dedup();
    let all = masks.iter().fold(0, |all, mask| all | mask);
    if masks.len() > 1 {
        masks.retain(|&mask| mask != all);
        masks.truncate(16);
        masks.push(all);
    }
    for mask in masks {
        let uses = tasks()
            .filter(|&id| layout.hands_needed(id) > 0 && network.tasks[id as usize].crew.among & !mask == 0)
            .map(|id| (id, layout.minutes(id), u64::from(layout.hands_needed(id))))
            .collect();
        supplies.push(hands_supply(network, mask, uses));
    }
    for pool in 0..network.pools.len() as u32 {
        let mut uses = Vec::new();
        for id in tasks() {
            for demand in network.tasks[id as usize]
                .demands
                .iter()
                .filter(|demand| demand.pool == pool)
            {
                let lasts = lasts_at_least(network, layout.minutes(id), demand.from, demand.until);
                if lasts > 0 && demand.amount > 0 {
                    uses.push((id, lasts, u64::from(demand.amount)));
                }
            }
        }
        if !uses.is_empty() {
            supplies.push(Supply {
                reason: BoundReason::Places(pool),
                uses,
                stretches: vec![Stretch {
                    from: 0,
                    until: Tick::MAX,
                }],
                before: vec![0],
                rate: vec![u64::from(network.pools[pool as usize].capacity)],
            });
        }
    }
    supplies
}

/// How long a demand that begins with its task lasts at the very least.
fn lasts_at_least(network: &Network, minutes: Tick, from: Edge, until: Edge) -> Tick {
    use super::network::Clock;
    if from != Edge::Start {
        return 0;
    }
    let wall = |tail: Tail| match network.clocks[tail.clock as usize] {
        Clock::Wall => Tick::try_from(tail.amount).unwrap_or(0),
        Clock::Measured(_) => 0,
    };
    match until {
        Edge::Start => 0,
        Edge::End => minutes,
        Edge::After(tail) => minutes.saturating_add(wall(tail)),
        Edge::AfterStart(tail) => wall(tail),
    }
}

fn hands_supply(network: &Network, mask: u64, uses: Vec<(TaskId, Tick, u64)>) -> Supply {
    let mut edges: Vec<(Tick, i64)> = Vec::new();
    for shift in among(network, mask).flatten() {
        edges.push((shift.from, 1));
        edges.push((shift.until, -1));
    }
    edges.sort_unstable();
    let mut supply = Supply {
        reason: BoundReason::Hands,
        uses,
        stretches: Vec::new(),
        before: Vec::new(),
        rate: Vec::new(),
    };
    let (mut level, mut given) = (0_i64, 0_u64);
    for two in edges.windows(2) {
        level += two[0].1;
        if level > 0 && two[0].0 < two[1].0 {
            supply.stretches.push(Stretch {
                from: two[0].0,
                until: two[1].0,
            });
            supply.before.push(given);
            supply.rate.push(level as u64);
            given += level as u64 * u64::from(two[1].0 - two[0].0);
        }
    }
    supply
}
