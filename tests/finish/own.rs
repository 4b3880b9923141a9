//! A finish of the maker's own, from bare oak to the last wax.
//!
//! The way of working (sand to about 140, lacquer, de-nib wet at 360, wax with 0000 wool, wax again when
//! assembled) is common practice, no source; the bench is invented.

#![allow(clippy::panic, clippy::expect_used, clippy::print_stdout)] // a check that fails says why

use denib::dayplan::document::Operation;
use denib::dayplan::{History, Plan, Settings, plan, verify};
use denib::finish::{self, Phase, Schedule, StepKind};
use denib::job::{self, Job};
use denib::source::SourceFile;
use std::collections::BTreeMap;

/// The steps in the maker's order; the products are those of the shipped lacquer.
const STEPS: &str = r#"
[[step]]
do = "label"
[[step]]
do = "sand"
grit = "P80"
[[step]]
do = "sand"
grit = "P120"
[[step]]
do = "sand"
grit = "P150"
[[step]]
do = "arris"
[[step]]
do = "mask"
[[step]]
do = "dust-off"
[[step]]
do = "coat"
product = "cellulose-lacquer"
method = "brush"
[[step]]
do = "denib"
grit = "P360 wet"
[[step]]
do = "coat"
product = "cellulose-lacquer"
method = "brush"
[[step]]
do = "denib"
grit = "P360 wet"
[[step]]
do = "unmask"
[[step]]
do = "rub-out"
grit = "0000 wool"
[[step]]
do = "wax"
product = "paste-wax"
method = "wipe"
wait = { value = "10 min", status = "common-practice", source = "no source" }
[[step]]
do = "buff"
[[step]]
do = "wax"
product = "paste-wax"
method = "wipe"
phase = "assembled"
wait = { value = "10 min", status = "common-practice", source = "no source" }
[[step]]
do = "buff"
phase = "assembled"
"#;

fn schedules() -> BTreeMap<String, Schedule> {
    let shipped = include_str!("../../schedules/brushed-cellulose.toml");
    let (products, _) = shipped.split_once("[[step]]").expect("the shipped file has steps");
    let text = products.replace("id = \"brushed-cellulose\"", "id = \"wool-waxed-lacquer\"") + STEPS;
    let (schedules, problems) = finish::with_folder(&[SourceFile::new("wool-waxed-lacquer.toml", text)]);
    let errors: Vec<String> = problems
        .iter()
        .map(|problem| format!("{:?}: {}", problem.code, problem.message))
        .collect();
    assert!(schedules.contains_key("wool-waxed-lacquer"), "{errors:#?}");
    schedules
}

fn bench(text: &str) -> (Option<Job>, Vec<denib::source::Problem>) {
    job::read(&SourceFile::new("hall-bench.toml", text), &schedules())
}

const BENCH: &str = include_str!("../jobs/hall-bench.toml");

fn planned() -> (Job, Plan) {
    let (job, problems) = bench(BENCH);
    let job = job.unwrap_or_else(|| panic!("{problems:#?}"));
    let made = plan(
        &job,
        &History::none(job.start),
        Settings { seed: 1, tries: 30 },
        &mut || true,
    );
    (job, made.unwrap_or_else(|no| panic!("{no}")))
}

fn of<'a>(plan: &'a Plan, piece: &str, step: StepKind) -> Vec<&'a Operation> {
    plan.operations
        .iter()
        .filter(|operation| operation.piece.as_deref() == Some(piece) && operation.step == step)
        .collect()
}

#[test]
fn there_is_no_p140_and_the_message_offers_its_neighbours() {
    let (job, problems) = bench(&BENCH.replace("\"P150\"", "\"P140\""));
    assert!(job.is_none());
    let each = problems
        .iter()
        .map(|problem| format!("{} {} {:?}", problem.message, problem.accepted, problem.nearest));
    let said = each.collect::<Vec<_>>().join(" ");
    assert!(said.contains("P120") && said.contains("P150"), "{said}");
}

