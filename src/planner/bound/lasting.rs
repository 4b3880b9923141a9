//! How long a tail, or a run of tasks, lasts at the very least, whenever it begins.
//!
//! Invariant: never longer than it lasts from any start.

use super::paths::{among, fit};
use crate::planner::layout::Layout;
use crate::planner::network::{Chain, Clock, Network, Stretch, Tail, TaskId, Tick};
use foldhash::{HashMap, HashMapExt};
use std::collections::BTreeMap;

/// Least lengths, those of runs as far as they have been found.
pub(super) struct Lasting<'l> {
    network: &'l Network,
    /// Place of each task in the order of the waits.
    place: Vec<u32>,
    /// Runs alike last alike: pieces of one part mostly are.
    runs: HashMap<Run, Tick>,
}

/// A run with all that its length depends on.
#[derive(PartialEq, Eq, Hash)]
struct Run {
    steps: Vec<Step>,
    /// Step that ends it, and the tail after which the place is free.
    ends: Vec<(usize, Tail)>,
}

/// A task of a run.
#[derive(PartialEq, Eq, Hash)]
struct Step {
    minutes: Tick,
    hands: u32,
    among: u64,
    starts: Option<u32>,
    /// Where its start is counted from: step, ticks from that step's start, tails of which one must have passed.
    after: Vec<(usize, Tick, Vec<Tail>)>,
}

/// Starts from which one run is tried, spread evenly.
const MOST_STARTS: u64 = 48;
/// Kinds of run tried from many starts; the rest are taken without their closed hours.
const MOST_RUNS: usize = 300;

impl<'l> Lasting<'l> {
    pub(super) fn new(layout: &Layout<'l>) -> Self {
        let mut place = vec![0; layout.network.tasks.len()];
        for (at, &task) in layout.tight.sequence.iter().enumerate() {
            place[task as usize] = at as u32;
        }
        Self {
            network: layout.network,
            place,
            runs: HashMap::new(),
        }
    }

    /// The least length of a tail.
    pub(super) fn least(&self, tail: Tail) -> Tick {
        match &self.network.clocks[tail.clock as usize] {
            Clock::Wall => Tick::try_from(tail.amount).unwrap_or(Tick::MAX),
            // never over from any start: there is no plan, so nothing is said here
            Clock::Measured(total) => total.least(tail.amount).unwrap_or(0),
        }
    }

    /// The least time from the start of a run's first task until its place is free.
    pub(super) fn run(&mut self, layout: &Layout, chain: &Chain) -> Tick {
        let run = Run::of(layout, chain, &self.between(layout, chain));
        if let Some(&known) = self.runs.get(&run) {
            return known;
        }
        let mut least = self.without_hours(&run);
        if self.runs.len() < MOST_RUNS {
            least = least.max(run.with_hours(layout, chain.first).unwrap_or(0));
        }
        self.runs.insert(run, least);
        least
    }

    /// The tasks that come after the first and not after the last, in the order of the waits.
    fn between(&self, layout: &Layout, chain: &Chain) -> Vec<TaskId> {
        let network = self.network;
        let place = |task: TaskId| self.place[task as usize];
        let furthest = chain.last.iter().map(|last| place(last.0)).max().unwrap_or(0);
        let mut open: BTreeMap<u32, TaskId> = BTreeMap::from([(place(chain.first), chain.first)]);
        let mut tasks = Vec::new();
        while let Some((_, task)) = open.pop_first() {
            tasks.push(task);
            let waits = layout.waits_from.of(task).iter();
            let waits = waits.map(|&wait| network.waits[wait as usize].after);
            let windows = layout.windows_from.of(task).iter();
            for after in waits.chain(windows.map(|&window| network.windows[window as usize].after)) {
                if place(after) <= furthest && !layout.is_optional(after) && !layout.is_fixed(after) {
                    open.insert(place(after), after);
                }
            }
        }
        tasks
    }

    /// Waits and hand minutes alone.
    fn without_hours(&self, run: &Run) -> Tick {
        let mut begins: Vec<Tick> = Vec::with_capacity(run.steps.len());
        for step in &run.steps {
            let mut begin = 0;
            for (before, lead, tails) in &step.after {
                let least = tails.iter().map(|&tail| self.least(tail)).min().unwrap_or(0);
                begin = begin.max((begins[*before] + lead).saturating_add(least));
            }
            begins.push(begin);
        }
        let lasts =
            |&(step, tail): &(usize, Tail)| (begins[step] + run.steps[step].minutes).saturating_add(self.least(tail));
        run.ends.iter().map(lasts).max().unwrap_or(0)
    }
}

