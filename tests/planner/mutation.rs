//! Plans bent by a minute, a hand or an entry: `verify` must say so.

#![allow(clippy::expect_used, clippy::panic)]

use crate::networks::{SMALL, TINY, breaches_of, random};
use denib::planner::{Breach, Kind, Network, Settings, Solution, explain, solve, verify};
use std::collections::BTreeSet;
use std::ops::ControlFlow;

fn plans() -> impl Iterator<Item = (u64, Network, Solution)> {
    (0..900).filter_map(|seed| {
        let network = random(seed, if seed % 4 == 0 { TINY } else { SMALL });
        let settings = Settings {
            tries: 5,
            ..Settings::default()
        };
        let solution = solve(&network, &settings, &mut |_| ControlFlow::Continue(())).ok()?;
        Some((seed, network, solution))
    })
}

/// What a breach is called, without its figures.
fn name(breach: &Breach) -> String {
    let text = format!("{breach:?}");
    text.chars().take_while(|letter| letter.is_alphanumeric()).collect()
}

#[test]
fn every_rule_is_caught_when_bent() {
    let mut caught = BTreeSet::new();
    for (_, network, solution) in plans() {
        for id in 0..network.tasks.len() {
            for by in [-60_i64, -7, -1, 1, 7, 60, 2000] {
                let Some(start) = solution.starts[id] else { continue };
                let mut bent = solution.clone();
                bent.starts[id] = Some((i64::from(start) + by).max(0) as u32);
                caught.extend(verify(&network, &bent).iter().map(name));
            }
            let mut bent = solution.clone();
            bent.workers[id] ^= 1;
            caught.extend(verify(&network, &bent).iter().map(name));
            let mut bent = solution.clone();
            bent.starts[id] = bent.starts[id].is_none().then_some(5);
            caught.extend(verify(&network, &bent).iter().map(name));
        }
        let mut bent = solution.clone();
        bent.starts.pop();
        caught.extend(verify(&network, &bent).iter().map(name));
    }
    let all = [
        "AfterHorizon",
        "BeforeRelease",
        "BudgetOver",
        "DustOnWet",
        "FactMoved",
        "Needless",
        "NeverOver",
        "NotClosed",
        "NotDone",
        "NotOpened",
        "OutsideShift",
        "OutsideStarts",
        "OutsideWindow",
        "PoolOver",
        "Shape",
        "TooLate",
        "TooSoon",
        "TwoAtOnce",
        "Unsettled",
        "WrongHands",
        "WrongHold",
        "WrongScore",
        "WrongSetups",
    ];
    let missing: Vec<_> = all.iter().filter(|name| !caught.contains(**name)).collect();
    assert!(missing.is_empty(), "never caught: {missing:?}");
}

/// The engine says that a task cannot start a minute earlier: the check, which shares nothing with it, must
/// find a rule broken there, whoever does it.
#[test]
fn a_minute_earlier_always_breaks_a_rule() {
    let mut looked_at = 0;
    for (seed, network, solution) in plans() {
        let reasons = explain(&network, &solution).expect("the network was solved");
        for (id, because) in reasons.iter().enumerate() {
            let (Some(because), Some(start)) = (because, solution.starts[id]) else {
                continue;
            };
            if start == 0 || because.kind == Kind::Choice {
                continue;
            }
            let mut starts = solution.starts.clone();
            starts[id] = Some(start - 1);
            for who in 0..1_u64 << network.workers.len() {
                if who.count_ones() != solution.workers[id].count_ones() {
                    continue;
                }
                let mut workers = solution.workers.clone();
                workers[id] = who;
                let breaches = breaches_of(&network, &starts, &workers);
                assert!(
                    !breaches.is_empty(),
                    "seed {seed}: task {id} could start at {} ({because:?})\n{network:#?}\n{solution:?}",
                    start - 1
                );
                looked_at += 1;
            }
        }
    }
    assert!(looked_at > 2000, "{looked_at}");
}
