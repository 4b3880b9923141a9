//! A network with nothing but waits on the wall clock and pools, decoded in either direction.
//!
//! Invariant: only networks that look the same forwards and backwards come here, so a plan may be pushed to
//! its end and back to its start (double justification: Valls, Ballestín and Quintanilla, 2005, European
//! Journal of Operational Research 165, 375-386) and stays a plan.

use super::layout::Layout;
use super::network::{Clock, Edge, TaskId, Tick};

/// Pools a word has room for.
const LANES: usize = 4;
/// The top bit of each lane: set while nothing has been borrowed from it.
const TOPS: u64 = 0x8000_8000_8000_8000;
/// Most of a pool that a lane can count.
const MOST: u32 = 0x7FFF;

/// The plain network.
#[derive(Debug)]
pub(super) struct Plain {
    pub(super) minutes: Vec<u32>,
    /// What each task asks of the pools, a lane a pool.
    asks: Vec<u64>,
    /// What there is, with the top bits set.
    capacity: u64,
    /// Tasks before and after, with the wait between.
    pub(super) before: Vec<Vec<(u16, u32)>>,
    pub(super) after: Vec<Vec<(u16, u32)>>,
    /// Latest end on the longest path, and the share of the pools a task asks for.
    pub(super) latest_end: Vec<u32>,
    pub(super) weight: Vec<u32>,
    /// An order that respects every wait.
    pub(super) sequence: Vec<u16>,
    horizon: usize,
}

impl Plain {
    /// The network as a plain one, when it is.
    pub(super) fn of(layout: &Layout) -> Option<Self> {
        let network = layout.network;
        let count = network.tasks.len();
        let plain = network.windows.is_empty()
            && network.chains.is_empty()
            && network.bundles.is_empty()
            && network.pairs.is_empty()
            && network.apart.is_none()
            && (3..30_000).contains(&count)
            && network.pools.len() <= LANES
            && network
                .pools
                .iter()
                .all(|pool| pool.taken.is_empty() && pool.capacity <= MOST);
        if !plain {
            return None;
        }
        let wall = |clock: u32| network.clocks[clock as usize] == Clock::Wall;
        let mut asks = Vec::with_capacity(count);
        let mut weight = Vec::with_capacity(count);
        for (id, task) in network.tasks.iter().enumerate() {
            let simple = layout.hands_needed(id as TaskId) == 0
                && task.release == 0
                && task.starts.is_none()
                && task.draws.is_empty()
                && !task.optional
                && task.fixed.is_none()
                && !layout.asks_twice[id];
            if !simple
                || task
                    .demands
                    .iter()
                    .any(|demand| (demand.from, demand.until) != (Edge::Start, Edge::End))
            {
                return None;
            }
            let mut word = 0;
            let mut share = 0;
            for demand in task.demands.iter().filter(|_| task.minutes > 0) {
                word |= u64::from(demand.amount) << (16 * demand.pool);
                share += 1000 * demand.amount / network.pools[demand.pool as usize].capacity.max(1);
            }
            asks.push(word);
            weight.push(share);
        }
        let (mut before, mut after) = (vec![Vec::new(); count], vec![Vec::new(); count]);
        for wait in &network.waits {
            if wait.from_start || wait.max.is_some() || !wall(wait.min.clock) {
                return None;
            }
            let least = u32::try_from(wait.min.amount).ok()?;
            before[wait.after as usize].push((wait.before as u16, least));
            after[wait.before as usize].push((wait.after as u16, least));
        }
        let mut wanted = vec![false; count];
        for &(task, tail) in network.goals.iter().flat_map(|goal| &goal.tasks) {
            if tail.amount > 0 {
                return None;
            }
            wanted[task as usize] = true;
        }
        let all_wanted = (0..count).all(|id| wanted[id] || !after[id].is_empty());
        if !all_wanted || network.goals.len() != 1 || network.goals.iter().any(|goal| goal.due.is_some()) {
            return None;
        }
        let capacity = network.pools.iter().enumerate().fold(TOPS, |word, (pool, data)| {
            word | u64::from(data.capacity) << (16 * pool)
        });
        let minutes: Vec<u32> = network.tasks.iter().map(|task| task.minutes).collect();
        let sequence: Vec<u16> = layout.tight.sequence.iter().map(|&task| task as u16).collect();
        let waits: u64 = before.iter().flatten().map(|one: &(u16, u32)| u64::from(one.1)).sum();
        let horizon = usize::try_from(minutes.iter().map(|&length| u64::from(length)).sum::<u64>() + waits).ok()?;
        if horizon > 1_000_000 {
            return None;
        }
        let mut plain = Self {
            minutes,
            asks,
            capacity,
            before,
            after,
            latest_end: Vec::new(),
            weight,
            sequence,
            horizon,
        };
        plain.latest_end = plain.latest_ends();
        Some(plain)
    }

