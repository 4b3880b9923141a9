//! Each rule of the network by hand: a bad plan that `verify` must reject by name and a good one it must
//! pass; and the engine's own plan of the same network is silent.

#![allow(clippy::expect_used, clippy::panic)]

use crate::networks::{breaches_of, network, stretch, task, wait, wall};
use denib::planner::{
    Apart, Breach, Bundle, Chain, Clock, Crew, Demand, Edge, Family, Fixed, Network, Pool, Reason, Settings, Tail,
    Tick, Wait, Window, WindowSpan, Worker, solve, verify,
};
use std::ops::ControlFlow;

/// `bad` breaks the rule `says` tells, `good` breaks none, and the engine finds a plan as ready as `good`.
fn check(network: &Network, bad: &[Option<Tick>], says: impl Fn(&Breach) -> bool, good: &[Option<Tick>]) {
    let hands = |starts: &[Option<Tick>]| -> Vec<u64> {
        starts
            .iter()
            .zip(&network.tasks)
            .map(|(start, task)| match (start, task.fixed) {
                (None, _) => 0,
                (_, Some(fixed)) => fixed.workers,
                _ if task.minutes == 0 || task.crew.count == 0 => 0,
                _ => task.crew.among,
            })
            .collect()
    };
    let found = breaches_of(network, bad, &hands(bad));
    assert!(found.iter().any(&says), "{found:?}");
    assert_eq!(breaches_of(network, good, &hands(good)), []);
    let solution = solve(
        network,
        &Settings {
            tries: 50,
            ..Settings::default()
        },
        &mut |_| ControlFlow::Continue(()),
    )
    .expect("a plan");
    assert_eq!(verify(network, &solution), []);
    let end = |starts: &[Option<Tick>]| {
        let ends = starts
            .iter()
            .zip(&network.tasks)
            .filter_map(|(start, task)| Some((*start)? + task.minutes));
        ends.max().unwrap_or(0)
    };
    assert!(end(&solution.starts) <= end(good), "{:?}", solution.starts);
}

fn at(starts: &[Tick]) -> Vec<Option<Tick>> {
    starts.iter().map(|&start| Some(start)).collect()
}

#[test]
fn waits_from_the_end_and_from_the_start() {
    let mut two = network(100, vec![task(5), task(5)]);
    two.waits.push(wait(0, 1, 10));
    check(
        &two,
        &at(&[0, 14]),
        |breach| *breach == Breach::TooSoon { before: 0, after: 1 },
        &at(&[0, 15]),
    );
    two.waits[0].from_start = true;
    check(
        &two,
        &at(&[0, 9]),
        |breach| *breach == Breach::TooSoon { before: 0, after: 1 },
        &at(&[0, 10]),
    );
}

#[test]
fn a_clock_that_stands_still_at_night() {
    let mut two = network(100, vec![task(5), task(5)]);
    // ten units by day, none from 10 to 40, one a tick after
    let total: Vec<u64> = (0..200_u64)
        .map(|tick| if tick < 10 { tick } else { 10 + tick.saturating_sub(40) })
        .collect();
    two.clocks.push(Clock::Measured(std::sync::Arc::new(total).into()));
    two.waits.push(Wait {
        before: 0,
        from_start: false,
        after: 1,
        min: Tail { clock: 1, amount: 8 },
        max: None,
    });
    check(
        &two,
        &at(&[0, 42]),
        |breach| *breach == Breach::TooSoon { before: 0, after: 1 },
        &at(&[0, 43]),
    );
}

#[test]
fn windows_with_a_gap_and_its_preparation() {
    let mut three = network(100, vec![task(5), task(5), task(20), task(3)]);
    three.tasks[3].optional = true;
    three.goals[0].tasks.pop();
    three.windows.push(Window {
        before: 0,
        after: 1,
        spans: vec![
            WindowSpan {
                opens: wall(2),
                closes: Some(wall(6)),
                via: None,
            },
            WindowSpan {
                opens: wall(30),
                closes: None,
                via: Some(3),
            },
        ],
    });
    let outside = |breach: &Breach| *breach == Breach::OutsideWindow { before: 0, after: 1 };
    let good = [Some(0), Some(7), Some(12), None];
    check(&three, &[Some(0), Some(6), Some(12), None], outside, &good);
    check(&three, &[Some(0), Some(12), Some(20), None], outside, &good);
    check(&three, &[Some(0), Some(40), Some(12), None], outside, &good);
    check(
        &three,
        &[Some(0), Some(7), Some(12), Some(50)],
        |breach| *breach == Breach::Needless(3),
        &good,
    );
    // with the first stretch closed for lack of hands the preparation is called for
    three.workers[0].shifts = vec![stretch(0, 5), stretch(20, 200)];
    three.tasks[2].release = 60;
    check(
        &three,
        &[Some(0), Some(36), Some(60), Some(34)],
        outside,
        &[Some(0), Some(38), Some(60), Some(35)],
    );
}

