//! `plan`, `status`, `tick` and `demo` through the program, on a small job with a fixed clock.

#![allow(clippy::unwrap_used)] // a case that cannot be set up has failed

use crate::case::{Case, Run, SMALL};
use denib::dayplan::Plan;

const MORNING: &str = "--now 2026-11-30T08:00:00Z";

fn shelf() -> Case {
    Case::new().file("shelf.toml", SMALL)
}

/// A plan read back from its document.
fn document(run: &Run) -> Plan {
    serde_json::from_str(&run.out).unwrap()
}

/// The plan in force, read from the log.
fn in_force(case: &Case) -> Plan {
    let (records, _) = denib::log::read(&std::fs::read(case.path("shelf.log")).unwrap());
    denib::log::plan_in_force(&records).unwrap().clone()
}

#[test]
fn the_plan_reads_by_day_and_round() {
    let run = shelf().run("plan shelf.toml").expect(0);
    let run = run
        .says("Monday 30 November 2026")
        .says("READY TO GLUE")
        .says("Coat 1 of")
        .says("2 rails")
        .says("shelf");
    assert_eq!(run.err, "");
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
    let ascii = shelf().run("plan shelf.toml --ascii").expect(0);
    assert!(ascii.out.is_ascii(), "{}", ascii.out);
}

#[test]
fn the_document_is_schema_one_and_the_same_twice() {
    let case = shelf();
    let first = case.run("plan shelf.toml --format json --seed 3 --tries 20").expect(0);
    let second = case.run("plan shelf.toml --format json --seed 3 --tries 20").expect(0);
    assert_eq!(first.out, second.out);
    let plan = document(&first);
    assert_eq!((plan.schema, plan.seed, plan.tries), (1, 3, 20));
    assert_eq!(plan.pieces.len(), 3);
    // the job gives no room size, so nothing is said of its air
    assert!(plan.air.is_none() && plan.stores.is_some());
    let value: serde_json::Value = serde_json::from_str(&first.out).unwrap();
    let top: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    let mut wanted = [
        "schema",
        "job",
        "zone",
        "seed",
        "tries",
        "now",
        "starts",
        "ready",
        "ends",
        "finished",
        "bound",
        "gap_percent",
        "wide_over_mm",
        "hands",
        "climate",
        "sections",
        "assemblies",
        "pieces",
        "products",
        "mixes",
        "changeovers",
        "places",
        "rounds",
        "operations",
        "waits",
        "keep_apart",
        "air",
        "balance",
        "stores",
        "cautions",
    ];
    wanted.sort_unstable();
    let mut top = top;
    top.sort_unstable();
    assert_eq!(top, wanted);
}

#[test]
fn planning_writes_nothing_until_the_plan_is_taken() {
    let case = shelf();
    case.run("plan shelf.toml").expect(0);
    assert!(!case.path("shelf.log").exists());
    case.run(&format!("status shelf.toml {MORNING}"))
        .expect(0)
        .tells("No plan is in force")
        .says("3");
    case.run(&format!("plan shelf.toml --take {MORNING}"))
        .expect(0)
        .tells("in force");
    assert!(case.read("shelf.log").starts_with("denib log, format 1\n"));
    let status = case.run(&format!("status shelf.toml {MORNING}")).expect(0).says("Now");
    assert_eq!(status.err, "");
}

#[test]
fn planning_again_from_the_plan_in_force_gives_a_plan() {
    let case = shelf();
    case.run(&format!("plan shelf.toml --take {MORNING}")).expect(0);
    let taken = in_force(&case);
    let again = document(&case.run(&format!("plan shelf.toml --format json {MORNING}")).expect(0));
    assert!(
        again.ready <= taken.ready,
        "nothing has happened, so nothing ends later"
    );
}

#[test]
fn no_time_left_still_gives_a_plan() {
    let run = shelf()
        .run("plan shelf.toml --seconds 0 --tries 1000000 --format json")
        .expect(0);
    assert_eq!(document(&run).pieces.len(), 3);
    run.tells("Out of time");
    shelf().run("plan shelf.toml --seconds -1").expect(2);
}

