//! denib plans and runs the finishing of loose furniture parts.
//!
//! Invariant: a room (module) uses only the rooms listed above it here, and everything above [`tui`]
//! touches neither the terminal nor the clock; `tests/layering.rs` keeps both.
//!
//! All times are [`units::Moment`]s (whole minutes), all lengths millimetres, all volumes millilitres,
//! all temperatures degrees Celsius; files may use other units, converted once where they are read.

pub mod air;
pub mod balance;
pub mod cli;
pub mod clock;
pub mod dayplan;
pub mod finish;
pub mod job;
pub mod log;
pub mod planner;
pub mod report;
pub mod science;
pub mod source;
pub mod standing;
pub mod stores;
pub mod tui;
pub mod units;
pub mod work;
