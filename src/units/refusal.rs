//! Why a piece of text was not read.
//!
//! Invariant: `why` reads on after the name of the thing (`... is not a span of time`).

/// Why a piece of text was not read, and what would have been.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// What is wrong, to be read after the name of the thing.
    pub why: String,
    /// What is accepted.
    pub accepted: String,
    /// The nearest thing that would be accepted.
    pub nearest: Option<String>,
}

impl Refusal {
    /// A refusal without a nearest word.
    pub fn new(why: impl Into<String>, accepted: impl Into<String>) -> Self {
        Self {
            why: why.into(),
            accepted: accepted.into(),
            nearest: None,
        }
    }
}
