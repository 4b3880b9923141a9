//! A network with nothing but waits on the wall clock and pools, decoded in either direction.
//!
//! Invariant: only networks that look the same forwards and backwards come here, so a plan may be pushed to
//! its end and back to its start (double justification: Valls, Ballestín and Quintanilla, 2005, European
//! Journal of Operational Research 165, 375-386) and stays a plan.

use super::layout::Layout;
use super::left::{Asks, LANES, Left, Wanted, Word};
use super::lists::Lists;
use super::network::{Clock, Edge, TaskId, Tick};

/// The plain network.
#[derive(Debug)]
pub(super) struct Plain {
    pub(super) minutes: Vec<u32>,
    /// What each task asks of the pools.
    asks: Vec<Asks>,
    /// What there is.
    capacity: Asks,
    /// Tasks before and after, with the wait between.
    pub(super) before: Lists<(u16, u32)>,
    pub(super) after: Lists<(u16, u32)>,
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
                .all(|pool| pool.taken.is_empty() && pool.capacity <= u64::MOST);
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
            let mut wanted = Asks::default();
            let mut share = 0;
            for demand in task.demands.iter().filter(|_| task.minutes > 0) {
                wanted[demand.pool as usize] = demand.amount;
                share += 1000 * demand.amount / network.pools[demand.pool as usize].capacity.max(1);
            }
            asks.push(wanted);
            weight.push(share);
        }
        let (mut before, mut after) = (Vec::new(), Vec::new());
        let mut waited_for = vec![false; count];
        for wait in &network.waits {
            if wait.from_start || wait.max.is_some() || !wall(wait.min.clock) {
                return None;
            }
            let least = u32::try_from(wait.min.amount).ok()?;
            before.push((wait.after, (wait.before as u16, least)));
            after.push((wait.before, (wait.after as u16, least)));
            waited_for[wait.before as usize] = true;
        }
        let mut wanted = vec![false; count];
        for &(task, tail) in network.goals.iter().flat_map(|goal| &goal.tasks) {
            if tail.amount > 0 {
                return None;
            }
            wanted[task as usize] = true;
        }
        let all_wanted = (0..count).all(|id| wanted[id] || waited_for[id]);
        if !all_wanted || network.goals.len() != 1 || network.goals.iter().any(|goal| goal.due.is_some()) {
            return None;
        }
        let mut capacity = Asks::default();
        for (room, pool) in capacity.iter_mut().zip(&network.pools) {
            *room = pool.capacity;
        }
        let minutes: Vec<u32> = network.tasks.iter().map(|task| task.minutes).collect();
        let sequence: Vec<u16> = layout.tight.sequence.iter().map(|&task| task as u16).collect();
        let waits: u64 = before.iter().map(|one| u64::from(one.1.1)).sum();
        let horizon = usize::try_from(minutes.iter().map(|&length| u64::from(length)).sum::<u64>() + waits).ok()?;
        if horizon > 1_000_000 {
            return None;
        }
        let mut plain = Self {
            minutes,
            asks,
            capacity,
            before: Lists::gather(count, &before),
            after: Lists::gather(count, &after),
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
        (0..LANES).filter_map(move |pool| {
            let asks = self.asks.iter().enumerate();
            let asks: Vec<_> = asks
                .map(|(task, asks)| (task, asks[pool]))
                .filter(|ask| ask.1 > 0)
                .collect();
            (!asks.is_empty()).then(|| (self.capacity[pool], asks))
        })
    }

    pub(super) fn count(&self) -> usize {
        self.minutes.len()
    }

    fn latest_ends(&self) -> Vec<u32> {
        let mut follow = vec![0_u32; self.count()];
        for &id in self.sequence.iter().rev() {
            let id = id as usize;
            follow[id] = self
                .after
                .of(id as u32)
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
    room: Room,
    pub(super) start: Vec<u32>,
    mirrored: Vec<u32>,
    end: Vec<u32>,
    order: Vec<u16>,
    sorting: Sorting,
    /// Orders decoded.
    pub(super) tries: u64,
}

/// What is left and what each task wants of it, nothing where it asks or takes nothing; in short words where the
/// pools are small.
#[derive(Debug)]
enum Room {
    Small(Left<u32>, Vec<Option<Wanted<u32>>>),
    Large(Left<u64>, Vec<Option<Wanted<u64>>>),
}

impl Room {
    fn of(plain: &Plain) -> Self {
        if plain.capacity.iter().all(|&capacity| capacity <= u32::MOST) {
            Self::Small(Left::new(plain.capacity, plain.horizon), wanted(plain))
        } else {
            Self::Large(Left::new(plain.capacity, plain.horizon), wanted(plain))
        }
    }
}

fn wanted<W: Word>(plain: &Plain) -> Vec<Option<Wanted<W>>> {
    let tasks = plain.asks.iter().zip(&plain.minutes);
    let wants =
        |(&asks, &minutes)| (minutes > 0 && asks != Asks::default()).then(|| Wanted::new(asks, minutes as usize));
    tasks.map(wants).collect()
}

/// Every task of `list` at its earliest; the last end.
fn fill<W: Word>(
    (left, wanted): (&mut Left<W>, &[Option<Wanted<W>>]),
    (minutes, before): (&[u32], &Lists<(u16, u32)>),
    list: &[u16],
    (start, end): (&mut [u32], &mut [u32]),
) -> u32 {
    left.restore();
    let mut reached = 0;
    for &id in list {
        let id = id as usize;
        let mut from = 0;
        for &(earlier, wait) in before.of(id as u32) {
            from = from.max(end[earlier as usize] + wait);
        }
        let at = match &wanted[id] {
            Some(wanted) => left.take(wanted, from as usize) as u32,
            None => from,
        };
        start[id] = at;
        end[id] = at + minutes[id];
        reached = reached.max(end[id]);
    }
    reached
}

impl Bench {
    pub(super) fn new(plain: &Plain) -> Self {
        Self {
            room: Room::of(plain),
            start: vec![0; plain.count()],
            mirrored: vec![0; plain.count()],
            end: vec![0; plain.count()],
            order: Vec::with_capacity(plain.count()),
            sorting: Sorting::default(),
            tries: 0,
        }
    }

    /// Every task of `list` at its earliest; the last end.
    fn fill(&mut self, plain: &Plain, list: &[u16], backwards: bool) -> u32 {
        self.tries += 1;
        let (before, start) = if backwards {
            (&plain.after, &mut self.mirrored)
        } else {
            (&plain.before, &mut self.start)
        };
        let tasks = (plain.minutes.as_slice(), before);
        let times = (start.as_mut_slice(), self.end.as_mut_slice());
        match &mut self.room {
            Room::Small(left, wanted) => fill((left, wanted), tasks, list, times),
            Room::Large(left, wanted) => fill((left, wanted), tasks, list, times),
        }
    }

    /// Fills forwards, then pushes to the end and back while that shortens the plan; `list` becomes the
    /// order in which it was filled last.
    pub(super) fn justify(&mut self, plain: &Plain, list: &mut Vec<u16>, passes: u32) -> u32 {
        let mut length = self.fill(plain, list, false);
        for _ in 0..passes {
            let mut order = std::mem::take(&mut self.order);
            self.sorting.latest_first(plain, &self.start, list, &mut order);
            self.fill(plain, &order, true);
            self.sorting.latest_first(plain, &self.mirrored, &order, list);
            self.order = order;
            let again = self.fill(plain, list, false);
            let better = again < length;
            length = again;
            if !better {
                break;
            }
        }
        length
    }
}

/// Room to sort in: how many tasks come before each minute.
#[derive(Debug, Default)]
struct Sorting {
    before: Vec<u32>,
    packed: Vec<u64>,
}

/// Minutes a task up to which tasks are counted off by the minute.
const COUNTED: usize = 16;

impl Sorting {
    /// The latest end first; among equals the last of them first.
    fn latest_first(&mut self, plain: &Plain, start: &[u32], had: &[u16], into: &mut Vec<u16>) {
        let end = |id: u16| start[id as usize] + plain.minutes[id as usize];
        let last = had.iter().map(|&id| end(id)).max().unwrap_or(0);
        self.sort(had.iter().rev().copied(), last, |id| last - end(id), into);
    }

    /// By minute, none of them after `last`; among equals as they come.
    fn sort(
        &mut self,
        tasks: impl ExactSizeIterator<Item = u16> + Clone,
        last: u32,
        minute: impl Fn(u16) -> u32,
        into: &mut Vec<u16>,
    ) {
        let count = tasks.len();
        into.clear();
        if last as usize > COUNTED * count {
            let pack = |(place, id)| u64::from(minute(id)) << 32 | (place as u64) << 16 | u64::from(id);
            self.packed.clear();
            self.packed.extend(tasks.enumerate().map(pack));
            self.packed.sort_unstable();
            into.extend(self.packed.iter().map(|&packed| packed as u16));
            return;
        }
        self.before.clear();
        self.before.resize(last as usize + 2, 0);
        for id in tasks.clone() {
            self.before[minute(id) as usize + 1] += 1;
        }
        let mut sum = 0;
        for before in &mut self.before {
            sum += *before;
            *before = sum;
        }
        into.resize(count, 0);
        for id in tasks {
            let place = &mut self.before[minute(id) as usize];
            into[*place as usize] = id;
            *place += 1;
        }
    }
}

/// Starts as the rest of the engine holds them.
pub(super) fn starts(start: &[u32]) -> Vec<Option<Tick>> {
    start.iter().map(|&start| Some(start)).collect()
}
