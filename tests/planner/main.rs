//! The planner by itself, on networks by hand, at random, and of generated jobs.

#[path = "../../benches/generated/mod.rs"]
mod generated;
#[path = "../ticked/mod.rs"]
mod ticked;

mod generated_jobs;
mod kept_reasons;
mod measured;
mod mutation;
mod networks;
mod property;
mod rules;
