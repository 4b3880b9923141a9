//! Two mirror cabinets under dye: left and right, one dyeing session, equal coats; and what goes wrong with them.
//!
//! Sources: the figures, the good plan and the traps are those of the trade notes behind
//! `tests/jobs/scenario-i.toml`, which says where they were not followed and why.

#![allow(clippy::panic, clippy::expect_used)] // a check that fails says why

use crate::planned::from_text;
use chrono::NaiveDate;
use denib::dayplan::document::Operation;
use denib::dayplan::{History, Plan, Rule, Settings, plan, verify};
use denib::finish::{StepKind, shipped};
use denib::job::{self, Job};
use denib::source::{Code, SourceFile};
use std::collections::BTreeSet;

const TEXT: &str = include_str!("../jobs/scenario-i.toml");

fn read(text: &str) -> Job {
    from_text("scenario-i.toml", text)
}

fn planned() -> (Job, Plan) {
    let job = read(TEXT);
    let settings = Settings { seed: 1, tries: 60 };
    let made = plan(&job, &History::none(job.start), settings, &mut || true);
    let made = made.unwrap_or_else(|no| panic!("{no}"));
    assert!(verify(&made, &job).is_empty());
    (job, made)
}

fn of(plan: &Plan, step: StepKind) -> Vec<&Operation> {
    plan.operations
        .iter()
        .filter(|operation| operation.step == step)
        .collect()
}

#[test]
fn the_cabinets_are_done_as_a_good_finisher_does_them() {
    let (job, plan) = planned();
    assert_eq!(job.pieces.len(), 30);
    // left and right are pieces of their own, each marked before it is sanded
    for side in ["side-left-1", "side-right-1", "side-left-2", "side-right-2"] {
        let own = |step| {
            let own = plan.operations.iter().filter(move |one| one.step == step);
            own.filter(|one| one.piece.as_deref() == Some(side)).collect::<Vec<_>>()
        };
        let (label, sand) = (own(StepKind::Label), own(StepKind::Sand));
        assert!(!label.is_empty() && !sand.is_empty(), "{side}");
        assert!(
            label
                .iter()
                .all(|label| sand.iter().all(|sand| label.end <= sand.start)),
            "{side}"
        );
        // three coats on the outside and as many within
        for surface in ["face", "back"] {
            let coats = plan.operations.iter().filter(|one| {
                matches!(one.step, StepKind::Coat | StepKind::Seal)
                    && one.piece.as_deref() == Some(side)
                    && one.surfaces.iter().any(|id| id == surface)
            });
            assert_eq!(coats.count(), 3, "{side} {surface}");
        }
    }
    // all the dye in one session by one pair of hands
    let dye = of(&plan, StepKind::Colour);
    assert!(dye.len() >= 30, "{}", dye.len());
    let first = dye.iter().map(|one| one.start).min().expect("dye");
    assert!(
        dye.iter().all(|one| one.start.date_naive() == first.date_naive()),
        "dyed on several days"
    );
    assert!(dye.iter().all(|one| one.hands == dye[0].hands));
    // no coat before the dye has had its night
    for coat in of(&plan, StepKind::Coat) {
        let beneath = dye.iter().filter(|one| one.piece == coat.piece);
        assert!(
            beneath.clone().count() > 0
                && beneath
                    .clone()
                    .all(|one| one.end.date_naive() < coat.start.date_naive())
        );
    }
}

/// Days on which work of a kind is done, and by whom.
fn sessions(plan: &Plan, step: StepKind) -> BTreeSet<(NaiveDate, Vec<String>)> {
    let on = of(plan, step).into_iter();
    on.map(|one| (one.start.date_naive(), one.hands.clone())).collect()
}