#[test]
fn a_job_no_plan_keeps_says_why_and_is_one() {
    // a minute a day: less than any operation with its fetching takes
    let mut hurried = SMALL.to_owned();
    for day in ["mon", "tue", "wed", "thu", "fri"] {
        let hours = format!("{day} = [\"08:00-12:30\", \"13:15-17:30\"]");
        assert!(hurried.contains(&hours));
        hurried = hurried.replace(&hours, &format!("{day} = [\"08:00-08:01\"]"));
    }
    let run = Case::new()
        .file("shelf.toml", &hurried)
        .run("plan shelf.toml")
        .expect(1);
    assert_eq!(run.out, "");
    run.tells("no plan: ").tells("longer than any stretch of working hours");
    // nobody coats at 3 °C
    let icy = SMALL.replace(
        "day = { temperature = 20, humidity = 50 }",
        "day = { temperature = 3, humidity = 50 }",
    );
    let run = Case::new().file("shelf.toml", &icy).run("plan shelf.toml").expect(1);
    assert_eq!(run.out, "");
    run.tells("no plan: ");
}

#[test]
fn a_round_is_ticked_by_exception_and_taken_back() {
    let case = shelf();
    case.run(&format!("plan shelf.toml --take {MORNING}")).expect(0);
    let plan = in_force(&case);
    let round = plan.rounds.iter().find(|round| round.operations.len() == 3).unwrap();
    let id = &round.id;
    let late = "--now 2026-11-30T12:00:00Z";
    let run = case
        .run(&format!("tick shelf.toml {id} --all-but rail-2 --at 11:40 {late}"))
        .expect(0);
    run.says("Written:").says("11:40").says("rail 1 of 2").says("shelf");
    let log = case.read("shelf.log");
    assert_eq!(log.lines().count(), 3, "{log}");
    let last = log.lines().last().unwrap();
    assert!(
        last.contains("Wren") && last.contains("done") && !last.contains("rail-2"),
        "{last}"
    );
    // what is left of the round is one piece, then none
    let later = "--now 2026-11-30T12:05:00Z";
    case.run(&format!("tick shelf.toml {id} {later}"))
        .expect(0)
        .says("rail 2 of 2");
    case.run(&format!("tick shelf.toml {id} {later}"))
        .expect(2)
        .tells("over already");
    case.run(&format!("tick shelf.toml --undo {later}"))
        .expect(0)
        .says("taken back")
        .says("rail 2 of 2");
    case.run(&format!("tick shelf.toml {id} {later}"))
        .expect(0)
        .says("rail 2 of 2");
}

#[test]
fn a_tick_without_a_plan_takes_one_on_first() {
    let case = shelf();
    let run = case.run(&format!("tick shelf.toml {MORNING} --begun")).expect(0);
    run.tells("taken on").says("begun at");
    let kinds = case.read("shelf.log");
    assert!(kinds.contains("accepted-plan") && kinds.contains("begun"), "{kinds}");
}

#[test]
fn ticks_that_cannot_be_meant_write_nothing() {
    let case = shelf();
    case.run(&format!("plan shelf.toml --take {MORNING}")).expect(0);
    let before = case.read("shelf.log");
    for (line, why) in [
        ("r999", "no round"),
        ("--only tpo", "no piece"),
        ("--at 2026-12-30T10:00:00Z", "not come yet"),
        ("--at soon", "is not a time"),
        ("--undo", "nothing that can be taken back"),
        ("--not-dry shelf --for turn", "no coat on it yet"),
        ("--reading 200", "no temperature of a workshop"),
        ("--reading 18,140", "humidity"),
        ("--who Nobody", "no hands named"),
    ] {
        case.run(&format!("tick shelf.toml {line} {MORNING}"))
            .expect(2)
            .tells(why);
    }
    assert_eq!(case.read("shelf.log"), before);
}

#[test]
fn readings_notes_and_touch_tests_are_written() {
    let case = shelf();
    case.run(&format!("tick shelf.toml --reading 18.5,52 {MORNING}"))
        .expect(0)
        .says("18.5 °C, 52 %");
    case.run(&format!("status shelf.toml {MORNING}")).expect(0).says("52 %");
    case.run(&format!("tick shelf.toml --note door_stood_open {MORNING}"))
        .expect(0)
        .says("door_stood_open");
    case.run(&format!("plan shelf.toml --take {MORNING}")).expect(0);
    let plan = in_force(&case);
    for round in plan.rounds.iter().take_while(|round| round.coat != Some(1)) {
        let end = round.end.to_rfc3339();
        case.run(&format!("tick shelf.toml {} --now {end}", round.id)).expect(0);
    }
    let coat = plan.rounds.iter().find(|round| round.coat == Some(1)).unwrap();
    let end = coat.end.to_rfc3339();
    case.run(&format!("tick shelf.toml {} --now {end}", coat.id)).expect(0);
    // just coated: wet, so never among what may be handled
    let status = case.run(&format!("status shelf.toml --now {end}")).expect(0);
    let handled = status.out.lines().find(|line| line.starts_with("handled")).unwrap();
    assert!(handled.contains("none yet"), "{}", status.out);
    let later = (coat.end + chrono::TimeDelta::minutes(90)).to_rfc3339();
    let first = &coat.operations[0];
    let coated = plan.operations.iter().find(|operation| operation.id == *first).unwrap();
    let piece = coated.piece.as_deref().unwrap();
    case.run(&format!("tick shelf.toml --not-dry {piece} --for recoat --now {later}"))
        .expect(0)
        .says("not dry enough");
    assert!(case.read("shelf.log").contains("not-yet-dry"));
}

