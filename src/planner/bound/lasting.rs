//! How long a tail, or a run of tasks, lasts at the very least, whenever it begins.
//!
//! Invariant: never longer than it lasts from any start.

use super::run::Run;
use crate::planner::layout::Layout;
use crate::planner::network::{Chain, Clock, Network, Stretch, Tail, TaskId, Tick};
use foldhash::{HashMap, HashMapExt};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};
use std::rc::Rc;

/// Least lengths, those of runs as far as they have been found.
pub(super) struct Lasting<'l> {
    network: &'l Network,
    /// Place of each task in the order of the waits.
    place: Vec<u32>,
    /// By chain: its run, once it has been looked at.
    runs: Vec<Option<Rc<Run>>>,
    /// Runs alike last alike: pieces of one part mostly are.
    least: HashMap<Rc<Run>, Option<Tick>>,
}

/// Starts from which one run is tried beside the first of each stretch.
const MOST_STARTS: usize = 16;
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
            runs: vec![None; layout.network.chains.len()],
            least: HashMap::new(),
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

    /// The run of a chain: the same for chains that are alike.
    pub(super) fn run(&mut self, layout: &Layout, chain: usize) -> Rc<Run> {
        if let Some(run) = self.runs.get(chain).and_then(Option::as_ref) {
            return run.clone();
        }
        let data = &self.network.chains[chain];
        let mut run = Rc::new(Run::of(layout, data, &self.between(layout, data)));
        if let Some((alike, _)) = self.least.get_key_value(&run) {
            run = alike.clone();
        } else {
            self.least.insert(run.clone(), None);
        }
        self.runs[chain] = Some(run.clone());
        run
    }

    /// The least time from the start of a chain's first task until its place is free.
    pub(super) fn least_of_run(&mut self, layout: &Layout, chain: usize) -> Tick {
        let run = self.run(layout, chain);
        if let Some(&Some(known)) = self.least.get(&run) {
            return known;
        }
        let mut least = self.without_hours(&run);
        if self.least.len() <= MOST_RUNS {
            let first = self.network.chains[chain].first;
            least = least.max(with_hours(&run, layout, first).unwrap_or(0));
        }
        self.least.insert(run, Some(least));
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
            for link in &step.after {
                let least = link.spans.iter().map(|span| self.least(span.opens)).min().unwrap_or(0);
                begin = begin.max((begins[link.before] + link.lead).saturating_add(least));
            }
            begins.push(begin);
        }
        let lasts =
            |&(step, tail): &(usize, Tail)| (begins[step] + run.steps[step].minutes).saturating_add(self.least(tail));
        run.ends.iter().map(lasts).max().unwrap_or(0)
    }
}

/// With shifts and allowed starts: from any start in a stretch the run ends no sooner than from the first of it, so
/// the stretch from which it may last least is halved until its least is known, or enough starts have been tried.
fn with_hours(run: &Run, layout: &Layout, first: TaskId) -> Option<Tick> {
    // least length from any start in it, the stretch, its end from the first start
    let mut open: BinaryHeap<Reverse<(Tick, Tick, Tick, Tick)>> = BinaryHeap::new();
    let lasts = |from: Tick, until: Tick, end: Tick| Reverse((end.saturating_sub(until - 1), from, until, end));
    for Stretch { from, until } in starts_of(layout, first)? {
        // never over: no plan has it start here
        if let Some(end) = run.end_without_limits(layout, from) {
            open.push(lasts(from, until, end));
        }
    }
    for _ in 0..MOST_STARTS {
        let Reverse((least, from, until, end)) = open.pop()?;
        if until - from == 1 {
            return Some(least);
        }
        let middle = from + (until - from) / 2;
        open.push(lasts(from, middle, end));
        if let Some(end) = run.end_without_limits(layout, middle) {
            open.push(lasts(middle, until, end));
        }
    }
    open.pop().map(|Reverse((least, ..))| least)
}

/// Stretches in which a task can start and leave time for what is over after it; `None` where that is always.
fn starts_of(layout: &Layout, task: TaskId) -> Option<Vec<Stretch>> {
    let until = layout.latest_start[task as usize]?.saturating_add(1);
    let openings = layout.openings();
    let stretches = openings.of_set(openings.set(task))?.iter();
    let cut = |stretch: &Stretch| Stretch {
        from: stretch.from,
        until: stretch.until.min(until),
    };
    Some(
        stretches
            .map(cut)
            .filter(|stretch| stretch.from < stretch.until)
            .collect(),
    )
}
