//! The program's own plans of the acceptance scenarios, before the verifier that shares no code with them.

#![allow(clippy::panic, reason = "a plan that cannot be made stops its check")]

use denib::dayplan::{History, Settings, plan, verify};
use denib::finish::shipped;
use denib::source::SourceFile;

/// The plan of a job keeps every rule of the trade.
fn keeps_every_rule(name: &str, text: &str) {
    let (job, problems) = denib::job::read(&SourceFile::new(name, text), &shipped());
    let job = job.unwrap_or_else(|| panic!("{name}: {problems:?}"));
    let settings = Settings { seed: 1, tries: 20 };
    let made = plan(&job, &History::none(job.start), settings, &mut || true);
    let made = made.unwrap_or_else(|no| panic!("{name}: {no}"));
    let found: Vec<String> = verify(&made, &job).iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{name}:\n{}", found.join("\n"));
}

#[test]
fn of_the_oak_table() {
    keeps_every_rule("scenario-a.toml", include_str!("../jobs/scenario-a.toml"));
}

#[test]
fn of_the_wide_ash_top() {
    keeps_every_rule("scenario-b.toml", include_str!("../jobs/scenario-b.toml"));
}

#[test]
fn of_the_sideboard() {
    keeps_every_rule("scenario-f.toml", include_str!("../jobs/scenario-f.toml"));
}

#[test]
fn of_the_bed() {
    keeps_every_rule("scenario-k.toml", include_str!("../jobs/scenario-k.toml"));
}

#[test]
fn of_the_linen_press() {
    keeps_every_rule("linen-press.toml", include_str!("../../demo/linen-press.toml"));
}
