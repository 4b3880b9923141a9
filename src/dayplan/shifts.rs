//! Working hours in clock time turned into stretches of instants.
//!
//! Invariant: clock times are resolved in the job's zone by the one function of `source` that knows about
//! the spring gap and the autumn fold.

use crate::job::{DayShift, Job, WeekHours};
use crate::units::{Edge, resolve};
use crate::units::{Moment, Span};
use chrono::{Datelike, Days, NaiveDate};

/// The stretches one set of hours gives between two instants, sorted and apart.
pub(super) fn stretches(job: &Job, hours: &WeekHours, from: Moment, until: Moment) -> Vec<(Moment, Moment)> {
    let mut found: Vec<(Moment, Moment)> = Vec::new();
    let mut day = from.in_zone(job.zone).date_naive();
    let last = until.in_zone(job.zone).date_naive();
    while day <= last {
        for shift in shifts_of(hours, day) {
            let start = instant(job, day, shift.from, Edge::Start).max(from);
            let end = instant(job, day, shift.until, Edge::End).min(until);
            if start >= end {
                continue;
            }
            match found.last_mut() {
                // shifts that touch are one stretch
                Some(before) if before.1 >= start => before.1 = before.1.max(end),
                _ => found.push((start, end)),
            }
        }
        let Some(next) = day.checked_add_days(Days::new(1)) else {
            break;
        };
        day = next;
    }
    found
}

/// Stretches of a pair of hands without the time they are away.
pub(super) fn without_away(job: &Job, hand: usize, stretches: Vec<(Moment, Moment)>) -> Vec<(Moment, Moment)> {
    let away = job.since_written.away.iter();
    let away = away.filter(|away| away.from < away.until && away.hand.is_none_or(|other| other == hand));
    away.fold(stretches, |stretches, away| {
        let parts = stretches
            .into_iter()
            .flat_map(|(from, until)| [(from, until.min(away.from)), (from.max(away.until), until)]);
        parts.filter(|(from, until)| from < until).collect()
    })
}

/// The shifts of one day.
pub(super) fn shifts_of(hours: &WeekHours, day: NaiveDate) -> &[DayShift] {
    match hours.exceptions.iter().rfind(|exception| exception.date == day) {
        Some(exception) => &exception.shifts,
        None => hours
            .week
            .get(day.weekday().num_days_from_monday() as usize)
            .map_or(&[], Vec::as_slice),
    }
}

fn instant(job: &Job, day: NaiveDate, minutes: u32, end: Edge) -> Moment {
    let days = Days::new(u64::from(minutes / 1440));
    let day = day.checked_add_days(days).unwrap_or(day);
    let clock = day.and_hms_opt(minutes % 1440 / 60, minutes % 60, 0);
    clock.map_or(Moment::of(&day.and_time(chrono::NaiveTime::MIN).and_utc()), |clock| {
        resolve(clock, job.zone, end)
    })
}

/// Working minutes in a week of these hours.
pub(super) fn minutes_a_week(hours: &WeekHours) -> i64 {
    hours
        .week
        .iter()
        .flatten()
        .map(|shift| i64::from(shift.until) - i64::from(shift.from))
        .sum()
}

/// Far enough ahead for two and a half times this much work shared by all hands in their hours, for the longest drying at two
/// thirds of its stated pace, and three times the days the room takes to carry the vapour off (nobody coats at night);
/// where that is not enough the line is drawn longer. Everything that goes by minutes grows with this line.
pub(super) fn horizon(job: &Job, work_minutes: f64, longest_drying: f64, vapour_days: f64) -> Span {
    let hands = job.hands.iter().map(|hand| hand.hours.as_ref().unwrap_or(&job.hours));
    let week = hands.map(minutes_a_week).sum::<i64>().max(60) as f64;
    let work = (work_minutes / week * 2.5 * 7.0).ceil();
    let drying = (longest_drying * 1.5 / 1440.0).ceil();
    let vapour = (3.0 * vapour_days).floor();
    Span::days(((work + drying + vapour) as i64 + 21).clamp(30, 900))
}
