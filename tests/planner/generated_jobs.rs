//! Jobs of the generator behind `cargo bench --bench finishing`: plans keep every rule, what stands stays, and
//! every reason is true.

#![allow(clippy::panic, clippy::expect_used)] // a check that fails says why

use crate::generated;
use crate::networks::breaches_of;
use crate::ticked::on_time;
use denib::dayplan::document::Operation;
use denib::dayplan::history::Fate;
use denib::dayplan::{History, Plan, Settings, network_of, plan, verify};
use denib::job::{self, Job};
use denib::planner::{Breach, Cause, Kind, Network, Stretch, explain, solve};
use denib::source::SourceFile;
use denib::units::{Moment, Span};
use std::collections::{BTreeMap, HashMap};
use std::ops::ControlFlow;

pub(crate) fn read(pieces: u64, seed: u64) -> Job {
    let text = generated::job(pieces, seed);
    let (job, problems) = job::read(&SourceFile::new("generated.toml", text), &denib::finish::shipped());
    let job = job.unwrap_or_else(|| panic!("{pieces} pieces, seed {seed}: {problems:?}"));
    assert_eq!(job.pieces.len() as u64, pieces);
    job
}

fn made(job: &Job, history: &History, tries: u32) -> Plan {
    let made = plan(job, history, Settings { seed: 1, tries }, &mut || true);
    made.unwrap_or_else(|no| panic!("{}: {no}", job.title))
}

#[test]
fn the_same_seed_gives_the_same_job() {
    assert_eq!(generated::job(40, 7), generated::job(40, 7));
    assert_ne!(generated::job(40, 7), generated::job(40, 8));
}

#[test]
fn plans_of_generated_jobs_keep_every_rule() {
    for (pieces, seeds, tries) in [(10, 1..=8, 4), (40, 1..=3, 2), (100, 1..=1, 0)] {
        for seed in seeds {
            let job = read(pieces, seed);
            let made = made(&job, &History::none(job.start), tries);
            let breaches = verify(&made, &job);
            assert!(breaches.is_empty(), "{pieces} pieces, seed {seed}: {breaches:#?}");
            assert!(made.bound <= made.ready);
        }
    }
}

/// Operations still to come that start at another time than before, and those of them due within four hours.
fn moved<'a>(first: &'a Plan, again: &Plan, now: Moment) -> (Vec<&'a str>, Vec<&'a str>) {
    let new: HashMap<&str, &Operation> = again.operations.iter().map(|one| (one.id.as_str(), one)).collect();
    // setting out and cleaning out follow the work
    let worked = first.operations.iter().filter(|old| old.round.is_some());
    let old = worked.filter(|old| Moment::of(&old.start) >= now);
    let moved = old.filter(|old| new.get(old.id.as_str()).is_none_or(|new| new.start != old.start));
    let all: Vec<&Operation> = moved.collect();
    let soon = all.iter().filter(|one| Moment::of(&one.start) < now + Span::hours(4));
    (
        all.iter().map(|one| one.id.as_str()).collect(),
        soon.map(|one| one.id.as_str()).collect(),
    )
}

/// Nothing due in four hours moves; `strictly`, next to nothing beyond either.
fn stands_still(pieces: u64, seed: u64, shares: &[usize], strictly: bool) {
    let job = read(pieces, seed);
    let first = made(&job, &History::none(job.start), 0);
    for share in shares {
        let now = Moment::of(&first.rounds[first.rounds.len() * share / 10].end);
        let again = made(&job, &on_time(&first, now), 0);
        let (all, soon) = moved(&first, &again, now);
        assert!(
            soon.is_empty(),
            "{pieces} pieces, seed {seed}, after {share}0 %: {soon:?}"
        );
        // beyond those hours a few may, for work done again by need is put off anew
        let planned = first.operations.len();
        assert!(
            !strictly || all.len() * 20 <= planned,
            "{pieces} pieces, seed {seed}, after {share}0 %: {} of {planned} moved: {all:?}",
            all.len()
        );
    }
}

#[test]
fn after_an_on_time_tick_forty_pieces_stand_still() {
    for seed in 1..=10 {
        stands_still(40, seed, &[1, 4, 8], true);
    }
}

#[test]
fn after_an_on_time_tick_three_hundred_pieces_stand_still() {
    stands_still(300, 1, &[1, 3], true);
}

#[test]
fn what_one_is_setting_out_while_another_ticks_stands_still() {
    // the round ticked ends in the middle of a change-over by the other pair of hands
    stands_still(100, 2, &[8], true);
}

