//! Where everything stands at an instant.
//!
//! Invariant: a pure function of (job, schedules, log, instant); the same records in any order of reading
//! give the same standing. A piece with a wet surface is never said to be handleable.
//!
//! A film's stages are reckoned on its product's drying clock from the end of the operation that laid it:
//! surely by the slow figure, at the earliest by the fast one. Recoat windows open by the slow figure and
//! close by the fast one. Touch tests bound both (see [`pace`]).

mod closing;
mod coming;
mod facts;
mod joints;
mod ladder;
mod may;
mod now;
pub mod pace;
mod piece;
mod rounds;
pub mod state;
mod unequal;

pub use now::{Clocks, at, clocks};
pub use pace::{Pace, paces};
pub use state::{
    Closing, Film, JointState, May, PieceStanding, RoundStanding, RoundState, Standing, SurfaceStanding, When,
};
