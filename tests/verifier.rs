//! The trade verifier against plans written by hand: good ones pass, and every rule has a bad one it rejects.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a plan by hand stops where it was written wrong"
)]

#[path = "verifier/ash_top.rs"]
mod ash_top;
#[path = "verifier/bed.rs"]
mod bed;
#[path = "verifier/draft.rs"]
mod draft;
#[path = "verifier/every_line.rs"]
mod every_line;
#[path = "verifier/foreman.rs"]
mod foreman;
#[path = "verifier/good.rs"]
mod good;
#[path = "verifier/line.rs"]
mod line;
#[path = "verifier/lists.rs"]
mod lists;
#[path = "verifier/mistakes.rs"]
mod mistakes;
#[path = "verifier/mistakes_of_planning.rs"]
mod mistakes_of_planning;
#[path = "verifier/mistakes_of_work.rs"]
mod mistakes_of_work;
#[path = "verifier/oak_table.rs"]
mod oak_table;
#[path = "verifier/rules.rs"]
mod rules;
#[path = "verifier/scenario.rs"]
mod scenario;
#[path = "verifier/shop.rs"]
mod shop;
#[path = "verifier/sideboard.rs"]
mod sideboard;
#[path = "verifier/table.rs"]
mod table;
#[path = "verifier/vapour.rs"]
mod vapour;
