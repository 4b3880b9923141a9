//! The drying clock of one product: how many of its stated minutes have passed by each minute in this room.
//!
//! Invariant: the clock never runs backwards; it stands still while the room is below the product's drying
//! floor; what is started later is never reached earlier.
//!
//! It counts thousandths of a stated minute. Each minute is worth the product's pace
//! ([`crate::science::drying`]) in the air of its middle; a minute in which the room crosses the floor counts
//! with the share above it. The running sum is kept unrounded and rounded down once for each minute, so that
//! nothing is lost by adding up.

use super::air::{Air, Minute};
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
        // rooms stand at one temperature for hours: the last answer is most often the next one
        let mut last: Option<(MoistAir, f64)> = None;
        for minute in air.minutes() {
            let (share, here) = above(*minute, floor);
            let worth = match (pace, last) {
                (None, _) => 0.0,
                _ if share <= 0.0 => 0.0,
                (_, Some((known, worth))) if known == here => worth,
                (Some(pace), _) => {
                    let worth = pace.at(here);
                    last = Some((here, worth));
                    worth
                }
            };
            sum += worth * share * experience * UNITS_PER_MINUTE as f64;
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

/// The share of a minute above the floor, and the air in the middle of that share.
fn above(minute: Minute, floor: Option<Celsius>) -> (f64, MoistAir) {
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
