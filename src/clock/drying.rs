//! The drying clock of one product: how many of its stated minutes have passed by each minute in this room.
//!
//! Invariant: the clock never runs backwards, and its slow hand is never ahead of its fast one; it stands still
//! while the room is below the product's drying floor; what is started later is never reached earlier.
//!
//! It has two hands: the slow one counts by the source that gives least, the fast one by the source that gives
//! most ([`crate::science::drying`], [`crate::science::draught`]). What opens and what is relied on goes by the
//! slow hand, what closes by the fast one. It counts thousandths of a stated minute. Each minute is worth the product's pace
//! ([`crate::science::drying`]) in the air of its middle; a minute in which the room crosses the floor counts
//! with the share above it. The running sum is kept unrounded and rounded down for each minute, so that
//! nothing is lost by adding up ([`super::worths`]).

use super::air::{Air, Minute};
use super::corners::Corners;
use super::floor::AboveFloor;
use super::worths::Sums;
use crate::finish::{Mechanism, Product};
use crate::science::drying::{CURE, Law, Paces, WATER};
use crate::science::{MoistAir, draught, solvent};
use crate::units::{Celsius, Moment, Span};
use std::sync::Arc;

/// Units of the clock in one stated minute.
pub const UNITS_PER_MINUTE: u64 = 1000;

/// A stated time in units of the clock, rounded up.
pub fn units(minutes: f64) -> u64 {
    (minutes.max(0.0) * UNITS_PER_MINUTE as f64).ceil() as u64
}

/// The drying laws sources give for a product; none for an evaporating product that names no solvent known to
/// [`crate::science::solvent`].
pub fn laws_of(product: &Product) -> Vec<Law> {
    match product.mechanism {
        Mechanism::Evaporation => {
            let leading = product.leading_solvent.as_deref().and_then(solvent::find);
            let Some(leading) = leading else { return Vec::new() };
            // a blend follows none of its solvents alone: the range is that of all of them
            let others = product.solvents.iter().filter_map(|(name, _)| solvent::find(name));
            let volatile = others.filter(|other| other.name != "water" && other.name != leading.name);
            std::iter::once(leading)
                .chain(volatile)
                .map(|one| Law::Evaporation(*one))
                .collect()
        }
        Mechanism::Coalescence => WATER.to_vec(),
        Mechanism::Oxidation | Mechanism::TwoPack => CURE.to_vec(),
    }
}

/// Whether moving air speeds a film up: what evaporates, not what cures.
const fn blown_dry(mechanism: Mechanism) -> bool {
    matches!(mechanism, Mechanism::Evaporation | Mechanism::Coalescence)
}

/// How far a product's stated minutes have run, over a stretch of known air.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DryingClock {
    first: Moment,
    /// The slow hand: `total[i]` units have surely passed from the first moment to `i` minutes after it.
    total: Arc<Vec<u64>>,
    /// The fast hand: at most so many.
    most: Arc<Vec<u64>>,
    /// When the room is above the product's drying floor.
    floor: AboveFloor,
}

impl DryingClock {
    /// The clock of a product in this air. A product without a law (see [`laws_of`]) never dries.
    pub fn new(product: &Product, air: &Air) -> Self {
        Self::paced(product, air, 1.0)
    }

    /// The same with the shop's own experience: 1.2 where the product has been found to dry a fifth faster in
    /// this room than the law says.
    pub fn paced(product: &Product, air: &Air, experience: f64) -> Self {
        let stated = MoistAir {
            temperature: product.stated_at.temperature,
            humidity: product.stated_at.humidity,
        };
        let paces = Paces::new(&laws_of(product), stated);
        let experience = if experience.is_finite() {
            experience.max(0.0)
        } else {
            1.0
        };
        let blown = blown_dry(product.mechanism);
        let mut moving = (draught::STILL, draught::factor(draught::STILL));
        let floor = product.drying_floor.as_ref().map(|floor| Celsius(floor.high));
        let mut corners = Corners::new();
        let [slow, mut fast] = Sums::of(air, |minute| {
            let Some(paces) = &paces else { return [0.0; 2] };
            let (share, air) = above(*minute, floor);
            if share <= 0.0 {
                return [0.0; 2];
            }
            let mut worth = corners.at(air, |air| {
                let worth = paces.at(air);
                [worth.slow, worth.fast]
            });
            if blown {
                if (moving.0.0 - minute.speed.0).abs() > 0.0 {
                    moving = (minute.speed, draught::factor(minute.speed));
                }
                worth[0] *= moving.1.slow;
                worth[1] *= moving.1.fast;
            }
            worth.map(|worth| worth * share * experience * UNITS_PER_MINUTE as f64)
        })
        .total;
        for (fast, slow) in fast.iter_mut().zip(&slow) {
            *fast = (*fast).max(*slow);
        }
        Self {
            first: air.first(),
            total: Arc::new(slow),
            most: Arc::new(fast),
            floor: AboveFloor::new(air, floor),
        }
    }

