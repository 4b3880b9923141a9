//! What hands, pools and budgets can give, set against what is asked of them.
//!
//! Invariant: a supply never gives less than the network does, so one that falls short refutes every plan.

use super::BoundReason;
use super::paths::among;
use crate::planner::layout::Layout;
use crate::planner::network::{FamilyId, Network, Stretch, TaskId, Tick};
use crate::planner::stretches::joined;

/// What a task asks of a supply.
#[derive(Clone, Copy, Debug)]
pub(super) struct Use {
    pub(super) task: TaskId,
    /// Ticks from the task's start to where the use begins.
    pub(super) from: Tick,
    /// Ticks it lasts at the least.
    pub(super) lasts: Tick,
    /// Units a tick.
    pub(super) rate: u64,
}

/// Something that gives so many units a tick: a set of hands, a pool, a budget.
pub(super) struct Supply {
    pub(super) reason: BoundReason,
    pub(super) uses: Vec<Use>,
    stretches: Vec<Stretch>,
    /// Units given before each stretch begins.
    before: Vec<u64>,
    rate: Vec<u64>,
    /// Set-ups that come on top, counted from the very beginning.
    pub(super) setups: Vec<SetUp>,
    /// Families that may stay open at the end: one a pair of hands.
    pub(super) open_ends: usize,
}

/// A family and the tasks that need it open.
pub(super) struct SetUp {
    pub(super) family: FamilyId,
    pub(super) open: u64,
    pub(super) close: u64,
}

/// Heads looked at per supply: the rest are covered by the nearest one before them.
const MOST_HEADS: usize = 24;

impl Supply {
    pub(super) fn new(reason: BoundReason, uses: Vec<Use>) -> Self {
        Self {
            reason,
            uses,
            stretches: Vec::new(),
            before: Vec::new(),
            rate: Vec::new(),
            setups: Vec::new(),
            open_ends: 0,
        }
    }

    /// Gives at a rate that changes at `edges` (tick, change).
    pub(super) fn give(&mut self, mut edges: Vec<(Tick, i64)>) {
        #[expect(clippy::stable_sort_primitive, reason = "they come in a few lists in order")]
        edges.sort();
        let (mut level, mut given) = (0_i64, 0_u64);
        for two in edges.windows(2) {
            level += two[0].1;
            if level > 0 && two[0].0 < two[1].0 {
                self.stretches.push(Stretch {
                    from: two[0].0,
                    until: two[1].0,
                });
                self.before.push(given);
                self.rate.push(level as u64);
                given += level as u64 * u64::from(two[1].0 - two[0].0);
            }
        }
    }

    /// Units given before `at`.
    fn until(&self, at: Tick) -> u64 {
        let index = self.stretches.partition_point(|stretch| stretch.from < at);
        let Some(last) = index.checked_sub(1) else { return 0 };
        let stretch = self.stretches[last];
        self.before[last] + self.rate[last] * u64::from(at.min(stretch.until) - stretch.from)
    }

    /// The same for one end after another: `stretch` says how many stretches begin before the last one asked for.
    fn until_from(&self, at: Tick, stretch: &mut usize) -> u64 {
        while self.stretches.get(*stretch).is_some_and(|next| next.from < at) {
            *stretch += 1;
        }
        let Some(last) = stretch.checked_sub(1) else { return 0 };
        let open = self.stretches[last];
        self.before[last] + self.rate[last] * u64::from(at.min(open.until) - open.from)
    }

    /// Whether more is asked between some head and some end than is given there.
    pub(super) fn falls_short(&mut self, network: &Network, heads: &[Tick], lasts: &[Option<Tick>]) -> bool {
        // the uses are left in the order of their ends: that of the next question is nearly the same, and a stable
        // sort goes quickly over what is in order already
        let end = |one: &Use| {
            let last = lasts[one.task as usize].map(|last| last.saturating_add(one.from));
            last.map(|last| last.saturating_add(one.lasts))
        };
        self.uses.sort_by_key(|one| (end(one), one.task));
        // latest end, earliest beginning, units, task
        let uses: Vec<(Tick, Tick, u64, TaskId)> = self
            .uses
            .iter()
            .filter_map(|one| {
                let head = heads[one.task as usize].saturating_add(one.from);
                Some((end(one)?, head, u64::from(one.lasts) * one.rate, one.task))
            })
            .collect();
        if !self.setups.is_empty() && self.set_ups_fall_short(network, &uses) {
            return true;
        }
        let mut stretch = 0;
        let given_at_end: Vec<u64> = uses.iter().map(|one| self.until_from(one.0, &mut stretch)).collect();
        let mut from: Vec<Tick> = uses.iter().map(|one| one.1).collect();
        from.sort_unstable();
        from.dedup();
        let step = from.len().div_ceil(MOST_HEADS).max(1);
        // what is given by each end is the same for every head
        from.into_iter().step_by(step).any(|head| {
            let given = self.until(head);
            let mut units = given;
            let ends = uses.iter().zip(&given_at_end).filter(|(one, _)| one.1 >= head);
            ends.into_iter().any(|(&(_, _, amount, _), &at_end)| {
                units += amount;
                units > at_end.max(given)
            })
        })
    }

