//! What a plan does to the air, the panels and the shelf.

#[path = "../planned/mod.rs"]
mod planned;
#[path = "../shop/mod.rs"]
mod shop;

mod air_cautions;
mod air_room;
mod balance_panels;
mod stores_needs;
mod stores_shelf;