    /// The moment it counts from.
    pub const fn first(&self) -> Moment {
        self.first
    }

    /// Units surely passed by each minute from the first; `total()[0]` is 0.
    pub fn total(&self) -> &Arc<Vec<u64>> {
        &self.total
    }

    /// Units at most passed by each minute from the first; `most()[0]` is 0.
    pub fn most(&self) -> &Arc<Vec<u64>> {
        &self.most
    }

    /// The first minute by which `minutes` stated minutes have surely passed since `start`; `None` where that
    /// is not within the known air.
    pub fn reached(&self, start: Moment, minutes: f64) -> Option<Moment> {
        self.on(&self.total, start, minutes)
    }

    /// The first minute by which they may have passed already.
    pub fn perhaps(&self, start: Moment, minutes: f64) -> Option<Moment> {
        self.on(&self.most, start, minutes)
    }

    fn on(&self, hand: &[u64], start: Moment, minutes: f64) -> Option<Moment> {
        let begun = *hand.get(self.index(start)?)?;
        let wanted = begun.checked_add(units(minutes))?;
        if wanted == begun {
            return Some(start);
        }
        let found = hand.partition_point(|&passed| passed < wanted);
        (found < hand.len()).then(|| self.first + Span(found as i64))
    }

    /// How many of the known minutes, from the first on, are starts after which `minutes` stated minutes surely pass
    /// while the air is known.
    pub(super) fn starts_reaching(&self, minutes: f64) -> usize {
        let Some(&last) = self.total.last() else { return 0 };
        match units(minutes) {
            0 => self.total.len(),
            wanted => self
                .total
                .partition_point(|&begun| begun.checked_add(wanted).is_some_and(|reached| reached <= last)),
        }
    }

    /// The same for starts asked for in order of time: `sweep` begins at 0 and remembers where the last one ended,
    /// for what is started later is never reached earlier.
    pub(super) fn reached_sweeping(&self, start: Moment, minutes: f64, sweep: &mut usize) -> Option<Moment> {
        let index = self.index(start)?;
        let begun = *self.total.get(index)?;
        let wanted = begun.checked_add(units(minutes))?;
        if wanted == begun {
            return Some(start);
        }
        let mut at = index.max(*sweep);
        while self.total.get(at).is_some_and(|&passed| passed < wanted) {
            at += 1;
        }
        *sweep = at;
        (at < self.total.len()).then(|| self.first + Span(at as i64))
    }

    /// How many stated minutes surely passed between two moments: the time that counted. Outside the known air
    /// nothing passes.
    pub fn passed(&self, start: Moment, end: Moment) -> f64 {
        self.between(&self.total, start, end)
    }

    /// How many may have passed.
    pub fn at_most(&self, start: Moment, end: Moment) -> f64 {
        self.between(&self.most, start, end)
    }

    fn between(&self, hand: &[u64], start: Moment, end: Moment) -> f64 {
        let at = |moment: Moment| {
            let index = (moment - self.first).0.max(0);
            let index = usize::try_from(index).unwrap_or(usize::MAX);
            let last = hand.last().copied().unwrap_or(0);
            hand.get(index).copied().unwrap_or(last)
        };
        at(end).saturating_sub(at(start)) as f64 / UNITS_PER_MINUTE as f64
    }

    /// How many minutes between two moments of the known air the room was above the drying floor.
    pub(super) fn above_floor(&self, start: Moment, end: Moment) -> Option<f64> {
        let (from, until) = (self.index(start)?, self.index(end)?);
        (until < self.total.len()).then(|| self.floor.between(from, until))
    }

    /// The next minute from `at` on, while the air is known, in which the room is below the drying floor.
    pub fn falls(&self, at: Moment) -> Option<Moment> {
        self.known(self.floor.falls(self.index(at)?)?)
    }

    /// The next minute from `at` on, while the air is known, that begins below the drying floor.
    pub fn begins_below(&self, at: Moment) -> Option<Moment> {
        self.known(self.floor.begins_below(self.index(at)?)?)
    }

    fn known(&self, index: usize) -> Option<Moment> {
        (index + 1 < self.total.len()).then(|| self.first + Span(index as i64))
    }

    fn index(&self, at: Moment) -> Option<usize> {
        usize::try_from((at - self.first).0).ok()
    }
}

/// The share of a minute above the floor, and the air in the middle of that share.
pub(super) fn above(minute: Minute, floor: Option<Celsius>) -> (f64, MoistAir) {
    let (begin, end) = (minute.begin.temperature.0, minute.end.temperature.0);
    let Some(Celsius(floor)) = floor else {
        return (1.0, minute.middle());
    };
    match (begin >= floor, end >= floor) {
        (true, true) => (1.0, minute.middle()),
        (false, false) => (0.0, minute.middle()),
        _ => {
            let warm = begin.max(end);
            let share = (warm - floor) / (begin - end).abs();
            let middle = MoistAir {
                temperature: Celsius(f64::midpoint(warm, floor)),
                humidity: minute.middle().humidity,
            };
            (share, middle)
        }
    }
}
