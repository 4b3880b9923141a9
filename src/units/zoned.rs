//! Clock times of a place turned into instants, in one place.
//!
//! Invariant: every clock time has an instant: an hour that the spring change skips becomes the first
//! minute that exists after it, an hour that the autumn change repeats is the earlier one for starts and
//! the later one for ends, so a shift is never shorter than the clock says it is.

use super::moment::Moment;
use chrono::{Days, MappedLocalTime, NaiveDateTime, NaiveTime, TimeDelta, TimeZone};
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

/// The last instant, not after `now`, at which a clock in `zone` showed `local`; `None` where it never did: of an
/// hour that comes twice the later one that is over, in the hour that is skipped none.
pub fn shown(local: NaiveDateTime, zone: Tz, now: Moment) -> Option<Moment> {
    let found = match zone.from_local_datetime(&local) {
        MappedLocalTime::Single(at) => [Some(at), None],
        MappedLocalTime::Ambiguous(earlier, later) => [Some(later), Some(earlier)],
        MappedLocalTime::None => [None, None],
    };
    found.iter().flatten().map(Moment::of).find(|at| *at <= now)
}

/// The last instant, not after `now`, at which a clock in `zone` showed this time of day: today's or yesterday's.
pub fn last_shown(time: NaiveTime, zone: Tz, now: Moment) -> Option<Moment> {
    let today = now.in_zone(zone).date_naive();
    let mut days = (0..=1).filter_map(|back| today.checked_sub_days(Days::new(back)));
    days.find_map(|day| shown(day.and_time(time), zone, now))
}

#[cfg(test)]
mod tests {
    use super::{Edge, last_shown, resolve, shown};
    use crate::units::Moment;
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
    fn what_a_clock_showed_last() {
        let zone = chrono_tz::Europe::London;
        let local = |month, day, hour, minute| {
            let day = NaiveDate::from_ymd_opt(2026, month, day).unwrap();
            day.and_hms_opt(hour, minute, 0).unwrap()
        };
        let now = |text: &str| Moment::of(&chrono::DateTime::parse_from_rfc3339(text).unwrap());
        let said = |found: Option<Moment>| found.map(|at| at.with_offset(zone).to_rfc3339());
        let half_past_one = chrono::NaiveTime::from_hms_opt(1, 30, 0).unwrap();
        let last = |text| said(last_shown(half_past_one, zone, now(text))).unwrap_or_default();
        // the hour that is skipped: the clock showed it the day before
        assert_eq!(
            said(shown(local(3, 29, 1, 30), zone, now("2026-03-29T09:00:00Z"))),
            None
        );
        assert_eq!(last("2026-03-29T02:10:00Z"), "2026-03-28T01:30:00+00:00");
        assert_eq!(last("2026-03-30T09:00:00Z"), "2026-03-30T01:30:00+01:00");
        // the hour that comes twice: the later one once it is over
        assert_eq!(last("2026-10-25T00:50:00Z"), "2026-10-25T01:30:00+01:00");
        assert_eq!(last("2026-10-25T01:30:00Z"), "2026-10-25T01:30:00+00:00");
        assert_eq!(last("2026-10-25T00:10:00Z"), "2026-10-24T01:30:00+01:00");
    }

    #[test]
    fn a_zone_that_skipped_a_whole_day() {
        // Samoa crossed the date line: there was no 30 December 2011
        let zone = chrono_tz::Pacific::Apia;
        check(zone, (2011, 12, 30, 8, 0), Edge::Start, "2011-12-31T00:00:00+14:00");
    }
}
