//! The program's plans of the acceptance scenarios beside what a good finisher would do.
//!
//! Sources: the figures and the good plans are those of the trade notes behind `tests/jobs/scenario-*.toml`,
//! which say where a scenario's own figures were followed and why; labour minutes are this program's bench
//! rates (common practice, no source).

#![allow(clippy::panic, clippy::expect_used, clippy::print_stdout)] // a check that fails says why

use crate::planned::from_text;
use denib::dayplan::document::Operation;
use denib::dayplan::{History, Plan, Rule, Settings, verify};
use denib::finish::StepKind;
use denib::job::Job;
use denib::whole::plan;

fn planned(name: &str, text: &str) -> (Job, Plan) {
    let job = from_text(name, text);
    let made = plan(
        &job,
        &History::none(job.start),
        Settings { seed: 1, tries: 120 },
        &mut || true,
    );
    let made = made.unwrap_or_else(|no| panic!("{name}: {no}"));
    assert!(verify(&made, &job).is_empty());
    (job, made)
}

/// Hours from the start of the job to an instant.
fn hours(plan: &Plan, to: &denib::dayplan::document::Stamp) -> f64 {
    (*to - plan.starts).num_minutes() as f64 / 60.0
}

/// Hours from the start of the job to the end of the last coat.
fn coated(plan: &Plan) -> f64 {
    let coats = plan
        .operations
        .iter()
        .filter(|operation| operation.step == StepKind::Coat);
    coats.map(|coat| hours(plan, &coat.end)).fold(0.0, f64::max)
}

fn of(plan: &Plan, piece: &str, step: StepKind) -> Vec<Operation> {
    let on = plan
        .operations
        .iter()
        .filter(|operation| operation.piece.as_deref() == Some(piece) && operation.step == step);
    on.cloned().collect()
}

#[test]
fn a_the_oak_table_is_ready_when_a_good_finisher_has_it_ready() {
    let (_, plan) = planned("scenario-a.toml", include_str!("../jobs/scenario-a.toml"));
    // preparation Monday, coats Tuesday, Wednesday, Thursday evening, clamped 72 h after the last: Sunday 19:30
    let good = 6.0 * 24.0 + 1.5;
    let ready = hours(&plan, &plan.ready);
    assert!(
        ready <= 1.1 * good,
        "ready after {ready:.1} h, a good plan has {good:.1} h"
    );
    let coats = |surface: &str| {
        of(&plan, "top", StepKind::Coat)
            .iter()
            .filter(|coat| coat.surfaces.iter().any(|id| id == surface))
            .count()
    };
    assert_eq!((coats("face"), coats("back")), (3, 3));
    // an evening's oil is begun early enough to be wiped again an hour later
    for coat in plan
        .operations
        .iter()
        .filter(|operation| operation.step == StepKind::Coat)
    {
        let again = plan.operations.iter().find(|other| {
            other.step == StepKind::ReWipe && other.piece == coat.piece && other.film_from.as_deref() == Some(&coat.id)
        });
        let again = again.unwrap_or_else(|| panic!("{} is never wiped again", coat.id));
        assert_eq!(again.end.date_naive(), coat.start.date_naive());
        assert!(again.end.format("%H:%M").to_string().as_str() <= "21:00");
    }
    assert!(plan.cautions.iter().any(|caution| caution.code == "oily-rags"));
}

#[test]
fn b_the_wide_ash_top_gets_three_coats_on_each_face() {
    let (_, plan) = planned("scenario-b.toml", include_str!("../jobs/scenario-b.toml"));
    let line = plan.balance.first().expect("a wide panel");
    assert_eq!((line.coats_face, line.coats_back, line.ok), (3, 3, true));
    // three coats on each side over three days of 9 to 17
    let good = 2.0 * 24.0 + 8.0;
    assert!(
        coated(&plan) <= 1.1 * good,
        "coated after {:.1} h, a good plan has {good:.1} h",
        coated(&plan)
    );
    // laid over on bearers only when the side below is dry to touch
    let coats: Vec<Operation> = plan
        .operations
        .iter()
        .filter(|operation| operation.step == StepKind::Coat)
        .cloned()
        .collect();
    for pair in coats.windows(2) {
        let touch = pair[0]
            .dry
            .as_ref()
            .and_then(|dry| dry.dry_to_touch)
            .expect("a touch time");
        assert!(
            pair[1].start >= touch,
            "{} at {} on a film dry to touch {touch}",
            pair[1].id,
            pair[1].start
        );
    }
}

