//! What differs between two plans: laid over the one it gives the other, byte for byte, and over no third.

// a check that cannot be set up, or fails, stops
#![allow(clippy::expect_used, clippy::panic)]

use crate::turned::{Turn, accepted, base, plan_of, plans, text_of, turn, turned};
use denib::dayplan::Plan;
use denib::log::difference::{Difference, Misfit};
use denib::log::line::{HEADER, write, write_onto};
use denib::log::read;
use proptest::prelude::*;

/// Two lines, the second built on the first where that is allowed, read again: the same plans, byte for byte.
fn reads_back(one: &Plan, other: &Plan) -> Result<u32, TestCaseError> {
    let first = accepted("a-1", 0, one.clone());
    let second = accepted("a-2", 1, other.clone());
    let (line, step) = write_onto(&second, Some(&base(&first, 0))).expect("a line");
    let text = format!("{HEADER}\n{}\n{line}\n", write(&first).expect("a line"));
    let (records, bad) = read(text.as_bytes());
    prop_assert_eq!(bad, vec![]);
    prop_assert!(text_of(plan_of(&records[0])) == text_of(one));
    prop_assert!(text_of(plan_of(&records[1])) == text_of(other));
    Ok(step)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn whatever_comes_of_a_plan_reads_back_byte_for_byte(turns in proptest::collection::vec(turn(), 0..8), of in 0_usize..2) {
        let one = &plans()[of];
        let other = turned(one, &turns);
        reads_back(one, &other)?;
        // the other way round, and between two that both left the first
        reads_back(&other, one)?;
        let half = turned(one, &turns[turns.len() / 2..]);
        reads_back(&other, &half)?;
        // the difference itself, however long it is
        let difference = Difference::between(one, &other).expect("documents");
        let text = serde_json::to_string(&difference).expect("a text");
        let back: Difference = serde_json::from_str(&text).expect("a difference");
        prop_assert!(text_of(&back.applied(one).expect("it fits")) == text_of(&other));
    }
}

#[test]
fn a_small_change_is_a_short_line_and_a_great_one_a_whole_plan() {
    let one = &plans()[1];
    let moved = turned(one, &[Turn::Later(0.5, 1.0, 12)]);
    assert_eq!(reads_back(one, &moved).expect("it reads back"), 1);
    let first = accepted("a-1", 0, one.clone());
    let second = accepted("a-2", 1, moved);
    let whole = write(&second).expect("a line");
    let (short, _) = write_onto(&second, Some(&base(&first, 0))).expect("a line");
    assert!(short.len() * 5 < whole.len(), "{} of {}", short.len(), whole.len());
    // nothing of the demo is in the plan of the shelf
    assert_eq!(reads_back(one, &plans()[0]).expect("it reads back"), 0);
    // not on itself, and not on nothing
    assert_eq!(
        write_onto(&second, Some(&base(&second, 0))).expect("a line"),
        (whole.clone(), 0)
    );
    assert_eq!(write_onto(&second, None).expect("a line"), (whole, 0));
}

#[test]
fn a_difference_laid_over_another_plan_is_refused() {
    let one = &plans()[0];
    let other = turned(one, &[Turn::Later(0.0, 1.0, 5)]);
    let difference = Difference::between(one, &other).expect("documents");
    assert_eq!(difference.applied(&other), Err(Misfit::Other));
    assert_eq!(difference.applied(&plans()[1]), Err(Misfit::Other));
    assert_eq!(difference.applied(one).as_ref(), Ok(&other));
    // one that promises more than there is
    let text = serde_json::to_string(&difference).expect("a text");
    let mark = text.split('"').nth(3).expect("the mark").to_owned();
    let list = r#"[{"keep":[0,99999999999]}]"#;
    let greedy = format!(
        r#"{{"of":"{mark}","pieces":{list},"rounds":[],"operations":[],"waits":[],"cautions":[],"rest":null}}"#
    );
    let greedy: Difference = serde_json::from_str(&greedy).expect("a difference");
    assert!(matches!(greedy.applied(one), Err(Misfit::NoPlan(_))));
}
