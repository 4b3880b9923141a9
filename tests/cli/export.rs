//! `export` through the program: files for the wall, a spreadsheet, a calendar.

#![allow(clippy::unwrap_used)] // a case that cannot be set up has failed

use crate::case::{Case, SMALL};
use std::fs::read_to_string;

fn shelf() -> Case {
    Case::new().file("shelf.toml", SMALL)
}

#[test]
fn the_ending_says_what_is_written() {
    let case = shelf();
    let run = case
        .run("export shelf.toml wall.html all.csv week.ics plan.json note.txt --tries 20")
        .expect(0);
    assert_eq!(run.out, "");
    let read = |name: &str| read_to_string(case.path(name)).unwrap();
    assert!(read("wall.html").starts_with("<!DOCTYPE html>"));
    assert!(read("all.csv").starts_with("operation,round,piece,"));
    assert!(read("week.ics").starts_with("BEGIN:VCALENDAR\r\n"));
    let printed = case.run("plan shelf.toml --tries 20 --format json").expect(0);
    assert_eq!(read("plan.json"), printed.out);
    let printed = case.run("plan shelf.toml --tries 20").expect(0);
    assert_eq!(read("note.txt"), printed.out);
}

#[test]
fn the_plan_in_force_is_the_one_written() {
    let case = shelf();
    let morning = "--now 2026-11-30T08:00:00Z";
    case.run(&format!(
        "plan shelf.toml --tries 20 --seed 7 --take --who Wren {morning}"
    ))
    .expect(0);
    case.run(&format!("export shelf.toml plan.json {morning}")).expect(0);
    let plan: denib::dayplan::Plan = serde_json::from_str(&read_to_string(case.path("plan.json")).unwrap()).unwrap();
    assert_eq!(plan.seed, 7);
}

#[test]
fn nothing_is_written_over_unless_asked_for() {
    let case = shelf().file("wall.html", "mine");
    let run = case.run("export shelf.toml other.csv wall.html --tries 20").expect(2);
    assert!(run.err.contains("wall.html is there already"), "{}", run.err);
    assert_eq!(read_to_string(case.path("wall.html")).unwrap(), "mine");
    assert!(!case.path("other.csv").exists(), "all or nothing");
    // beside what is there already, what is not there yet is written too
    case.run("export shelf.toml wall.html more.txt --replace --tries 20")
        .expect(0);
    assert!(case.path("more.txt").exists());
    assert!(read_to_string(case.path("wall.html")).unwrap().contains("Wall shelf"));
}

#[test]
fn an_ending_that_says_nothing_is_refused() {
    let run = shelf().run("export shelf.toml plan.doc").expect(2);
    assert!(run.err.contains("plan.doc: the ending does not say"), "{}", run.err);
    assert!(run.err.contains(".ics (calendar)"), "{}", run.err);
}
