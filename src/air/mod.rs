//! What the plan does to the air of the room: fire, breath, dew, rags, dust.
//!
//! Invariant: where the job does not give the room's size or its air changes nothing is computed, and that is
//! said; every caution names its figure and source.
//!
//! The room is taken as well mixed with a mixing factor (see `science::vapour`): the air close to wet work is
//! richer than anything here.

pub mod blush;
pub mod cautions;
pub mod coats;
pub mod dangers;
pub mod day;
mod fire;
pub mod room_air;
pub mod storage;

pub use blush::{DewGap, Nearness, gaps as dew_gaps};
pub use cautions::of as cautions;
pub use coats::{CoatAir, Missing};
pub use room_air::{DayAir, Need, RoomAir, Settings, Spell, SubstanceAir, Worst, line, of, room, with};
