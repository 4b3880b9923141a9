//! The sciences against values somebody else has published or worked out.

#[path = "../values/mod.rs"]
mod values;

mod abrasive;
mod cupping;
mod drying;
mod exclusion;
mod exposure;
mod film;
mod movement;
mod psychrometrics;
mod vapour;
mod wood;
