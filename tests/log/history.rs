//! What the records amount to.

use crate::log_samples::{at, done, names, on, operation, plan, record};
use denib::dayplan::document::Operation;
use denib::finish::{Stage, StepKind};
use denib::log::{Fate, History, Purpose, Record, What, history, plan_in_force, said_by};
use denib::units::Moment;
use proptest::prelude::*;

fn now() -> Moment {
    Moment::of(&at("18:00"))
}

fn moment(clock: &str) -> Moment {
    Moment::of(&at(clock))
}

/// The facts, with planned minutes taken from the plans in the log only.
fn facts(records: &[Record]) -> History {
    history(records, now(), &|_| None)
}

fn undo(id: &str, clock: &str, target: &str) -> Record {
    record(id, clock, What::Undone { record: target.into() })
}

fn coat(id: &str) -> Operation {
    operation(id, "leg", &["side"], StepKind::Coat, at("09:00"), at("09:05"))
}

#[test]
fn a_round_is_spread_by_its_planned_minutes() {
    // planned 6, 12 and 6 minutes; done in 40: 10, 20 and 10 by proportion
    let minutes = |id: &str| Some(if id == "b" { 12.0 } else { 6.0 });
    let facts = history(
        &[record("r", "10:00", done(&["a", "b", "c"], "09:00", "09:40"))],
        now(),
        &minutes,
    );
    let times = |id: &str| facts.done(id).map(|done| (done.start, done.end));
    assert_eq!(times("a"), Some((moment("09:00"), moment("09:10"))));
    assert_eq!(times("b"), Some((moment("09:10"), moment("09:30"))));
    assert_eq!(times("c"), Some((moment("09:30"), moment("09:40"))));
    assert_eq!(
        facts.done("a").map(|done| (done.by.as_str(), done.record.as_str())),
        Some(("Ada", "r"))
    );
}

#[test]
fn without_figures_a_round_is_spread_evenly_and_by_the_plan_where_it_has_some() {
    let even = facts(&[record("r", "10:00", done(&["a", "b"], "09:00", "09:20"))]);
    assert_eq!(even.done("a").map(|done| done.end), Some(moment("09:10")));
    // the plan gives coat a 5 minutes and knows no b: b gets the mean of what is known, 5 as well; c 10
    let long = operation("c", "leg", &["end"], StepKind::Coat, at("09:05"), at("09:15"));
    let planned = record(
        "p",
        "08:00",
        What::AcceptedPlan {
            plan: std::sync::Arc::new(plan(vec![coat("a"), long])),
        },
    );
    // shares 5, 7.5 (mean of 5 and 10), 10 of 45 minutes: 10, 15, 20
    let facts = facts(&[planned, record("r", "10:00", done(&["a", "b", "c"], "09:00", "09:45"))]);
    assert_eq!(facts.done("a").map(|done| done.end), Some(moment("09:10")));
    assert_eq!(facts.done("b").map(|done| done.end), Some(moment("09:25")));
    assert_eq!(facts.done("c").map(|done| done.end), Some(moment("09:45")));
    assert_eq!(facts.adrift(facts.plan.as_deref()), ["b"]);
}

#[test]
fn undo_and_the_undoing_of_an_undo() {
    let tick = record("1", "10:00", done(&["a"], "09:00", "09:20"));
    let back = undo("2", "10:01", "1");
    let forth = undo("3", "10:02", "2");
    assert!(facts(std::slice::from_ref(&tick)).is_over("a"));
    assert!(!facts(&[tick.clone(), back.clone()]).is_over("a"));
    assert!(facts(&[tick.clone(), back.clone(), forth.clone()]).is_over("a"));
    assert!(!facts(&[tick.clone(), back.clone(), forth, undo("4", "10:03", "3")]).is_over("a"));
    // taken back twice, and only one of the two taken back
    let twice = [
        tick.clone(),
        back.clone(),
        undo("5", "10:02", "1"),
        undo("6", "10:03", "2"),
    ];
    assert!(!facts(&twice).is_over("a"));
    // a ring has no effect
    let ring = [
        tick,
        undo("7", "10:01", "8"),
        undo("8", "10:01", "7"),
        undo("9", "10:02", "9"),
    ];
    assert!(facts(&ring).is_over("a"));
}

#[test]
fn done_counts_before_what_else_is_said() {
    let tick = record("1", "10:00", done(&["a"], "09:00", "09:20"));
    let skip = record(
        "2",
        "10:05",
        What::Skipped {
            operations: names(&["a"]),
            reason: "no".into(),
        },
    );
    let begin = record(
        "3",
        "10:06",
        What::Begun {
            operations: names(&["a"]),
            start: at("10:06"),
        },
    );
    assert!(facts(&[tick, skip.clone(), begin.clone()]).done("a").is_some());
    assert_eq!(facts(&[skip, begin]).begun("a"), Some(moment("10:06")));
}

#[test]
fn of_two_ticks_the_later_film_counts() {
    let early = record("1", "12:00", done(&["a"], "09:00", "09:20"));
    let late = record("2", "11:00", done(&["a"], "10:00", "10:20"));
    assert_eq!(
        facts(&[early, late]).done("a").map(|done| done.end),
        Some(moment("10:20"))
    );
}

