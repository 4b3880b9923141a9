//! Good plans by hand: the verifier has nothing to say.

use crate::draft::{daily, stamp};
use crate::shop::{at, week};
use crate::table::good;
use denib::clock::Air;
use denib::dayplan::document::{Plan, State};
use denib::dayplan::verify::{Rule, verify, verify_in};
use denib::job::{Job, Reading};
use denib::units::{Celsius, Span};

pub fn passes(name: &str, plan: &Plan, job: &Job) {
    let found = verify(plan, job);
    let lines: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{name} should pass:\n{}", lines.join("\n"));
}

#[test]
fn the_small_table_by_hand() {
    let draft = good();
    let plan = draft.plan();
    passes("the small table", &plan, &draft.job);
    // the sums beside the lines, once more as they stand in the document
    assert_eq!(
        plan.sections[0].ready,
        stamp(at("2 03:20")),
        "the top is hard 12 h after 15:20"
    );
    assert_eq!(
        plan.sections[1].ready,
        stamp(at("4 15:50")),
        "the oil is hard 3 d after 15:50"
    );
    assert_eq!(plan.ends, stamp(at("2 08:05")));
    assert_eq!(plan.finished, Some(stamp(at("3 16:05"))));
    // 76 h from start to bound, 3 h 50 from bound to ready
    assert!((plan.gap_percent - 100.0 * 230.0 / 4560.0).abs() < 1e-9);
    // 11:00 to 11:45 and 14:35 to 15:20
    assert!((plan.balance[0].hours_apart - 1.5).abs() < 1e-9);
}

/// The maker leaves the second coat of the back out: a decision, not a mistake of the plan, and told truly.
#[test]
fn a_coat_the_maker_leaves_out() {
    let mut draft = good();
    draft.get("top/coat-2/back").state = State::Skipped;
    let plan = draft.plan();
    passes("a coat left out", &plan, &draft.job);
    assert!(!plan.balance[0].ok);
}

/// Oil stood too long before anybody said so. The only plan left is to wipe at once, and that is a good plan;
/// planned so from the start it would be a bad one.
#[test]
fn a_wipe_that_is_late_already() {
    let mut draft = good();
    draft.job.hours = week(480, 750, 795, 1140);
    draft.shifts = daily(1..=5, &[("08:00", "12:30"), ("13:15", "19:00")]);
    draft.shift("tray/wipe-back-1", "1 16:40");
    draft.shift("tray/re-wipe-1", "1 17:45");
    draft.shift("clean-3", "1 17:50");
    let mut plan = draft.plan();
    let rules: Vec<Rule> = verify(&plan, &draft.job).iter().map(|breach| breach.rule).collect();
    assert_eq!(rules, [Rule::WipeBack]);
    plan.now = stamp(at("1 16:40"));
    for op in &mut plan.operations {
        if op.end <= plan.now {
            op.state = State::Done;
        }
    }
    passes("wiped at once", &plan, &draft.job);
}

/// In the air that was read in the room the same plan may be another: two degrees colder, films are later.
#[test]
fn the_air_read_in_the_room_counts() {
    let draft = good();
    let plan = draft.plan();
    let (from, until) = (draft.job.start, draft.job.start + Span::days(60));
    let foreseen = Air::of(&draft.job, &[], from, until);
    assert!(verify_in(&plan, &draft.job, &foreseen).is_empty());
    let reading = Reading {
        at: at("1 09:00"),
        temperature: Celsius(21.0),
        humidity: None,
    };
    let colder = Air::of(&draft.job, &[reading], from, until);
    let rules: Vec<Rule> = verify_in(&plan, &draft.job, &colder)
        .iter()
        .map(|breach| breach.rule)
        .collect();
    assert!(rules.contains(&Rule::DryStamp), "{rules:?}");
}
