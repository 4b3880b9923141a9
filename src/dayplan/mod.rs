//! The plan of a finishing job: work and clocks turned into a network, the answer turned back into rounds
//! that people read, with a reason for every operation and a check that shares nothing with the search.
//!
//! Invariant: every plan handed out has passed [`verify`].

pub mod document;
pub mod history;

pub use document::Plan;
pub use history::History;
