//! Everything a plan is made from, put on one line of minutes.
//!
//! Invariant: tick 0 is [`Frame::origin`]; every clock and the air cover the whole line.

use super::document::{Operation, Plan};
use super::history::{Fate, History};
use super::kept::{Kept, OfJob, Wound};
use super::shifts;
use super::vapour::Stairs;
use crate::clock::{Air, DryingClock};
use crate::clock::{UNITS_PER_MINUTE, units};
use crate::finish::{Product, Stage, StepKind};
use crate::job::Job;
use crate::planner::{ClockId, Tail, Tick};
use crate::units::{Moment, Span};
use crate::work::{Delay, Work, WorkOperation};
use foldhash::HashMap;
use std::collections::BTreeMap;
use std::sync::Arc;

/// After a touch test that says not yet: this much more than the time that was not enough.
const MORE_AFTER_A_TEST: f64 = 1.25;

/// The network's clock of the first product's slow hand; its fast hand is the next.
const SLOW_HAND: ClockId = 1;

/// No plan looks further ahead than this.
const LONGEST: Span = Span::days(1_500);

const WEEK: Span = Span::days(7);

/// The frame of a plan.
pub struct Frame<'a> {
    /// The job.
    pub job: &'a Job,
    /// What has happened.
    pub history: &'a History,
    /// What has to be done.
    pub work: Arc<Work>,
    /// Operations by id.
    index: Arc<HashMap<String, usize>>,
    /// What its coats draw of the room's allowance of vapour, as far as that has been asked.
    pub stairs: Arc<Stairs>,
    /// Tick 0.
    pub origin: Moment,
    /// The end of the line.
    pub until: Moment,
    /// Nothing new before this.
    pub now: Moment,
    /// The room's air and the drying clocks in it; clock 0 of the network is the wall, then come the slow and the fast
    /// hand of each in order.
    wound: Arc<Wound>,
    /// Of which product each operation lays a film, as a place among the clocks.
    laid: Vec<Option<usize>>,
    /// What became of each operation.
    fates: Vec<Option<&'a Fate>>,
    /// When each family of brushes or paper was last in use, as far as has happened.
    pub lately: BTreeMap<String, Moment>,
    /// Hands of the plan in force of what it has several pairs of hands do together, by operation: the record of it names
    /// one of them.
    pub planned_together: BTreeMap<&'a str, &'a [String]>,
    /// Starts in the plan in force of what brush or paper is out for by then, by operation.
    pub being_set_out: BTreeMap<String, Moment>,
}

/// The longest stated drying any wait of the work asks for, minutes.
fn longest_drying(job: &Job, work: &Work) -> f64 {
    let minutes = |before: usize, delay: Delay| match delay {
        Delay::Minutes(minutes) => minutes as f64,
        Delay::Dried(minutes) | Delay::Sooner(minutes) => minutes,
        Delay::Film(stage) => {
            let laid = work.operations.get(before);
            let product = laid.and_then(|laid| job.product(laid.product.as_deref()?));
            let coat = laid.and_then(|laid| laid.coat).unwrap_or(1);
            product
                .and_then(|product| product.slow_minutes(stage, coat))
                .unwrap_or(0.0)
        }
    };
    let waits = work.waits.iter().map(|wait| minutes(wait.before, wait.min));
    let ready = work
        .ready
        .iter()
        .flatten()
        .map(|&(before, delay)| minutes(before, delay));
    let stacks = work.places.iter().flat_map(|place| {
        place
            .last
            .iter()
            .map(|&last| minutes(last, Delay::Film(Stage::DryToStack)))
    });
    waits.chain(ready).chain(stacks).fold(0.0, f64::max)
}

/// Until when a plan and what dries after it reach, in air that is not much slower than stated.
fn in_sight(plan: &Plan, longest_drying: f64) -> Moment {
    let ends = plan.operations.iter().map(|one| Moment::of(&one.end));
    let last = ends.max().unwrap_or_else(|| Moment::of(&plan.now));
    last + Span((longest_drying * 3.0) as i64) + Span::days(7)
}

