//! denib plans and runs the finishing of loose furniture parts.
//!
//! Invariant: a room (module) uses only the rooms listed above it here, and everything above [`tui`]
//! touches neither the terminal nor the clock; `tests/house/layering.rs` keeps both. (The formatter is told not to
//! sort modules, so that the order stands.)
//!
//! All times are [`units::Moment`]s (whole minutes), all lengths millimetres, all volumes millilitres,
//! all temperatures degrees Celsius; files may use other units, converted once where they are read.

pub mod units;
pub mod source;
pub mod science;
pub mod finish;
pub mod job;
pub mod clock;
pub mod work;
pub mod planner;
pub mod dayplan;
pub mod log;
pub mod standing;
pub mod balance;
pub mod air;
pub mod stores;
pub mod whole;
pub mod report;
pub mod cli;
pub mod tui;
