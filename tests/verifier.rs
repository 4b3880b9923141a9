//! The trade verifier against plans written by hand: good ones pass, and every rule has a bad one it rejects.

#[path = "verifier/draft.rs"]
mod draft;
#[path = "verifier/foreman.rs"]
mod foreman;
#[path = "verifier/good.rs"]
mod good;
#[path = "verifier/rules.rs"]
mod rules;
#[path = "verifier/scenarios.rs"]
mod scenarios;
#[path = "verifier/shop.rs"]
mod shop;
#[path = "verifier/table.rs"]
mod table;