/// When each family was last in use.
fn lately(now: Moment, work: &Work, said: &[Option<&Fate>]) -> BTreeMap<String, Moment> {
    let mut lately: BTreeMap<&str, Moment> = BTreeMap::new();
    for (operation, fate) in work.operations.iter().zip(said) {
        let until = match fate {
            Some(Fate::Done(done)) => done.end,
            Some(Fate::Begun { .. }) => now,
            _ => continue,
        };
        if let Some(family) = &operation.family {
            let last = lately.entry(family).or_insert(until);
            *last = until.max(*last);
        }
    }
    lately
        .into_iter()
        .map(|(family, last)| (family.to_owned(), last))
        .collect()
}

/// What the plan in force has several pairs of hands do together, with their names.
fn planned_together(history: &History) -> BTreeMap<&str, &[String]> {
    let plan = history.plan.as_deref().into_iter();
    let together = plan.flat_map(|plan| &plan.operations).filter(|one| one.hands.len() > 1);
    together.map(|one| (one.id.as_str(), one.hands.as_slice())).collect()
}

/// What brush or paper is out for already, or being set out for just now, as the plan in force has it: setting out is
/// not ticked, so it is taken to go by the plan as long as all that was due has begun.
fn being_set_out(history: &History, now: Moment) -> BTreeMap<String, Moment> {
    let mut set_out = BTreeMap::new();
    let Some(plan) = history.plan.as_deref() else {
        return set_out;
    };
    let is_setting = |one: &&Operation| one.step == StepKind::ChangeOver;
    let work = plan.operations.iter();
    let work = work.filter(|one| !matches!(one.step, StepKind::ChangeOver | StepKind::Mix | StepKind::CleanUp));
    let (past, to_come): (Vec<_>, Vec<_>) = work.partition(|one| Moment::of(&one.start) < now);
    if past.iter().any(|one| !history.operations.contains_key(&one.id)) {
        return set_out;
    }
    let mut settings: BTreeMap<(&str, &str), Vec<Moment>> = BTreeMap::new();
    for setting in plan.operations.iter().filter(is_setting) {
        for hand in &setting.hands {
            let known = settings.entry((setting.family.as_deref().unwrap_or_default(), hand));
            known.or_default().push(Moment::of(&setting.start));
        }
    }
    for starts in settings.values_mut() {
        starts.sort_unstable();
    }
    for one in to_come {
        let (Some(family), start) = (one.family.as_deref(), Moment::of(&one.start)) else {
            continue;
        };
        // the last time it is set out before this work; mixing, or a break, may stand between
        let own = one.hands.iter().filter_map(|hand| settings.get(&(family, hand)));
        let last = own.filter_map(|starts| starts.get(starts.partition_point(|&from| from < start).checked_sub(1)?));
        if last.max().is_some_and(|&from| from < now) {
            set_out.insert(one.id.clone(), start);
        }
    }
    set_out
}

