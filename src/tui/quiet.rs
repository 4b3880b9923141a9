//! Hours in which the wall does not ring.
//!
//! Invariant: only the bell hangs on them; what is on the screen never does.

use crate::job::DayShift;
use crate::units::Moment;
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
    /// Nothing rings at that instant; `job` are the quiet hours of the maker's file.
    pub fn at(&self, moment: Moment, zone: Tz, job: &[DayShift]) -> bool {
        let local = moment.in_zone(zone);
        let minute = local.hour() * 60 + local.minute();
        self.muted
            || job.iter().any(|hours| (hours.from..hours.until).contains(&minute))
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

    fn rings(hours: (u32, u32), hour: u32, minute: u32) -> bool {
        let quiet = Quiet {
            muted: false,
            hours: vec![hours],
        };
        let at = London.with_ymd_and_hms(2026, 12, 1, hour, minute, 0).single();
        !quiet.at(at.map(|at| Moment::of(&at)).unwrap_or_default(), London, &[])
    }

    #[test]
    fn hours_hold_from_and_not_until() {
        for (hour, minute, wanted) in [(12, 29, true), (12, 30, false), (13, 14, false), (13, 15, true)] {
            assert_eq!(rings((750, 795), hour, minute), wanted, "{hour}:{minute}");
        }
    }

    #[test]
    fn hours_go_over_midnight() {
        for (hour, wanted) in [(21, true), (22, false), (23, false), (0, false), (6, false), (7, true)] {
            assert_eq!(rings((1320, 420), hour, 0), wanted, "{hour}");
        }
    }
}
