//! The append-only record: lines, damage, joining, plans, and what they amount to.

#[path = "../case/mod.rs"]
mod case;
#[path = "../log_samples/mod.rs"]
mod log_samples;

mod damage;
mod difference;
mod file;
mod history;
mod join;
mod plans;
mod turned;
