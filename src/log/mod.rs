//! The append-only record of what happened to a job.
//!
//! Invariant: a line once acknowledged is never changed or lost; reading a damaged file keeps every good
//! record and sets the rest aside with line numbers.

pub mod record;

pub use record::{Purpose, Record, What};