impl<'a> Frame<'a> {
    /// Lays the line out, so many times the length a plan usually needs.
    pub fn reaching(job: &'a Job, history: &'a History, times: i64, kept: &Kept) -> Self {
        let OfJob {
            mut work,
            index,
            stairs,
        } = kept.of_job(job);
        // what is said of each operation, whatever has been stripped since
        let mut said: Vec<Option<&Fate>> = vec![None; work.operations.len()];
        for (id, fate) in &history.operations {
            if let Some(said) = index.get(id).and_then(|&at| said.get_mut(at)) {
                *said = Some(fate);
            }
        }
        for (at, fate) in said.iter().enumerate() {
            if matches!(fate, Some(Fate::Skipped { .. })) {
                Arc::make_mut(&mut work).leave_out(at);
            }
        }
        let now = history.now.max(job.start);
        let begun = history.operations.values().filter_map(|fate| match fate {
            Fate::Done(done) => Some(done.start),
            Fate::Begun { start, .. } => Some(*start),
            Fate::Skipped { .. } => None,
        });
        let earliest = begun.min();
        let first = earliest.map_or(job.start, |earliest| earliest.min(job.start));
        let origin = Moment(first.0.div_euclid(1440) * 1440);
        // what is done needs no more time
        let to_come = work.operations.iter().zip(&said).filter(|(_, fate)| fate.is_none());
        let total: f64 = to_come.map(|(operation, _)| operation.minutes).sum();
        let drying = longest_drying(job, &work);
        let length = shifts::horizon(job, total, drying, super::vapour::days(job, &work));
        // the plan in force and what dries after it must be in sight, or it could not stand
        let in_force = history.plan.as_deref().map_or(now, |plan| in_sight(plan, drying));
        let mut until = (now + Span(length.0 * times)).max(in_force);
        if history.plan.is_some() {
            // whole weeks: what is kept is then of use for many a plan in force after this one
            let weeks = (until - origin).0.div_euclid(WEEK.0) + 1;
            until = origin + Span(weeks * WEEK.0);
        }
        let until = until.min(now + LONGEST);
        let wound = kept.wound(job, &history.readings, origin, until);
        let laid = work.operations.iter();
        let laid = laid.map(|one| wound.clock_of(one.product.as_deref()?));
        let mut frame = Self {
            laid: laid.collect(),
            fates: Vec::new(),
            job,
            history,
            lately: lately(history.now, &work, &said),
            being_set_out: being_set_out(history, now),
            planned_together: planned_together(history),
            work,
            index,
            stairs,
            origin,
            until,
            now,
            wound,
        };
        let operations = frame.work.operations.iter().zip(said);
        frame.fates = operations.map(|(one, fate)| frame.fate_of(one, fate)).collect();
        frame
    }

    /// The place of an operation among those of the work.
    pub fn find(&self, id: &str) -> Option<usize> {
        self.index.get(id).copied()
    }

    /// The room's air.
    pub fn air(&self) -> &Air {
        &self.wound.air
    }

    /// Drying clocks by product, in the order in which the network has them.
    pub fn clocks(&self) -> &[(Product, DryingClock)] {
        &self.wound.clocks
    }

    /// Those clocks and where coats may be started by them.
    pub(super) fn wound(&self) -> &Wound {
        &self.wound
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
        let at = self.wound.clock_of(product)?;
        let (_, clock) = self.wound.clocks.get(at)?;
        Some((2 * at as ClockId + SLOW_HAND, clock))
    }

    /// The product an operation puts on, and the place of its clock among the clocks.
    pub fn laid_by(&self, operation: usize) -> Option<(&Product, usize)> {
        let at = (*self.laid.get(operation)?)?;
        Some((&self.wound.clocks.get(at)?.0, at))
    }

    /// The product an operation puts on.
    pub fn product(&self, operation: usize) -> Option<&Product> {
        self.laid_by(operation).map(|(product, _)| product)
    }

    /// Stated minutes to a stage of the film laid by an operation, slow estimate, touch tests heeded.
    pub fn minutes_to(&self, operation: usize, stage: Stage) -> Option<f64> {
        let laid = self.work.operations.get(operation)?;
        let product = self.product(operation)?;
        let stated = product.slow_minutes(stage, laid.coat.unwrap_or(1))?;
        Some(stated * self.tested(operation, &laid.id, stage, stated))
    }

