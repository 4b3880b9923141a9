//! The drying clock of one product: how many of its stated minutes have passed by each minute in this room.
//!
//! Invariant: the clock never runs backwards; it stands still while the room is below the product's drying
//! floor; what is started later is never reached earlier.
//!
//! It counts thousandths of a stated minute. Each minute is worth the product's pace
//! ([`crate::science::drying`]) in the air of its middle; a minute in which the room crosses the floor counts
//! with the share above it. The running sum is kept unrounded and rounded down once for each minute, so that
//! nothing is lost by adding up.

use super::air::Air;
use super::worths::Worths;
use crate::finish::{Mechanism, Product};
use crate::science::drying::{ACTIVATION, Law, Pace};
use crate::science::{MoistAir, solvent};
use crate::units::{Celsius, Moment, Span};

/// Units of the clock in one stated minute.
pub const UNITS_PER_MINUTE: u64 = 1000;

/// A stated time in units of the clock, rounded up.
pub fn units(minutes: f64) -> u64 {
    (minutes.max(0.0) * UNITS_PER_MINUTE as f64).ceil() as u64
}

/// The drying law of a product; `None` for an evaporating product that names no solvent known to
/// [`crate::science::solvent`].
pub fn law_of(product: &Product) -> Option<Law> {
    match product.mechanism {
        Mechanism::Evaporation => {
            let leading = product.leading_solvent.as_deref()?;
            solvent::find(leading).map(|solvent| Law::Evaporation(*solvent))
        }
        Mechanism::Coalescence => Some(Law::Coalescence),
        Mechanism::Oxidation | Mechanism::TwoPack => Some(Law::Cure { activation: ACTIVATION }),
    }
}

/// How far a product's stated minutes have run, over a stretch of known air.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DryingClock {
    first: Moment,
    /// `total[i]` units have passed from the first moment to `i` minutes after it.
    total: Vec<u64>,
}

impl DryingClock {
    /// The clock of a product in this air. A product without a law (see [`law_of`]) never dries.
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
        let pace = law_of(product).and_then(|law| Pace::new(law, stated));
        let experience = if experience.is_finite() {
            experience.max(0.0)
        } else {
            1.0
        };
        let floor = product.drying_floor.as_ref().map(|floor| Celsius(floor.high));
        let mut total = Vec::with_capacity(air.minutes().len() + 1);
        total.push(0);
        let mut sum = 0.0;
        let mut worths = Worths::new(air.minutes(), floor);
        for index in 0..air.minutes().len() {
            let [worth] = pace.map_or([0.0], |pace| worths.at(index, |air| [pace.at(air)]));
            sum += worth * experience * UNITS_PER_MINUTE as f64;
            // a hair above, so that a minute that is worth exactly one is not counted as 0.999
            total.push((sum + 1e-6).floor() as u64);
        }
        Self {
            first: air.first(),
            total,
        }
    }

    /// The moment it counts from.
    pub const fn first(&self) -> Moment {
        self.first
    }

    /// Units passed by each minute from the first; `total()[0]` is 0.
    pub fn total(&self) -> &[u64] {
        &self.total
    }

    /// The first minute by which `minutes` stated minutes have passed since `start`; `None` where that is
    /// not within the known air.
    pub fn reached(&self, start: Moment, minutes: f64) -> Option<Moment> {
        let begun = *self.total.get(self.index(start)?)?;
        let wanted = begun.checked_add(units(minutes))?;
        if wanted == begun {
            return Some(start);
        }
        let found = self.total.partition_point(|&passed| passed < wanted);
        (found < self.total.len()).then(|| self.first + Span(found as i64))
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

    /// How many stated minutes passed between two moments: the time that counted. Outside the known air
    /// nothing passes.
    pub fn passed(&self, start: Moment, end: Moment) -> f64 {
        let at = |moment: Moment| {
            let index = (moment - self.first).0.max(0);
            let index = usize::try_from(index).unwrap_or(usize::MAX);
            let last = self.total.last().copied().unwrap_or(0);
            self.total.get(index).copied().unwrap_or(last)
        };
        at(end).saturating_sub(at(start)) as f64 / UNITS_PER_MINUTE as f64
    }

    fn index(&self, at: Moment) -> Option<usize> {
        usize::try_from((at - self.first).0).ok()
    }
}
