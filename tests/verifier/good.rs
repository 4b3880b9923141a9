//! Good plans by hand: the verifier has nothing to say.

use crate::draft::stamp;
use crate::shop::at;
use crate::table::good;
use denib::dayplan::document::Plan;
use denib::dayplan::verify::verify;
use denib::job::Job;

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
