//! The standing of a whole job.
//!
//! Invariant: reads nothing but its arguments.

use super::facts::Facts;
use super::state::Standing;
use super::{closing, coming, pace, piece, rounds};
use crate::clock::{Air, DryingClock};
use crate::dayplan::Plan;
use crate::dayplan::history::History;
use crate::job::Job;
use crate::units::{Moment, Span};
use std::collections::BTreeMap;

/// Drying clocks by product.
pub type Clocks = BTreeMap<String, DryingClock>;

/// The drying clocks of every product a job uses, over its air.
pub fn clocks(job: &Job, air: &Air) -> Clocks {
    let products = job.schedules.values().flat_map(|schedule| &schedule.products);
    products
        .map(|product| (product.id.clone(), DryingClock::new(product, air)))
        .collect()
}

/// Where everything stands at `now`. `plan` is the plan in force; `air` should begin before the first film
/// was laid and reach as far ahead as answers are wanted.
pub fn at(job: &Job, history: &History, plan: Option<&Plan>, air: &Air, clocks: &Clocks, now: Moment) -> Standing {
    let facts = Facts::new(job, history, plan, air, clocks, now);
    let paces = pace::of(&facts);
    let pieces: Vec<_> = job
        .pieces
        .iter()
        .enumerate()
        .map(|(index, piece)| piece::standing(&facts, index, piece, &paces))
        .collect();
    let (rounds, now_round) = rounds::standing(&facts);
    Standing {
        now,
        rounds,
        now_round,
        coming: coming::ready(&facts, &pieces),
        closing: closing::all(&facts, &pieces),
        air: air_at(air, now),
        pieces,
    }
}

/// The air at an instant, or at the nearest the air is known for; not a number where it is not known at all.
fn air_at(air: &Air, now: Moment) -> (f64, f64) {
    let last = air.end() - Span(1);
    let nearest = now.max(air.first()).min(last.max(air.first()));
    air.at(nearest)
        .map_or((f64::NAN, f64::NAN), |air| (air.temperature.0, air.humidity.0))
}
