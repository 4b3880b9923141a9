//! What would bring the end forward: one thing about the shop changed, and the job planned again.
//!
//! Invariant: every gain is the difference of two real plans that both keep every rule; the changed plan begins
//! from the order of the plan it is measured against. The job itself is never touched.

use super::document::{Plan, Stamp};
use super::history::History;
use super::make::{Means, NoPlan, Settings, plan_by};
use crate::job::{Hand, Job, PlaceKind, WeekHours};

/// One thing changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// One more pair of hands, in the hours of the first.
    OneMoreHand,
    /// So many kelvins more while the heating is off.
    WarmerNights(f64),
    /// So many more places of a kind.
    MorePlaces(PlaceKind, u32),
    /// Dust made in another room.
    DustApart,
    /// Every working day so many minutes longer at its end.
    LaterEvenings(u32),
}

/// What a change brings.
#[derive(Clone, Debug, PartialEq)]
pub struct Gain {
    /// The change.
    pub change: Change,
    /// When everything would be ready to glue; `None` where no plan was found.
    pub ready: Option<Stamp>,
    /// Minutes earlier than without; negative or zero where no sooner plan was found.
    pub minutes: i64,
}

/// The changes worth asking about for a job.
pub fn changes(job: &Job) -> Vec<Change> {
    let places = [
        PlaceKind::Bearers,
        PlaceKind::Points,
        PlaceKind::Hooks,
        PlaceKind::Racks,
    ];
    let mut changes = vec![
        Change::OneMoreHand,
        Change::LaterEvenings(60),
        Change::WarmerNights(2.0),
    ];
    changes.push(Change::DustApart);
    changes.extend(places.map(|kind| Change::MorePlaces(kind, 10)));
    changes.retain(|change| change.made(job).is_some());
    changes
}

impl Change {
    /// The job with this changed; `None` where it would change nothing.
    pub fn made(self, job: &Job) -> Option<Job> {
        let mut changed = job.clone();
        match self {
            Self::OneMoreHand => {
                let first = changed.hands.first()?;
                let hand = Hand {
                    name: "one more".to_owned(),
                    hours: first.hours.clone(),
                };
                changed.hands.push(hand);
            }
            Self::WarmerNights(kelvins) => {
                let heated = changed.room.climate.lines.iter_mut();
                let mut any = false;
                for line in heated.filter(|line| line.heating.is_some() && line.night.0 < line.day.0) {
                    line.night.0 = (line.night.0 + kelvins).min(line.day.0);
                    any = true;
                }
                any.then_some(())?;
            }
            Self::MorePlaces(kind, more) => {
                let places = &mut changed.room.places;
                let known = match kind {
                    PlaceKind::Bearers => &mut places.bearers,
                    PlaceKind::Points => &mut places.points,
                    PlaceKind::Hooks => &mut places.hooks,
                    PlaceKind::Racks => &mut places.racks,
                };
                *known = Some((*known)?.saturating_add(more));
            }
            Self::DustApart => {
                (!changed.room.dust_separated).then_some(())?;
                changed.room.dust_separated = true;
            }
            Self::LaterEvenings(minutes) => {
                longer(&mut changed.hours, minutes);
                for hours in changed.hands.iter_mut().filter_map(|hand| hand.hours.as_mut()) {
                    longer(hours, minutes);
                }
            }
        }
        Some(changed)
    }
}

/// Every day with work ends later.
fn longer(hours: &mut WeekHours, minutes: u32) {
    let dated = hours.exceptions.iter_mut().map(|exception| &mut exception.shifts);
    for shifts in hours.week.iter_mut().chain(dated) {
        if let Some(last) = shifts.last_mut() {
            last.until = (last.until + minutes).min(1440).max(last.until);
        }
    }
}

/// What each change would bring, the greatest gain first. `go_on` is asked between the plans and inside them.
pub fn gains(
    job: &Job,
    history: &History,
    settings: Settings,
    plan: &Plan,
    go_on: &mut dyn FnMut() -> bool,
) -> Vec<Gain> {
    let mut gains = Vec::new();
    for change in changes(job) {
        if !go_on() {
            break;
        }
        let Some(changed) = change.made(job) else { continue };
        // what was accepted for the shop as it is says nothing about the changed one
        let free = History {
            plan: None,
            ..history.clone()
        };
        let means = Means {
            begin: Some(plan),
            ..Means::default()
        };
        let ready = match plan_by(&changed, &free, settings, means, go_on) {
            Ok(made) => Some(made.ready),
            Err(NoPlan::Rule { .. } | NoPlan::Broken(_)) => None,
        };
        gains.push(Gain {
            change,
            ready,
            minutes: ready.map_or(0, |ready| (plan.ready - ready).num_minutes()),
        });
    }
    gains.sort_by_key(|gain| std::cmp::Reverse(gain.minutes));
    gains
}