#[test]
fn the_cabinets_take_no_more_days_than_a_good_finisher_needs() {
    let (_, plan) = planned();
    // ten hours of preparation are two days of five; the raised grain dries a night, the dye another, and of the
    // waterborne coat one a day fits into five hours with its three hours until it may be sanded: six working days
    let last = of(&plan, StepKind::Coat)
        .into_iter()
        .map(|one| one.end)
        .max()
        .expect("coats");
    let days = sessions(&plan, StepKind::Coat).len();
    assert_eq!(days, 3, "coats on {days} days");
    assert_eq!(last.date_naive().to_string(), "2026-12-07");
    assert!(!plan.cautions.iter().any(|caution| caution.code == "colour-in-sessions"));
}

#[test]
fn dye_that_does_not_fit_one_session_is_cautioned_with_its_days_and_hands() {
    // an hour and twenty minutes a day for what takes an hour and three quarters
    let short = TEXT.replace("\"09:00-14:00\"", "\"09:00-10:20\"");
    let job = read(&short);
    let settings = Settings { seed: 1, tries: 20 };
    let plan = plan(&job, &History::none(job.start), settings, &mut || true).unwrap_or_else(|no| panic!("{no}"));
    let sessions = sessions(&plan, StepKind::Colour);
    assert!(sessions.len() > 1, "{sessions:?}");
    let caution = plan
        .cautions
        .iter()
        .find(|caution| caution.code == "colour-in-sessions");
    let caution = caution.unwrap_or_else(|| panic!("no caution for {sessions:?}"));
    let figure = caution.figure.as_deref().unwrap_or_default();
    for (day, hands) in &sessions {
        assert!(figure.contains(&day.format("%a %-d %b").to_string()), "{figure}");
        assert!(hands.iter().all(|hand| figure.contains(hand.as_str())), "{figure}");
    }
    let colours = of(&plan, StepKind::Colour);
    assert!(!caution.refers.is_empty() && caution.refers.len() < colours.len());
    assert!(caution.refers.iter().all(|id| colours.iter().any(|one| one.id == *id)));
}

#[test]
fn fewer_coats_inside_a_wide_side_are_refused_with_the_panel_and_both_counts() {
    let fewer = TEXT.replace(
        "surfaces.back = { show = \"inside\", label = \"inside\" }",
        "surfaces.back = { show = \"inside\", label = \"inside\", finish = \"waxed-shellac\" }",
    );
    let (job, problems) = job::read(&SourceFile::new("scenario-i.toml", fewer), &shipped());
    assert!(job.is_none());
    let unequal = problems.iter().find(|problem| problem.code == Code::UnequalCoats);
    let unequal = unequal.unwrap_or_else(|| panic!("{problems:?}"));
    assert!(unequal.message.contains("side"), "{}", unequal.message);
}

/// The plan bent by hand, and the rule that must see it.
fn refused(bend: impl Fn(&mut Plan), rules: &[Rule]) {
    let (job, mut plan) = planned();
    bend(&mut plan);
    let breaches = verify(&plan, &job);
    assert!(
        breaches.iter().any(|breach| rules.contains(&breach.rule)),
        "wanted one of {rules:?}, found {:?}",
        breaches.iter().map(|breach| breach.rule).collect::<Vec<_>>()
    );
}

#[test]
fn two_left_schedules_are_refused() {
    // the right side treated as a second left: its outside goes without its last coat
    refused(
        |plan| {
            let right = |one: &Operation| {
                one.piece.as_deref() == Some("side-right-1")
                    && one.coat == Some(3)
                    && one.step == StepKind::Coat
                    && one.surfaces.iter().any(|id| id == "face")
            };
            plan.operations.retain(|one| !right(one));
        },
        &[Rule::Coats, Rule::Balance],
    );
}

#[test]
fn a_mark_put_on_after_sanding_is_refused() {
    refused(
        |plan| {
            let last = plan.operations.iter().filter(|one| one.step == StepKind::Sand);
            let after = last.map(|one| one.end).max().expect("sanding");
            for one in plan.operations.iter_mut().filter(|one| one.step == StepKind::Label) {
                let minutes = one.end - one.start;
                (one.start, one.end) = (after, after + minutes);
            }
        },
        &[Rule::Order],
    );
}