#[test]
fn work_lies_whole_in_one_shift() {
    let mut one = network(100, vec![task(5)]);
    one.workers[0].shifts = vec![stretch(0, 4), stretch(4, 8), stretch(20, 30)];
    let outside = |breach: &Breach| *breach == Breach::OutsideShift { task: 0, worker: 0 };
    check(&one, &at(&[2]), outside, &at(&[20]));
    check(&one, &at(&[26]), outside, &at(&[25]));
}

#[test]
fn hands_do_one_thing_at_a_time() {
    let two = network(100, vec![task(5), task(5)]);
    check(
        &two,
        &at(&[0, 4]),
        |breach| {
            *breach
                == Breach::TwoAtOnce {
                    one: 0,
                    other: 1,
                    worker: 0,
                }
        },
        &at(&[0, 5]),
    );
}

#[test]
fn two_hands_on_one_task() {
    let mut one = network(100, vec![task(5)]);
    one.workers = vec![
        Worker {
            shifts: vec![stretch(0, 50)],
        },
        Worker {
            shifts: vec![stretch(10, 50)],
        },
    ];
    one.tasks[0].crew = Crew { count: 2, among: 3 };
    check(
        &one,
        &at(&[5]),
        |breach| *breach == Breach::OutsideShift { task: 0, worker: 1 },
        &at(&[10]),
    );
    assert!(breaches_of(&one, &at(&[10]), &[1]).contains(&Breach::WrongHands(0)));
}

#[test]
fn families_are_opened_and_closed() {
    let mut two = network(100, vec![task(5), task(5)]);
    two.families = vec![
        Family {
            open: 2,
            close: 3,
            keeps: 10,
        },
        Family {
            open: 1,
            close: 1,
            keeps: 10,
        },
    ];
    two.tasks[0].family = Some(0);
    two.tasks[1].family = Some(1);
    let not_opened = |task| move |breach: &Breach| *breach == Breach::NotOpened { task, worker: 0 };
    // 2 open, 5 work, 3 close, 1 open
    check(&two, &at(&[1, 20]), not_opened(0), &at(&[2, 11]));
    check(
        &two,
        &at(&[2, 10]),
        |breach| matches!(breach, Breach::NotOpened { .. } | Breach::NotClosed { .. }),
        &at(&[2, 11]),
    );
    // of one family, but too long apart
    two.tasks[1].family = Some(0);
    two.waits.push(wait(0, 1, 11));
    two.workers[0].shifts = vec![stretch(0, 20), stretch(30, 60)];
    check(&two, &at(&[13, 31]), not_opened(1), &at(&[2, 32]));
    check(
        &two,
        &at(&[13, 50]),
        |breach| *breach == Breach::NotClosed { task: 0, worker: 0 },
        &at(&[2, 32]),
    );
}

#[test]
fn pools_hold_so_much_and_others_take_their_part() {
    let mut two = network(100, vec![task(5), task(5)]);
    two.workers.push(two.workers[0].clone());
    two.tasks[1].crew.among = 2;
    two.pools = vec![Pool {
        capacity: 2,
        taken: vec![(stretch(20, 30), 2)],
    }];
    for task in &mut two.tasks {
        task.demands.push(Demand {
            pool: 0,
            amount: 2,
            from: Edge::Start,
            until: Edge::After(wall(3)),
        });
    }
    let over = |breach: &Breach| matches!(breach, Breach::PoolOver { pool: 0, .. });
    check(&two, &at(&[0, 7]), over, &at(&[0, 8]));
    check(&two, &at(&[0, 13]), over, &at(&[0, 8]));
}

#[test]
fn budgets_run_out() {
    let mut two = network(100, vec![task(5), task(5)]);
    two.budgets = vec![3];
    two.tasks[0].draws = vec![(0, 2, 12)];
    two.tasks[1].draws = vec![(0, 2, 12)];
    let over = |breach: &Breach| matches!(breach, Breach::BudgetOver { budget: 0, at: 11, .. });
    check(&two, &at(&[0, 11]), over, &at(&[0, 12]));
}

