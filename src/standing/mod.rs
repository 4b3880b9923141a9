//! Where everything stands at an instant.
//!
//! Invariant: a pure function of (job, schedules, log, instant); the same records in any order of reading
//! give the same standing. A piece with a wet surface is never said to be handleable.

pub mod state;

pub use state::{
    Closing, Film, JointState, May, PieceStanding, RoundStanding, RoundState, Standing, SurfaceStanding, When,
};
