//! A piece that may stand on one kind of place or another: it does where its own are full, keeps to it, and never
//! where its wet side would lie.
//!
//! The bed is that of `tests/jobs/scenario-k.toml`, in a shop with fewer bearers; what may lie where is common
//! practice, no source.

#![allow(clippy::panic, clippy::expect_used)] // a check that fails says why

use crate::planned::from_text;
use crate::ticked::on_time;
use denib::dayplan::document::Operation;
use denib::dayplan::{History, Plan, Rule, Settings, plan, verify};
use denib::finish::{StepKind, shipped};
use denib::job::{self, Job};
use denib::source::{Code, SourceFile};
use denib::units::Moment;
use std::collections::{BTreeMap, BTreeSet};

const BED: &str = include_str!("../jobs/scenario-k.toml");

/// The bed with twenty bearers and points for the slats, which the slats may lie on or not.
fn few_bearers(or_on: &str) -> String {
    let few = BED.replace("bearers = 36, hooks = 40", "bearers = 20, points = 16, hooks = 40");
    let slat = few.find("name = \"slat\"").expect("the slats");
    let (head, tail) = few.split_at(slat);
    format!(
        "{head}{}",
        tail.replacen("holding = \"bearers\"", &format!("holding = \"bearers\"\n{or_on}"), 1)
    )
}

fn bed(text: &str) -> Job {
    from_text("bed.toml", text)
}

fn planned(job: &Job, history: &History) -> Plan {
    let settings = Settings { seed: 1, tries: 40 };
    let made = plan(job, history, settings, &mut || true).unwrap_or_else(|no| panic!("{no}"));
    let breaches = verify(&made, job);
    assert!(breaches.is_empty(), "{breaches:?}");
    made
}

/// The places each slat is put down on.
fn places(plan: &Plan) -> BTreeMap<String, BTreeSet<String>> {
    let mut places: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for operation in &plan.operations {
        if let (Some(piece), Some(place)) = (&operation.piece, &operation.place)
            && piece.starts_with("slat")
        {
            places.entry(piece.clone()).or_default().insert(place.clone());
        }
    }
    places
}

fn last_coat(plan: &Plan) -> Moment {
    let coats = plan.operations.iter().filter(|one| one.step == StepKind::Coat);
    coats.map(|one| Moment::of(&one.end)).max().expect("coats")
}

#[test]
fn slats_lie_on_points_where_the_bearers_are_full() {
    let either = bed(&few_bearers("or_on = [\"points\"]"));
    let plan_either = planned(&either, &History::none(either.start));
    let places = places(&plan_either);
    assert_eq!(places.len(), 20);
    // each slat keeps to one kind, and both are used
    assert!(places.values().all(|kinds| kinds.len() == 1), "{places:?}");
    let used: BTreeSet<&String> = places.values().flatten().collect();
    assert_eq!(used.into_iter().collect::<Vec<_>>(), ["bearers", "points"]);
    // on bearers alone the bed takes another wave
    let only = bed(&few_bearers(""));
    let plan_only = planned(&only, &History::none(only.start));
    assert!(
        last_coat(&plan_either) < last_coat(&plan_only),
        "{:?} is not before {:?}",
        last_coat(&plan_either),
        last_coat(&plan_only)
    );
}

#[test]
fn what_lies_somewhere_stays_there_when_the_rest_is_planned_again() {
    let job = bed(&few_bearers("or_on = [\"points\"]"));
    let first = planned(&job, &History::none(job.start));
    let coats = |one: &&Operation| one.step == StepKind::Coat && one.coat == Some(1);
    let begun = first.operations.iter().filter(coats).map(|one| Moment::of(&one.end));
    let now = begun.max().expect("first coats");
    let history = on_time(&first, now);
    let before = places(&first);
    let again = planned(&job, &history);
    assert_eq!(places(&again), before);
}

#[test]
fn a_place_nobody_allowed_is_refused() {
    let job = bed(&few_bearers("or_on = [\"points\"]"));
    let plan = planned(&job, &History::none(job.start));
    let refused = |piece: &str, place: &str| {
        let mut bent = plan.clone();
        let own = bent
            .operations
            .iter_mut()
            .filter(|one| one.place.is_some() && one.piece.as_deref().is_some_and(|id| id.starts_with(piece)));
        own.for_each(|one| one.place = Some(place.to_owned()));
        let found = verify(&bent, &job);
        found.iter().any(|breach| breach.rule == Rule::PlaceHeld)
    };
    assert!(!refused("slat-1", "points"), "a slat may lie on points");
    assert!(refused("slat", "hooks"), "slats are not said to hang");
    assert!(refused("cap", "points"), "caps are not said to lie on points");
    assert!(
        refused("spindle", "bearers"),
        "what is wet all round cannot lie on bearers"
    );
}

#[test]
fn what_is_wet_all_round_may_not_be_laid_on_bearers() {
    for (or_on, wrong) in [("bearers", true), ("racks", true), ("points", false)] {
        let spindle = BED.find("name = \"spindle\"").expect("the spindles");
        let (head, tail) = BED.split_at(spindle);
        let hung = format!("holding = \"hung\"\nor_on = [\"{or_on}\"]");
        let text = format!("{head}{}", tail.replacen("holding = \"hung\"", &hung, 1));
        let (_, problems) = job::read(&SourceFile::new("bed.toml", text), &shipped());
        let found = problems.iter().any(|problem| problem.code == Code::NoPlace);
        assert_eq!(found, wrong, "{or_on}: {problems:?}");
    }
}