#[test]
fn runs_hold_their_place_to_the_last_tail() {
    // two runs of two tasks, one place
    let mut four = network(200, vec![task(5), task(5), task(5), task(5)]);
    four.pools = vec![Pool {
        capacity: 1,
        taken: Vec::new(),
    }];
    four.waits = vec![wait(0, 1, 10), wait(2, 3, 10)];
    for (first, last) in [(0, 1), (2, 3)] {
        four.chains.push(Chain {
            pool: 0,
            or: Vec::new(),
            amount: 1,
            first,
            last: vec![(last, wall(4))],
        });
    }
    let over = |breach: &Breach| matches!(breach, Breach::PoolOver { pool: 0, at: 5, .. });
    check(&four, &at(&[0, 15, 5, 20]), over, &at(&[0, 15, 24, 39]));
    let solution = solve(&four, &Settings::default(), &mut |_| ControlFlow::Continue(())).expect("a plan");
    let mut wrong = solution.clone();
    wrong.holds[0] = None;
    assert!(verify(&four, &wrong).contains(&Breach::WrongHold { chain: 0, first: 0 }));
}

#[test]
fn a_run_that_may_stand_elsewhere_does_so_when_its_own_places_are_full() {
    // three runs, one place of the first kind, one of the second; the last run may not go to the second
    let mut network = network(200, vec![task(5), task(5), task(5)]);
    network.pools = vec![
        Pool {
            capacity: 1,
            taken: Vec::new(),
        };
        2
    ];
    for first in 0..3 {
        network.chains.push(Chain {
            pool: 0,
            or: if first == 2 { Vec::new() } else { vec![1] },
            amount: 1,
            first,
            last: vec![(first, wall(50))],
        });
    }
    let solution = solve(&network, &Settings::default(), &mut |_| ControlFlow::Continue(())).expect("a plan");
    assert!(verify(&network, &solution).is_empty());
    // each place is used twice at the most: 5 + 50 twice on the first, the third run on the second meanwhile
    assert_eq!(solution.score.ready, 60);
    assert_eq!(solution.pools[2], 0);
    assert!(solution.pools[..2].contains(&1), "{:?}", solution.pools);
    // without the choice the three follow each other
    let mut without = network.clone();
    without.chains.iter_mut().for_each(|chain| chain.or.clear());
    let slow = solve(&without, &Settings::default(), &mut |_| ControlFlow::Continue(())).expect("a plan");
    assert!(slow.score.ready > solution.score.ready);
    let mut wrong = solution.clone();
    wrong.pools[2] = 1;
    let breaches = verify(&network, &wrong);
    assert!(
        breaches.contains(&Breach::WrongPool { chain: 2, first: 2 }),
        "{breaches:?}"
    );
}

#[test]
fn dust_and_wet_keep_apart() {
    let mut two = network(200, vec![task(5), task(5)]);
    two.workers.push(two.workers[0].clone());
    two.tasks[1].crew.among = 2;
    two.apart = Some(Apart { settle: 7 });
    two.tasks[0].dusty = true;
    two.tasks[1].wet = Some(wall(30));
    let good = at(&[0, 12]);
    check(
        &two,
        &at(&[0, 11]),
        |breach| *breach == Breach::Unsettled { dusty: Some(0), wet: 1 },
        &good,
    );
    check(
        &two,
        &at(&[34, 0]),
        |breach| *breach == Breach::DustOnWet { dusty: 0, wet: Some(1) },
        &good,
    );
    two.wet_already = vec![stretch(0, 10)];
    check(
        &two,
        &at(&[9, 100]),
        |breach| *breach == Breach::DustOnWet { dusty: 0, wet: None },
        &at(&[10, 22]),
    );
    two.wet_already.clear();
    two.dust_until = 3;
    check(
        &two,
        &at(&[100, 9]),
        |breach| *breach == Breach::Unsettled { dusty: None, wet: 1 },
        &good,
    );
}