#[test]
fn what_two_did_together_stays_the_work_of_both() {
    let job = read(40, 1);
    let first = made(&job, &History::none(job.start), 0);
    let together = |plan: &Plan, now: Moment| -> BTreeMap<String, Vec<String>> {
        let done = plan.operations.iter().filter(|one| Moment::of(&one.end) <= now);
        let together = done.filter(|one| one.hands.len() > 1);
        together.map(|one| (one.id.clone(), one.hands.clone())).collect()
    };
    let now = Moment::of(&first.rounds[first.rounds.len() / 2].end);
    let both = together(&first, now);
    assert!(!both.is_empty(), "nobody works together: the check would be empty");
    // the record names the first of them
    let again = made(&job, &on_time(&first, now), 0);
    assert_eq!(together(&again, now), both);
    // but what a neighbour did was done by neither of them
    let mut other = on_time(&first, now);
    let (id, _) = both.iter().next().expect("one");
    if let Some(Fate::Done(done)) = other.operations.get_mut(id) {
        done.by = "a neighbour".to_owned();
    }
    let again = together(&made(&job, &other, 0), now);
    assert!(!again.contains_key(id));
    assert_eq!(again.len(), both.len() - 1);
}

/// Takes one cause away for one task; whether the network's own terms allow it.
fn ease(network: &mut Network, task: u32, cause: Cause) -> bool {
    match cause {
        Cause::Wait(before) => network.waits.retain(|wait| (wait.before, wait.after) != (before, task)),
        Cause::Window(_) if network.tasks[task as usize].optional => return false,
        Cause::Window(before) => network.windows.retain(|window| {
            let joined = (window.before, window.after);
            joined != (before, task) && joined != (task, before)
        }),
        Cause::StartSet => network.tasks[task as usize].starts = None,
        Cause::Release => network.tasks[task as usize].release = 0,
        Cause::Place(pool) => {
            network.tasks[task as usize]
                .demands
                .retain(|demand| demand.pool != pool);
            network
                .chains
                .retain(|chain| (!chain.pools().any(|one| one == pool)) || chain.first != task);
        }
        Cause::Budget(budget) => network.tasks[task as usize].draws.retain(|draw| draw.0 != budget),
        Cause::Hands => {
            // as many more hands, with the same hours
            let more = network.workers.clone();
            let crew = &mut network.tasks[task as usize].crew;
            crew.among |= crew.among << more.len();
            network.workers.extend(more);
        }
        Cause::Shift => {
            let always = Stretch {
                from: 0,
                until: 1_000_000,
            };
            network
                .workers
                .iter_mut()
                .for_each(|worker| worker.shifts = vec![always]);
        }
        Cause::SetUp => network.families.iter_mut().for_each(|family| {
            family.open = 0;
            family.close = 0;
        }),
        Cause::DustSettle => {
            network.dust_until = 0;
            network.apart.iter_mut().for_each(|apart| apart.settle = 0);
        }
        Cause::DustWet => {
            network.tasks[task as usize].dusty = false;
            network.tasks[task as usize].wet = None;
        }
        Cause::Bundle(after) => {
            let own = network.waits.iter_mut();
            own.filter(|wait| (wait.before, wait.after) == (task, after))
                .for_each(|wait| wait.max = None);
        }
    }
    true
}

#[test]
fn reasons_hold_on_a_sample_of_five_hundred_operations() {
    let mut looked_at: BTreeMap<String, usize> = BTreeMap::new();
    for (pieces, seed, every) in [(10, 1, 1), (10, 2, 1), (10, 4, 2), (40, 2, 5), (40, 3, 5)] {
        let job = read(pieces, seed);
        let network = network_of(&job, &History::none(job.start));
        let settings = denib::planner::Settings {
            tries: 0,
            ..denib::planner::Settings::default()
        };
        let solution = solve(&network, &settings, &mut |_| ControlFlow::Continue(())).expect("a plan");
        let reasons = explain(&network, &solution).expect("the network was solved");
        for (id, because) in reasons.iter().enumerate().step_by(every) {
            let (Some(because), Some(start)) = (because, solution.starts[id]) else {
                continue;
            };
            let Kind::One(cause) = because.kind else { continue };
            assert!(
                because.at < start,
                "{pieces} pieces, seed {seed}, task {id}: {because:?}"
            );
            let mut eased = network.clone();
            if !ease(&mut eased, id as u32, cause) {
                continue;
            }
            let mut starts = solution.starts.clone();
            starts[id] = Some(because.at);
            let own = solution.workers[id].count_ones();
            let can = (0..1_u64 << eased.workers.len()).any(|who| {
                let mut workers = solution.workers.clone();
                workers[id] = who;
                // without its window nothing calls for work done by need any more
                let needless = |breach: &Breach| matches!(breach, Breach::Needless(_));
                who.count_ones() == own && breaches_of(&eased, &starts, &workers).iter().all(needless)
            });
            assert!(can, "{pieces} pieces, seed {seed}, task {id} at {start}: {because:?}");
            let name: String = format!("{cause:?}")
                .chars()
                .take_while(|letter| letter.is_alphabetic())
                .collect();
            *looked_at.entry(name).or_default() += 1;
        }
    }
    assert!(looked_at.values().sum::<usize>() >= 500, "{looked_at:?}");
    assert!(looked_at.len() >= 5, "{looked_at:?}");
}
