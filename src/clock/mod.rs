//! The room's air through time, and what it does to a wet film: the drying clock.
//!
//! Invariant: nothing here is a guess about a stretch the air is not known for: before the first minute and
//! after the last one nothing dries, nothing is reached and nothing may be started.

mod air;
mod corners;
mod counted;
mod drying;
mod floor;
mod repeats;
mod start;
mod worths;

pub use air::Air;
pub use counted::{Counted, counted};
pub use drying::{DryingClock, UNITS_PER_MINUTE, laws_of, units};
pub use start::{WhyNot, required_stage, spoiled_at, start_stretches, start_stretches_lasting, why_not};
