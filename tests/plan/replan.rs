//! Replanning the shipped demo: what is arranged stays, what must move moves.

#![allow(clippy::panic, clippy::expect_used, clippy::print_stdout)] // a check that fails says why

use crate::ticked::on_time;
use denib::dayplan::document::State;
use denib::dayplan::{History, Plan, Settings, plan};
use denib::job::{self, Job};
use denib::source::SourceFile;
use denib::units::{Moment, Span};

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
