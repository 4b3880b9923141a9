//! The network: everything the engine is told about a planning problem.
//!
//! Invariant: plain data. Ticks are whole minutes from the network's own zero (the caller decides which
//! instant that is). Ids are indices into the vectors of [`Network`].
//!
//! Half-open everywhere: a task with start `s` and `minutes` m occupies `s..s+m`; a stretch holds
//! `from..until`.

use std::collections::BTreeMap;
use std::ops::Deref;
use std::sync::{Arc, Mutex, PoisonError};

/// Minutes from the network's zero.
pub type Tick = u32;
/// Index into [`Network::tasks`].
pub type TaskId = u32;
/// Index into [`Network::pools`].
pub type PoolId = u32;
/// Index into [`Network::clocks`].
pub type ClockId = u32;
/// Index into [`Network::families`].
pub type FamilyId = u32;

/// A stretch of time, half-open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stretch {
    /// First tick inside.
    pub from: Tick,
    /// First tick after.
    pub until: Tick,
}

/// How fast something that goes on by itself goes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Clock {
    /// One unit a tick.
    Wall,
    /// `total[t]` units have passed by tick t; never falls; `total[0]` is 0. Where it stands still, nothing
    /// goes on (a cold night). Past its end nothing is ever reached.
    Measured(Measured),
}

/// Units passed by each tick.
#[derive(Clone, Debug)]
pub struct Measured {
    total: Arc<Vec<u64>>,
    /// It never falls: looked at once, for a clock has a number for every minute.
    never_falls: bool,
    /// The least time some amounts take, as far as that has been asked, of this clock and its copies.
    least: Arc<Mutex<BTreeMap<u64, Option<Tick>>>>,
}

impl PartialEq for Measured {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.total, &other.total) || self.total == other.total
    }
}

impl Eq for Measured {}

impl From<Arc<Vec<u64>>> for Measured {
    fn from(total: Arc<Vec<u64>>) -> Self {
        Self {
            never_falls: total.is_sorted(),
            total,
            least: Arc::default(),
        }
    }
}

impl Deref for Measured {
    type Target = [u64];

    fn deref(&self) -> &[u64] {
        &self.total
    }
}

impl Measured {
    /// Whether it never falls.
    pub const fn never_falls(&self) -> bool {
        self.never_falls
    }

    /// The least time in which an amount passes, whenever it begins; `None` where it never does.
    pub fn least(&self, amount: u64) -> Option<Tick> {
        let known = || self.least.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(&known) = known().get(&amount) {
            return known;
        }
        let least = self.shortest(amount);
        known().insert(amount, least);
        least
    }

    /// From a first guess, the time from the first tick, it is only ever shortened: most starts are asked one question.
    fn shortest(&self, amount: u64) -> Option<Tick> {
        let first = self.total.first()?.saturating_add(amount);
        let mut least = self.total.iter().position(|&passed| passed >= first)?;
        let mut begin = 0;
        while let Some(shorter) = least.checked_sub(1) {
            let ends = self.total.get(begin + shorter..)?;
            let mut starts = self.total.get(begin..)?.iter().zip(ends);
            let Some(further) = starts.position(|(begun, ended)| ended.saturating_sub(*begun) >= amount) else {
                break;
            };
            (begin, least) = (begin + further, shorter);
        }
        Some(least as Tick)
    }
}

impl Clock {
    /// The first tick at or after `start` by which `amount` units have passed since `start`; `None` where
    /// that is never. Never decreases as `start` grows.
    pub fn after(&self, start: Tick, amount: u64) -> Option<Tick> {
        match self {
            Self::Wall => u32::try_from(u64::from(start).checked_add(amount)?).ok(),
            Self::Measured(total) => {
                if amount == 0 {
                    return Some(start);
                }
                let begun = *total.get(start as usize)?;
                let wanted = begun.checked_add(amount)?;
                // gallop, then halve: most waits are short beside the whole clock
                let (mut low, mut step) = (start as usize, 1_usize);
                while total.get(low + step).is_some_and(|&passed| passed < wanted) {
                    low += step;
                    step *= 2;
                }
                let high = (low + step + 1).min(total.len());
                let found = low + total.get(low..high)?.partition_point(|&passed| passed < wanted);
                (found < total.len()).then_some(found as Tick)
            }
        }
    }
}

