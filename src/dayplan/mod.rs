//! The plan of a finishing job: work and clocks turned into a network, the answer turned back into rounds
//! that people read, with a reason for every operation and a check that shares nothing with the search.
//!
//! Invariant: every plan handed out has passed [`verify()`].

mod amend;
mod bands;
mod because;
mod cautions;
mod cost;
pub mod counted;
pub mod document;
mod dry;
mod faces;
mod frame;
mod freshen;
pub mod history;
mod keep;
mod make;
mod mixes;
mod network;
mod orders;
mod rounds;
mod routes;
mod sample;
mod search;
mod shifts;
mod tell;
mod vapour;
pub mod verify;
mod waits;

pub use amend::amended;
pub use cautions::{STANDING_LINE, standing_line};
pub use document::Plan;
pub use history::History;
pub use make::{NoPlan, Settings, plan};
pub use verify::{Breach, Rule, verify};
