//! When a coat may be started, and why not.
//!
//! Invariant: [`why_not`] gives a reason exactly where [`start_stretches`] has a hole.
//!
//! A coat may be started while the air is inside the product's limits for starting. A film that must have
//! reached a stage before the room falls below its drying floor may only be started early enough: by the slow
//! estimate of that stage.

use super::air::Air;
use super::drying::DryingClock;
use crate::finish::{Product, Stage};
use crate::science::MoistAir;
use crate::units::{Celsius, Moment, Percent, Span};
use chrono_tz::Tz;

/// Why a coat may not be started at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyNot {
    /// The room's air is not known then, or not for long enough after it.
    AirUnknown,
    /// The room is too cold.
    TooCold {
        /// What it is.
        air: Celsius,
        /// The lowest at which the product may be put on.
        floor: Celsius,
    },
    /// The room is too warm.
    TooWarm {
        /// What it is.
        air: Celsius,
        /// The highest at which the product may be put on.
        ceiling: Celsius,
    },
    /// The air is too damp.
    TooDamp {
        /// What it is.
        humidity: Percent,
        /// The highest at which the product may be put on.
        limit: Percent,
    },
    /// The room falls below the drying floor before the film can bear it: the film would be spoiled.
    ColdTooSoon {
        /// When the room falls below it.
        falls: Moment,
        /// The floor.
        floor: Celsius,
        /// The stage the film must have reached by then.
        stage: Stage,
        /// When it would reach that stage if it went on drying; `None`: not while the air is known.
        reached: Option<Moment>,
    },
    /// The product does not say how long it takes to the stage it must have reached.
    StageUnknown {
        /// That stage.
        stage: Stage,
    },
}

/// The stage a film must have reached before the room falls below its drying floor: the product's own, or dry
/// hard for one that would be spoiled and does not say.
pub fn required_stage(product: &Product) -> Option<Stage> {
    let needed = product
        .must_reach
        .or_else(|| product.mechanism.spoils().then_some(Stage::DryHard));
    needed.filter(|_| product.drying_floor.is_some())
}

/// The stretches in which a coat with this number may be started, sorted and apart; each holds from its first
/// moment up to, not including, its second.
pub fn start_stretches(product: &Product, coat: u8, air: &Air, clock: &DryingClock) -> Vec<(Moment, Moment)> {
    start_stretches_lasting(product, coat, air, clock, Span(0))
}

/// The same for a coat that takes hands so long to put on: its film dries from when it is all on, and has that
/// much less time before the cold.
pub fn start_stretches_lasting(
    product: &Product,
    coat: u8,
    air: &Air,
    clock: &DryingClock,
    hands: Span,
) -> Vec<(Moment, Moment)> {
    let rules = Rules::of(product, coat);
    let minutes = air.minutes();
    let gets_cold = rules.needed.as_ref().is_some_and(|needed| air.dips_below(needed.floor));
    let in_time = match &rules.needed {
        // in a room that never falls so low, a film only has to be far enough while the air is known
        Some(needed) if !gets_cold => {
            let starts = needed.minutes.map_or(0, |minutes| clock.starts_reaching(minutes));
            starts.saturating_sub(usize::try_from(hands.0).unwrap_or(0))
        }
        _ => minutes.len(),
    };
    let in_time = in_time.min(minutes.len());
    if !gets_cold && rules.allow_all(air) {
        let all = (air.first(), air.first() + Span(in_time as i64));
        return Vec::from_iter((in_time > 0).then_some(all));
    }
    let mut fall = clock.falls(air.first());
    let mut stretches: Vec<(Moment, Moment)> = Vec::new();
    let mut open: Option<Moment> = None;
    let mut at = air.first();
    let mut sweep = 0;
    for minute in &minutes[..in_time] {
        // one that is still to come is the next for this minute too
        if fall.is_some_and(|fall| fall < at) {
            fall = clock.falls(at);
        }
        let allowed =
            rules.allow(minute.begin) && !(gets_cold && rules.cold(clock, (at, hands), fall, &mut sweep).is_some());
        match (allowed, open) {
            (true, None) => open = Some(at),
            (false, Some(from)) => {
                stretches.push((from, at));
                open = None;
            }
            _ => {}
        }
        at += Span(1);
    }
    if let Some(from) = open {
        stretches.push((from, at));
    }
    stretches
}

/// Why a coat with this number may not be started at a moment; `None` where it may.
pub fn why_not(product: &Product, coat: u8, air: &Air, clock: &DryingClock, at: Moment) -> Option<WhyNot> {
    let fall = clock.falls(at);
    Rules::of(product, coat).refusal(air, clock, (at, Span(0)), fall, &mut 0)
}

/// When a film put on at `start` is spoiled by the cold: the first minute the room is below its drying floor
/// while the film has not reached the stage it must have; `None` where that does not happen in the known air.
pub fn spoiled_at(product: &Product, coat: u8, clock: &DryingClock, start: Moment) -> Option<Moment> {
    let stage = required_stage(product)?;
    let falls = clock.falls(start)?;
    let minutes = product.time_to(stage, coat)?.high;
    match clock.reached(start, minutes) {
        Some(reached) if reached <= falls => None,
        _ => Some(falls),
    }
}

/// What a product asks of the moment one of its coats is started.
struct Rules {
    floor: Option<Celsius>,
    ceiling: Option<Celsius>,
    damp: Option<Percent>,
    /// What the film must have reached before the cold.
    needed: Option<Needed>,
}