#[test]
fn the_plan_keeps_every_rule() {
    let (job, plan) = planned();
    let found: Vec<String> = verify(&plan, &job).iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn grits_run_to_p150_and_arrises_are_eased_before_the_first_coat() {
    let (_, plan) = planned();
    for piece in ["end-left", "end-right", "rail-1", "top"] {
        let grits: Vec<&str> = of(&plan, piece, StepKind::Sand)
            .iter()
            .filter_map(|operation| operation.grit.as_deref())
            .collect();
        assert_eq!(grits, ["P80", "P120", "P150"], "{piece}");
        let coats = of(&plan, piece, StepKind::Coat);
        assert!(
            of(&plan, piece, StepKind::Arris)
                .iter()
                .all(|arris| arris.end <= coats[0].start),
            "{piece}"
        );
    }
}

#[test]
fn the_first_coat_is_dry_to_touch_in_minutes_and_denibbed_without_dust() {
    let (_, plan) = planned();
    let coat = of(&plan, "rail-1", StepKind::Coat)[0];
    let touch = coat
        .dry
        .as_ref()
        .and_then(|dry| dry.dry_to_touch)
        .expect("a touch time");
    let minutes = (touch - coat.end).num_minutes();
    assert!((5..=90).contains(&minutes), "{minutes} min");
    for denib in of(&plan, "rail-1", StepKind::Denib) {
        assert_eq!(denib.grit.as_deref(), Some("P360 wet"));
        assert!(!denib.dusty);
    }
}

#[test]
fn the_top_made_later_gets_as_many_coats_under_as_on_top() {
    let (_, plan) = planned();
    let coats = |surface: &str| {
        of(&plan, "top", StepKind::Coat)
            .iter()
            .filter(|coat| coat.surfaces.iter().any(|id| id == surface))
            .count()
    };
    assert_eq!((coats("face"), coats("back")), (2, 2));
    let first = plan
        .operations
        .iter()
        .filter(|operation| operation.piece.as_deref() == Some("top"))
        .map(|operation| operation.start)
        .min();
    assert!(
        first.is_some_and(|first| first.to_rfc3339().as_str() >= "2026-12-02T08:00"),
        "{first:?}"
    );
    let line = plan
        .balance
        .iter()
        .find(|line| line.piece == "top")
        .expect("a balance line");
    assert!(line.ok && line.coats_face == 2);
}

#[test]
fn loose_wax_is_worked_over_covered_joints_and_the_last_wax_comes_after_assembly() {
    let (_, plan) = planned();
    let wax = of(&plan, "rail-1", StepKind::Wax)[0];
    let covered = |step| {
        of(&plan, "rail-1", step)
            .iter()
            .filter(|operation| operation.end <= wax.start)
            .count()
    };
    assert_eq!(
        covered(StepKind::Mask),
        covered(StepKind::Unmask) + 1,
        "joints covered while waxing"
    );
    let glue = plan
        .operations
        .iter()
        .find(|operation| operation.step == StepKind::GlueUp)
        .expect("a glue-up");
    let last = plan
        .operations
        .iter()
        .rfind(|operation| operation.step == StepKind::Wax)
        .expect("a wax");
    assert_eq!(last.phase, Phase::Assembled);
    assert!(last.start >= glue.end);
}

#[test]
fn a_wax_over_bare_joints_is_refused() {
    let (job, mut plan) = planned();
    // by hand: the tape that protects the joints during the wax is never put on
    plan.operations
        .retain(|operation| !operation.id.starts_with("rail-1/mask-for-wax"));
    let found = verify(&plan, &job);
    assert!(
        found
            .iter()
            .any(|breach| breach.pieces.iter().any(|piece| piece == "rail-1")),
        "{found:#?}"
    );
}

#[test]
fn a_last_wax_before_the_glue_up_is_refused() {
    let (job, mut plan) = planned();
    let glue = plan
        .operations
        .iter()
        .find(|operation| operation.step == StepKind::GlueUp)
        .map(|operation| operation.start)
        .expect("a glue-up");
    for operation in plan
        .operations
        .iter_mut()
        .filter(|operation| operation.phase == Phase::Assembled && operation.step == StepKind::Wax)
    {
        let long = operation.end - operation.start;
        operation.end = glue;
        operation.start = glue - long;
    }
    let found = verify(&plan, &job);
    assert!(
        found
            .iter()
            .any(|breach| breach.operations.iter().any(|id| id.contains("/wax"))),
        "{found:#?}"
    );
}