impl Run {
    fn of(layout: &Layout, chain: &Chain, tasks: &[TaskId]) -> Self {
        let network = layout.network;
        let at: HashMap<TaskId, usize> = tasks.iter().enumerate().map(|(at, &task)| (task, at)).collect();
        let step = |&task: &TaskId| {
            let data = &network.tasks[task as usize];
            let mut after = Vec::new();
            for &wait in layout.waits_into.of(task) {
                let wait = &network.waits[wait as usize];
                if let Some(&before) = at.get(&wait.before) {
                    let lead = if wait.from_start {
                        0
                    } else {
                        layout.minutes(wait.before)
                    };
                    after.push((before, lead, vec![wait.min]));
                }
            }
            for &window in layout.windows_into.of(task) {
                let window = &network.windows[window as usize];
                if let Some(&before) = at.get(&window.before) {
                    let opens = window.spans.iter().map(|span| span.opens).collect();
                    after.push((before, layout.minutes(window.before), opens));
                }
            }
            Step {
                minutes: data.minutes,
                hands: layout.hands_needed(task),
                among: data.crew.among,
                starts: data.starts,
                after,
            }
        };
        let ends = chain
            .last
            .iter()
            .filter_map(|&(task, tail)| Some((*at.get(&task)?, tail)));
        Self {
            steps: tasks.iter().map(step).collect(),
            ends: ends.collect(),
        }
    }

    /// With shifts and allowed starts, from starts spread over the time in which the first task can start: from
    /// any start between two of them the run ends no sooner than from the first of the two.
    fn with_hours(&self, layout: &Layout, first: TaskId) -> Option<Tick> {
        let shifts = starts_of(layout, first)?;
        let all: u64 = shifts.iter().map(|shift| u64::from(shift.until - shift.from)).sum();
        let step = Tick::try_from(all.div_ceil(MOST_STARTS)).ok()?.max(1);
        let mut begins: Vec<Tick> = Vec::with_capacity(self.steps.len());
        let mut least: Option<Tick> = None;
        for shift in shifts {
            let mut from = shift.from;
            while from < shift.until {
                let until = from.saturating_add(step).min(shift.until);
                // never over: no plan has it start here
                if let Some(end) = self.end(layout, from, &mut begins) {
                    let lasts = end.saturating_sub(until - 1);
                    least = Some(least.map_or(lasts, |least| least.min(lasts)));
                }
                from = until;
            }
        }
        least
    }

    /// When the place is free if the first task starts at `from`.
    fn end(&self, layout: &Layout, from: Tick, begins: &mut Vec<Tick>) -> Option<Tick> {
        begins.clear();
        for step in &self.steps {
            if begins.is_empty() {
                begins.push(from);
                continue;
            }
            let mut begin = from;
            for (before, lead, tails) in &step.after {
                let base = begins[*before] + lead;
                begin = begin.max(tails.iter().filter_map(|&tail| layout.after(tail, base)).min()?);
            }
            begins.push(fit(
                layout.network,
                step.starts,
                (step.hands, step.among),
                step.minutes,
                begin,
            ));
        }
        let mut end = from;
        for &(step, tail) in &self.ends {
            end = end.max(layout.after(tail, begins[step] + self.steps[step].minutes)?);
        }
        Some(end)
    }
}

/// Stretches in which a task of the hands can start.
fn starts_of(layout: &Layout, task: TaskId) -> Option<Vec<Stretch>> {
    if layout.hands_needed(task) == 0 {
        return None;
    }
    let latest = layout.latest_start[task as usize]?;
    let workers = among(layout.network, layout.network.tasks[task as usize].crew.among);
    let mut all: Vec<Stretch> = workers.flatten().copied().collect();
    all.sort_unstable();
    let mut shifts: Vec<Stretch> = Vec::new();
    for shift in all {
        let until = shift.until.min(latest.saturating_add(1));
        match shifts.last_mut() {
            _ if shift.from >= until => {}
            Some(last) if shift.from <= last.until => last.until = last.until.max(until),
            _ => shifts.push(Stretch {
                from: shift.from,
                until,
            }),
        }
    }
    Some(shifts)
}
