//! The append-only record of what happened to a job.
//!
//! Invariant: a line once acknowledged is never changed or lost; reading a damaged file keeps every good
//! record and sets the rest aside with line numbers.
//!
//! Reading, joining and deciding are pure; only [`mod@file`] touches the disk.

pub mod difference;
pub mod file;
pub mod history;
pub mod ids;
pub mod join;
pub mod line;
mod plans;
pub mod read;
pub mod record;

pub use crate::dayplan::history::{Bound, Done, Fate, History, Strip};
pub use file::{Log, LogError};
pub use history::{at_instant, history, history_with, plan_in_force, said_by, taken_on};
pub use ids::Ids;
pub use join::join;
pub use read::{BadLine, Why, read};
pub use record::{Purpose, Record, What};