    /// A delay after an operation as a tail on its clock.
    pub fn tail(&self, operation: usize, delay: Delay) -> Tail {
        let wall = |minutes: i64| Tail {
            clock: 0,
            amount: u64::try_from(minutes).unwrap_or(0),
        };
        let dried = |minutes: f64, hand: ClockId| match self.laid_by(operation) {
            Some((_, at)) => Tail {
                clock: 2 * at as ClockId + SLOW_HAND + hand,
                amount: units(minutes),
            },
            None => wall(minutes.ceil() as i64),
        };
        match delay {
            Delay::Minutes(minutes) => wall(minutes),
            Delay::Dried(minutes) => dried(minutes, 0),
            Delay::Sooner(minutes) => dried(minutes, 1),
            Delay::Film(stage) => self
                .minutes_to(operation, stage)
                .map_or(wall(0), |minutes| dried(minutes, 0)),
        }
    }

    /// When a delay that begins at `start` is over.
    pub fn over(&self, operation: usize, delay: Delay, start: Moment) -> Option<Moment> {
        let tail = self.tail(operation, delay);
        if tail.clock == 0 {
            return Some(start + Span(i64::try_from(tail.amount).unwrap_or(i64::MAX)));
        }
        let hand = tail.clock - SLOW_HAND;
        let (_, clock) = self.wound.clocks.get(hand as usize / 2)?;
        let minutes = tail.amount as f64 / UNITS_PER_MINUTE as f64;
        if hand.is_multiple_of(2) {
            clock.reached(start, minutes)
        } else {
            clock.perhaps(start, minutes)
        }
    }

    /// What touch tests have taught about one film: the factor on its stated minutes to a stage. A test is a
    /// bound: not dry by then stretches this stage and all later ones to a quarter more than the time that
    /// was not enough (common practice, no source); dry by then shortens this stage and all earlier ones.
    fn tested(&self, laid: usize, operation: &str, stage: Stage, stated: f64) -> f64 {
        if self.history.bounds.is_empty() {
            return 1.0;
        }
        let clock = self.laid_by(laid).and_then(|(_, at)| self.wound.clocks.get(at));
        let (Some(done), Some((_, clock))) = (self.history.done(operation), clock) else {
            return 1.0;
        };
        let mut factor = 1.0_f64;
        for bound in self
            .history
            .bounds
            .iter()
            .filter(|bound| bound.operation == operation && bound.at >= done.end)
        {
            let passed = clock.passed(done.end, bound.at);
            if !bound.dry && stage >= bound.stage && stated > 0.0 {
                factor = factor.max(passed * MORE_AFTER_A_TEST / stated);
            } else if bound.dry && stage <= bound.stage && stated > 0.0 {
                factor = factor.min(passed / stated);
            }
        }
        factor
    }

    /// What became of an operation, unless all it was done to has been taken back to bare wood since.
    pub fn fate(&self, operation: usize) -> Option<&'a Fate> {
        self.fates.get(operation).copied().flatten()
    }

    fn fate_of(&self, work: &WorkOperation, said: Option<&'a Fate>) -> Option<&'a Fate> {
        let Some(fate) = said else {
            return self.untaped(work);
        };
        let (Fate::Done(done), Some(piece)) = (fate, work.piece.and_then(|piece| self.job.pieces.get(piece))) else {
            return Some(fate);
        };
        let bare = |&surface: &usize| {
            let surface = piece.surfaces.get(surface);
            surface.is_some_and(|surface| self.history.stripped_since(&piece.id, &surface.id, done.end))
        };
        let stripped = !work.surfaces.is_empty() && work.surfaces.iter().all(bare);
        (!stripped).then_some(fate)
    }

    /// Where a mask was decided away there is no tape to change or to take off: the fate of that mask.
    fn untaped(&self, work: &WorkOperation) -> Option<&'a Fate> {
        let about_tape = work.step == StepKind::Unmask || (work.step == StepKind::Mask && work.optional);
        let piece = self.job.pieces.get(work.piece.filter(|_| about_tape)?)?;
        let mask = self.history.operations.get(&format!("{}/mask", piece.id));
        mask.filter(|fate| matches!(fate, Fate::Skipped { .. }))
    }
}
