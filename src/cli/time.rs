//! Instants as they are typed: `14:10`, `-20`, `2026-12-01 14:10`.
//!
//! Invariant: a bare time of day is the last such time that is not ahead of the clock.

use crate::dayplan::document::Stamp;
use crate::units::{Edge, Moment, Span, resolve, text};
use chrono::DateTime;
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
        let today = now.in_zone(zone).date_naive();
        let on = |date: chrono::NaiveDate| {
            let midnight = date.and_hms_opt(0, 0, 0)?;
            let local = midnight.checked_add_signed(chrono::TimeDelta::minutes(i64::from(minutes)))?;
            Some(resolve(local, zone, Edge::End))
        };
        let todays = on(today).filter(|at| *at <= now);
        todays
            .or_else(|| today.pred_opt().and_then(on))
            .ok_or_else(|| format!("\"{written}\" is on no day"))?
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

    #[test]
    fn times_nobody_can_mean() {
        for written in ["", "soon", "25:00", "--5", "-x", "2026-12-01 09:31", "2026-13-01 10:00"] {
            check(written, None);
        }
    }
}
