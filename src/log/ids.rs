//! Ids of records, unique without asking anyone.
//!
//! Invariant: one [`Ids`] never gives the same id twice, and two of them agree only if their marks do. An id sorts
//! after every id its giver has seen or given for the same second.
//!
//! An id is `SECONDS-COUNT-MARK`: the time of the record, a count and a mark of the process, all to base 36 with
//! leading noughts. The count goes on from the highest that was seen, whoever gave it (L. Lamport, "Time, clocks,
//! and the ordering of events in a distributed system", Communications of the ACM 21 (1978) 558–565): of two records
//! of one second the one that was written in the knowledge of the other comes later, and for everybody. Of two that
//! knew nothing of each other the mark decides, which is as good as a toss and the same for everybody.
//! The mark mixes the process number and the instant the log was opened with the 64 bits the operating
//! system seeds the standard library's hasher with, 41 bits of which are kept: machines that share a process
//! number and a second still differ, and the count parts the records of one process.
//!
//! Older logs have `SECONDS-MARK-COUNT`; they are read as they are, and counted on from.

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

/// Digits of the count: two thousand million records.
const COUNT_DIGITS: usize = 6;

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
            base36(self.given, COUNT_DIGITS),
            base36(mark, MARK_DIGITS)
        )
    }

    /// An id that somebody gave: those given from now on count on from it.
    pub fn seen(&mut self, id: &str) {
        self.given = self.given.max(count_of(id).unwrap_or(0));
    }
}

/// The count in an id, of either form; `None` where it is neither.
fn count_of(id: &str) -> Option<u64> {
    let parts: Vec<&str> = id.split('-').collect();
    let count = match parts.as_slice() {
        [_, count, mark] if count.len() == COUNT_DIGITS && mark.len() == MARK_DIGITS => count,
        [_, mark, count] if mark.len() == MARK_DIGITS && count.len() < MARK_DIGITS => count,
        _ => return None,
    };
    u64::from_str_radix(count, 36).ok()
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