    /// Each pool's capacity and who asks how much of it.
    pub(super) fn pools(&self) -> impl Iterator<Item = (u32, Vec<(usize, u32)>)> {
        let lane = |word: u64, pool: usize| (word >> (16 * pool)) as u32 & MOST;
        (0..LANES).filter_map(move |pool| {
            let asks = self.asks.iter().enumerate();
            let asks: Vec<_> = asks
                .map(|(task, &word)| (task, lane(word, pool)))
                .filter(|ask| ask.1 > 0)
                .collect();
            (!asks.is_empty()).then(|| (lane(self.capacity, pool), asks))
        })
    }

    pub(super) fn count(&self) -> usize {
        self.minutes.len()
    }

    fn latest_ends(&self) -> Vec<u32> {
        let mut follow = vec![0_u32; self.count()];
        for &id in self.sequence.iter().rev() {
            let id = id as usize;
            follow[id] = self.after[id]
                .iter()
                .map(|&(next, wait)| wait + self.minutes[next as usize] + follow[next as usize])
                .max()
                .unwrap_or(0);
        }
        let longest = (0..self.count())
            .map(|id| self.minutes[id] + follow[id])
            .max()
            .unwrap_or(0);
        follow.iter().map(|&follow| longest - follow).collect()
    }
}

/// Room to decode in.
#[derive(Debug)]
pub(super) struct Bench {
    left: Vec<u64>,
    used: usize,
    pub(super) start: Vec<u32>,
    mirrored: Vec<u32>,
    order: Vec<u16>,
    sorting: Vec<u64>,
    /// Orders decoded.
    pub(super) tries: u64,
}

impl Bench {
    pub(super) fn new(plain: &Plain) -> Self {
        Self {
            left: vec![plain.capacity; plain.horizon + 2],
            used: 0,
            start: vec![0; plain.count()],
            mirrored: vec![0; plain.count()],
            order: Vec::with_capacity(plain.count()),
            sorting: Vec::with_capacity(plain.count()),
            tries: 0,
        }
    }

    /// Every task of `list` at its earliest; the last end.
    fn fill(&mut self, plain: &Plain, list: &[u16], backwards: bool) -> u32 {
        self.tries += 1;
        let before = if backwards { &plain.after } else { &plain.before };
        let start = if backwards { &mut self.mirrored } else { &mut self.start };
        self.left[..self.used].fill(plain.capacity);
        let mut reached = 0;
        for &id in list {
            let id = id as usize;
            let length = plain.minutes[id] as usize;
            let mut from = 0;
            for &(earlier, wait) in &before[id] {
                from = from.max(start[earlier as usize] + plain.minutes[earlier as usize] + wait);
            }
            let asks = plain.asks[id];
            let mut at = from as usize;
            if length > 0 && asks != 0 {
                // look from the end of the stretch: the last minute without room tells where to go on
                while let Some(short) = self.left[at..at + length]
                    .iter()
                    .rposition(|&left| (left - asks) & TOPS != TOPS)
                {
                    at += short + 1;
                }
                for left in &mut self.left[at..at + length] {
                    *left -= asks;
                }
            }
            start[id] = at as u32;
            reached = reached.max(at + length);
        }
        self.used = reached;
        reached as u32
    }

    /// Fills forwards, then pushes to the end and back while that shortens the plan; `list` becomes the
    /// order of the starts.
    pub(super) fn justify(&mut self, plain: &Plain, list: &mut Vec<u16>, passes: u32) -> u32 {
        let mut length = self.fill(plain, list, false);
        for _ in 0..passes {
            self.order.clear();
            sort(&mut self.sorting, &mut self.order, plain, &self.start, list, true);
            let order = std::mem::take(&mut self.order);
            self.fill(plain, &order, true);
            self.order = order;
            list.clear();
            sort(&mut self.sorting, list, plain, &self.mirrored, &self.order, true);
            let again = self.fill(plain, list, false);
            let better = again < length;
            length = again;
            if !better {
                break;
            }
        }
        self.order.clear();
        self.order.extend_from_slice(list);
        list.clear();
        sort(&mut self.sorting, list, plain, &self.start, &self.order, false);
        length
    }
}

/// Lists tasks by start, or latest end first; among equals the order they had (latest first: reversed).
fn sort(sorting: &mut Vec<u64>, into: &mut Vec<u16>, plain: &Plain, start: &[u32], had: &[u16], by_end: bool) {
    let count = had.len() as u64;
    sorting.clear();
    sorting.extend(had.iter().enumerate().map(|(place, &id)| {
        let begin = u64::from(start[id as usize]);
        let (time, place) = if by_end {
            (
                u64::from(u32::MAX) - begin - u64::from(plain.minutes[id as usize]),
                count - 1 - place as u64,
            )
        } else {
            (begin, place as u64)
        };
        time << 32 | place << 16 | u64::from(id)
    }));
    sorting.sort_unstable();
    into.extend(sorting.iter().map(|&packed| packed as u16));
}

/// Starts as the rest of the engine holds them.
pub(super) fn starts(start: &[u32]) -> Vec<Option<Tick>> {
    start.iter().map(|&start| Some(start)).collect()
}
