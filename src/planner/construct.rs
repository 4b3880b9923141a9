//! First orders, before any search.
//!
//! Invariant: the run order finishes every run of a held place before the next begins, so where every run
//! can be done alone it can be done; it is the plan that always exists.

use super::bound;
use super::decode::Key;
use super::layout::{Layout, NONE};
use super::network::{TaskId, Tick};
use super::order::Graph;

/// Keys by rank, then id.
pub(super) fn by_rank(layout: &Layout, graph: &Graph) -> Vec<Key> {
    let first = |tasks: &Vec<TaskId>| {
        tasks
            .iter()
            .map(|&task| (layout.network.tasks[task as usize].rank, task))
            .min()
            .unwrap_or((0, 0))
    };
    let mut units: Vec<u32> = (0..graph.tasks.len() as u32).collect();
    units.sort_by_key(|&unit| first(&graph.tasks[unit as usize]));
    places(&units)
}

/// Keys from an order of tasks; tasks it does not name come last, by rank.
pub(super) fn by_tasks(layout: &Layout, graph: &Graph, order: &[TaskId]) -> Vec<Key> {
    let mut keys = by_rank(layout, graph);
    let behind = order.len() as Key;
    for key in &mut keys {
        *key += behind;
    }
    for (place, &task) in order.iter().enumerate().rev() {
        if let Some(&unit) = graph.unit_of.get(task as usize).filter(|&&unit| unit != NONE) {
            keys[unit as usize] = place as Key;
        }
    }
    // what has begun is seen through first: its hands are set up for it, and its waits run out
    let begun = behind + keys.len() as Key;
    for (unit, tasks) in graph.tasks.iter().enumerate() {
        if tasks.iter().any(|&task| has_begun(layout, task)) {
            keys[unit] -= begun;
        }
    }
    keys
}

/// Whether something of a task's bundle is a fact.
fn has_begun(layout: &Layout, task: TaskId) -> bool {
    let bundle = layout.network.bundles.get(layout.bundle_of[task as usize] as usize);
    bundle.is_some_and(|bundle| bundle.tasks.iter().any(|&member| layout.is_fixed(member)))
}

fn places(units: &[u32]) -> Vec<Key> {
    let mut keys = vec![0; units.len()];
    for (place, &unit) in units.iter().enumerate() {
        keys[unit as usize] = place as Key;
    }
    keys
}

/// The run each unit belongs to: between the first task of a chain and its last ones.
#[derive(Debug)]
pub(super) struct Runs {
    /// Run of each unit; [`NONE`] outside all runs.
    pub(super) run_of: Vec<u32>,
    /// Units of each run, in an order that respects every link.
    pub(super) units: Vec<Vec<u32>>,
}

impl Runs {
    /// Finds the runs; chains that share units make one run.
    pub(super) fn of(layout: &Layout, graph: &Graph) -> Self {
        let count = graph.tasks.len();
        let mut sequence: Vec<u32> = Vec::with_capacity(count);
        let mut seen = vec![false; count];
        for &task in &graph.sequence {
            let unit = graph.unit_of[task as usize];
            if unit != NONE && !std::mem::replace(&mut seen[unit as usize], true) {
                sequence.push(unit);
            }
        }
        let mut place = vec![0_u32; count];
        for (index, &unit) in sequence.iter().enumerate() {
            place[unit as usize] = index as u32;
        }
        let mut before: Vec<Vec<u32>> = vec![Vec::new(); count];
        for unit in 0..count as u32 {
            for &next in graph.next.of(unit) {
                before[next as usize].push(unit);
            }
        }
        let mut group: Vec<u32> = (0..count as u32).collect();
        let mut in_run = vec![false; count];
        // stamps tell which chain last touched a unit, so that nothing need be cleared
        let (mut down, mut up) = (vec![NONE; count], vec![NONE; count]);
        for (index, chain) in layout.network.chains.iter().enumerate() {
            let stamp = index as u32;
            let ends = chain
                .last
                .iter()
                .map(|last| graph.unit_of[last.0 as usize])
                .filter(|&unit| unit != NONE);
            let ends: Vec<u32> = ends.collect();
            let furthest = ends.iter().map(|&unit| place[unit as usize]).max().unwrap_or(0);
            let begin = graph.unit_of[chain.first as usize];
            let mut stack = Vec::new();
            if begin == NONE {
                // begun already: the run is what is left of it
                for &end in &ends {
                    join(&mut group, &mut in_run, ends[0], end);
                }
                continue;
            }
            stack.push(begin);
            down[begin as usize] = stamp;
            while let Some(unit) = stack.pop() {
                for &next in graph.next.of(unit) {
                    if down[next as usize] != stamp && place[next as usize] <= furthest {
                        down[next as usize] = stamp;
                        stack.push(next);
                    }
                }
            }
            for end in ends {
                if down[end as usize] == stamp && up[end as usize] != stamp {
                    up[end as usize] = stamp;
                    stack.push(end);
                }
            }
            join(&mut group, &mut in_run, begin, begin);
            while let Some(unit) = stack.pop() {
                join(&mut group, &mut in_run, begin, unit);
                for &earlier in &before[unit as usize] {
                    if down[earlier as usize] == stamp && up[earlier as usize] != stamp {
                        up[earlier as usize] = stamp;
                        stack.push(earlier);
                    }
                }
            }
        }
        let mut run_of = vec![NONE; count];
        let mut number = vec![NONE; count];
        let mut units: Vec<Vec<u32>> = Vec::new();
        for &unit in sequence.iter().filter(|&&unit| in_run[unit as usize]) {
            let root = find(&mut group, unit) as usize;
            if number[root] == NONE {
                number[root] = units.len() as u32;
                units.push(Vec::new());
            }
            run_of[unit as usize] = number[root];
            units[number[root] as usize].push(unit);
        }
        Self { run_of, units }
    }
}

