//! How long the comparison of the demo under six other finishes takes, and how far each way is from what a
//! long search finds. The search weighs rounds as well as days, so both are told; days alone are judged.
//!
//! `cargo bench --bench compare` plans each way with the orders `denib compare` tries, then with `--long` of
//! them (1,500 unless said otherwise), and fails where a way is more than a twentieth behind.

#![allow(missing_docs, clippy::print_stdout, clippy::expect_used, clippy::panic)]

use denib::dayplan::{History, Plan, Settings, plan};
use denib::finish::shipped;
use denib::job::{Job, WhatIf, read};
use denib::source::SourceFile;
use std::time::Instant;

/// Orders `denib compare` tries for each way.
const TRIES: u32 = 500;
const LONG: u32 = 1_500;
/// How far behind a long search a way may be.
const BEHIND: f64 = 0.05;
const FINISHES: [&str; 6] = [
    "brushed-cellulose",
    "dewaxed-shellac",
    "hardwax-oil",
    "oil-varnish",
    "waterborne-varnish",
    "wiping-varnish",
];

fn main() {
    let mut arguments = std::env::args().skip_while(|word| word != "--long");
    let long = arguments.nth(1).map_or(LONG, |count| count.parse().expect("--long N"));
    let schedules = shipped();
    let file = SourceFile::new("demo/linen-press.toml", include_str!("../demo/linen-press.toml"));
    let (job, problems) = read(&file, &schedules);
    let job = job.unwrap_or_else(|| panic!("the demo has errors: {problems:?}"));
    let mut ways = vec![("as written".to_owned(), job.clone())];
    ways.extend(FINISHES.map(|id| {
        let change = WhatIf::Finish {
            from: "brushed-varnish".to_owned(),
            to: Box::new(schedules[id].clone()),
        };
        (id.to_owned(), change.of(&job).expect("another finish"))
    }));
    let mut behind = Vec::new();
    let mut all = 0.0;
    println!(
        "{:22} {:>8} {:>8} {:>8} {:>8} {:>8} {:>8}",
        "way", "s", "days", "rounds", "long", "rounds", "behind"
    );
    for (name, job) in &ways {
        let begun = Instant::now();
        let quick = planned(job, TRIES);
        let seconds = begun.elapsed().as_secs_f64();
        all += seconds;
        let far = planned(job, long);
        let share = days(&quick) / days(&far) - 1.0;
        println!(
            "{name:22} {seconds:8.2} {:8.2} {:8} {:8.2} {:8} {:7.2} %",
            days(&quick),
            quick.rounds.len(),
            days(&far),
            far.rounds.len(),
            100.0 * share
        );
        if share > BEHIND {
            behind.push(name.as_str());
        }
    }
    println!(
        "{:22} {all:8.2} one after the other, {TRIES} orders each; long: {long}",
        "all"
    );
    assert!(behind.is_empty(), "more than a twentieth behind: {}", behind.join(", "));
}

fn planned(job: &Job, tries: u32) -> Plan {
    let settings = Settings {
        tries,
        ..Settings::default()
    };
    plan(job, &History::none(job.start), settings, &mut || true).expect("a plan")
}

fn days(plan: &Plan) -> f64 {
    plan.ready.signed_duration_since(plan.starts).num_minutes() as f64 / 1440.0
}