#[test]
fn f_the_sideboard_is_waxed_after_the_glue_up_and_its_waits_grow() {
    let (_, plan) = planned("scenario-f.toml", include_str!("../jobs/scenario-f.toml"));
    // a day of preparation; then three coats the one day, two the next, the last at about 13:00
    let good = 24.0 + 24.0 + 4.0;
    assert!(
        coated(&plan) <= 1.1 * good,
        "coated after {:.1} h, a good plan has {good:.1} h",
        coated(&plan)
    );
    let glue = plan
        .operations
        .iter()
        .filter(|operation| operation.step == StepKind::GlueUp)
        .map(|operation| operation.end)
        .max();
    for wax in plan
        .operations
        .iter()
        .filter(|operation| operation.step == StepKind::Wax)
    {
        assert!(glue.is_none_or(|glue| wax.start >= glue), "{}", wax.id);
    }
    let piece = plan
        .operations
        .iter()
        .find(|operation| operation.coat == Some(5))
        .and_then(|operation| operation.piece.clone());
    let coats = of(&plan, &piece.expect("five coats of shellac"), StepKind::Coat);
    let waits: Vec<i64> = coats
        .windows(2)
        .map(|pair| {
            let opens = pair[0]
                .dry
                .as_ref()
                .and_then(|dry| dry.windows.first().map(|window| window.from));
            opens.map_or(0, |opens| (opens - pair[0].end).num_minutes())
        })
        .collect();
    assert!(
        waits.len() >= 4 && waits[1] >= waits[0] && waits[2] > waits[1],
        "{waits:?}"
    );
}

#[test]
fn k_the_bed_is_coated_in_one_wave_though_there_are_more_pieces_than_places() {
    let (job, plan) = planned("scenario-k.toml", include_str!("../jobs/scenario-k.toml"));
    assert_eq!(job.pieces.len(), 58);
    // a day of preparation, then a coat a day over all 58: by the end of the third day
    let good = 2.0 * 24.0 + 9.0;
    assert!(
        coated(&plan) <= 1.1 * good,
        "coated after {:.1} h, a good plan has {good:.1} h",
        coated(&plan)
    );
    let days = |coat: u8| {
        let on = plan
            .operations
            .iter()
            .filter(|operation| operation.step == StepKind::Coat && operation.coat == Some(coat));
        on.map(|operation| operation.start.date_naive())
            .collect::<std::collections::BTreeSet<_>>()
    };
    assert!(days(1).len() <= 2, "first coats on {:?}", days(1));
    assert!(
        plan.balance.iter().all(|line| !line.piece.contains("slat")),
        "{:?}",
        plan.balance
    );
    assert_eq!(
        plan.operations
            .iter()
            .filter(|operation| operation.step == StepKind::ReWipe && operation.coat == Some(1))
            .count(),
        58
    );
}

#[test]
fn k_first_parts_are_due_for_wiping_while_the_last_are_still_coated() {
    let (_, plan) = planned("scenario-k.toml", include_str!("../jobs/scenario-k.toml"));
    let first = |step| {
        let on = plan.operations.iter();
        on.filter(move |one| one.step == step && one.coat == Some(1))
    };
    let last_coat = first(StepKind::Coat).map(|one| one.start).max().expect("coats");
    let early: Vec<_> = first(StepKind::ReWipe).filter(|wipe| wipe.start < last_coat).collect();
    assert!(!early.is_empty(), "no re-wipe before the last piece is coated");
    // the hidden slats lie down before what is seen: posts and caps come last
    let mean = |word: &str| {
        let on = first(StepKind::Coat).filter(|one| one.piece.as_deref().is_some_and(|id| id.starts_with(word)));
        let starts: Vec<f64> = on.map(|one| hours(&plan, &one.start)).collect();
        starts.iter().sum::<f64>() / starts.len() as f64
    };
    assert!(mean("slat") < mean("post") && mean("slat") < mean("cap"));
    // what hangs takes no bearer
    let lying = plan
        .operations
        .iter()
        .filter(|one| one.piece.as_deref().is_some_and(|id| id.starts_with("spindle")));
    assert!(
        lying
            .filter_map(|one| one.place.as_deref())
            .all(|place| place == "hooks")
    );
}

#[test]
fn k_wrong_plans_of_the_bed_are_refused() {
    let (job, plan) = planned("scenario-k.toml", include_str!("../jobs/scenario-k.toml"));
    let refused = |bend: &dyn Fn(&mut Plan), rules: &[Rule]| {
        let mut bent = plan.clone();
        bend(&mut bent);
        let found = verify(&bent, &job);
        assert!(
            found.iter().any(|breach| rules.contains(&breach.rule)),
            "wanted one of {rules:?}, found {:?}",
            found.iter().map(|breach| breach.rule).collect::<Vec<_>>()
        );
    };
    // excess oil left in the corners of one spindle
    refused(
        &|plan| {
            let left = |one: &Operation| one.step == StepKind::ReWipe && one.piece.as_deref() == Some("spindle-9");
            plan.operations.retain(|one| !left(one));
        },
        &[Rule::ReWipe],
    );
    // wet slats put on top of each other: a place given up while the oil is wet
    refused(
        &|plan| {
            let slats = plan.operations.iter_mut().filter(|one| {
                one.step == StepKind::Coat && one.piece.as_deref().is_some_and(|id| id.starts_with("slat"))
            });
            for slat in slats {
                slat.place_until = Some(slat.end);
            }
        },
        &[Rule::PlaceHeld],
    );
    // all fifty-eight laid down where thirty-six can lie
    refused(
        &|plan| {
            for one in &mut plan.operations {
                if one.place.is_some() {
                    one.place = Some("bearers".to_owned());
                    one.holding = Some(denib::job::Holding::Bearers);
                }
            }
        },
        &[Rule::PlaceCapacity],
    );
}
