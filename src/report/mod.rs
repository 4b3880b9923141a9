//! Plans, standings and schedules as people and other programs read them.
//!
//! Invariant: pure functions from data to a `String`; every name that comes from a file passes
//! [`Sheet`], which strips control characters, so nothing a maker writes can steer a terminal.

mod air;
mod air_strip;
mod balance;
mod calendar;
mod caution_list;
mod compare;
mod day;
mod finishes;
mod json;
mod latest;
mod names;
mod paper;
mod piece_words;
mod round;
mod status;
mod stores;
mod stretch;
mod table;
mod text;
mod times;
mod volumes;
mod wall_sheet;
mod why;
mod words;

#[cfg(test)]
mod sample;

pub use air::air;
pub use balance::balance;
pub use calendar::calendar;
pub use compare::{Outcome, Way, comparison, comparison_json};
pub use finishes::{finish, finishes};
pub use json::{page_json, plan_json};
pub use latest::{by_json, by_text};
pub use names::Names;
pub use paper::{Paper, Sheet, clean};
pub use round::{step_title, title_of, title_of_round};
pub use status::status;
pub use stores::stores;
pub use table::{TableError, table};
pub use text::plan_text;
pub use times::{clock, day, when};
pub use wall_sheet::wall_sheet;
pub use why::{why_json, why_text};
pub use words::{
    build, holding, joint_kind, mechanism, method, prepare, provenance, severity, shape, stage, step, step_named,
};

/// The line that stands under every printed plan, standing and schedule.
pub use crate::dayplan::STANDING_LINE;