/// Something that goes on without hands: `amount` units on a clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Tail {
    /// Which clock.
    pub clock: ClockId,
    /// How many of its units.
    pub amount: u64,
}

/// One pair of hands: the stretches in which it works, sorted, apart. Work is never split over two.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Worker {
    /// Working stretches.
    pub shifts: Vec<Stretch>,
}

/// A renewable resource: places, a machine, one piece that can only be in one pair of hands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pool {
    /// How much there is.
    pub capacity: u32,
    /// What others take, and when.
    pub taken: Vec<(Stretch, u32)>,
}

/// An end of a span, measured on a task.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Edge {
    /// The task's start.
    Start,
    /// The task's end.
    End,
    /// A tail begun at the task's end.
    After(Tail),
    /// A tail begun at the task's start.
    AfterStart(Tail),
}

/// A demand on a pool between two edges of its task.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Demand {
    /// The pool.
    pub pool: PoolId,
    /// How much of it.
    pub amount: u32,
    /// From.
    pub from: Edge,
    /// Until.
    pub until: Edge,
}

/// How many workers at once, and which ones may do it (bit i is worker i).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Crew {
    /// How many; 0 needs nobody.
    pub count: u8,
    /// Which.
    pub among: u64,
}

/// Tasks of one family follow each other without set-up. Between two tasks of a worker that differ in
/// family, or that lie more than `keeps` ticks apart, the first family is closed (`close` minutes at once
/// after the earlier task, in the same shift) and the second opened (`open` minutes just before the later
/// task, in the same shift). The first task of a worker's plan is opened, the last closed. Tasks without a
/// family need neither and leave an open family open (within its `keeps`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Family {
    /// Minutes to set up.
    pub open: Tick,
    /// Minutes to clean out.
    pub close: Tick,
    /// How long it may lie idle before it must have been closed.
    pub keeps: Tick,
}

/// A task already begun or done: its start and its workers are facts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Fixed {
    /// When it began. Facts before tick 0 are given as waits, releases and stretches instead.
    pub start: Tick,
    /// By whom (bits).
    pub workers: u64,
}

/// One task.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Task {
    /// Hand minutes, never split.
    pub minutes: Tick,
    /// Who.
    pub crew: Crew,
    /// Set-up family.
    pub family: Option<FamilyId>,
    /// Pools.
    pub demands: Vec<Demand>,
    /// Makes dust while it lasts (see [`Apart`]).
    pub dusty: bool,
    /// Must be kept from dust from its start until this tail, begun at its end, is over.
    pub wet: Option<Tail>,
    /// Not before.
    pub release: Tick,
    /// May only *start* inside these stretches (sorted, apart); `None`: any time. Index into
    /// [`Network::start_sets`].
    pub starts: Option<u32>,
    /// Draws on budgets: budget index, amount, ticks from start for which it counts.
    pub draws: Vec<(u32, u32, Tick)>,
    /// Only done when a window needs it (see [`WindowSpan::via`]).
    pub optional: bool,
    /// A fact.
    pub fixed: Option<Fixed>,
    /// First guess at the order: smaller earlier. Tasks that share a rank belong to one campaign (a round)
    /// and are best kept together in the order of their ids.
    pub rank: u64,
}

/// `after` may not start before `min` has passed since `before` ended (or started).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Wait {
    /// The earlier task.
    pub before: TaskId,
    /// Measured from its start instead of its end.
    pub from_start: bool,
    /// The later task.
    pub after: TaskId,
    /// Least wait.
    pub min: Tail,
    /// Longest wait, hard: only between tasks of one [`Bundle`].
    pub max: Option<Tail>,
}

/// One stretch after a task in which the next may start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct WindowSpan {
    /// Opens this long after the earlier task's end.
    pub opens: Tail,
    /// Closes this long after (the later task must have started before); `None`: never.
    pub closes: Option<Tail>,
    /// An optional task that must be done between the opening and the later task when this stretch is used.
    pub via: Option<TaskId>,
}

