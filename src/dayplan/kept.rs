//! What planning a job again need not work out anew: its work, the vapour of its coats, the room's air, the drying clocks
//! in it, where coats may be started by them, and why each operation was not earlier in the last plan.
//!
//! Invariant: what is kept is given out only for the job, or the room, readings, products and stretch of time it was made
//! from, so a plan is the same with it and without.

use super::vapour::Stairs;
use crate::clock::{Air, DryingClock, start_stretches_lasting};
use crate::finish::Product;
use crate::job::{Climate, Job, Reading};
use crate::planner::{Clock, Explained};
use crate::science::MoistAir;
use crate::units::{Moment, Span};
use crate::work::Work;
use chrono_tz::Tz;
use foldhash::HashMap;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

/// Larger airs are made anew each time, bytes: a wall that plans a thousand pieces needs the memory itself.
const MOST_KEPT: usize = 40 << 20;

/// And so is the work of larger jobs, operations.
const MOST_WORK: usize = 10_000;

/// How far the air moves between two points of the document, kelvins.
const TOLD_KELVINS: f64 = 0.25;

/// Room for what the last planning worked out. Two plannings may use one at the same time.
#[derive(Debug, Default)]
pub struct Kept {
    wound: Mutex<Option<Arc<Wound>>>,
    of_job: Mutex<Option<(Job, OfJob)>>,
    explained: Mutex<Option<Arc<Explained>>>,
}

/// What follows from a job alone.
#[derive(Clone, Debug)]
pub(super) struct OfJob {
    pub work: Arc<Work>,
    /// Its operations by id.
    pub index: Arc<HashMap<String, usize>>,
    pub stairs: Arc<Stairs>,
}

/// What is kept, even where a planning broke off that held it.
fn held<T>(kept: &Mutex<T>) -> MutexGuard<'_, T> {
    kept.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Kept {
    /// What is kept from now on is this one's own.
    #[must_use]
    pub fn fork(&self) -> Self {
        Self {
            wound: Mutex::new(held(&self.wound).clone()),
            of_job: Mutex::new(held(&self.of_job).clone()),
            explained: Mutex::new(held(&self.explained).clone()),
        }
    }

    /// What follows from a job: what is kept where it is the same job.
    pub(super) fn of_job(&self, job: &Job) -> OfJob {
        let mut kept = held(&self.of_job);
        if let Some((known, of_job)) = kept.as_ref()
            && known == job
        {
            return of_job.clone();
        }
        let work = crate::work::of(job);
        let operations = work.operations.iter().enumerate();
        let index = operations.map(|(at, one)| (one.id.clone(), at)).collect();
        let of_job = OfJob {
            work: Arc::new(work),
            index: Arc::new(index),
            stairs: Arc::default(),
        };
        *kept = (of_job.work.operations.len() <= MOST_WORK).then(|| (job.clone(), of_job.clone()));
        of_job
    }

    /// The reasons of the last plan.
    pub(super) fn explained(&self) -> Option<Arc<Explained>> {
        held(&self.explained).clone()
    }

    /// Keeps the reasons of a plan for the next one.
    pub(super) fn explain(&self, explained: Explained) {
        *held(&self.explained) = (explained.tasks() <= MOST_WORK).then(|| Arc::new(explained));
    }

    /// The air and the clocks of a job's room from one moment to another: those kept where they are the same.
    pub(super) fn wound(&self, job: &Job, readings: &[Reading], from: Moment, until: Moment) -> Arc<Wound> {
        let last = held(&self.wound).clone();
        if let Some(last) = last
            && last.is_of(job, readings, from, until)
        {
            return last;
        }
        let wound = Arc::new(Wound::new(job, readings, from, until));
        *held(&self.wound) = (wound.bytes() <= MOST_KEPT).then(|| Arc::clone(&wound));
        wound
    }
}

/// Stretches in which something may be started.
type Stretches = Arc<Vec<(Moment, Moment)>>;

/// A room's air and the drying clocks in it.
#[derive(Debug)]
pub(super) struct Wound {
    climate: Climate,
    zone: Tz,
    readings: Vec<Reading>,
    until: Moment,
    pub air: Air,
    /// By product, in the order of the job's schedules.
    pub clocks: Vec<(Product, DryingClock)>,
    /// The slow and the fast hand of each as the planner has them.
    pub hands: Vec<Clock>,
    /// The air as the document tells it.
    points: OnceLock<Vec<(Moment, MoistAir)>>,
    /// By product (its place among the clocks), bits of the minutes to the stage it must reach, and minutes of hands.
    starts: Mutex<BTreeMap<(usize, u64, u32), Stretches>>,
}

/// The products of a job's schedules, each once.
fn products(job: &Job) -> Vec<&Product> {
    let mut products: Vec<&Product> = Vec::new();
    for product in job.schedules.values().flat_map(|schedule| schedule.products.iter()) {
        if !products.iter().any(|known| known.id == product.id) {
            products.push(product);
        }
    }
    products
}