fn find(group: &mut [u32], unit: u32) -> u32 {
    let mut root = unit;
    while group[root as usize] != root {
        group[root as usize] = group[group[root as usize] as usize];
        root = group[root as usize];
    }
    root
}

fn join(group: &mut [u32], in_run: &mut [bool], one: u32, other: u32) {
    in_run[one as usize] = true;
    in_run[other as usize] = true;
    let (one, other) = (find(group, one), find(group, other));
    group[other as usize] = one;
}

/// Keys that finish each run before the next begins, `wave` runs side by side; what a run waits for outside
/// itself goes before it.
pub(super) fn by_runs(layout: &Layout, graph: &Graph, runs: &Runs, wave: usize) -> Vec<Key> {
    let ranked = by_rank(layout, graph);
    let mut order: Vec<u32> = (0..runs.units.len() as u32).collect();
    order.sort_by_key(|&run| runs.units[run as usize].iter().map(|&unit| ranked[unit as usize]).min());
    let wave = wave.max(1);
    let mut wave_of = vec![0; runs.units.len()];
    for (index, &run) in order.iter().enumerate() {
        wave_of[run as usize] = (index / wave) as Key;
    }
    // a unit outside runs takes the wave of what needs it first
    let last = (runs.units.len() / wave) as Key + 1;
    let mut waves: Vec<Key> = runs
        .run_of
        .iter()
        .map(|&run| if run == NONE { last } else { wave_of[run as usize] })
        .collect();
    for &task in graph.sequence.iter().rev() {
        let unit = graph.unit_of[task as usize];
        if unit == NONE {
            continue;
        }
        let needed = graph.next.of(unit).iter().map(|&next| waves[next as usize]).min();
        if let Some(needed) = needed {
            waves[unit as usize] = waves[unit as usize].min(needed);
        }
    }
    let span = graph.tasks.len() as Key + 1;
    (0..graph.tasks.len())
        .map(|unit| waves[unit] * span + ranked[unit])
        .collect()
}

/// Keys that take bundles in waves, those with most to follow first: within a wave either stage by stage or
/// by how much is still to follow.
pub(super) fn by_bundles(layout: &Layout, graph: &Graph, bundles: &[Vec<u32>]) -> Vec<Vec<Key>> {
    let lasts = bound::tails(layout, layout.limit as Tick);
    let follow = |unit: u32| {
        let tasks = graph.tasks[unit as usize].iter();
        tasks
            .map(|&task| lasts[task as usize].map_or(0, Key::from))
            .min()
            .unwrap_or(0)
    };
    let mut order: Vec<usize> = (0..bundles.len()).collect();
    order.sort_by_key(|&bundle| (bundles[bundle].iter().map(|&unit| follow(unit)).min(), bundle));
    // small waves first; very large jobs want larger ones too
    let waves = [1, 4, 8, 16, 32, 64]
        .into_iter()
        .chain((7..20).map(|power| 1 << power).take_while(|&wave| wave < order.len()));
    let span = layout.limit as Key * 2;
    let mut keys = Vec::new();
    for by_stage in [false, true] {
        for wave in waves.clone() {
            let mut key = vec![span * span; graph.tasks.len()];
            for (place, &bundle) in order.iter().enumerate() {
                for (stage, &unit) in bundles[bundle].iter().enumerate() {
                    let within = if by_stage { stage as Key * 1000 } else { follow(unit) };
                    key[unit as usize] = (place / wave) as Key * span + within;
                }
            }
            keys.push(key);
        }
    }
    keys
}

/// Keys that let bundles follow one another by days: each wave is one stage behind the wave before it, so that
/// on one day there is a first stage of one wave, a second of another, and so on; of what falls on one day the
/// dusty work comes first, then the wet, and each stage begins with dust after wet.
pub(super) fn by_days(layout: &Layout, graph: &Graph, bundles: &[Vec<u32>]) -> Vec<Vec<Key>> {
    let lasts = bound::tails(layout, layout.limit as Tick);
    let tasks = |unit: u32| graph.tasks[unit as usize].iter().copied();
    let is_dusty = |unit: u32| tasks(unit).any(|task| layout.network.tasks[task as usize].dusty);
    let follow = |unit: u32| {
        tasks(unit)
            .map(|task| lasts[task as usize].map_or(0, Key::from))
            .min()
            .unwrap_or(0)
    };
    let mut order: Vec<usize> = (0..bundles.len()).collect();
    order.sort_by_key(|&bundle| (bundles[bundle].iter().map(|&unit| follow(unit)).min(), bundle));
    let span = graph.tasks.len() as Key + 2;
    let mut keys = Vec::new();
    let sizes = WAVES.into_iter().take_while(|&wave| wave < order.len());
    for (wave, mixed) in sizes.flat_map(|wave| [(wave, true), (wave, false)]) {
        let mut key = vec![(order.len() as Key + span) * span * span; graph.tasks.len()];
        let waves = order.len().div_ceil(wave);
        for (place, &bundle) in order.iter().enumerate() {
            // like bundles crowd the same pools: mixed, each wave has some of each kind
            let number = if mixed { place % waves } else { place / wave };
            let (mut stage, mut within, mut wet) = (0, 0, false);
            for &unit in &bundles[bundle] {
                let dusty = is_dusty(unit);
                if dusty && wet {
                    (stage, within) = (stage + 1, 0);
                }
                wet = !dusty;
                within += Key::from(wet);
                key[unit as usize] = ((number as Key + stage) * span + within) * span;
            }
        }
        keys.push(key);
    }
    keys
}

/// Sizes of a day's wave.
const WAVES: [usize; 8] = [3, 5, 7, 9, 11, 13, 16, 20];