/// `after` may start only inside one of `spans`, measured from the end of `before`. Spans are sorted and
/// the last one never closes, so a missed stretch costs time, never the plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Window {
    /// The earlier task.
    pub before: TaskId,
    /// The later task.
    pub after: TaskId,
    /// The stretches.
    pub spans: Vec<WindowSpan>,
}

/// A place held along a whole run of tasks: from the start of `first` until every tail of `last` is over.
/// It is reserved whole before `first` starts, so runs that have begun can always be finished.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chain {
    /// The pool.
    pub pool: PoolId,
    /// Pools that would do as well. Where all runs together fit at once the first pool is taken; else the one that
    /// runs without a choice ask least of is looked at first.
    pub or: Vec<PoolId>,
    /// How much of it.
    pub amount: u32,
    /// The task that takes the place (the earliest of the run).
    pub first: TaskId,
    /// The tasks that end the run, each with the tail after which the place is free.
    pub last: Vec<(TaskId, Tail)>,
}

impl Chain {
    /// The pools of which it takes one.
    pub fn pools(&self) -> impl Iterator<Item = PoolId> + '_ {
        std::iter::once(self.pool).chain(self.or.iter().copied())
    }
}

/// Tasks bound by hard longest waits: placed together or not at all, in this order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bundle {
    /// The tasks.
    pub tasks: Vec<TaskId>,
}

/// Dust against wet: a dusty task may not run while any task is wet, and no wet task may start within
/// `settle` ticks after a dusty one has ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Apart {
    /// Ticks from dust to wet.
    pub settle: Tick,
}

/// A thing wanted early: the latest end among its tasks, each with a tail.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Goal {
    /// The tasks, with what must have passed after each ends.
    pub tasks: Vec<(TaskId, Tail)>,
    /// How much being early counts.
    pub weight: u32,
    /// Wanted by.
    pub due: Option<Tick>,
}

/// Two tasks whose ends should lie close together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pair {
    /// One.
    pub one: TaskId,
    /// The other.
    pub other: TaskId,
}

/// A whole problem.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Network {
    /// Nothing may start at or after this; a plan that would need it is no plan.
    pub horizon: Tick,
    /// Clocks; clock 0 is the wall.
    pub clocks: Vec<Clock>,
    /// Workers, at most 64.
    pub workers: Vec<Worker>,
    /// Pools.
    pub pools: Vec<Pool>,
    /// Budget capacities: at no tick may the draws in force exceed it.
    pub budgets: Vec<u32>,
    /// Families.
    pub families: Vec<Family>,
    /// Dust against wet; `None`: separated.
    pub apart: Option<Apart>,
    /// Sets of allowed starts.
    pub start_sets: Vec<Vec<Stretch>>,
    /// Tasks.
    pub tasks: Vec<Task>,
    /// Waits.
    pub waits: Vec<Wait>,
    /// Windows.
    pub windows: Vec<Window>,
    /// Chains.
    pub chains: Vec<Chain>,
    /// Bundles.
    pub bundles: Vec<Bundle>,
    /// Goals; the plan is judged by them.
    pub goals: Vec<Goal>,
    /// Pairs to keep close.
    pub pairs: Vec<Pair>,
    /// Wet stretches that are facts from before tick 0 (something is still wet then).
    pub wet_already: Vec<Stretch>,
    /// Places still held by runs begun before tick 0 whose remaining tasks are in `chains` are given there
    /// with a `first` that is fixed; places held by finished runs are in [`Pool::taken`].
    /// The last dust ended at this tick or before (0 when it was long ago).
    pub dust_until: Tick,
}

impl Network {
    /// The stretches of a window that a start lies in, where the task before ends at `end`: the place of each among them
    /// and when it opens.
    pub fn stretches_at<'a>(
        &'a self,
        window: &'a Window,
        end: Tick,
        start: Tick,
    ) -> impl Iterator<Item = (usize, Tick, &'a WindowSpan)> {
        let over = move |tail: Tail| self.clocks.get(tail.clock as usize)?.after(end, tail.amount);
        window.spans.iter().enumerate().filter_map(move |(place, span)| {
            let opens = over(span.opens).filter(|&opens| opens <= start)?;
            let is_closed = span.closes.and_then(over).is_some_and(|closes| closes <= start);
            (!is_closed).then_some((place, opens, span))
        })
    }
}
