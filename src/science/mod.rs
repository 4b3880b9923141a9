//! Published relations the shop's figures rest on: moist air, solvents, drying, film, abrasives, wood.
//!
//! Invariant: pure functions of their arguments; each names its source, and `tests/science` checks it
//! against values written by somebody else (`tests/values`).

pub mod abrasive;
pub mod cupping;
pub mod cut;
pub mod draught;
pub mod drying;
pub mod exclusion;
pub mod exposure;
pub mod film;
mod measure;
pub mod movement;
pub mod psychrometrics;
pub mod published;
pub mod slab;
pub mod solvent;
pub mod thick;
pub mod vapour;
pub mod volatile;
pub mod wood;

pub use measure::{Kelvin, Micrometres, Pascals, SquareMetresPerLitre};
pub use psychrometrics::MoistAir;
pub use published::{Evidence, Published};