#[test]
fn a_damaged_log_is_said_and_the_rest_counts() {
    let case = shelf();
    case.run(&format!("plan shelf.toml --take {MORNING}")).expect(0);
    case.run(&format!("tick shelf.toml --note wobbly {MORNING}")).expect(0);
    let text = case.read("shelf.log").replace("wobbly", "wobbles");
    std::fs::write(case.path("shelf.log"), &text).unwrap();
    case.run(&format!("status shelf.toml {MORNING}"))
        .expect(0)
        .tells("set aside line 3")
        .says("Now");
    case.run(&format!("tick shelf.toml --note second {MORNING}")).expect(0);
    assert!(
        case.read("shelf.log").starts_with(&text),
        "nothing that was there is changed"
    );
}

#[test]
fn a_log_of_something_else_is_left_alone() {
    let case = shelf().file("shelf.log", "my own diary\n");
    case.run(&format!("tick shelf.toml --note x {MORNING}"))
        .expect(2)
        .tells("not a denib log");
    assert_eq!(case.read("shelf.log"), "my own diary\n");
}

#[test]
fn several_hands_must_say_who() {
    let two = SMALL.replace("[[section]]", "[[hands]]\nname = \"Ada\"\n\n[[section]]");
    let case = Case::new().file("shelf.toml", &two);
    case.run(&format!("tick shelf.toml --note x {MORNING}"))
        .expect(2)
        .tells("--who")
        .tells("Wren, Ada");
    case.run(&format!("tick shelf.toml --note x --who ada {MORNING}"))
        .expect(0);
    assert!(case.read("shelf.log").contains("Ada"));
}

#[test]
fn the_wall_does_not_start_without_a_terminal() {
    let run = shelf()
        .run("wall shelf.toml")
        .expect(2)
        .tells("needs a terminal")
        .tells("denib status");
    assert_eq!(run.out, "");
}

#[test]
fn keys_on_the_wall_write_what_a_tick_writes() {
    let case = shelf();
    case.run(&format!("plan shelf.toml --take {MORNING}")).expect(0);
    let late = "--now 2026-11-30T08:30:00Z";
    let shown = case
        .run(&format!("wall shelf.toml --print {late}"))
        .expect(0)
        .says("Wall shelf");
    assert_eq!(case.read("shelf.log").lines().count(), 2, "looking writes nothing");
    let ticked = case
        .run(&format!("wall shelf.toml --keys <enter><enter> --print {late}"))
        .expect(0);
    assert_ne!(shown.out, ticked.out);
    let log = case.read("shelf.log");
    assert!(log.lines().nth(2).unwrap().contains("done"), "{log}");
    case.run(&format!("tick shelf.toml --undo {late}"))
        .expect(0)
        .says("taken back");
    case.run(&format!("wall shelf.toml --keys <nokey> --print {late}"))
        .expect(2);
    case.run(&format!("wall shelf.toml --size 0x9 --print {late}"))
        .expect(2);
}

#[test]
fn the_demo_prints_its_plan_and_leaves_nothing_behind() {
    let case = Case::new();
    let run = case
        .run("demo")
        .expect(0)
        .says("Linen press")
        .says("READY TO GLUE")
        .says("Equal coats");
    assert!(!run.out.is_empty());
    let left: Vec<_> = std::fs::read_dir(case.home()).unwrap().collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn the_demo_can_be_kept_and_is_never_overwritten() {
    let case = Case::new();
    case.run("demo --into mine")
        .expect(0)
        .says("linen-press.toml")
        .tells("denib plan");
    case.run("check mine/linen-press.toml").expect(0).says("no problems");
    case.run("demo --into mine").expect(2).tells("linen-press.toml");
}