/// A stage to be reached before the room falls below the drying floor.
struct Needed {
    stage: Stage,
    floor: Celsius,
    /// Stated minutes to it, by the slow estimate.
    minutes: Option<f64>,
}

impl Rules {
    fn of(product: &Product, coat: u8) -> Self {
        let cold = required_stage(product).zip(product.drying_floor.as_ref());
        Self {
            floor: product.start_floor.as_ref().map(|floor| Celsius(floor.high)),
            ceiling: product.start_ceiling.as_ref().map(|ceiling| Celsius(ceiling.low)),
            damp: product.start_humidity.as_ref().map(|limit| Percent(limit.low)),
            needed: cold.map(|(stage, floor)| Needed {
                stage,
                floor: Celsius(floor.high),
                minutes: product.time_to(stage, coat).map(|time| time.high),
            }),
        }
    }

    /// The first rule that forbids a start, given when the room next falls below the drying floor. `sweep` is where
    /// the drying of an earlier start was found to end, or 0.
    fn refusal(
        &self,
        air: &Air,
        clock: &DryingClock,
        (at, hands): (Moment, Span),
        fall: Option<Moment>,
        sweep: &mut usize,
    ) -> Option<WhyNot> {
        let Some(here) = air.at(at) else {
            return Some(WhyNot::AirUnknown);
        };
        if let Some(floor) = self.floor
            && here.temperature.0 < floor.0
        {
            return Some(WhyNot::TooCold {
                air: here.temperature,
                floor,
            });
        }
        if let Some(ceiling) = self.ceiling
            && here.temperature.0 > ceiling.0
        {
            return Some(WhyNot::TooWarm {
                air: here.temperature,
                ceiling,
            });
        }
        if let Some(limit) = self.damp
            && here.humidity.0 > limit.0
        {
            return Some(WhyNot::TooDamp {
                humidity: here.humidity,
                limit,
            });
        }
        self.cold(clock, (at, hands), fall, sweep)
    }

    /// Whether this air is inside the limits for starting.
    fn allow(&self, here: MoistAir) -> bool {
        self.floor.is_none_or(|floor| here.temperature.0 >= floor.0)
            && self.ceiling.is_none_or(|ceiling| here.temperature.0 <= ceiling.0)
            && self.damp.is_none_or(|limit| here.humidity.0 <= limit.0)
    }

    /// Whether all the air there is is inside them.
    fn allow_all(&self, air: &Air) -> bool {
        air.extremes().is_some_and(|air| {
            self.floor.is_none_or(|floor| air.coldest.0 >= floor.0)
                && self.ceiling.is_none_or(|ceiling| air.warmest.0 <= ceiling.0)
                && self.damp.is_none_or(|limit| air.dampest.0 <= limit.0)
        })
    }

    /// Why the film would not bear the cold.
    fn cold(
        &self,
        clock: &DryingClock,
        (at, hands): (Moment, Span),
        fall: Option<Moment>,
        sweep: &mut usize,
    ) -> Option<WhyNot> {
        let needed = self.needed.as_ref()?;
        let stage = needed.stage;
        let Some(minutes) = needed.minutes else {
            return Some(WhyNot::StageUnknown { stage });
        };
        let reached = clock.reached_sweeping(at + hands, minutes, sweep);
        match (fall, reached) {
            // never cold again while the air is known: it must still be reached in that time
            (None, Some(_)) => None,
            (None, None) => Some(WhyNot::AirUnknown),
            (Some(falls), Some(reached)) if reached <= falls => None,
            (Some(falls), reached) => Some(WhyNot::ColdTooSoon {
                falls,
                floor: needed.floor,
                stage,
                reached,
            }),
        }
    }
}

impl WhyNot {
    /// The reason in words, with its figures; times as the clock in `zone` shows them.
    pub fn in_words(&self, zone: Tz) -> String {
        let clock = |at: Moment| at.in_zone(zone).format("%a %H:%M").to_string();
        match *self {
            Self::AirUnknown => "the room's air is not known so far ahead".to_owned(),
            Self::TooCold { air, floor } => {
                format!(
                    "the room is at {} °C, and it may not be put on below {} °C",
                    short(air.0),
                    short(floor.0)
                )
            }
            Self::TooWarm { air, ceiling } => {
                format!(
                    "the room is at {} °C, and it may not be put on above {} °C",
                    short(air.0),
                    short(ceiling.0)
                )
            }
            Self::TooDamp { humidity, limit } => format!(
                "the air is at {} % humidity, and it may not be put on above {} %",
                short(humidity.0),
                short(limit.0)
            ),
            Self::ColdTooSoon {
                falls,
                floor,
                stage,
                reached,
            } => {
                let floor = short(floor.0);
                let then = match reached {
                    Some(reached) => format!("it would be {stage} only by {}", clock(reached)),
                    None => format!("it would not be {stage} by then"),
                };
                format!(
                    "the room falls below {floor} °C on {} and spoils the film: {then}",
                    clock(falls)
                )
            }
            Self::StageUnknown { stage } => {
                format!("the product does not say when it is {stage}, which it must be before a cold night")
            }
        }
    }
}

/// A reading to a tenth, without a useless nought.
fn short(number: f64) -> String {
    let tenths = format!("{number:.1}");
    tenths
        .strip_suffix(".0")
        .map_or_else(|| tenths.clone(), ToOwned::to_owned)
}
