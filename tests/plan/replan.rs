//! Replanning the shipped demo: what is arranged stays, what must move moves.

#![allow(clippy::panic, clippy::expect_used, clippy::print_stdout)] // a check that fails says why

use crate::ticked::on_time;
use denib::dayplan::document::{Operation, State};
use denib::dayplan::history::Fate;
use denib::dayplan::{History, Kept, Means, Plan, Settings, plan, plan_by};
use denib::finish::StepKind;
use denib::job::{self, Job, Reading};
use denib::source::SourceFile;
use denib::units::{Celsius, Moment, Percent, Span};

fn demo() -> Job {
    let file = SourceFile::new("linen-press.toml", include_str!("../../demo/linen-press.toml"));
    let (job, problems) = job::read(&file, &denib::finish::shipped());
    job.unwrap_or_else(|| panic!("{problems:?}"))
}

const QUICK: Settings = Settings { seed: 1, tries: 8 };

fn made(job: &Job, history: &History) -> Plan {
    plan(job, history, QUICK, &mut || true).unwrap_or_else(|no| panic!("{no}"))
}

#[test]
fn after_on_time_ticks_nothing_in_the_next_four_hours_moves() {
    let job = demo();
    let first = made(&job, &History::none(job.start));
    let due = |round: usize| {
        let now = Moment::of(&first.rounds[round].end);
        let soon = |start: Moment| start >= now && start < now + Span::hours(4);
        first
            .operations
            .iter()
            .any(|operation| soon(Moment::of(&operation.start)))
    };
    // at the end of three rounds, a few apart, after which something is due soon
    let rounds: Vec<usize> = (3..first.rounds.len())
        .step_by(7)
        .filter(|&round| due(round))
        .take(3)
        .collect();
    assert_eq!(rounds.len(), 3);
    for round in rounds {
        let now = Moment::of(&first.rounds[round].end);
        let again = made(&job, &on_time(&first, now));
        let soon = first.operations.iter().filter(|operation| {
            let start = Moment::of(&operation.start);
            start >= now && start < now + Span::hours(4)
        });
        let mut held = 0;
        for old in soon {
            let new = again.operations.iter().find(|new| new.id == old.id);
            let new = new.unwrap_or_else(|| panic!("{} is gone", old.id));
            assert_eq!(new.start, old.start, "{} moved at {}", old.id, first.rounds[round].id);
            held += 1;
        }
        assert!(held > 0, "nothing due after round {round}: the check would be empty");
    }
}

#[test]
fn what_is_done_stays_where_it_happened_and_what_is_late_moves_on() {
    let job = demo();
    let first = made(&job, &History::none(job.start));
    // a round with a good deal done before it
    let before = |at: usize| {
        let end = first.rounds[at].end;
        first.operations.iter().filter(|operation| operation.end <= end).count()
    };
    let last = (0..first.rounds.len()).find(|at| before(*at) > 50).expect("a long job");
    let round = &first.rounds[last + 1];
    // an hour lost: everything before this round is done, neither the round nor its change-over has begun
    let now = Moment::of(&round.start) + Span::hours(1);
    let mut history = on_time(&first, Moment::of(&first.rounds[last].end));
    history.now = now;
    let again = made(&job, &history);
    for operation in &again.operations {
        match history.done(&operation.id) {
            Some(done) => {
                assert_eq!(Moment::of(&operation.start), done.start, "{}", operation.id);
                assert_eq!(operation.state, State::Done, "{}", operation.id);
            }
            None if operation.state == State::Planned && operation.round.is_some() => {
                assert!(
                    Moment::of(&operation.start) >= now,
                    "{} planned in the past",
                    operation.id
                );
            }
            None => {}
        }
    }
    assert!(
        history.operations.len() > 50,
        "{} operations done",
        history.operations.len()
    );
}

#[test]
fn what_an_earlier_planning_kept_changes_no_plan() {
    let job = demo();
    let kept = Kept::default();
    let by = |job: &Job, history: &History, kept: Option<&Kept>| {
        let means = Means {
            kept,
            ..Means::default()
        };
        let settings = Settings { seed: 1, tries: 0 };
        plan_by(job, history, settings, means, &mut || true).unwrap_or_else(|no| panic!("{no}"))
    };
    let first = by(&job, &History::none(job.start), Some(&kept));
    let after = |round: usize| on_time(&first, Moment::of(&first.rounds[round].end));
    let mut colder = after(9);
    colder.readings.push(Reading {
        at: colder.now,
        temperature: Celsius(12.0),
        humidity: Some(Percent(70.0)),
    });
    let mut left_out = after(9);
    let planned = |one: &&Operation| one.state == State::Planned && one.step == StepKind::Denib;
    let denib = first.operations.iter().rfind(planned).expect("something is de-nibbed");
    let fate = Fate::Skipped {
        at: left_out.now,
        reason: "smooth as it is".to_owned(),
    };
    left_out.operations.insert(denib.id.clone(), fate);
    let mut warmer = job.clone();
    warmer.room.climate.lines.iter_mut().for_each(|line| line.day.0 += 2.0);
    let mut fewer = job.clone();
    fewer.room.places.points = fewer.room.places.points.map(|points| points.saturating_sub(1));
    let turns = [
        (&job, after(4)),
        (&job, after(8)),
        (&job, colder),
        (&job, left_out),
        (&warmer, after(9)),
        (&fewer, after(9)),
        (&job, after(9)),
    ];
    let mut plans: Vec<Plan> = Vec::new();
    for (job, history) in &turns {
        let plan = by(job, history, Some(&kept));
        assert_eq!(plan, by(job, history, None));
        plans.push(plan);
    }
    // the turns were worth taking: each of the last five is a plan of its own
    for (at, plan) in plans.iter().enumerate().skip(2) {
        let others = plans.iter().skip(at + 1);
        assert!(others.into_iter().all(|other| other != plan), "turn {at}");
    }
}