#[test]
fn bundles_keep_their_longest_wait() {
    // flood, wipe within 10 and not before 6, and another job for the same hands
    let mut three = network(200, vec![task(5), task(5), task(6)]);
    three.waits.push(Wait {
        before: 0,
        from_start: false,
        after: 1,
        min: wall(6),
        max: Some(wall(10)),
    });
    three.bundles.push(Bundle { tasks: vec![0, 1] });
    check(
        &three,
        &at(&[0, 16, 30]),
        |breach| *breach == Breach::TooLate { before: 0, after: 1 },
        &at(&[0, 11, 5]),
    );
}

#[test]
fn releases_starts_facts_and_horizon() {
    let mut two = network(50, vec![task(5), task(5)]);
    two.tasks[0].release = 8;
    two.start_sets = vec![vec![stretch(10, 12), stretch(20, 40)]];
    two.tasks[1].starts = Some(0);
    let good = at(&[15, 10]);
    check(&two, &at(&[7, 20]), |breach| *breach == Breach::BeforeRelease(0), &good);
    check(
        &two,
        &at(&[15, 12]),
        |breach| *breach == Breach::OutsideStarts(1),
        &good,
    );
    check(&two, &at(&[50, 10]), |breach| *breach == Breach::AfterHorizon(0), &good);
    check(&two, &[Some(15), None], |breach| *breach == Breach::NotDone(1), &good);
    two.tasks[0].fixed = Some(Fixed { start: 0, workers: 1 });
    check(
        &two,
        &at(&[1, 10]),
        |breach| *breach == Breach::FactMoved(0),
        &at(&[0, 10]),
    );
}

#[test]
fn what_must_be_over_is_over() {
    let mut one = network(100, vec![task(5)]);
    one.clocks.push(Clock::Measured(
        std::sync::Arc::new((0..50).collect::<Vec<u64>>()).into(),
    ));
    one.tasks[0].wet = Some(Tail { clock: 1, amount: 20 });
    check(&one, &at(&[30]), |breach| *breach == Breach::NeverOver(0), &at(&[0]));
}

fn refusal(network: &Network) -> (Option<u32>, Reason) {
    let outcome = solve(network, &Settings::default(), &mut |_| ControlFlow::Continue(()));
    let infeasible = outcome.expect_err("no plan");
    (infeasible.task, infeasible.reason)
}

#[test]
fn impossible_networks_are_named() {
    let base = network(100, vec![task(5), task(5)]);
    let mut none = base.clone();
    none.workers[0].shifts = vec![stretch(0, 4), stretch(10, 14)];
    assert_eq!(refusal(&none), (Some(0), Reason::NoShiftLongEnough));
    let mut none = base.clone();
    none.tasks[1].crew.count = 2;
    assert_eq!(refusal(&none), (Some(1), Reason::CrewTooSmall));
    let mut none = base.clone();
    none.start_sets = vec![vec![stretch(0, 4)]];
    none.tasks[1].starts = Some(0);
    none.tasks[1].release = 4;
    assert_eq!(refusal(&none), (Some(1), Reason::NeverInStartSet));
    let mut none = base.clone();
    none.clocks.push(Clock::Measured(
        std::sync::Arc::new((0..50).collect::<Vec<u64>>()).into(),
    ));
    none.tasks[0].wet = Some(Tail { clock: 1, amount: 50 });
    assert_eq!(refusal(&none), (Some(0), Reason::TailNeverReached));
    let mut none = base.clone();
    none.pools = vec![Pool {
        capacity: 1,
        taken: Vec::new(),
    }];
    none.tasks[1].demands.push(Demand {
        pool: 0,
        amount: 2,
        from: Edge::Start,
        until: Edge::End,
    });
    assert_eq!(refusal(&none), (Some(1), Reason::CapacityTooSmall));
    let mut none = base.clone();
    none.waits = vec![wait(0, 1, 1), wait(1, 0, 1)];
    assert!(matches!(refusal(&none).1, Reason::Cyclic(circle) if circle.len() == 2));
    let mut none = base.clone();
    none.waits.push(Wait {
        before: 0,
        from_start: false,
        after: 1,
        min: wall(9),
        max: Some(wall(4)),
    });
    none.bundles.push(Bundle { tasks: vec![0, 1] });
    assert_eq!(refusal(&none).1, Reason::LongestWait);
    let mut none = base.clone();
    none.horizon = 20;
    none.tasks = (0..9).map(|_| task(5)).collect();
    assert_eq!(refusal(&none).1, Reason::Horizon);
}

