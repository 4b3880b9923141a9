//! Solvent vapour in a room: what burns, what a coat gives off, what the air carries away.
//!
//! Invariant: amounts are grams, room volumes cubic metres, rates per hour unless a name says otherwise;
//! nothing here promises that a room is without danger: a well-mixed room is the average, and the air close
//! to wet work is always richer.

pub mod draw;
pub mod release;
pub mod room;
pub mod substance;
pub mod volume;

pub use draw::{Courses, Draw, Part, budget, draws};
pub use release::Release;
pub use room::{Cloud, Room};
pub use substance::{Substance, find, harmless};
