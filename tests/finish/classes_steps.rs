//! Steps a schedule may add: a wash coat under the colour, a toner between coats, the dry fit once more after the
//! last; a sample board before the first. The schedule here is made up from a shipped one.

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use crate::classes::{self, WARM, id, of, planned, text};
use denib::dayplan::document::{Operation, Plan};
use denib::dayplan::verify;
use denib::dayplan::verify::Rule;
use denib::finish::{Opening, Phase, Prepare, RecoatWindow, Schedule, Stage, Step, StepKind, shipped};
use denib::job::{self, Job};
use denib::source::SourceFile;
use std::collections::BTreeMap;

const FINISH: &str = "dyed-waterborne";

/// Water dye over a wash coat, toned again between the last two coats, and tried in its joints at the end.
fn toned() -> BTreeMap<String, Schedule> {
    let mut schedules = shipped();
    let schedule = schedules
        .get_mut(FINISH)
        .unwrap_or_else(|| panic!("{FINISH} is shipped"));
    let find = |kind: StepKind| {
        let found = schedule.steps.iter().find(|step| step.kind == kind).cloned();
        found.unwrap_or_else(|| panic!("{FINISH} has {kind}"))
    };
    let (colour, coat, check) = (find(StepKind::Colour), find(StepKind::Coat), find(StepKind::Check));
    let wash = Step {
        kind: StepKind::Seal,
        note: None,
        ..coat.clone()
    };
    let bare: Vec<Step> = schedule
        .steps
        .iter()
        .filter(|step| step.phase == Phase::Loose)
        .take_while(|step| step.kind != StepKind::Colour)
        .cloned()
        .collect();
    let after = schedule
        .steps
        .iter()
        .filter(|step| step.kind == StepKind::Unmask)
        .cloned();
    let films = [wash, colour.clone(), coat.clone(), colour.clone(), coat.clone()];
    schedule.steps = bare.into_iter().chain(films).chain(after).chain([check]).collect();
    let film = coat.product.unwrap_or_default();
    for product in schedule.products.iter_mut().filter(|product| product.id == film) {
        product.windows.push(RecoatWindow {
            next: colour.product.clone(),
            opens: Opening::Stage(Stage::DryToRecoat),
            closes: None,
            prepare: Prepare::None,
        });
    }
    schedules
}

fn job(schedules: &BTreeMap<String, Schedule>, holding: &str) -> Job {
    let file = SourceFile::new("stand.toml", text(FINISH, WARM, holding));
    let (job, problems) = job::read(&file, schedules);
    job.unwrap_or_else(|| panic!("{problems:?}"))
}

fn made(holding: &str) -> (Job, Plan) {
    let job = job(&toned(), holding);
    let plan = planned(&job).unwrap_or_else(|no| panic!("{holding}: {no}"));
    (job, plan)
}

/// The films on the face of the top, in order.
fn films(plan: &Plan) -> Vec<&Operation> {
    let lays = |one: &&Operation| one.dry.is_some() && one.piece.as_deref() == Some("top");
    let mut films: Vec<&Operation> = plan.operations.iter().filter(lays).collect();
    films.retain(|one| one.surfaces.iter().any(|surface| surface == "face"));
    films.sort_by_key(|one| one.start);
    films
}

fn breaks(plan: &Plan, job: &Job, rule: Rule) -> bool {
    verify(plan, job).iter().any(|breach| breach.rule == rule)
}

#[test]
fn a_wash_coat_lies_under_the_colour_and_a_toner_between_coats() {
    for holding in ["points", "bearers", "hung"] {
        let (job, plan) = made(holding);
        assert!(verify(&plan, &job).is_empty(), "{holding}");
        let steps: Vec<StepKind> = films(&plan).iter().map(|film| film.step).collect();
        assert_eq!(
            steps,
            [
                StepKind::Seal,
                StepKind::Colour,
                StepKind::Coat,
                StepKind::Colour,
                StepKind::Coat
            ],
            "{holding}"
        );
        let coats: Vec<Option<u8>> = films(&plan).iter().map(|film| film.coat).collect();
        assert_eq!(coats, [Some(1), None, Some(2), None, Some(3)], "colour is no coat");
        // each film waits for the one beneath it
        for pair in films(&plan).windows(2) {
            let opens = pair[0]
                .dry
                .as_ref()
                .and_then(|dry| dry.windows.first())
                .map(|window| window.from);
            assert!(
                opens.is_some_and(|opens| opens <= pair[1].start),
                "{} on {}",
                pair[1].id,
                pair[0].id
            );
        }
    }
}

