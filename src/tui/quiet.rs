//! Hours in which the wall does not ring.
//!
//! Invariant: only the bell hangs on them; what is on the screen never does.

use crate::units::{Moment, text};
use chrono::Timelike;
use chrono_tz::Tz;

/// When the bell is silent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Quiet {
    /// Always, until the key is pressed again.
    pub muted: bool,
    /// From, until, minutes after midnight; one that ends before it begins goes over midnight.
    pub hours: Vec<(u32, u32)>,
}

impl Quiet {
    /// Reads hours as written: `22:00-07:00`.
    pub fn read(written: &str) -> Result<(u32, u32), String> {
        let accepted = "Write two clock times, such as 22:00-07:00.";
        let (from, until) = written.split_once(['-', '–']).ok_or(accepted)?;
        let clock = |written: &str| text::clock(written.trim()).map_err(|_| accepted.to_owned());
        let (from, until) = (clock(from)?, clock(until)?);
        if from == until {
            return Err(format!("From and until are the same. {accepted}"));
        }
        Ok((from, until))
    }

    /// Nothing rings at that instant.
    pub fn at(&self, moment: Moment, zone: Tz) -> bool {
        let local = moment.in_zone(zone);
        let minute = local.hour() * 60 + local.minute();
        self.muted
            || self.hours.iter().any(|&(from, until)| {
                if from < until {
                    (from..until).contains(&minute)
                } else {
                    minute >= from || minute < until
                }
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeZone;
    use chrono_tz::Europe::London;

    fn rings(hours: &str, hour: u32, minute: u32) -> bool {
        let quiet = Quiet {
            muted: false,
            hours: Quiet::read(hours).into_iter().collect(),
        };
        assert_eq!(quiet.hours.len(), 1, "{hours} can be read");
        let at = London.with_ymd_and_hms(2026, 12, 1, hour, minute, 0).single();
        !quiet.at(at.map(|at| Moment::of(&at)).unwrap_or_default(), London)
    }

    #[test]
    fn hours_hold_from_and_not_until() {
        for (hour, minute, wanted) in [(12, 29, true), (12, 30, false), (13, 14, false), (13, 15, true)] {
            assert_eq!(rings("12:30-13:15", hour, minute), wanted, "{hour}:{minute}");
        }
    }

    #[test]
    fn hours_go_over_midnight() {
        for (hour, wanted) in [(21, true), (22, false), (23, false), (0, false), (6, false), (7, true)] {
            assert_eq!(rings("22:00-07:00", hour, 0), wanted, "{hour}");
        }
    }

    #[test]
    fn what_is_no_time_is_refused() {
        for wrong in ["", "22:00", "22:00-22:00", "25:00-07:00", "ten-seven"] {
            assert!(Quiet::read(wrong).is_err(), "{wrong}");
        }
    }
}
