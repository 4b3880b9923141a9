//! Everything a plan is made from, put on one line of minutes.
//!
//! Invariant: tick 0 is [`Frame::origin`]; every clock and the air cover the whole line.

use super::facts::Facts;
use super::shifts;
use crate::clock::drying::units;
use crate::clock::{Air, DryingClock};
use crate::finish::{Product, Stage};
use crate::job::Job;
use crate::planner::{ClockId, Tail, Tick};
use crate::units::{Moment, Span};
use crate::work::{Delay, Work};

/// The frame of a plan.
pub struct Frame<'a> {
    /// The job.
    pub job: &'a Job,
    /// What has happened.
    pub facts: &'a Facts,
    /// What has to be done.
    pub work: Work,
    /// Tick 0.
    pub origin: Moment,
    /// The end of the line.
    pub until: Moment,
    /// Nothing new before this.
    pub now: Moment,
    /// The room's air.
    pub air: Air,
    /// Drying clocks by product; clock 0 of the network is the wall, these follow in order.
    pub clocks: Vec<(&'a Product, DryingClock)>,
}

impl<'a> Frame<'a> {
    /// Lays the line out.
    pub fn new(job: &'a Job, facts: &'a Facts) -> Self {
        let work = crate::work::of(job);
        let now = facts.now.map_or(job.start, |now| now.max(job.start));
        let earliest = facts.happened.values().map(|happened| happened.start).min();
        let first = earliest.map_or(job.start, |earliest| earliest.min(job.start));
        let origin = Moment(first.0.div_euclid(1440) * 1440);
        let total: f64 = work.operations.iter().map(|operation| operation.minutes).sum();
        let until = now + shifts::horizon(job, total);
        let air = Air::of(job, &facts.readings, origin, until);
        let mut clocks: Vec<(&Product, DryingClock)> = Vec::new();
        for product in job.schedules.values().flat_map(|schedule| schedule.products.iter()) {
            if !clocks.iter().any(|(known, _)| known.id == product.id) {
                clocks.push((product, DryingClock::new(product, &air)));
            }
        }
        Self { job, facts, work, origin, until, now, air, clocks }
    }

    /// An instant as a tick; instants outside the line are drawn to its ends.
    pub fn tick(&self, at: Moment) -> Tick {
        u32::try_from((at.min(self.until) - self.origin).0.max(0)).unwrap_or(0)
    }

    /// A tick as an instant.
    pub fn moment(&self, tick: Tick) -> Moment {
        self.origin + Span(i64::from(tick))
    }

    /// The drying clock of a product.
    pub fn clock(&self, product: &str) -> Option<(ClockId, &DryingClock)> {
        let at = self.clocks.iter().position(|(known, _)| known.id == product)?;
        self.clocks.get(at).map(|(_, clock)| (at as ClockId + 1, clock))
    }

    /// Stated minutes to a stage of the film laid by an operation, slow estimate, touch tests heeded.
    pub fn minutes_to(&self, operation: usize, stage: Stage) -> Option<f64> {
        let laid = self.work.operations.get(operation)?;
        let product = self.job.product(laid.product.as_deref()?)?;
        let stated = product.slow_minutes(stage, laid.coat.unwrap_or(1))?;
        Some(stated * self.facts.factor(&laid.id, stage))
    }

    /// A delay after an operation as a tail on its clock.
    pub fn tail(&self, operation: usize, delay: Delay) -> Tail {
        let wall = |minutes: i64| Tail { clock: 0, amount: u64::try_from(minutes).unwrap_or(0) };
        let dried = |minutes: f64| {
            let product = self.work.operations.get(operation).and_then(|laid| laid.product.as_deref());
            match product.and_then(|product| self.clock(product)) {
                Some((clock, _)) => Tail { clock, amount: units(minutes) },
                None => wall(minutes.ceil() as i64),
            }
        };
        match delay {
            Delay::Minutes(minutes) => wall(minutes),
            Delay::Dried(minutes) => dried(minutes),
            Delay::Film(stage) => self.minutes_to(operation, stage).map_or(wall(0), dried),
        }
    }

    /// When a delay that begins at `start` is over.
    pub fn over(&self, operation: usize, delay: Delay, start: Moment) -> Option<Moment> {
        let tail = self.tail(operation, delay);
        if tail.clock == 0 {
            return Some(start + Span(i64::try_from(tail.amount).unwrap_or(i64::MAX)));
        }
        let (_, clock) = self.clocks.get(tail.clock as usize - 1)?;
        clock.reached(start, tail.amount as f64 / crate::clock::drying::UNITS_PER_MINUTE as f64)
    }
}
