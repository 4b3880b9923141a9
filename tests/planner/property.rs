//! Random networks of every kind: always a plan that keeps every rule, or a named reason.

#![allow(clippy::expect_used, clippy::panic)]

use crate::networks::{SMALL, Size, TINY, breaches_of, crowded, network, queued, random, stretch, task, wait, wall};
use denib::planner::{
    Bound, BoundReason, Breach, Cause, Chain, Indexed, Kind, Network, Placer, Pool, Reason, Settings, Solution,
    explain, solve, verify,
};
use std::collections::BTreeSet;
use std::ops::ControlFlow;

fn plan(network: &Network, tries: u32) -> Result<Solution, denib::planner::Infeasible> {
    solve(
        network,
        &Settings {
            seed: 5,
            tries,
            ..Settings::default()
        },
        &mut |_| ControlFlow::Continue(()),
    )
}

#[test]
fn every_plan_keeps_every_rule() {
    let (mut planned, mut refused) = (0, 0);
    let mut named = BTreeSet::new();
    for seed in 0..10_000 {
        let size = if seed % 3 == 0 { TINY } else { SMALL };
        let mut network = random(seed, size);
        if seed % 5 == 4 {
            spoil(&mut network, seed / 5);
        }
        match plan(&network, if seed % 4 == 0 { 12 } else { 3 }) {
            Ok(solution) => {
                planned += 1;
                let breaches = verify(&network, &solution);
                assert!(
                    breaches.is_empty(),
                    "seed {seed}: {breaches:?}\n{solution:?}\n{network:#?}"
                );
                assert!(
                    u64::from(solution.bound.ready) <= solution.score.ready,
                    "seed {seed}: bound {:?}",
                    solution.bound
                );
            }
            Err(infeasible) => {
                refused += 1;
                let reason = format!("{:?}", infeasible.reason);
                named.insert(reason.split('(').next().unwrap_or_default().to_owned());
                assert!(
                    !matches!(infeasible.reason, Reason::NoSuch(_) | Reason::Unsorted(_)),
                    "seed {seed}: {infeasible}"
                );
            }
        }
    }
    assert!(planned > 6000, "{planned} planned, {refused} refused");
    let all = [
        "CapacityTooSmall",
        "CrewTooSmall",
        "Cyclic",
        "Horizon",
        "LongestWait",
        "NeverInStartSet",
        "NoShiftLongEnough",
        "TailNeverReached",
    ];
    let missing: Vec<_> = all.iter().filter(|name| !named.contains(**name)).collect();
    assert!(missing.is_empty(), "never named: {missing:?} of {named:?}");
}

/// Bends a network to one of the ends of what can be asked.
fn spoil(network: &mut Network, how: u64) {
    let last = network.tasks.len() as u32 - 1;
    match how % 10 {
        0 => *network = Network::default(),
        1 => {
            let clocks = network.clocks.clone();
            *network = Network {
                horizon: 10,
                clocks,
                ..Network::default()
            };
        }
        2 => network.tasks.iter_mut().for_each(|task| task.minutes = 0),
        3 => network.pools.iter_mut().for_each(|pool| pool.capacity = 1),
        4 => network.pools.iter_mut().for_each(|pool| pool.capacity = 0),
        5 => network.workers.iter_mut().for_each(|worker| worker.shifts.clear()),
        6 => network.horizon /= 8,
        7 => network.tasks.iter_mut().for_each(|task| task.crew.count += 1),
        8 => network.waits.extend([wait(0, last, 1), wait(last, 0, 1)]),
        _ => network.waits.iter_mut().for_each(|wait| wait.min.amount *= 1000),
    }
}

#[test]
fn same_seed_same_plan() {
    for seed in 0..60 {
        let network = random(seed, SMALL);
        assert_eq!(plan(&network, 60), plan(&network, 60), "seed {seed}");
    }
}

