//! When a task can start at all, whatever else is done.
//!
//! Invariant: no plan starts a task outside its openings. They keep shifts with room for setting up and cleaning
//! out, allowed starts, and the longest waits of bundles; they know nothing of what else hands and pools are
//! asked for.

use super::layout::Layout;
use super::network::{Bundle, FamilyId, Network, Stretch, Tail, TaskId, Tick};
use super::stretches::{both, joined};
use foldhash::{HashMap, HashMapExt};

/// A task that can start at any time.
const ANY: u32 = u32::MAX;

/// The openings of every task.
#[derive(Debug)]
pub(super) struct Openings {
    /// By task: which set, or [`ANY`].
    of: Vec<u32>,
    /// Starts: sorted, apart.
    sets: Vec<Vec<Stretch>>,
}

/// All that the openings of a task hang on, but for its bundle.
#[derive(PartialEq, Eq, Hash)]
struct Alike {
    minutes: Tick,
    hands: u32,
    among: u64,
    starts: Option<u32>,
    family: Option<FamilyId>,
}

/// A wait between two tasks of a bundle, by their places in it.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Within {
    before: usize,
    after: usize,
    /// Ticks from the earlier task's start to where the wait begins.
    lead: Tick,
    min: Tail,
    max: Option<Tail>,
}

impl Openings {
    pub(super) fn of(layout: &Layout) -> Self {
        let network = layout.network;
        let mut openings = Self {
            of: vec![ANY; network.tasks.len()],
            sets: Vec::new(),
        };
        let mut known: HashMap<Alike, u32> = HashMap::new();
        let facts = Facts::of(network);
        for task in 0..network.tasks.len() as TaskId {
            if layout.is_fixed(task) {
                continue;
            }
            let data = &network.tasks[task as usize];
            let hands = layout.hands_needed(task);
            let alike = Alike {
                minutes: data.minutes,
                hands,
                among: if hands > 0 { data.crew.among } else { 0 },
                starts: data.starts,
                family: data.family.filter(|_| hands > 0),
            };
            if hands == 0 && alike.starts.is_none() {
                continue;
            }
            let next = openings.sets.len() as u32;
            let set = *known.entry(alike).or_insert(next);
            if set == next {
                openings.sets.push(own(layout, &facts, task));
            }
            openings.of[task as usize] = set;
        }
        openings.keep_bundles(layout);
        openings
    }

    /// The first start at or after a tick; `None` where there is none.
    pub(super) fn first(&self, task: TaskId, at: Tick) -> Option<Tick> {
        self.first_in(self.of[task as usize], at)
    }

    /// The last start at or before a tick; `None` where there is none.
    pub(super) fn last(&self, task: TaskId, at: Tick) -> Option<Tick> {
        let Some(set) = self.sets.get(self.of[task as usize] as usize) else {
            return Some(at);
        };
        let until = set.partition_point(|stretch| stretch.from <= at);
        let stretch = set[..until].last()?;
        Some(at.min(stretch.until - 1))
    }

    /// The set of a task: tasks of one set can start at the same times.
    pub(super) fn set(&self, task: TaskId) -> u32 {
        self.of[task as usize]
    }

    /// The first start of a set at or after a tick.
    pub(super) fn first_in(&self, set: u32, at: Tick) -> Option<Tick> {
        let Some(set) = self.sets.get(set as usize) else {
            return Some(at);
        };
        let stretch = set.get(set.partition_point(|stretch| stretch.until <= at))?;
        Some(at.max(stretch.from))
    }

    /// The stretches of a set; `None` where it is any time.
    pub(super) fn of_set(&self, set: u32) -> Option<&[Stretch]> {
        self.sets.get(set as usize).map(Vec::as_slice)
    }

    /// Takes away the starts from which the longest waits of a bundle cannot be kept.
    fn keep_bundles(&mut self, layout: &Layout) {
        // by the sets of its tasks and its waits: the bundles of like pieces are alike
        let mut known: HashMap<(Vec<u32>, Vec<Within>), Vec<u32>> = HashMap::new();
        for bundle in &layout.network.bundles {
            let is_loose = |&task: &TaskId| layout.is_fixed(task) || layout.is_optional(task);
            let waits = waits_within(layout, bundle);
            if bundle.tasks.iter().any(is_loose) || waits.iter().all(|wait| wait.max.is_none()) {
                continue;
            }
            let own: Vec<u32> = bundle.tasks.iter().map(|&task| self.set(task)).collect();
            let sets = known.entry((own, waits));
            let narrowed = sets.or_insert_with_key(|(own, waits)| self.narrowed(layout, own, waits));
            for (&task, &set) in bundle.tasks.iter().zip(&*narrowed) {
                self.of[task as usize] = set;
            }
        }
    }

    /// New sets for the tasks of a bundle: the starts of their own sets that leave each other one.
    fn narrowed(&mut self, layout: &Layout, own: &[u32], waits: &[Within]) -> Vec<u32> {
        let whole = Stretch {
            from: 0,
            until: layout.network.horizon,
        };
        let starts = own.iter().map(|&set| self.of_set(set).map(<[Stretch]>::to_vec));
        let mut starts: Vec<Vec<Stretch>> = starts.map(|own| own.unwrap_or_else(|| vec![whole])).collect();
        // there and back: most bundles are a line, and then no start is left that does not fit
        for wait in waits {
            starts[wait.after] = both(&starts[wait.after], &wait.afters(layout, &starts[wait.before]));
        }
        for wait in waits.iter().rev() {
            starts[wait.before] = both(&starts[wait.before], &wait.befores(layout, &starts[wait.after]));
        }
        let first = self.sets.len() as u32;
        self.sets.extend(starts);
        (first..self.sets.len() as u32).collect()
    }
}

