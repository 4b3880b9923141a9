//! A tiny job for every finish: one wide panel, two legs with tenons; and the questions asked of its plan.
//!
//! Invented throughout; the rooms are chosen to show where one class differs from another.

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use denib::dayplan::document::{Operation, Plan};
use denib::dayplan::{History, NoPlan, Settings, plan};
use denib::finish::{StepKind, shipped};
use denib::job::{self, Job};
use denib::source::SourceFile;

/// Warm by day and night.
pub const WARM: &str = "day = { temperature = 21, humidity = 50 }";
/// Heated by day, 8 °C at night.
pub const COLD_NIGHT: &str =
    "heated = \"07:00-18:00\"\nday = { temperature = 20, humidity = 50 }\nnight = { temperature = 8, humidity = 75 }";
/// Heated by day, 12 °C at night.
pub const COOL_NIGHT: &str =
    "heated = \"07:00-18:00\"\nday = { temperature = 20, humidity = 50 }\nnight = { temperature = 12, humidity = 65 }";

/// The job's file.
pub fn text(finish: &str, air: &str, holding: &str) -> String {
    format!(
        r#"format = 1
title = "Stand"
zone = "Europe/London"
start = "2026-11-30 08:00"
units = {{ length = "mm", temperature = "C", volume = "L" }}
finish = "{finish}"
tape_life = "60 d"
[room]
dust = "separated"
[[room.air]]
{air}
[hours]
mon = ["08:00-12:30", "13:15-17:30"]
tue = ["08:00-12:30", "13:15-17:30"]
wed = ["08:00-12:30", "13:15-17:30"]
thu = ["08:00-12:30", "13:15-17:30"]
fri = ["08:00-12:30", "13:15-17:30"]
sat = ["08:00-12:30", "13:15-17:30"]
sun = ["08:00-12:30", "13:15-17:30"]
[[hands]]
name = "Wren"
[[section]]
id = "stand"
name = "stand"
[[part]]
name = "top"
shape = "panel"
size = [700, 400, 20]
build = "solid"
material = "oak"
section = "stand"
holding = "{holding}"
[[part]]
name = "leg"
count = 2
shape = "square"
size = [600, 45, 45]
build = "solid"
material = "oak"
section = "stand"
holding = "hung"
joints = [{{ kind = "tenon", area = 900 }}]
[[assembly]]
name = "stand"
made_of = ["top", "leg"]
minutes = 30
cure = "12 h"
hands = 1
"#
    )
}

pub fn read(text: &str) -> Job {
    let (job, problems) = job::read(&SourceFile::new("stand.toml", text.to_owned()), &shipped());
    job.unwrap_or_else(|| panic!("{problems:?}"))
}

/// The plan of a job; the check of the trade has passed it, or there is none.
pub fn planned(job: &Job) -> Result<Plan, NoPlan> {
    plan(
        job,
        &History::none(job.start),
        Settings { seed: 1, tries: 4 },
        &mut || true,
    )
}

/// The tiny job under a finish, held on points, in some air.
pub fn under(finish: &str, air: &str) -> Plan {
    let made = planned(&read(&text(finish, air, "points")));
    made.unwrap_or_else(|no| panic!("{finish}: {no}"))
}

/// Operations of a kind on a piece, in order.
pub fn of<'p>(plan: &'p Plan, piece: &str, step: StepKind) -> Vec<&'p Operation> {
    let ours = |operation: &&Operation| operation.piece.as_deref() == Some(piece) && operation.step == step;
    plan.operations.iter().filter(ours).collect()
}

/// Its coats, seals counted in.
pub fn coats<'p>(plan: &'p Plan, piece: &str) -> Vec<&'p Operation> {
    let coat = |operation: &&Operation| matches!(operation.step, StepKind::Coat | StepKind::Seal);
    let ours = |operation: &&Operation| operation.piece.as_deref() == Some(piece) && coat(operation);
    plan.operations.iter().filter(ours).collect()
}

/// The operation with this id.
pub fn id<'p>(plan: &'p Plan, id: &str) -> &'p Operation {
    let found = plan.operations.iter().find(|operation| operation.id == id);
    found.unwrap_or_else(|| panic!("{id} is not in the plan"))
}

/// Hours from the end of one to the start of another.
pub fn hours(before: &Operation, after: &Operation) -> f64 {
    (after.start - before.end).num_minutes() as f64 / 60.0
}

/// Hours between each coat and the next.
pub fn gaps(coats: &[&Operation]) -> Vec<f64> {
    coats.windows(2).map(|pair| hours(pair[0], pair[1])).collect()
}