/// One placer keeps what two orders begin with; a new one for each order has nothing to keep.
#[test]
fn an_order_after_another_is_placed_as_if_it_came_first() {
    let mut placed = 0;
    let networks = (0..1500).map(|seed| random(seed, SMALL));
    let networks = networks.chain((0..300).map(crowded)).chain((0..300).map(queued));
    for (at, network) in networks.enumerate() {
        let Ok(indexed) = Indexed::of(&network) else { continue };
        let mut kept = indexed.placer(Bound::UNKNOWN);
        let count = network.tasks.len();
        let mut order: Vec<u32> = (0..count as u32).collect();
        let mut state = at as u32;
        let mut roll = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 8) as usize % count.max(1)
        };
        for _ in 0..12 {
            if count > 1 {
                let (one, other) = (roll(), roll());
                order.swap(one, other);
            }
            let found = kept.place_only(&order);
            let anew = indexed.placer(Bound::UNKNOWN).place_only(&order);
            match (found, anew) {
                (Ok(found), Ok(anew)) => {
                    placed += 1;
                    let tries = anew.tries;
                    assert_eq!(Solution { tries, ..found }, anew, "network {at}: {network:#?}");
                }
                (Err(found), Err(anew)) => assert_eq!(found, anew, "network {at}"),
                other => panic!("network {at}: {other:?}"),
            }
        }
    }
    assert!(placed > 10_000, "{placed} placed");
}

/// A run that is taken out for another order is not drawn to the place it had.
#[test]
fn a_run_placed_again_takes_its_first_choice() {
    let mut network = network(400, vec![task(5); 5]);
    let place = Pool {
        capacity: 1,
        taken: Vec::new(),
    };
    network.pools = vec![place; 2];
    for first in 3..5 {
        network.chains.push(Chain {
            pool: 0,
            or: vec![1],
            amount: 1,
            first,
            last: vec![(first, wall(50))],
        });
    }
    let indexed = Indexed::of(&network).expect("it can be planned");
    let mut kept = indexed.placer(Bound::UNKNOWN);
    let pools = |order: &[u32], placer: &mut Placer| placer.place_only(order).expect("a plan").pools;
    assert_eq!(pools(&[0, 1, 2, 3, 4], &mut kept), [0, 1]);
    // the first three stay in, the last two are taken out and placed the other way round
    assert_eq!(pools(&[0, 1, 2, 4, 3], &mut kept), [1, 0]);
    assert_eq!(pools(&[0, 1, 2, 4, 3], &mut indexed.placer(Bound::UNKNOWN)), [1, 0]);
}

/// The least `ready` of any plan, by trying every start and every choice of hands.
fn exhaustive(network: &Network, most: u64) -> Option<u64> {
    let mut starts = vec![None; network.tasks.len()];
    let mut workers = vec![0; network.tasks.len()];
    let mut best = None;
    try_task(network, 0, &mut starts, &mut workers, &mut best, most);
    best
}

fn ready(network: &Network, starts: &[Option<u32>]) -> u64 {
    let reached = network
        .goals
        .iter()
        .flat_map(|goal| &goal.tasks)
        .filter_map(|&(task, tail)| {
            let end = starts[task as usize]? + network.tasks[task as usize].minutes;
            Some(
                network.clocks[tail.clock as usize]
                    .after(end, tail.amount)
                    .map_or(u64::MAX, u64::from),
            )
        });
    reached.max().unwrap_or(0)
}

fn try_task(
    network: &Network,
    at: usize,
    starts: &mut Vec<Option<u32>>,
    workers: &mut Vec<u64>,
    best: &mut Option<u64>,
    most: u64,
) {
    let limit = best.map_or(most, |best| best.saturating_sub(1));
    if ready(network, starts) > limit {
        return;
    }
    let Some(task) = network.tasks.get(at) else {
        if breaches_of(network, starts, workers).is_empty() {
            *best = Some(ready(network, starts));
        }
        return;
    };
    if let Some(fixed) = task.fixed {
        starts[at] = Some(fixed.start);
        workers[at] = fixed.workers;
        try_task(network, at + 1, starts, workers, best, most);
        starts[at] = None;
        return;
    }
    if task.optional {
        try_task(network, at + 1, starts, workers, best, most);
    }
    let needed = if task.minutes == 0 {
        0
    } else {
        u32::from(task.crew.count)
    };
    for start in 0..network.horizon {
        if u64::from(start) > limit {
            break;
        }
        if !follows(network, at, start, starts) {
            continue;
        }
        for who in 0..1_u64 << network.workers.len() {
            let may = who.count_ones() == needed && who & !task.crew.among == 0;
            if may && at_hand(network, (at, start, who), starts, workers) {
                starts[at] = Some(start);
                workers[at] = who;
                try_task(network, at + 1, starts, workers, best, most);
            }
        }
    }
    starts[at] = None;
    workers[at] = 0;
}

