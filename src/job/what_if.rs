//! What if: the same job with one thing otherwise.
//!
//! Invariant: a change answers with a new job and leaves the old one as it was; a job it makes keeps every rule
//! of [`Job`]; a change that would change nothing answers `None`.

use super::{DayShift, Hand, Job, WeekHours};
use crate::finish::Schedule;
use crate::units::Celsius;

/// The latest minute of the day work may end at.
const MIDNIGHT: u32 = 24 * 60;

/// One thing that could be otherwise.
#[derive(Clone, Debug)]
pub enum WhatIf {
    /// Surfaces that get one finish get another.
    Finish {
        /// Id of the schedule they get as the job is written.
        from: String,
        /// The other schedule.
        to: Box<Schedule>,
    },
    /// So many pairs of hands.
    Hands(usize),
    /// The night's air warmer by so many kelvin, never above the day's.
    WarmerNights(f64),
    /// So many places more of every kind that is limited.
    MorePlaces(u32),
    /// Dust is made in another room.
    DustApart,
    /// The last shift of every working day goes on for so many minutes.
    LaterEvening(u32),
}

impl WhatIf {
    /// The job with this otherwise; `None` where it is so already.
    pub fn of(&self, job: &Job) -> Option<Job> {
        let mut other = job.clone();
        let changed = match self {
            Self::Finish { from, to } => finish(&mut other, from, to),
            Self::Hands(count) => hands(&mut other, *count),
            Self::WarmerNights(by) => nights(&mut other, *by),
            Self::MorePlaces(more) => places(&mut other, *more),
            Self::DustApart => !std::mem::replace(&mut other.room.dust_separated, true),
            Self::LaterEvening(minutes) => evening(&mut other, *minutes),
        };
        changed.then_some(other)
    }
}

fn finish(job: &mut Job, from: &str, to: &Schedule) -> bool {
    if from == to.id {
        return false;
    }
    let mut changed = false;
    for surface in job.pieces.iter_mut().flat_map(|piece| &mut piece.surfaces) {
        if surface.schedule.as_deref() == Some(from) {
            surface.schedule = Some(to.id.clone());
            changed = true;
        }
    }
    for piece in job
        .pieces
        .iter_mut()
        .filter(|piece| piece.sample.as_deref() == Some(from))
    {
        piece.sample = Some(to.id.clone());
    }
    if changed {
        job.schedules.remove(from);
        job.schedules.entry(to.id.clone()).or_insert_with(|| to.clone());
    }
    changed
}

fn hands(job: &mut Job, count: usize) -> bool {
    let now = job.hands.len();
    if count == 0 || count == now {
        return false;
    }
    job.hands.truncate(count);
    for number in now + 1..=count {
        let taken = |name: &str| job.hands.iter().any(|hand| hand.name == name);
        let mut name = format!("hands {number}");
        while taken(&name) {
            name.push('\'');
        }
        job.hands.push(Hand { name, hours: None });
    }
    true
}

fn nights(job: &mut Job, by: f64) -> bool {
    let mut changed = false;
    for line in &mut job.room.climate.lines {
        let warmer = (line.night.0 + by).min(line.day.0.max(line.night.0));
        if line.heating.is_some() && warmer > line.night.0 {
            line.night = Celsius(warmer);
            changed = true;
        }
    }
    changed
}

fn places(job: &mut Job, more: u32) -> bool {
    let places = &mut job.room.places;
    let limited = [
        &mut places.bearers,
        &mut places.points,
        &mut places.hooks,
        &mut places.racks,
    ];
    let mut changed = false;
    for place in limited.into_iter().flatten() {
        *place = place.saturating_add(more);
        changed |= more > 0;
    }
    changed
}

fn evening(job: &mut Job, minutes: u32) -> bool {
    let own = job.hands.iter_mut().filter_map(|hand| hand.hours.as_mut());
    let mut changed = false;
    for hours in std::iter::once(&mut job.hours).chain(own) {
        changed |= longer(hours, minutes);
    }
    changed
}

fn longer(hours: &mut WeekHours, minutes: u32) -> bool {
    let dated = hours.exceptions.iter_mut().map(|exception| &mut exception.shifts);
    let mut changed = false;
    for shifts in hours.week.iter_mut().chain(dated) {
        if let Some(DayShift { until, .. }) = shifts.last_mut() {
            let later = until.saturating_add(minutes).min(MIDNIGHT.max(*until));
            changed |= later > *until;
            *until = later;
        }
    }
    changed
}