#[test]
fn a_stripped_piece_is_begun_again() {
    let planned = record(
        "0",
        "08:00",
        What::AcceptedPlan {
            plan: std::sync::Arc::new(plan(vec![coat("a")])),
        },
    );
    let tick = record("1", "10:00", done(&["a"], "09:00", "09:20"));
    let strip = record(
        "2",
        "11:00",
        What::StripBack {
            piece: "leg".into(),
            surfaces: vec![],
            reason: "run".into(),
        },
    );
    let begin = record(
        "3",
        "12:00",
        What::Begun {
            operations: names(&["a"]),
            start: at("12:00"),
        },
    );
    let facts = facts(&[planned, tick, strip, begin]);
    assert_eq!(facts.begun("a"), Some(moment("12:00")));
    assert!(facts.stripped_since("leg", "side", moment("09:20")));
    assert!(facts.stripped_since("leg", "side", moment("11:00")));
    assert!(!facts.stripped_since("leg", "side", moment("11:01")));
    assert!(!facts.stripped_since("rail", "side", moment("09:20")));
}

#[test]
fn the_plan_accepted_last_is_in_force_and_earlier_ones_are_remembered() {
    let first = record(
        "1",
        "08:00",
        What::AcceptedPlan {
            plan: std::sync::Arc::new(plan(vec![coat("a"), coat("b")])),
        },
    );
    let second = record(
        "2",
        "09:00",
        What::AcceptedPlan {
            plan: std::sync::Arc::new(plan(vec![coat("c")])),
        },
    );
    let tick = record("3", "10:00", done(&["a"], "09:00", "09:20"));
    let all = [second.clone(), tick, first.clone()];
    let facts = facts(&all);
    assert_eq!(
        facts.plan.as_deref().map(|plan| plan.operations[0].id.as_str()),
        Some("c")
    );
    assert_eq!(plan_in_force(&all).map(|plan| plan.operations.len()), Some(1));
    assert_eq!(facts.earlier.keys().collect::<Vec<_>>(), ["a"]);
    assert!(facts.adrift(facts.plan.as_deref()).is_empty());
    assert_eq!(
        plan_in_force(&[first, second, undo("4", "10:00", "2")]).map(|plan| plan.operations.len()),
        Some(2)
    );
}

#[test]
fn tests_readings_and_cautions_are_gathered() {
    let facts = facts(&[
        record(
            "1",
            "12:00",
            What::NotYetDry {
                operation: "a".into(),
                purpose: Purpose::Glue,
            },
        ),
        record(
            "2",
            "13:00",
            What::DryAlready {
                operation: "a".into(),
                purpose: Purpose::Rub,
            },
        ),
        record(
            "3",
            "13:10",
            What::Reading {
                temperature: 18.5,
                humidity: None,
            },
        ),
        record(
            "4",
            "13:20",
            What::AcceptedCaution {
                code: "unequal".into(),
                refers: names(&["top"]),
                reason: "hidden".into(),
            },
        ),
        record(
            "5",
            "19:00",
            What::Note {
                text: "from a clock that is ahead".into(),
            },
        ),
    ]);
    let tests: Vec<_> = facts
        .bounds
        .iter()
        .map(|bound| (bound.stage, bound.dry, bound.at))
        .collect();
    assert_eq!(
        tests,
        [
            (Stage::DryHard, false, moment("12:00")),
            (Stage::DryThrough, true, moment("13:00"))
        ]
    );
    assert!((facts.readings[0].temperature.0 - 18.5).abs() < 1e-9 && facts.readings[0].humidity.is_none());
    assert!(facts.is_accepted("unequal", "top") && !facts.is_accepted("unequal", "side"));
    assert_eq!(facts.ahead, ["5"]);
}

#[test]
fn the_past_can_be_looked_at() {
    let records = [
        record("1", "10:00", done(&["a"], "09:00", "09:20")),
        undo("2", "11:00", "1"),
    ];
    assert!(facts(&said_by(&records, &at("10:30"))).is_over("a"));
    assert!(!facts(&said_by(&records, &at("11:00"))).is_over("a"));
}

#[test]
fn a_night_lies_between_records() {
    let tick = What::Done {
        operations: names(&["a", "b"]),
        start: on(25, "23:50"),
        end: on(26, "00:10"),
    };
    let facts = facts(&[record("1", "10:00", tick)]);
    assert_eq!(facts.done("a").map(|done| done.end), Some(Moment::of(&on(26, "00:00"))));
    assert!(matches!(facts.operations.get("b"), Some(Fate::Done(_))));
}

/// Random records on few operations, some taking back others.
fn some() -> impl Strategy<Value = Vec<Record>> {
    let what = (0_u8..6, 0_usize..4, 0_u8..30, 0_u8..20).prop_map(|(kind, operation, minute, target)| {
        let list = names(&[["a", "b", "c", "d"][operation]]);
        match kind {
            0 | 1 => done(&[["a", "b", "c", "d"][operation]], "09:00", &format!("09:{minute:02}")),
            2 => What::Begun {
                operations: list,
                start: at(&format!("09:{minute:02}")),
            },
            3 => What::Skipped {
                operations: list,
                reason: "no".into(),
            },
            4 => What::StripBack {
                piece: "leg".into(),
                surfaces: vec![],
                reason: "run".into(),
            },
            _ => What::Undone {
                record: format!("r-{target:02}"),
            },
        }
    });
    proptest::collection::vec(what, 0..20).prop_map(|all| {
        let all = all.into_iter().enumerate();
        all.map(|(n, what)| record(&format!("r-{n:02}"), &format!("09:{:02}", n / 2), what))
            .collect()
    })
}

proptest! {
    #[test]
    fn the_order_of_reading_does_not_matter(records in some(), turn in 0_usize..20) {
        let planned = record("p", "08:00", What::AcceptedPlan { plan: std::sync::Arc::new(plan(vec![coat("a"), coat("b")])) });
        let mut records = records;
        records.push(planned);
        let straight = facts(&records);
        let mut turned = records.clone();
        turned.rotate_left(turn % records.len());
        prop_assert_eq!(&facts(&turned), &straight);
        turned.reverse();
        turned.extend(records);
        prop_assert_eq!(&facts(&turned), &straight);
    }
}