#[test]
fn bound_and_plan_stand_either_side_of_the_optimum() {
    let size = Size { tasks: 3, ..TINY };
    let (mut compared, mut hit, mut met) = (0, 0, 0);
    let mut rests_on = BTreeSet::new();
    for seed in 10_000.. {
        if compared == 1000 {
            break;
        }
        let network = if seed % 2 == 0 {
            random(seed, size)
        } else {
            crowded(seed)
        };
        let Ok(solution) = plan(&network, 40) else { continue };
        if network.goals.iter().any(|goal| goal.due.is_some()) {
            continue;
        }
        let best = exhaustive(&network, solution.score.ready);
        let best = best.unwrap_or_else(|| panic!("seed {seed}: the plan found is not among all plans\n{network:#?}"));
        assert!(
            u64::from(solution.bound.ready) <= best,
            "seed {seed}: bound {:?} above {best}\n{network:#?}",
            solution.bound
        );
        assert!(best <= solution.score.ready, "seed {seed}");
        compared += 1;
        hit += u32::from(best == solution.score.ready);
        if u64::from(solution.bound.ready) == best {
            met += 1;
            rests_on.insert(match solution.bound.reason {
                BoundReason::Hands => "hands",
                BoundReason::Drying => "drying",
                BoundReason::Places(_) => "places",
                BoundReason::Budget(_) => "budget",
                BoundReason::Dust => "dust",
                BoundReason::Calendar => "calendar",
                BoundReason::Search => "search",
            });
        }
    }
    assert!(hit >= 900, "only {hit} of {compared} at the optimum");
    assert!(met >= 500, "only {met} of {compared} bounds are met");
    // a bound that is the optimum shows that a stronger one of its kind would have been seen to be wrong
    let all = ["budget", "calendar", "drying", "dust", "hands", "places"];
    assert_eq!(rests_on, BTreeSet::from(all));
}

/// Whether the hands are in a shift, and free of what has a start.
fn at_hand(network: &Network, (at, start, who): (usize, u32, u64), starts: &[Option<u32>], workers: &[u64]) -> bool {
    let end = start + network.tasks[at].minutes;
    let hands = network.workers.iter().enumerate();
    let in_shifts = hands.filter(|(hand, _)| who >> hand & 1 == 1).all(|(_, worker)| {
        let mut shifts = worker.shifts.iter();
        shifts.any(|shift| shift.from <= start && end <= shift.until)
    });
    let free = starts[..at].iter().enumerate().all(|(other, begun)| {
        let until = |begun: u32| begun + network.tasks[other].minutes;
        workers[other] & who == 0 || begun.is_none_or(|begun| end <= begun || until(begun) <= start)
    });
    in_shifts && free
}

/// Whether a task is after all that it waits for, of what has a start.
fn follows(network: &Network, at: usize, start: u32, starts: &[Option<u32>]) -> bool {
    network
        .waits
        .iter()
        .filter(|wait| wait.after as usize == at)
        .all(|wait| {
            let before = starts[wait.before as usize].filter(|_| wait.before < wait.after);
            before.is_none_or(|before| {
                let minutes = network.tasks[wait.before as usize].minutes;
                let base = if wait.from_start { before } else { before + minutes };
                let soonest = network.clocks[wait.min.clock as usize].after(base, wait.min.amount);
                soonest.is_some_and(|soonest| soonest <= start)
            })
        })
}

#[test]
fn the_bound_of_runs_that_take_turns_is_never_above_the_optimum() {
    let (mut compared, mut met) = (0, 0);
    for seed in 0.. {
        if compared == 250 {
            break;
        }
        let network = queued(seed);
        let Ok(solution) = plan(&network, 60) else { continue };
        let bound = u64::from(solution.bound.ready);
        let sooner = exhaustive(&network, bound.saturating_sub(1));
        assert_eq!(sooner, None, "seed {seed}: bound {:?}\n{network:#?}", solution.bound);
        compared += 1;
        met += u32::from(matches!(solution.bound.reason, BoundReason::Places(_)) && bound == solution.score.ready);
    }
    // where a plan is ready at the bound, a higher one would have been seen to be wrong
    assert!(met >= 150, "only {met} of {compared} bounds rest on places and are met");
}

