//! Hours: hands work inside them, whole within one stretch, one thing at a time.
//!
//! Invariant: the stretches are worked out here from the job's week and its dated exceptions.

use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet};
use crate::finish::StepKind;
use crate::job::{DayShift, Hand, WeekHours};
use crate::units::{Moment, Span};
use chrono::{Datelike, Days, LocalResult, NaiveDate, NaiveTime, TimeDelta, TimeZone};
use chrono_tz::Tz;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for hand in &sheet.job.hands {
        let stretches = stretches(sheet, hand);
        stated(sheet, hand, &stretches, found);
        let works = |op: &&Op<'_>| op.hands.contains(&hand.name);
        let ops: Vec<&Op<'_>> = sheet.ops.iter().filter(works).collect();
        for op in &ops {
            let whole = stretches
                .iter()
                .any(|(from, until)| *from <= op.from && op.until <= *until);
            if !whole && !follows_a_fact(op, &ops) {
                let text = format!(
                    "{} ({} to {}) is not within one stretch of {}'s hours",
                    op.id,
                    sheet.clock(op.from),
                    sheet.clock(op.until),
                    hand.name
                );
                found.by(Rule::Hours, &[op], text);
            }
        }
        for (index, one) in ops.iter().enumerate() {
            // in order of start: from the first that begins after its end on, none overlaps
            let near = ops.iter().skip(index + 1).take_while(|other| other.from < one.until);
            for other in near.filter(|other| one.overlaps(other)) {
                let text = format!(
                    "{} is at {} and at {} at the same time ({})",
                    hand.name,
                    one.id,
                    other.id,
                    sheet.clock(other.from)
                );
                found.between(Rule::HandBusy, &[one, other], text);
            }
        }
    }
}

/// What is washed out straight after work that is done: when that was over is a fact.
fn follows_a_fact(op: &Op<'_>, ops: &[&Op<'_>]) -> bool {
    let before = |other: &&&Op<'_>| other.is_fact() && other.until == op.from && other.family == op.family;
    op.step == StepKind::CleanUp && ops.iter().any(|other| before(&other))
}

/// A person's stretches of work over the whole plan; stretches that touch are one.
fn stretches(sheet: &Sheet<'_>, hand: &Hand) -> Vec<(Moment, Moment)> {
    let hours = hand.hours.as_ref().unwrap_or(&sheet.job.hours);
    let zone = sheet.job.zone;
    let first = sheet
        .ops
        .iter()
        .map(|op| op.from)
        .min()
        .unwrap_or(sheet.job.start)
        .min(sheet.job.start);
    let stated = sheet
        .plan
        .hands
        .iter()
        .flat_map(|line| &line.shifts)
        .map(|(_, until)| Moment::of(until));
    let last = sheet.ops.iter().map(|op| op.until).chain(stated).max().unwrap_or(first);
    let mut day = (first - Span::days(1)).in_zone(zone).date_naive();
    let end = (last + Span::days(1)).in_zone(zone).date_naive();
    let mut stretches: Vec<(Moment, Moment)> = Vec::new();
    while day <= end {
        for shift in shifts_on(hours, day) {
            let (from, until) = (
                clock_time(zone, day, shift.from, false),
                clock_time(zone, day, shift.until, true),
            );
            match stretches.last_mut() {
                Some(before) if before.1 >= from => before.1 = before.1.max(until),
                _ => stretches.push((from, until)),
            }
        }
        let Some(next) = day.checked_add_days(Days::new(1)) else {
            break;
        };
        day = next;
    }
    stretches
}

/// Working minutes past a limit in which something could have been done again, the setting out of the coat
/// itself left aside (common practice, no source).
pub(super) const AGAIN_MINUTES: i64 = 60;

/// Minutes between two moments in which somebody works.
pub(super) fn worked(sheet: &Sheet<'_>, from: Moment, until: Moment) -> i64 {
    let hours = sheet.hours(|| sheet.job.hands.iter().map(|hand| stretches(sheet, hand)).collect());
    let each = hours.iter().map(|stretches| {
        stretches
            .iter()
            .map(|(opens, closes)| ((*closes).min(until) - (*opens).max(from)).0.max(0))
            .sum()
    });
    each.max().unwrap_or(0)
}

/// The shifts of a day: an exception's where the date has one, else the weekday's.
fn shifts_on(hours: &WeekHours, day: NaiveDate) -> &[DayShift] {
    let exception = hours.exceptions.iter().find(|exception| exception.date == day);
    let weekday = day.weekday().num_days_from_monday() as usize;
    exception
        .map(|exception| exception.shifts.as_slice())
        .or_else(|| hours.week.get(weekday).map(Vec::as_slice))
        .unwrap_or_default()
}

/// A clock time as an instant. In the hour that spring leaves out: the first minute after it. In the hour that
/// autumn has twice: the earlier for a start, the later for an end.
fn clock_time(zone: Tz, day: NaiveDate, minutes: u32, end: bool) -> Moment {
    let mut local = day.and_time(NaiveTime::MIN) + TimeDelta::minutes(i64::from(minutes));
    for _ in 0..180 {
        match zone.from_local_datetime(&local) {
            LocalResult::Single(at) => return Moment::of(&at),
            LocalResult::Ambiguous(earlier, later) => return Moment::of(if end { &later } else { &earlier }),
            LocalResult::None => local += TimeDelta::minutes(1),
        }
    }
    Moment::of(&zone.from_utc_datetime(&local))
}

/// The stretches the plan writes down lie inside the person's.
fn stated(sheet: &Sheet<'_>, hand: &Hand, stretches: &[(Moment, Moment)], found: &mut Breaches) {
    let line = sheet.plan.hands.iter().find(|line| line.name == hand.name);
    for (from, until) in line.map(|line| line.shifts.as_slice()).unwrap_or_default() {
        let (from, until) = (Moment::of(from), Moment::of(until));
        if !stretches
            .iter()
            .any(|(opens, closes)| *opens <= from && until <= *closes)
        {
            let text = format!(
                "the plan has {} at work {} to {}, outside the job's hours",
                hand.name,
                sheet.clock(from),
                sheet.clock(until)
            );
            found.document(Rule::Hours, text);
        }
    }
}
