//! `compare` through the program: the ways stand side by side, each a plan of its own.

#![allow(clippy::unwrap_used)] // a case that cannot be set up has failed

use crate::case::{Case, SMALL};
use serde_json::Value;

fn shelf() -> Case {
    Case::new().file("shelf.toml", SMALL)
}

fn ways(case: &Case, line: &str) -> Vec<Value> {
    let run = case.run(line).expect(0);
    let document: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(document["schema"], 1);
    document["ways"].as_array().unwrap().clone()
}

#[test]
fn the_first_way_is_the_plan_of_the_job_as_written() {
    let case = shelf();
    let ways = ways(&case, "compare shelf.toml --hands 2 --tries 20 --format json");
    let plan = case.run("plan shelf.toml --tries 20 --format json").expect(0);
    let plan: Value = serde_json::from_str(&plan.out).unwrap();
    assert_eq!(ways.len(), 2);
    let first = &ways[0]["outcome"];
    assert_eq!(first["ready"], plan["ready"]);
    assert_eq!(first["finished"], plan["finished"]);
    let operations = plan["operations"].as_array().unwrap();
    let hands: f64 = operations
        .iter()
        .map(|one| one["hands_minutes"].as_f64().unwrap())
        .sum();
    assert!((first["hands_minutes"].as_f64().unwrap() - hands).abs() < 1e-9);
    assert_eq!(first["rounds"], plan["rounds"].as_array().unwrap().len());
}

#[test]
fn another_finish_is_planned_as_if_the_job_were_written_with_it() {
    let case = shelf();
    let written = SMALL
        .lines()
        .find_map(|line| line.strip_prefix("finish = "))
        .unwrap()
        .trim_matches('"')
        .to_owned();
    let other = if written == "hardwax-oil" {
        "oil-varnish"
    } else {
        "hardwax-oil"
    };
    let line = format!("compare shelf.toml --finish {other} --tries 20 --format json");
    let ways = ways(&case, &line);
    let rewritten = SMALL.replace(&format!("finish = \"{written}\""), &format!("finish = \"{other}\""));
    let plan = Case::new()
        .file("shelf.toml", &rewritten)
        .run("plan shelf.toml --tries 20 --format json")
        .expect(0);
    let plan: Value = serde_json::from_str(&plan.out).unwrap();
    assert_eq!(ways[1]["outcome"]["ready"], plan["ready"]);
    assert_ne!(ways[0]["outcome"], ways[1]["outcome"]);
}

#[test]
fn the_ways_are_the_same_however_often_asked() {
    let case = shelf();
    let line = "compare shelf.toml --hands 2,3 --dust-apart --later-evening 90 --tries 20 --format json";
    assert_eq!(ways(&case, line), ways(&case, line));
}

#[test]
fn it_reads_on_a_narrow_page_and_says_what_is_so_already() {
    let case = shelf();
    let run = case.run("compare shelf.toml --hands 1,2 --tries 20").expect(0);
    let run = run
        .says("ready to glue")
        .says("as written")
        .says("2 pairs of hands")
        .says("no plan")
        .says("it is so as written")
        .says("Ready first:");
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
    let ascii = case.run("compare shelf.toml --hands 2 --tries 20 --ascii").expect(0);
    assert!(ascii.out.is_ascii(), "{}", ascii.out);
}

#[test]
fn another_file_is_a_way_too() {
    let together = SMALL.replace("dust = \"separated\"", "dust = \"together\"\nsettle = \"30 min\"");
    let case = shelf().file("together.toml", &together);
    let by_file = ways(
        &case,
        "compare shelf.toml --with together.toml --tries 20 --format json",
    );
    assert_eq!(by_file[1]["name"], "together");
    let plan = case.run("plan together.toml --tries 20 --format json").expect(0);
    let plan: Value = serde_json::from_str(&plan.out).unwrap();
    assert_eq!(by_file[1]["outcome"]["ready"], plan["ready"]);
}

#[test]
fn wrong_ways_are_named() {
    let case = shelf();
    let none = case.run("compare shelf.toml").expect(2);
    assert!(none.err.contains("nothing to compare with"), "{}", none.err);
    let typo = case.run("compare shelf.toml --finish hardwax-oli").expect(2);
    assert!(typo.err.contains("The nearest is hardwax-oil."), "{}", typo.err);
    let typo = case
        .run("compare shelf.toml --finish hardwax-oil --instead-of hardwax")
        .expect(2);
    assert!(
        typo.err.contains("there is no finish schedule \"hardwax\" here"),
        "{}",
        typo.err
    );
    let none = case.run("compare shelf.toml --hands 0").expect(2);
    assert!(none.err.contains("nothing is done without hands"), "{}", none.err);
    let cold = case.run("compare shelf.toml --warmer-nights=-3").expect(2);
    assert!(cold.err.contains("more than 0"), "{}", cold.err);
}