#[test]
fn reasons_are_true() {
    let mut looked_at = 0;
    for seed in 0..400 {
        let network = random(seed, SMALL);
        let Ok(solution) = plan(&network, 12) else { continue };
        let reasons = explain(&network, &solution).expect("the network was solved");
        for (id, because) in reasons.iter().enumerate() {
            let Some(because) = because else { continue };
            let start = solution.starts[id].expect("explained tasks are placed");
            match because.kind {
                Kind::FollowsNothing => assert_eq!(start, 0, "seed {seed} task {id}"),
                Kind::Several => {}
                Kind::Choice => assert!(because.at < start, "seed {seed} task {id}"),
                Kind::Together(..) => assert!(because.at < start),
                Kind::One(cause) => {
                    assert!(because.at < start, "seed {seed} task {id}: {because:?}");
                    let mut eased = network.clone();
                    if !ease(&mut eased, id as u32, cause) {
                        continue;
                    }
                    let mut starts = solution.starts.clone();
                    starts[id] = Some(because.at);
                    let moved = (0..1_u64 << eased.workers.len()).any(|who| {
                        let mut workers = solution.workers.clone();
                        if who.count_ones() != workers[id].count_ones() {
                            return false;
                        }
                        workers[id] = who;
                        let breaches = breaches_of(&eased, &starts, &workers);
                        // without its window nothing calls for the optional task any more
                        breaches.iter().all(|breach| matches!(breach, Breach::Needless(_)))
                    });
                    assert!(
                        moved,
                        "seed {seed} task {id}: {because:?} start {start}\n{:?}\n{network:#?}\n{solution:?}",
                        breaches_of(&eased, &starts, &solution.workers)
                    );
                    looked_at += 1;
                }
            }
        }
    }
    assert!(looked_at > 500, "{looked_at}");
}

/// Takes one cause away for one task, where the network's own terms allow it; whether it could.
fn ease(network: &mut Network, task: u32, cause: Cause) -> bool {
    match cause {
        Cause::Wait(before) => network.waits.iter_mut().for_each(|wait| {
            if wait.before == before && wait.after == task {
                wait.min.amount = 0;
                wait.from_start = true;
                wait.min.clock = 0;
                // gone altogether
                wait.after = before;
                wait.max = None;
            }
        }),
        Cause::Window(_) if network.tasks[task as usize].optional => return false,
        Cause::Window(before) => {
            let joins = |one: u32, other: u32| (one, other) == (before, task) || (one, other) == (task, before);
            network.windows.retain(|window| !joins(window.before, window.after));
        }
        Cause::StartSet => network.tasks[task as usize].starts = None,
        Cause::Release => network.tasks[task as usize].release = 0,
        Cause::Place(pool) => {
            network.tasks[task as usize]
                .demands
                .retain(|demand| demand.pool != pool);
            network
                .chains
                .retain(|chain| !(chain.pools().any(|one| one == pool) && chain.first == task));
        }
        Cause::Budget(budget) => network.tasks[task as usize].draws.retain(|draw| draw.0 != budget),
        Cause::Hands => {
            // as many more hands, with the same hours
            let more = network.workers.clone();
            let data = &mut network.tasks[task as usize];
            data.crew.among |= data.crew.among << more.len();
            network.workers.extend(more);
        }
        Cause::Shift => network
            .workers
            .iter_mut()
            .for_each(|worker| worker.shifts = vec![stretch(0, 1_000_000)]),
        Cause::SetUp => network
            .families
            .iter_mut()
            .for_each(|family| (family.open, family.close) = (0, 0)),
        Cause::DustSettle => {
            network.dust_until = 0;
            network.apart.iter_mut().for_each(|apart| apart.settle = 0);
        }
        Cause::DustWet => {
            network.tasks[task as usize].dusty = false;
            network.tasks[task as usize].wet = None;
        }
        Cause::Bundle(after) => {
            let own = network
                .waits
                .iter_mut()
                .filter(|wait| wait.before == task && wait.after == after);
            own.for_each(|wait| wait.max = None);
        }
    }
    if let Cause::Wait(before) = cause {
        network
            .waits
            .retain(|wait| !(wait.before == before && wait.after == before));
    }
    true
}
