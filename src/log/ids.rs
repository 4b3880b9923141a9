//! Ids of records, unique without asking anyone.
//!
//! Invariant: one [`Ids`] never gives the same id twice, and two of them agree only if their marks do.
//!
//! An id is `SECONDS-MARK-COUNT`: the time of the record, a mark of the process and a count, all to base 36
//! with leading noughts, so that ids sort by time, and within one second of one process by order of writing.
//! The mark mixes the process number and the instant the log was opened with the 64 bits the operating
//! system seeds the standard library's hasher with, 41 bits of which are kept: machines that share a process
//! number and a second still differ, and the count parts the records of one process.

use crate::dayplan::document::Stamp;
use std::hash::{BuildHasher, Hasher, RandomState};

/// Gives ids.
#[derive(Clone, Debug)]
pub struct Ids {
    mark: u64,
    given: u64,
}

/// Digits of the mark: 36⁸ ≈ 2⁴¹.
const MARK_DIGITS: usize = 8;

impl Ids {
    /// Ids of this process; `opened` is the clock as the caller reads it.
    pub fn of_this_process(opened: &Stamp) -> Self {
        let mut mix = RandomState::new().build_hasher();
        mix.write_u32(std::process::id());
        mix.write_i64(opened.timestamp_micros());
        Self::with_mark(mix.finish())
    }

    /// Ids with a chosen mark, where they have to come out the same every time.
    pub const fn with_mark(mark: u64) -> Self {
        Self { mark, given: 0 }
    }

    /// The next id, for a record said at this time.
    pub fn next(&mut self, at: &Stamp) -> String {
        self.given = self.given.saturating_add(1);
        let seconds = u64::try_from(at.timestamp()).unwrap_or(0);
        let mark = self.mark % 36_u64.pow(MARK_DIGITS as u32);
        format!(
            "{}-{}-{}",
            base36(seconds, 7),
            base36(mark, MARK_DIGITS),
            base36(self.given, 4)
        )
    }
}

/// A number to base 36, with leading noughts.
fn base36(mut number: u64, digits: usize) -> String {
    let mut text = Vec::new();
    while number > 0 || text.len() < digits {
        let digit = u32::try_from(number % 36).unwrap_or(0);
        text.push(char::from_digit(digit, 36).unwrap_or('0'));
        number /= 36;
    }
    text.iter().rev().collect()
}
