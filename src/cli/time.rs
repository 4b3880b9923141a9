//! Instants as they are typed: `14:10`, `-20`, `2026-12-01 14:10`.
//!
//! Invariant: a bare time of day is the last such time that is not ahead of the clock.

use crate::dayplan::document::Stamp;
use crate::units::{Edge, Moment, Span, last_shown, resolve, shown, text};
use chrono::{DateTime, NaiveTime};
use chrono_tz::Tz;

/// What is accepted.
pub const ACCEPTED: &str = "a time of day such as 14:10, minutes ago such as -20, or 2026-12-01 14:10";

/// An instant that is not tied to the present: RFC 3339, or a date and time in the job's zone.
pub fn instant(written: &str, zone: Tz) -> Result<Stamp, String> {
    if let Ok(at) = DateTime::parse_from_rfc3339(written) {
        return Ok(at);
    }
    match text::date_time(written) {
        Ok(local) => Ok(resolve(local, zone, Edge::Start).with_offset(zone)),
        Err(refusal) => Err(format!("\"{written}\" {}; write {}", refusal.why, refusal.accepted)),
    }
}

/// An instant in the past, as somebody at the bench says it.
pub fn past(written: &str, now: Moment, zone: Tz) -> Result<Moment, String> {
    let written = written.trim();
    let at = if let Some(ago) = written.strip_prefix('-') {
        let minutes = ago
            .trim()
            .parse::<i64>()
            .map_err(|_| format!("\"{written}\" is not a time; write {ACCEPTED}"))?;
        now - Span(minutes)
    } else if let Ok(minutes) = text::clock(written) {
        // 24:00 is the midnight that begins the next day
        let time = NaiveTime::from_num_seconds_from_midnight_opt(minutes % 1440 * 60, 0);
        time.and_then(|time| last_shown(time, zone, now))
            .ok_or_else(|| format!("\"{written}\": the clock never showed that in the last day"))?
    } else if let Ok(local) = text::date_time(written) {
        match shown(local, zone, now) {
            Some(at) => at,
            None if resolve(local, zone, Edge::Start) > now => return Err(format!("\"{written}\" has not come yet")),
            None => return Err(format!("\"{written}\": the clock was put forward over that time")),
        }
    } else {
        Moment::of(&instant(written, zone).map_err(|_| format!("\"{written}\" is not a time; write {ACCEPTED}"))?)
    };
    if at > now {
        return Err(format!("\"{written}\" has not come yet"));
    }
    Ok(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(written: &str, wanted: Option<&str>) {
        let zone = chrono_tz::Europe::London;
        let now = Moment::of(&DateTime::parse_from_rfc3339("2026-12-01T09:30:00Z").unwrap());
        let found = past(written, now, zone)
            .ok()
            .map(|at| at.with_offset(zone).to_rfc3339());
        assert_eq!(found.as_deref(), wanted, "{written}");
    }

    #[test]
    fn times_said_at_the_bench() {
        check("09:10", Some("2026-12-01T09:10:00+00:00"));
        check("09:30", Some("2026-12-01T09:30:00+00:00"));
        // later than the clock: it was yesterday
        check("16:40", Some("2026-11-30T16:40:00+00:00"));
        check("-20", Some("2026-12-01T09:10:00+00:00"));
        check("2026-11-30 14:10", Some("2026-11-30T14:10:00+00:00"));
        check("2026-11-30T14:10:00+01:00", Some("2026-11-30T13:10:00+00:00"));
    }

    /// Night work on the days the clocks change (directive 2000/84/EC).
    #[test]
    fn times_of_the_night_the_clocks_change() {
        let zone = chrono_tz::Europe::London;
        let said = |written: &str, now: &str| {
            let now = Moment::of(&DateTime::parse_from_rfc3339(now).unwrap());
            past(written, now, zone).map(|at| at.with_offset(zone).to_rfc3339())
        };
        let spring = "2026-03-29T02:30:00+01:00";
        assert_eq!(said("00:50", spring).unwrap(), "2026-03-29T00:50:00+00:00");
        assert_eq!(said("01:30", spring).unwrap(), "2026-03-28T01:30:00+00:00");
        assert_eq!(said("-40", spring).unwrap(), "2026-03-29T00:50:00+00:00");
        let never = said("2026-03-29 01:30", spring).unwrap_err();
        assert!(never.contains("put forward"), "{never}");
        // the first of the two hours, while the second is not over
        assert_eq!(
            said("01:40", "2026-10-25T01:10:00+00:00").unwrap(),
            "2026-10-25T01:40:00+01:00"
        );
        assert_eq!(
            said("01:40", "2026-10-25T01:50:00+00:00").unwrap(),
            "2026-10-25T01:40:00+00:00"
        );
        let ahead = said("2026-10-25 02:10", "2026-10-25T01:10:00+00:00").unwrap_err();
        assert!(ahead.contains("not come yet"), "{ahead}");
    }

    #[test]
    fn times_nobody_can_mean() {
        for written in ["", "soon", "25:00", "--5", "-x", "2026-12-01 09:31", "2026-13-01 10:00"] {
            check(written, None);
        }
    }
}
