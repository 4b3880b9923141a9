//! Clock times and days as people say them.
//!
//! Invariant: a time on another day than the one it is read under always carries its day.

use super::paper::JOIN;
use crate::dayplan::document::Stamp;
use chrono::{Datelike, NaiveDate, Timelike};

/// `14:20`.
pub fn clock(at: Stamp) -> String {
    format!("{:02}:{:02}", at.hour(), at.minute())
}

/// `Tue 1 Dec`, without breaking in the middle.
pub fn day(date: NaiveDate) -> String {
    format!("{}{JOIN}{}{JOIN}{}", date.format("%a"), date.day(), date.format("%b"))
}

/// `Tuesday 1 December 2026`.
pub(super) fn full_day(date: NaiveDate) -> String {
    format!("{} {} {}", date.format("%A"), date.day(), date.format("%B %Y"))
}

/// A time read under a heading of `today`: `14:20`, `Wed 14:20` within the week, else with the date.
pub fn when(at: Stamp, today: NaiveDate) -> String {
    let date = at.date_naive();
    let away = date.signed_duration_since(today).num_days();
    match away {
        0 => clock(at),
        1..=6 => format!("{}{JOIN}{}", date.format("%a"), clock(at)),
        _ => format!("{}{JOIN}{}", day(date), clock(at)),
    }
}

/// From one time to another: `08:00–08:25`, with the day where the end is on another.
pub(super) fn span(from: Stamp, until: Stamp) -> String {
    format!("{}–{}", clock(from), when(until, from.date_naive()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stamp(text: &str) -> Stamp {
        text.parse().unwrap()
    }

    #[test]
    fn other_days_say_so() {
        let today = NaiveDate::from_ymd_opt(2026, 11, 30).unwrap();
        assert_eq!(when(stamp("2026-11-30T14:20:00+00:00"), today), "14:20");
        assert_eq!(when(stamp("2026-12-01T08:05:00+00:00"), today), "Tue\u{a0}08:05");
        assert_eq!(
            when(stamp("2026-12-09T08:05:00+00:00"), today),
            "Wed\u{a0}9\u{a0}Dec\u{a0}08:05"
        );
        assert_eq!(
            when(stamp("2026-11-29T08:05:00+00:00"), today),
            "Sun\u{a0}29\u{a0}Nov\u{a0}08:05"
        );
        assert_eq!(
            span(stamp("2026-11-30T23:30:00+00:00"), stamp("2026-12-01T00:10:00+00:00")),
            "23:30–Tue\u{a0}00:10"
        );
    }
}
