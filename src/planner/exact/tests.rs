//! Small plain networks, against every plan there is.
//!
//! Invariant: the shortest length is found here by taking the tasks in every order, without the search.
#![allow(clippy::expect_used, clippy::panic, reason = "a failed check says so")]

use super::super::layout::Layout;
use super::super::network::{Clock, Crew, Demand, Edge, Goal, Network, Pool, Tail, Task, Wait};
use super::super::plain::Plain;
use super::{Exact, Outcome};

const AT_ONCE: Tail = Tail { clock: 0, amount: 0 };

fn random(seed: u32) -> Network {
    let mut state = seed.wrapping_mul(2_654_435_761).wrapping_add(17);
    let mut roll = move |below: u32| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) % below
    };
    let count = 3 + roll(5);
    let pools: Vec<Pool> = (0..1 + roll(2))
        .map(|_| Pool {
            capacity: 1 + roll(3),
            taken: Vec::new(),
        })
        .collect();
    let mut network = Network {
        horizon: 40,
        clocks: vec![Clock::Wall],
        ..Network::default()
    };
    for _ in 0..count {
        let mut demands = Vec::new();
        for (pool, data) in pools.iter().enumerate() {
            if roll(4) > 0 {
                demands.push(Demand {
                    pool: pool as u32,
                    amount: 1 + roll(data.capacity),
                    from: Edge::Start,
                    until: Edge::End,
                });
            }
        }
        network.tasks.push(Task {
            minutes: roll(5),
            crew: Crew { count: 0, among: 0 },
            family: None,
            demands,
            dusty: false,
            wet: None,
            release: 0,
            starts: None,
            draws: Vec::new(),
            optional: false,
            fixed: None,
            rank: 0,
        });
    }
    for after in 1..count {
        if roll(2) == 0 {
            network.waits.push(Wait {
                before: roll(after),
                from_start: false,
                after,
                min: Tail {
                    clock: 0,
                    amount: u64::from(roll(3)),
                },
                max: None,
            });
        }
    }
    network.pools = pools;
    network.goals.push(Goal {
        tasks: (0..count).map(|task| (task, AT_ONCE)).collect(),
        weight: 1,
        due: None,
    });
    network
}

/// Whether starts keep every wait and pool, looked at minute by minute.
fn keeps_all(network: &Network, starts: &[u32]) -> bool {
    let end = |task: usize| starts[task] + network.tasks[task].minutes;
    let waits = network
        .waits
        .iter()
        .all(|wait| starts[wait.after as usize] >= end(wait.before as usize) + wait.min.amount as u32);
    let used = |pool: u32, at: u32| -> u32 {
        let running = (0..starts.len()).filter(|&task| starts[task] <= at && at < end(task));
        let asked = running.flat_map(|task| &network.tasks[task].demands);
        asked
            .filter(|demand| demand.pool == pool)
            .map(|demand| demand.amount)
            .sum()
    };
    let last = (0..starts.len()).map(end).max().unwrap_or(0);
    let pools = network.pools.iter().enumerate();
    waits
        && pools
            .into_iter()
            .all(|(pool, data)| (0..last).all(|at| used(pool as u32, at) <= data.capacity))
}

/// The least length of any plan that takes every task in some order at its earliest: one of these is shortest.
fn shortest(network: &Network, starts: &mut Vec<Option<u32>>, best: &mut u32) {
    let count = network.tasks.len();
    let Some(_) = starts.iter().position(Option::is_none) else {
        let ends = (0..count).map(|task| starts[task].unwrap_or(0) + network.tasks[task].minutes);
        *best = (*best).min(ends.max().unwrap_or(0));
        return;
    };
    for task in 0..count {
        let waits = network.waits.iter().filter(|wait| wait.after == task as u32);
        let ready = waits.map(|wait| {
            let before = wait.before as usize;
            Some(starts[before]? + network.tasks[before].minutes + wait.min.amount as u32)
        });
        let Some(ready) = ready.collect::<Option<Vec<u32>>>() else {
            continue;
        };
        if starts[task].is_some() {
            continue;
        }
        let mut at = ready.into_iter().max().unwrap_or(0);
        while !fits(network, starts, task, at) {
            at += 1;
        }
        starts[task] = Some(at);
        shortest(network, starts, best);
        starts[task] = None;
    }
}

fn fits(network: &Network, starts: &[Option<u32>], task: usize, at: u32) -> bool {
    let runs = |other: usize, minute: u32| {
        starts[other].is_some_and(|start| start <= minute && minute < start + network.tasks[other].minutes)
    };
    let asks = |task: usize, pool: u32| -> u32 {
        let own = network.tasks[task].demands.iter();
        own.filter(|demand| demand.pool == pool)
            .map(|demand| demand.amount)
            .sum()
    };
    (0..network.pools.len() as u32).all(|pool| {
        (at..at + network.tasks[task].minutes).all(|minute| {
            let others: u32 = (0..starts.len())
                .filter(|&other| runs(other, minute))
                .map(|other| asks(other, pool))
                .sum();
            others + asks(task, pool) <= network.pools[pool as usize].capacity
        })
    })
}

#[test]
fn proves_the_shortest_plan() {
    let (mut proved, mut searched) = (0, 0);
    for seed in 0..1500 {
        let network = random(seed);
        let layout = Layout::of(&network).expect("every task fits alone");
        let plain = Plain::of(&layout).expect("waits and pools alone");
        let mut best = u32::MAX;
        shortest(&network, &mut vec![None; network.tasks.len()], &mut best);
        let total: u32 = network.tasks.iter().map(|task| task.minutes + 2).sum();
        let mut exact = Exact::new(&plain, total + 1);
        let mut found = total + 1;
        loop {
            match exact.run(100_000) {
                Outcome::Shorter(starts) => {
                    assert!(keeps_all(&network, &starts), "seed {seed}: {starts:?}\n{network:#?}");
                    let ends = starts
                        .iter()
                        .zip(&network.tasks)
                        .map(|(start, task)| start + task.minutes);
                    let length = ends.max().unwrap_or(0);
                    assert!(length < found, "seed {seed}: {length} is not below {found}");
                    found = length;
                    searched += 1;
                }
                Outcome::Proved => break,
                Outcome::Open => panic!("seed {seed}: no end"),
            }
        }
        assert_eq!(found, best, "seed {seed}\n{network:#?}");
        proved += 1;
    }
    assert_eq!(proved, 1500);
    assert!(searched > 1500, "{searched}");
}
