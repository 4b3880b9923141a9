//! What the pages *Day*, *Balance*, *Air*, *Stores*, *Places* and *Record* hold between two messages, one file a
//! page, and what they are worked out from.
//!
//! Invariant: pure; nothing here draws, and nothing is ahead of the sheet it was worked out from.

pub mod assemblies;
pub mod chain;
pub mod day;
pub mod places;
pub mod record;
pub mod sticks;
pub mod worked;

use day::DayPage;

/// Where each of these pages stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Pages {
    /// *Day*.
    pub day: DayPage,
    /// *Balance*: the panel the cursor is on.
    pub balance: usize,
    /// *Air*.
    pub air: AirPage,
    /// *Stores*: lines scrolled.
    pub stores: usize,
    /// *Places*: lines scrolled.
    pub places: usize,
    /// *Record*: the cursor, the newest line is 0.
    pub record: usize,
    /// *Record*: plans taken on are listed too.
    pub record_plans: bool,
}

/// The page *Air*.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AirPage {
    /// The day shown, among those with vapour; `None` before the first move: today or the next one.
    pub day: Option<usize>,
    /// The caution the cursor is on.
    pub caution: usize,
}
