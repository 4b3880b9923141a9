//! Every rule has at least one plan that breaks it, and is the rule that says so.
//!
//! Invariant: the rules found are exactly the rules a case names.

use crate::draft::stamp;
use crate::mistakes::Case;
use crate::mistakes_of_planning::{document, milestones, room};
use crate::mistakes_of_work::{drying, joints, order};
use crate::shop::{at, step};
use crate::table::good;
use denib::dayplan::verify::{Rule, verify};
use denib::finish::{Phase, StepKind};
use std::collections::BTreeSet;

fn cases() -> Vec<Case> {
    [
        document(),
        order(),
        drying(),
        room(),
        crate::vapour::mistakes(),
        joints(),
        milestones(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

#[test]
fn every_mistake_is_rejected_for_what_it_is() {
    let mut wrong = Vec::new();
    for case in cases() {
        let mut draft = good();
        (case.written)(&mut draft);
        let mut plan = draft.plan();
        (case.printed)(&mut plan);
        let found = verify(&plan, &draft.job);
        let broken: BTreeSet<Rule> = found.iter().map(|breach| breach.rule).collect();
        let expected: BTreeSet<Rule> = case.also.iter().copied().chain([case.rule]).collect();
        if broken != expected {
            let lines: Vec<String> = found.iter().map(|breach| format!("    {breach}")).collect();
            wrong.push(format!(
                "{} ({}): expected {expected:?}, found\n{}",
                case.mistake,
                case.rule,
                lines.join("\n")
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_rule_is_without_a_bad_plan() {
    let covered: BTreeSet<Rule> = cases().iter().map(|case| case.rule).collect();
    let bare: Vec<&Rule> = Rule::ALL.iter().filter(|rule| !covered.contains(rule)).collect();
    assert!(bare.is_empty(), "no bad plan for {bare:?}");
}

#[test]
fn names_of_rules_are_kebab_case_and_unique() {
    let names: BTreeSet<&str> = Rule::ALL.iter().map(|rule| rule.name()).collect();
    assert_eq!(names.len(), Rule::ALL.len());
    for name in names {
        assert!(
            name.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-'),
            "{name}"
        );
    }
}

/// A breach names what it is about and gives its figure.
#[test]
fn a_breach_is_a_line_for_a_finisher() {
    let mut draft = good();
    draft.shift("top/coat-2/face", "1 14:50");
    let found = verify(&draft.plan(), &draft.job);
    let [breach] = found.as_slice() else {
        panic!("one breach, not {found:?}")
    };
    assert_eq!(breach.rule, Rule::TurnWait);
    assert_eq!(breach.operations, ["top/coat-2/face", "top/coat-2/back"]);
    assert_eq!(breach.pieces, ["top"]);
    assert_eq!(
        breach.text,
        "top: laid over at Mon 30 Nov 14:50 on its back, which is dry to touch Mon 30 Nov 15:05"
    );
}

/// What has happened is not reproached: the same early turn, done already, is a fact.
#[test]
fn facts_are_not_reproached() {
    let mut draft = good();
    draft.shift("top/coat-2/face", "1 14:50");
    let mut plan = draft.plan();
    plan.now = stamp(at("1 15:25"));
    for op in &mut plan.operations {
        if op.end <= plan.now {
            op.state = denib::dayplan::document::State::Done;
        }
    }
    let found = verify(&plan, &draft.job);
    let rules: Vec<Rule> = found.iter().map(|breach| breach.rule).collect();
    // the clean-out that runs across "now" is the one thing left to say
    assert!(rules.iter().all(|rule| *rule == Rule::NotThere), "{found:?}");
}

#[test]
fn phases_and_steps_of_the_small_schedules_are_what_the_cases_take_them_for() {
    let steps = crate::shop::lacquer_schedule().steps;
    assert_eq!(
        steps[7].kind,
        StepKind::Coat,
        "the first eight steps end with the first coat"
    );
    assert_eq!(step(StepKind::Coat).phase, Phase::Loose);
}
