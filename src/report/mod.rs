//! Plans, standings and schedules as people and other programs read them.
//!
//! Invariant: pure functions from data to a `String`; every name that comes from a file passes
//! [`Sheet`], which strips control characters, so nothing a maker writes can steer a terminal.

mod compare;
mod day;
mod finishes;
mod json;
mod names;
mod paper;
mod round;
mod status;
mod text;
mod times;
mod words;

#[cfg(test)]
mod sample;

pub use compare::{Outcome, Way, comparison, comparison_json};
pub use finishes::{finish, finishes};
pub use json::plan_json;
pub use names::Names;
pub use paper::{Paper, Sheet, clean};
pub use round::step_title;
pub use status::status;
pub use text::plan_text;
pub use times::{clock, day, when};
pub use words::{
    build, holding, joint_kind, mechanism, method, prepare, provenance, severity, shape, stage, step, step_named,
};

/// The line that stands under every printed plan, standing and schedule.
pub use crate::dayplan::STANDING_LINE;