/// The drying clocks of some products, wound two at a time.
fn clocks(products: &[&Product], air: &Air) -> Vec<(Product, DryingClock)> {
    let (some, others) = products.split_at(products.len() / 2);
    let wind = |products: &[&Product]| -> Vec<(Product, DryingClock)> {
        let clocks = products.iter();
        clocks
            .map(|&product| (product.clone(), DryingClock::new(product, air)))
            .collect()
    };
    std::thread::scope(|scope| {
        let beside = (!some.is_empty()).then(|| scope.spawn(|| wind(some)));
        let last = wind(others);
        // a clock that could not be wound beside is wound here
        let mut clocks = beside.map_or_else(Vec::new, |beside| beside.join().unwrap_or_else(|_| wind(some)));
        clocks.extend(last);
        clocks
    })
}

impl Wound {
    fn new(job: &Job, readings: &[Reading], from: Moment, until: Moment) -> Self {
        let air = Air::of(job, readings, from, until);
        let clocks = clocks(&products(job), &air);
        let hands = clocks.iter().flat_map(|(_, clock)| [clock.total(), clock.most()]);
        Self {
            climate: job.room.climate.clone(),
            zone: job.zone,
            readings: readings.to_vec(),
            until,
            hands: hands.map(|hand| Clock::Measured(Arc::clone(hand).into())).collect(),
            air,
            clocks,
            points: OnceLock::new(),
            starts: Mutex::default(),
        }
    }

    fn is_of(&self, job: &Job, readings: &[Reading], from: Moment, until: Moment) -> bool {
        (self.air.first(), self.until, self.zone) == (from, until, job.zone)
            && self.readings == readings
            && self.climate == job.room.climate
            && self.clocks.iter().map(|(product, _)| product).eq(products(job))
    }

    fn bytes(&self) -> usize {
        let each = size_of_val(&self.air.at(self.air.first())) * 2 + self.hands.len() * size_of::<u64>();
        let minutes = usize::try_from((self.until - self.air.first()).0).unwrap_or(0);
        minutes.saturating_mul(each)
    }

    /// The place of a product's clock among the clocks.
    pub(super) fn clock_of(&self, product: &str) -> Option<usize> {
        self.clocks.iter().position(|(known, _)| known.id == product)
    }

    /// The air as a list of points, as fine as the document tells it.
    pub(super) fn points(&self) -> &[(Moment, MoistAir)] {
        self.points.get_or_init(|| self.air.points(TOLD_KELVINS))
    }

    /// Where a coat of the product at this place among the clocks may be started that takes hands so long to put on.
    pub(super) fn starts(&self, product: usize, coat: u8, to_stage: u64, hands: u32) -> Stretches {
        let known = |starts: &BTreeMap<_, Stretches>| starts.get(&(product, to_stage, hands)).cloned();
        if let Some(known) = known(&held(&self.starts)) {
            return known;
        }
        let found = self.clocks.get(product).map_or_else(Vec::new, |(product, clock)| {
            start_stretches_lasting(product, coat, &self.air, clock, Span(i64::from(hands)))
        });
        let found = Arc::new(found);
        held(&self.starts).insert((product, to_stage, hands), Arc::clone(&found));
        found
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)] // a check that fails says why
mod tests {
    use super::*;
    use crate::source::SourceFile;
    use crate::units::{Celsius, Percent};

    fn demo() -> Job {
        let file = SourceFile::new("linen-press.toml", include_str!("../../demo/linen-press.toml"));
        let (job, _) = crate::job::read(&file, &crate::finish::shipped());
        job.expect("the demo can be read")
    }

    #[test]
    fn given_out_again_only_for_the_same() {
        let (job, kept) = (demo(), Kept::default());
        let until = job.start + Span::days(3);
        let wound = |job: &Job, readings: &[Reading], until| kept.wound(job, readings, job.start, until);
        let first = wound(&job, &[], until);
        assert!(Arc::ptr_eq(&first, &wound(&job, &[], until)));
        assert!(!Arc::ptr_eq(&first, &wound(&job, &[], until + Span(1))));
        let cold = Reading {
            at: job.start,
            temperature: Celsius(9.0),
            humidity: Some(Percent(50.0)),
        };
        let read = wound(&job, &[cold], until);
        assert_ne!(read.air, first.air);
        let mut other = job.clone();
        other.room.climate.lines.iter_mut().for_each(|line| line.day.0 -= 1.0);
        assert_ne!(wound(&other, &[], until).air, first.air);

        let known = kept.of_job(&job);
        let again = kept.of_job(&job);
        assert!(Arc::ptr_eq(&known.work, &again.work) && Arc::ptr_eq(&known.stairs, &again.stairs));
        other.pieces.pop();
        let other = kept.of_job(&other);
        assert_ne!(other.work.operations.len(), known.work.operations.len());
        assert!(!Arc::ptr_eq(&known.stairs, &other.stairs));
    }

    #[test]
    fn too_much_is_not_kept() {
        let (job, kept) = (demo(), Kept::default());
        let far = job.start + Span::days(1_000);
        let first = kept.wound(&job, &[], job.start, far);
        assert!(first.bytes() > MOST_KEPT);
        assert!(!Arc::ptr_eq(&first, &kept.wound(&job, &[], job.start, far)));
    }
}
