//! Working hours and hands.
//!
//! Invariant: shifts of a day are sorted and do not overlap; clock times are in the job's zone.

use chrono::NaiveDate;

/// One stretch of work, minutes after midnight; `until` may be 1440.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayShift {
    /// Start.
    pub from: u32,
    /// End.
    pub until: u32,
}

/// A dated change to the week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoursException {
    /// The day.
    pub date: NaiveDate,
    /// Its shifts; empty is a day off.
    pub shifts: Vec<DayShift>,
    /// Why, as written.
    pub note: Option<String>,
}

/// A week of shifts, Monday first, with dated exceptions.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct WeekHours {
    /// Shifts by weekday, Monday is 0.
    pub week: [Vec<DayShift>; 7],
    /// Exceptions by date.
    pub exceptions: Vec<HoursException>,
    /// Clock times in which the wall does not ring, every day.
    pub quiet: Vec<DayShift>,
}

/// One pair of hands.
#[derive(Clone, Debug, PartialEq)]
pub struct Hand {
    /// Name.
    pub name: String,
    /// Own hours; the job's otherwise.
    pub hours: Option<WeekHours>,
}
