//! The room's air over the hours, and each product's drying clock over it.

#[path = "../shop/mod.rs"]
mod shop;

mod air;
mod counted;
mod drying;
mod start;
