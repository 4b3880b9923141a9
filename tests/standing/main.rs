//! Where every surface stands at an instant.

#[path = "../log_samples/mod.rs"]
mod log_samples;

mod any;
mod bench;
mod film;
mod piece;
mod schedules;
mod touch;