    /// The same from the very beginning, with the set-ups: each family met is opened at least once, and all but
    /// the one in each pair of hands at the end are closed.
    fn set_ups_fall_short(&self, network: &Network, uses: &[(Tick, Tick, u64, TaskId)]) -> bool {
        let mut met = vec![false; network.families.len()];
        let mut open_closes: Vec<u64> = Vec::new();
        let (mut units, mut setting_up) = (0, 0);
        let mut stretch = 0;
        for &(end, _, amount, task) in uses {
            units += amount;
            let family = network.tasks[task as usize].family;
            if let Some(own) = family.and_then(|family| self.setups.iter().find(|one| one.family == family))
                && !std::mem::replace(&mut met[own.family as usize], true)
            {
                setting_up += own.open + own.close;
                open_closes.push(own.close);
                open_closes.sort_unstable_by(|one, other| other.cmp(one));
            }
            let left_open: u64 = open_closes.iter().take(self.open_ends).sum();
            if units + setting_up - left_open > self.until_from(end, &mut stretch) {
                return true;
            }
        }
        false
    }
}

/// When a pool can be used at all: always, or only about the shifts when every use begins in one.
pub(super) fn open_edges(layout: &Layout, uses: &[Use], capacity: i64, taken: &[(Stretch, u32)]) -> Vec<(Tick, i64)> {
    let network = layout.network;
    let mut edges: Vec<(Tick, i64)> = Vec::new();
    let by_hand = uses.iter().all(|one| layout.hands_needed(one.task) > 0);
    if !by_hand {
        edges.push((0, capacity));
        edges.push((Tick::MAX, -capacity));
        return less_taken(edges, taken, capacity);
    }
    let who = uses
        .iter()
        .fold(0, |all, one| all | network.tasks[one.task as usize].crew.among);
    let rest = uses
        .iter()
        .map(|one| {
            one.from
                .saturating_add(one.lasts)
                .saturating_sub(layout.minutes(one.task))
        })
        .max()
        .unwrap_or(0);
    let open = among(network, who).flatten().map(|shift| Stretch {
        from: shift.from,
        until: shift.until.saturating_add(rest),
    });
    for open in joined(open.collect()) {
        edges.extend([(open.from, capacity), (open.until, -capacity)]);
    }
    less_taken(edges, taken, capacity)
}

/// Takes off what others have taken, as far as the pool is open and as far as there is any.
fn less_taken(edges: Vec<(Tick, i64)>, taken: &[(Stretch, u32)], capacity: i64) -> Vec<(Tick, i64)> {
    if taken.is_empty() {
        return edges;
    }
    // (tick, change of open, change of taken)
    let mut all: Vec<(Tick, i64, i64)> = edges.into_iter().map(|(at, by)| (at, by.signum(), 0)).collect();
    for &(stretch, amount) in taken.iter().filter(|(stretch, _)| stretch.from < stretch.until) {
        all.push((stretch.from, 0, i64::from(amount)));
        all.push((stretch.until, 0, -i64::from(amount)));
    }
    #[expect(clippy::stable_sort_primitive, reason = "both lists come in order")]
    all.sort();
    let (mut open, mut used, mut level) = (0, 0, 0);
    let mut edges = Vec::with_capacity(all.len());
    for (at, opens, takes) in all {
        open += opens;
        used += takes;
        let new = if open > 0 { (capacity - used).max(0) } else { 0 };
        edges.push((at, new - level));
        level = new;
    }
    edges
}
