//! What `denib plan` answers beside the plan: by when, with whose hands, from when on, why then.

#![allow(clippy::unwrap_used)] // a case that cannot be set up has failed

use crate::case::{Case, Run, SMALL};
use chrono::{DateTime, FixedOffset};
use denib::dayplan::Plan;
use serde_json::Value;

fn shelf() -> Case {
    Case::new().file("shelf.toml", SMALL)
}

fn document(run: &Run) -> Plan {
    serde_json::from_str(&run.out).unwrap()
}

fn value(run: &Run) -> Value {
    serde_json::from_str(&run.out).unwrap()
}

fn stamp(value: &Value) -> DateTime<FixedOffset> {
    value.as_str().unwrap().parse().unwrap()
}

/// A line of words with times in it, which are parted at spaces otherwise.
fn run(case: &Case, words: &[&str]) -> Run {
    Run::of(&case.command("plan shelf.toml").args(words).output().unwrap())
}

#[test]
fn a_time_that_leaves_days_gives_the_latest_start_and_that_start_does() {
    let case = shelf();
    let plan = document(&case.run("plan shelf.toml --format json").expect(0));
    let by = (plan.ready + chrono::TimeDelta::days(4)).to_rfc3339();
    let answer = value(&run(&case, &["--by", &by, "--format", "json"]).expect(0));
    assert_eq!(answer["can"], Value::Bool(true));
    let (latest, ready) = (stamp(&answer["latest_start"]), stamp(&answer["ready"]));
    assert!(latest > plan.starts, "{latest} is no later than {}", plan.starts);
    assert!(ready <= by.parse::<DateTime<FixedOffset>>().unwrap());
    // the start it names is planned for real
    let from = document(&run(&case, &["--start-after", &latest.to_rfc3339(), "--format", "json"]).expect(0));
    assert_eq!(from.ready, ready);
    assert!(from.operations.iter().all(|operation| operation.start >= latest));
    let text = run(&case, &["--by", &by]).expect(0);
    text.says("Yes: everything can be ready to glue by")
        .says("at the latest");
}

#[test]
fn a_time_no_plan_can_meet_is_ruled_out_with_the_bound() {
    let case = shelf();
    let plan = document(&case.run("plan shelf.toml --format json").expect(0));
    let by = (plan.starts + chrono::TimeDelta::hours(1)).to_rfc3339();
    let answer = value(&run(&case, &["--by", &by, "--format", "json"]).expect(1));
    assert_eq!(answer["can"], Value::Bool(false));
    assert!(stamp(&answer["bound"]) > by.parse::<DateTime<FixedOffset>>().unwrap());
    run(&case, &["--by", &by]).expect(1).says("No: no plan can be ready by");
}

#[test]
fn times_that_cannot_be_meant_are_refused() {
    let case = shelf();
    let soon = run(&case, &["--by", "soon"]).expect(2);
    assert!(soon.err.contains("--by"), "{}", soon.err);
    let past = run(&case, &["--by", "2026-11-29 12:00"]).expect(2);
    assert!(past.err.contains("is not after the start"), "{}", past.err);
    let when = run(&case, &["--start-after", "later"]).expect(2);
    assert!(when.err.contains("--start-after"), "{}", when.err);
    run(&case, &["--by", "2026-12-12 12:00", "--take"]).expect(2);
    run(&case, &["--why", "--take"]).expect(2);
}

#[test]
fn hands_by_number_and_by_name() {
    let case = shelf();
    let one = document(&case.run("plan shelf.toml --format json").expect(0));
    let known = one.hands[0].name.clone();
    let two = document(&run(&case, &["--hands", "2", "--format", "json"]).expect(0));
    assert_eq!(two.hands.len(), 2);
    assert!(two.ready <= one.ready);
    assert!(
        two.operations
            .iter()
            .any(|operation| operation.hands.contains(&two.hands[1].name))
    );
    let named = document(&run(&case, &["--hands", &known.to_uppercase(), "--format", "json"]).expect(0));
    assert_eq!(named.hands, one.hands);
    let mut wrong = known.clone();
    wrong.push('x');
    let nobody = run(&case, &["--hands", &wrong]).expect(2);
    assert!(nobody.err.contains(&format!("Did you mean {known}?")), "{}", nobody.err);
    for none in ["0", "65", ","] {
        run(&case, &["--hands", none]).expect(2);
    }
    let taken = run(&case, &["--hands", "2", "--take"]).expect(2);
    assert!(taken.err.contains("does not have so many hands"), "{}", taken.err);
}

#[test]
fn threads_change_nothing_between_two_runs() {
    let case = shelf();
    let words = ["--threads", "2", "--tries", "40", "--format", "json"];
    let (first, second) = (run(&case, &words).expect(0), run(&case, &words).expect(0));
    assert_eq!(first.out, second.out);
    run(&case, &["--threads", "0"]).expect(2);
}

#[test]
fn why_names_the_chain_to_the_end_and_tries_each_change() {
    let case = shelf();
    let plan = document(&case.run("plan shelf.toml --format json").expect(0));
    let why = value(&run(&case, &["--why", "--format", "json"]).expect(0));
    let chain = why["chain"].as_array().unwrap();
    assert!(chain.len() > 3);
    // in order of time, from the beginning to the goal
    assert!(
        chain
            .windows(2)
            .all(|pair| stamp(&pair[0]["end"]) <= stamp(&pair[1]["start"]))
    );
    let last = chain.last().unwrap();
    let waits = chrono::TimeDelta::minutes(last["then_waits_minutes"].as_i64().unwrap());
    assert_eq!(stamp(&last["end"]) + waits, plan.ready);
    for change in why["changes"].as_array().unwrap() {
        if change["ready"].is_string() {
            let sooner = chrono::TimeDelta::minutes(change["sooner_minutes"].as_i64().unwrap());
            assert_eq!(stamp(&change["ready"]) + sooner, plan.ready);
        }
    }
    let words: Vec<&str> = why["changes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|change| change["change"].as_str().unwrap())
        .collect();
    assert!(words.contains(&"2 pairs of hands"), "{words:?}");
    run(&case, &["--why"])
        .expect(0)
        .says("What leads up to it")
        .says("What would bring it forward");
}
