//! Reasons kept from one plan for the next: given out again only where nothing they were tried against has changed.

#![allow(clippy::expect_used)] // a check that fails says why

use crate::generated_jobs::read;
use denib::dayplan::{History, network_of};
use denib::planner::{
    Because, Cause, Explained, Fixed, Indexed, Kind, Network, Settings, Solution, Stretch, Tick, solve,
};
use std::ops::ControlFlow;
use std::sync::Arc;

/// A day and a half after the first task: what has begun by then is a fact, and the rest may not begin before.
const LATER: Tick = 2_160;

fn planned(pieces: u64) -> (Network, Solution) {
    let job = read(pieces, 1);
    let network = network_of(&job, &History::none(job.start));
    let settings = Settings {
        tries: 0,
        ..Settings::default()
    };
    let solution = solve(&network, &settings, &mut |_| ControlFlow::Continue(())).expect("a plan");
    (network, solution)
}

fn ticked(network: &Network, solution: &Solution) -> Network {
    let mut ticked = network.clone();
    let first = solution.starts.iter().flatten().min().copied().unwrap_or(0);
    let plan = solution.starts.iter().zip(&solution.workers);
    for (task, (start, &workers)) in ticked.tasks.iter_mut().zip(plan) {
        match start {
            Some(start) if *start < first + LATER => task.fixed = Some(Fixed { start: *start, workers }),
            _ => task.release = task.release.max(first + LATER),
        }
    }
    ticked
}

fn explained(network: &Network, solution: &Solution, known: Option<&Explained>) -> Vec<Option<Because>> {
    Indexed::of(network).expect("it was solved").explain(solution, known)
}

/// Something else in a shop.
type Change = fn(&mut Network);

/// A reason no plan has.
const MARK: Because = Because {
    kind: Kind::One(Cause::Shift),
    task: Some(0),
    at: Tick::MAX,
    close: true,
};

fn marked(network: &Network, solution: &Solution) -> Explained {
    Explained::new(
        Arc::new(network.clone()),
        solution,
        vec![Some(MARK); network.tasks.len()],
    )
}

#[test]
fn they_are_those_found_anew() {
    for pieces in [10, 40] {
        let (network, solution) = planned(pieces);
        let ticked = ticked(&network, &solution);
        let anew = explained(&ticked, &solution, None);
        assert!(anew.iter().flatten().count() > 50);
        // ticked, and the tick taken back
        for (before, now) in [(&network, &ticked), (&ticked, &network)] {
            let known = explained(before, &solution, None);
            let known = Explained::new(Arc::new(before.clone()), &solution, known);
            let again = explained(now, &solution, Some(&known));
            for (task, (again, anew)) in again.iter().zip(explained(now, &solution, None)).enumerate() {
                assert_eq!(*again, anew, "{pieces} pieces, task {task}");
            }
        }
        // and most of them need not be looked for
        let kept = explained(&ticked, &solution, Some(&marked(&network, &solution)));
        let kept = kept.iter().flatten().filter(|because| **because == MARK).count();
        assert!(kept * 2 > anew.iter().flatten().count(), "{pieces} pieces: {kept} kept");
    }
}

#[test]
fn none_is_given_out_where_the_shop_or_the_plan_is_another() {
    let (network, solution) = planned(10);
    let known = marked(&network, &solution);
    let is_marked = |network: &Network, solution: &Solution| {
        let reasons = explained(network, solution, Some(&known));
        reasons.contains(&Some(MARK))
    };
    assert!(
        is_marked(&network, &solution),
        "the marks are seen where nothing has changed"
    );
    let changes: [(&str, Change); 6] = [
        ("shifts", |network| {
            network.workers[0].shifts.push(Stretch {
                from: network.horizon - 2,
                until: network.horizon - 1,
            });
        }),
        ("pools", |network| network.pools[0].capacity += 1),
        ("settling", |network| network.apart = None),
        ("families", |network| network.families[0].open += 1),
        ("minutes", |network| network.tasks[3].minutes += 1),
        ("waits", |network| network.waits[0].min.amount += 1),
    ];
    for (what, change) in changes {
        let mut other = network.clone();
        change(&mut other);
        assert!(!is_marked(&other, &solution), "{what}");
    }
    let mut moved = solution.clone();
    let last = moved.starts.iter_mut().flatten().max().expect("something is planned");
    *last += 1;
    assert!(!is_marked(&network, &moved), "a start");
}
