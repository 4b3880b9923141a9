//! Instants and spans of time in whole minutes.
//!
//! Invariant: a [`Moment`] is an absolute instant (minutes since 1970-01-01T00:00Z); zones and
//! daylight saving matter only where a moment is read from or shown to people.

use chrono::{DateTime, FixedOffset, TimeZone, Utc};
use chrono_tz::Tz;
use std::fmt;
use std::ops::{Add, AddAssign, Sub};

/// An instant, in whole minutes since the Unix epoch (UTC).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(pub i64);

/// A length of time in whole minutes; negative when it runs backwards.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span(pub i64);

impl Moment {
    /// The moment a date and time falls in; seconds are cut off.
    pub fn of<Z: TimeZone>(at: &DateTime<Z>) -> Self {
        Self(at.timestamp().div_euclid(60))
    }

    /// This moment as seen on a wall clock in `zone`.
    pub fn in_zone(self, zone: Tz) -> DateTime<Tz> {
        let utc = DateTime::<Utc>::from_timestamp(self.0.saturating_mul(60), 0).unwrap_or_default();
        utc.with_timezone(&zone)
    }

    /// This moment with the offset in force in `zone`, as files and RFC 3339 write it.
    pub fn with_offset(self, zone: Tz) -> DateTime<FixedOffset> {
        self.in_zone(zone).fixed_offset()
    }
}

impl Span {
    /// A span of whole hours.
    pub const fn hours(hours: i64) -> Self {
        Self(hours * 60)
    }

    /// A span of whole days of 24 hours.
    pub const fn days(days: i64) -> Self {
        Self(days * 1440)
    }
}

impl Add<Span> for Moment {
    type Output = Moment;
    fn add(self, span: Span) -> Moment {
        Moment(self.0.saturating_add(span.0))
    }
}

impl AddAssign<Span> for Moment {
    fn add_assign(&mut self, span: Span) {
        *self = *self + span;
    }
}

impl Sub<Span> for Moment {
    type Output = Moment;
    fn sub(self, span: Span) -> Moment {
        Moment(self.0.saturating_sub(span.0))
    }
}

impl Sub for Moment {
    type Output = Span;
    fn sub(self, other: Moment) -> Span {
        Span(self.0.saturating_sub(other.0))
    }
}

/// A span as a finisher says it: `45 min`, `2 h 30`, `3 d 4 h`.
impl fmt::Display for Span {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let minutes = self.0.unsigned_abs();
        let (days, hours, rest) = (minutes / 1440, minutes % 1440 / 60, minutes % 60);
        match (days, hours, rest) {
            (0, 0, m) => write!(f, "{sign}{m} min"),
            (0, h, 0) => write!(f, "{sign}{h} h"),
            (0, h, m) => write!(f, "{sign}{h} h {m:02}"),
            (d, 0, _) => write!(f, "{sign}{d} d"),
            (d, h, _) => write!(f, "{sign}{d} d {h} h"),
        }
    }
}
