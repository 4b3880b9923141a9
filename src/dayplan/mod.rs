//! The plan of a finishing job: work and clocks turned into a network, the answer turned back into rounds
//! that people read, with a reason for every operation and a check that shares nothing with the search.
//!
//! Invariant: every plan handed out has passed [`verify()`].

mod amend;
mod bands;
mod because;
mod cautions;
pub mod chain;
mod checked;
mod colour;
mod cost;
pub mod counted;
pub mod document;
mod dry;
pub mod dry_fit;
mod faces;
mod first;
mod frame;
mod freshen;
pub mod gains;
pub mod history;
mod keep;
mod kept;
mod late;
pub mod latest;
pub mod limit;
mod make;
mod mixes;
mod network;
mod orders;
mod places;
mod rounds;
mod routes;
pub mod sample;
mod search;
mod setting;
mod shifts;
mod tell;
mod vapour;
pub mod verify;
mod waits;
mod waves;

pub use amend::amended;
pub use cautions::{STANDING_LINE, standing_line};
pub use document::Plan;
pub use history::History;
pub use kept::Kept;
pub use make::{Means, NoPlan, Settings, network_of, plan, plan_by};
pub use verify::{Breach, Rule, verify};