#[test]
fn small_networks_do_not_panic() {
    let go = |network: &Network| {
        let outcome = solve(network, &Settings::default(), &mut |_| ControlFlow::Continue(()));
        if let Ok(solution) = &outcome {
            assert_eq!(verify(network, solution), []);
        }
        outcome.map(|solution| solution.starts)
    };
    assert_eq!(go(&Network::default()), Ok(Vec::new()));
    assert_eq!(go(&network(10, vec![task(0)])), Ok(vec![Some(0)]));
    assert!(go(&network(0, vec![task(0)])).is_err());
    let mut nobody = network(10, vec![task(0)]);
    nobody.workers.clear();
    assert_eq!(go(&nobody), Ok(vec![Some(0)]));
    nobody.tasks[0].minutes = 1;
    assert!(go(&nobody).is_err());
    let mut wild = network(10, vec![task(1)]);
    wild.waits.push(wait(0, 7, 1));
    assert!(go(&wild).is_err());
    wild.waits[0] = wait(0, 0, 0);
    assert!(go(&wild).is_err());
}

#[test]
fn the_published_instance_is_solved_to_its_optimum() {
    // Kolisch and Sprecher 1997, J30 instance 1_1: proven optimum 43
    let text = include_str!("../published/j301_1.sm");
    let network = denib::planner::published::psplib(text).expect("readable");
    assert_eq!(network.tasks.len(), 32);
    let settings = Settings {
        tries: 3000,
        ..Settings::default()
    };
    let solution = solve(&network, &settings, &mut |_| ControlFlow::Continue(())).expect("a plan");
    assert_eq!(verify(&network, &solution), []);
    assert_eq!(solution.score.ready, 43);
    assert!(solution.bound.ready <= 43);
    let two = Settings { threads: 2, ..settings };
    let again = |settings: &Settings| solve(&network, settings, &mut |_| ControlFlow::Continue(()));
    assert_eq!(again(&two), again(&two));
}

#[test]
fn unreadable_problems_name_the_line() {
    let text = include_str!("../published/j301_1.sm");
    let read = |text: &str| denib::planner::published::psplib(text).map(|network| network.tasks.len());
    assert_eq!(read(text), Ok(32));
    assert!(read("").is_err());
    let lines: Vec<&str> = text.lines().collect();
    for cut in 0..lines.len() {
        // cut anywhere it is read or refused, never a panic
        let _ = read(&lines[..cut].join("\n"));
    }
    let spoiled = text.replacen("  31 ", "  99 ", 1);
    assert!(matches!(read(&spoiled), Ok(_) | Err(_)));
    let load = |text: &str| denib::planner::published::load(text).map_err(|error| error.line);
    assert_eq!(
        load("H 1 6 15 15 480 1020\nO 0 0 0 8 0 0 0 0\nL 0 4 1 -1").unwrap_err(),
        3
    );
    assert_eq!(load("H 1 6 15 15 480 1020\nX").unwrap_err(), 2);
    assert_eq!(load("H 1 6 15\n").unwrap_err(), 1);
    assert_eq!(load("H 1 6 15 15 480 1020\nO 0 0 0 8 0 0 0 0").unwrap().tasks.len(), 1);
}

/// Three tasks, the last a preparation that the window between the others calls for, placed in this order alone.
fn prepared(waits: Vec<Wait>, order: Vec<u32>) -> Vec<Option<u32>> {
    let mut three = network(200, vec![task(5), task(5), task(3)]);
    three.waits = waits;
    three.windows.push(Window {
        before: 0,
        after: 1,
        spans: vec![WindowSpan {
            opens: wall(30),
            closes: None,
            via: Some(2),
        }],
    });
    let settings = Settings {
        tries: 0,
        first: Some(order),
        only_first: true,
        ..Settings::default()
    };
    let solution = solve(&three, &settings, &mut |_| ControlFlow::Continue(())).expect("a plan");
    assert_eq!(verify(&three, &solution), []);
    solution.starts
}

#[test]
fn a_preparation_that_is_due_anyway_goes_in_once() {
    // the later task comes first in the order and calls for it; its own turn comes after
    assert_eq!(prepared(Vec::new(), vec![0, 1, 2]), at(&[0, 38, 35]));
}

#[test]
fn a_preparation_that_is_due_waits_for_the_window_it_serves() {
    // in its own turn it could go in at 7, and would leave the later task no way in
    assert_eq!(prepared(vec![wait(0, 2, 2)], vec![0, 2, 1]), at(&[0, 38, 35]));
}