#[test]
fn a_toner_out_of_its_place_is_refused() {
    let (job, good) = made("hung");
    // the toner and the coat over it change places: the colour would lie on top, bare
    let mut bad = good.clone();
    let (toner, coat) = (films(&good)[3].id.clone(), films(&good)[4].id.clone());
    let places: Vec<usize> = [toner, coat]
        .iter()
        .map(|id| {
            bad.operations
                .iter()
                .position(|one| one.id == *id)
                .unwrap_or_else(|| panic!("{id}"))
        })
        .collect();
    let (one, other) = (bad.operations[places[0]].clone(), bad.operations[places[1]].clone());
    (bad.operations[places[0]].start, bad.operations[places[0]].end) = (other.start, other.end);
    (bad.operations[places[1]].start, bad.operations[places[1]].end) = (one.start, one.end);
    assert!(breaks(&bad, &job, Rule::Order), "{:?}", verify(&bad, &job));
    // the toner left out
    let mut bad = good.clone();
    let toner = films(&good)[3].id.clone();
    bad.operations.retain(|one| one.id != toner);
    assert!(breaks(&bad, &job, Rule::MissingStep));
    // the colour before its wash coat
    let mut bad = good.clone();
    let (wash, colour) = (films(&good)[0].clone(), films(&good)[1].id.clone());
    for one in bad.operations.iter_mut().filter(|one| one.id == colour) {
        let long = one.end - one.start;
        one.end = wash.start;
        one.start = wash.start - long;
    }
    assert!(breaks(&bad, &job, Rule::Order), "{:?}", verify(&bad, &job));
}

#[test]
fn pieces_with_joints_are_tried_dry_once_more() {
    let (job, good) = made("points");
    let tried: Vec<&Operation> = of(&good, "leg-1", StepKind::Check);
    assert_eq!(tried.len(), 2, "glue spots at the start, the fit at the end");
    let fit = id(&good, "leg-1/dry-fit");
    assert!(fit.start >= id(&good, "leg-1/unmask").end, "with its joints bare");
    let handled = films_of(&good, "leg-1")
        .last()
        .and_then(|film| film.dry.as_ref())
        .and_then(|dry| dry.dry_to_handle);
    assert!(handled.is_some_and(|handled| handled <= fit.start));
    let words = denib::report::plan_text(&good, &job, denib::report::Paper::default());
    assert!(words.contains("Dry fit once more"), "{words}");
    // the top has no joints
    assert_eq!(of(&good, "top", StepKind::Check).len(), 1);
    // without it, too early, or over the tape
    let mut bad = good.clone();
    bad.operations.retain(|one| one.id != "leg-1/dry-fit");
    assert!(breaks(&bad, &job, Rule::MissingStep));
    let unmasked = id(&good, "leg-1/unmask").clone();
    let mut bad = good.clone();
    for one in bad.operations.iter_mut().filter(|one| one.id == "leg-1/dry-fit") {
        let long = one.end - one.start;
        one.end = unmasked.start;
        one.start = unmasked.start - long;
    }
    assert!(breaks(&bad, &job, Rule::Order), "{:?}", verify(&bad, &job));
}

fn films_of<'p>(plan: &'p Plan, piece: &str) -> Vec<&'p Operation> {
    let lays = |one: &&Operation| one.dry.is_some() && one.piece.as_deref() == Some(piece);
    let mut films: Vec<&Operation> = plan.operations.iter().filter(lays).collect();
    films.sort_by_key(|one| one.end);
    films
}

#[test]
fn a_sample_board_comes_before_the_first_colour() {
    for (finish, wants) in [
        ("dyed-waterborne", true),
        ("stained-waterborne", true),
        ("dewaxed-shellac", false),
    ] {
        let plan = classes::under(finish, WARM);
        let note = plan.cautions.iter().find(|caution| caution.code == "sample-board");
        assert_eq!(note.is_some(), wants, "{finish}");
        let Some(note) = note else { continue };
        let first = plan
            .operations
            .iter()
            .filter(|one| one.dry.is_some())
            .map(|one| one.start)
            .min();
        for film in &note.refers {
            assert_eq!(Some(id(&plan, film).start), first, "{finish}");
        }
        assert!(!note.refers.is_empty());
    }
}

#[test]
fn each_check_is_called_what_it_is() {
    let job = classes::read(&text("waterborne-varnish", WARM, "points"));
    let plan = planned(&job).unwrap_or_else(|no| panic!("{no}"));
    let words = denib::report::plan_text(&plan, &job, denib::report::Paper::default());
    let at = |what: &str| words.find(what).unwrap_or_else(|| panic!("{what:?} is not in {words}"));
    let (glue, coat, fit) = (
        at("Wipe all over with white spirit"),
        at("  Coat 1 of 3"),
        at("Dry fit once more"),
    );
    assert!(glue < coat && coat < fit, "{words}");
    assert_eq!(words.matches("film builds, and a panel").count(), 1, "{words}");
    assert!(
        at("film builds, and a panel") > coat,
        "said with the fit, not with the check for glue"
    );
}