impl Within {
    /// Starts of the later task that some start of the earlier leaves.
    fn afters(&self, layout: &Layout, befores: &[Stretch]) -> Vec<Stretch> {
        let afters = befores.iter().filter_map(|before| {
            let from = layout.after(self.min, before.from.saturating_add(self.lead))?;
            let last = (before.until - 1).saturating_add(self.lead);
            let most = self.max.and_then(|max| layout.after(max, last));
            let until = most.map_or(Tick::MAX, |most| most.saturating_add(1));
            Some(Stretch { from, until })
        });
        joined(afters.collect())
    }

    /// Starts of the earlier task that leave some start of the later.
    fn befores(&self, layout: &Layout, afters: &[Stretch]) -> Vec<Stretch> {
        let befores = afters.iter().filter_map(|after| {
            let last = layout.last_before(self.min, after.until - 1)?;
            let until = last.checked_sub(self.lead)? + 1;
            // from the last start on that is too long before it
            let too_long = self.max.zip(after.from.checked_sub(1));
            let too_long = too_long.and_then(|(max, before)| layout.last_before(max, before));
            let from = too_long.map_or(0, |last| last + 1).saturating_sub(self.lead);
            Some(Stretch { from, until })
        });
        joined(befores.collect())
    }
}

/// The waits between tasks of a bundle.
fn waits_within(layout: &Layout, bundle: &Bundle) -> Vec<Within> {
    let place = |task: TaskId| bundle.tasks.iter().position(|&own| own == task);
    let mut within = Vec::new();
    for (after, &task) in bundle.tasks.iter().enumerate() {
        for &wait in layout.waits_into.of(task) {
            let wait = &layout.network.waits[wait as usize];
            let Some(before) = place(wait.before) else { continue };
            within.push(Within {
                before,
                after,
                lead: layout.lead(wait),
                min: wait.min,
                max: wait.max,
            });
        }
    }
    within
}

/// By family: the last end of a fact of it.
struct Facts {
    last: Vec<Option<Tick>>,
}

impl Facts {
    fn of(network: &Network) -> Self {
        let mut last = vec![None; network.families.len()];
        for task in &network.tasks {
            if let (Some(fixed), Some(family)) = (task.fixed, task.family) {
                let own: &mut Option<Tick> = &mut last[family as usize];
                *own = (*own).max(Some(fixed.start.saturating_add(task.minutes)));
            }
        }
        Self { last }
    }
}

/// Starts inside allowed starts and some shift of as many hands as it takes, set-up and cleaning out included where
/// they cannot lie in another shift.
fn own(layout: &Layout, facts: &Facts, task: TaskId) -> Vec<Stretch> {
    let network = layout.network;
    let data = &network.tasks[task as usize];
    let needed = layout.hands_needed(task);
    let mut starts = vec![Stretch {
        from: 0,
        until: network.horizon,
    }];
    if let Some(set) = data.starts {
        starts = both(&starts, &joined(network.start_sets[set as usize].clone()));
    }
    if needed == 0 {
        return starts;
    }
    // +1 where a pair of hands can begin it, -1 where it no longer can
    let mut edges: Vec<(Tick, i32)> = Vec::new();
    for (worker, hand) in network.workers.iter().enumerate() {
        if data.crew.among >> worker & 1 == 0 {
            continue;
        }
        for at in 0..hand.shifts.len() {
            let (open, close) = set_ups(network, facts, data.family, &hand.shifts, at);
            let from = hand.shifts[at].from.saturating_add(open);
            let until = (hand.shifts[at].until + 1).saturating_sub(data.minutes.saturating_add(close));
            if from < until {
                edges.extend([(from, 1), (until, -1)]);
            }
        }
    }
    #[expect(clippy::stable_sort_primitive, reason = "each pair of hands brings them in order")]
    edges.sort();
    let mut hands = Vec::new();
    let (mut there, mut from) = (0, None);
    for (at, change) in edges {
        there += change;
        let enough = there >= needed as i32;
        match from {
            None if enough => from = Some(at),
            Some(begun) if !enough => {
                if begun < at {
                    hands.push(Stretch { from: begun, until: at });
                }
                from = None;
            }
            _ => {}
        }
    }
    both(&starts, &joined(hands))
}

/// Minutes of the shift that setting up at its beginning and cleaning out at its end take for certain.
fn set_ups(network: &Network, facts: &Facts, family: Option<FamilyId>, shifts: &[Stretch], at: usize) -> (Tick, Tick) {
    let Some(id) = family else { return (0, 0) };
    let family = network.families[id as usize];
    let shift = shifts[at];
    // what was set out as a fact may still be out
    if facts.last[id as usize].is_some_and(|last| last.saturating_add(family.keeps) >= shift.from) {
        return (0, 0);
    }
    let before = at
        .checked_sub(1)
        .map(|before| shift.from.saturating_sub(shifts[before].until));
    let after = shifts.get(at + 1).map(|next| next.from.saturating_sub(shift.until));
    let apart = |gap: Option<Tick>| gap.is_none_or(|gap| gap > family.keeps);
    (
        if apart(before) { family.open } else { 0 },
        if apart(after) { family.close } else { 0 },
    )
}
