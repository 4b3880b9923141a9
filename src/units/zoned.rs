//! Clock times of a place turned into instants, in one place.
//!
//! Invariant: every clock time has an instant: an hour that the spring change skips becomes the first
//! minute that exists after it, an hour that the autumn change repeats is the earlier one for starts and
//! the later one for ends, so a shift is never shorter than the clock says it is.

use super::moment::Moment;
use chrono::{MappedLocalTime, NaiveDateTime, TimeDelta, TimeZone};
use chrono_tz::Tz;

/// Which end of a stretch a clock time is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// Something begins: of two, the earlier.
    Start,
    /// Something ends: of two, the later.
    End,
}

/// The longest gap searched; zones that skipped a whole day (crossing the date line) are inside it.
const LONGEST_GAP_MINUTES: i64 = 2 * 1440;

/// The instant a wall clock in `zone` shows `local`.
pub fn resolve(local: NaiveDateTime, zone: Tz, edge: Edge) -> Moment {
    for minutes in 0..=LONGEST_GAP_MINUTES {
        let Some(shifted) = local.checked_add_signed(TimeDelta::minutes(minutes)) else {
            break;
        };
        match zone.from_local_datetime(&shifted) {
            MappedLocalTime::Single(at) => return Moment::of(&at),
            MappedLocalTime::Ambiguous(earlier, later) => {
                return Moment::of(match edge {
                    Edge::Start => &earlier,
                    Edge::End => &later,
                });
            }
            MappedLocalTime::None => {}
        }
    }
    // no zone skips more than a day; past the calendar's end the clock is read as UTC
    Moment(local.and_utc().timestamp().div_euclid(60))
}

#[cfg(test)]
mod tests {
    use super::{Edge, resolve};
    use chrono::NaiveDate;
    use chrono_tz::Tz;

    /// Checks a local time against the RFC 3339 instant it should be.
    fn check(zone: Tz, (year, month, day, hour, minute): (i32, u32, u32, u32, u32), edge: Edge, expected: &str) {
        let local = NaiveDate::from_ymd_opt(year, month, day)
            .unwrap()
            .and_hms_opt(hour, minute, 0)
            .unwrap();
        assert_eq!(resolve(local, zone, edge).with_offset(zone).to_rfc3339(), expected);
    }

    // The days of change are those of the IANA time zone database.
    #[test]
    fn london_spring_and_autumn() {
        let zone = chrono_tz::Europe::London;
        check(zone, (2026, 3, 29, 0, 59), Edge::Start, "2026-03-29T00:59:00+00:00");
        check(zone, (2026, 3, 29, 1, 0), Edge::Start, "2026-03-29T02:00:00+01:00");
        check(zone, (2026, 3, 29, 1, 30), Edge::Start, "2026-03-29T02:00:00+01:00");
        check(zone, (2026, 3, 29, 1, 30), Edge::End, "2026-03-29T02:00:00+01:00");
        check(zone, (2026, 10, 25, 1, 30), Edge::Start, "2026-10-25T01:30:00+01:00");
        check(zone, (2026, 10, 25, 1, 30), Edge::End, "2026-10-25T01:30:00+00:00");
        check(zone, (2026, 10, 25, 2, 0), Edge::Start, "2026-10-25T02:00:00+00:00");
    }

    #[test]
    fn new_york_spring_and_autumn() {
        let zone = chrono_tz::America::New_York;
        check(zone, (2026, 3, 8, 2, 30), Edge::Start, "2026-03-08T03:00:00-04:00");
        check(zone, (2026, 3, 8, 2, 30), Edge::End, "2026-03-08T03:00:00-04:00");
        check(zone, (2026, 11, 1, 1, 30), Edge::Start, "2026-11-01T01:30:00-04:00");
        check(zone, (2026, 11, 1, 1, 30), Edge::End, "2026-11-01T01:30:00-05:00");
        check(zone, (2026, 11, 1, 2, 0), Edge::End, "2026-11-01T02:00:00-05:00");
    }

    #[test]
    fn a_zone_that_skipped_a_whole_day() {
        // Samoa crossed the date line: there was no 30 December 2011
        let zone = chrono_tz::Pacific::Apia;
        check(zone, (2011, 12, 30, 8, 0), Edge::Start, "2011-12-31T00:00:00+14:00");
    }
}
