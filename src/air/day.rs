//! Vapour followed through the room, minute by minute, over the planned days.
//!
//! Invariant: between coats, once nothing is left in films or air, no minute is walked; every figure is that
//! of the well-mixed room.

use super::coats::Laid;
use crate::science::exposure::{Country, shift_mg_m3, short_mg_m3};
use crate::science::vapour::{Cloud, Room, Substance};
use crate::units::{Moment, Span};
use std::collections::{BTreeMap, VecDeque};

/// Minutes of a shift, over which limits of a day are averaged (source: 29 CFR 1910.1000(d), eight hours).
const SHIFT: usize = 480;
/// Minutes of a short stretch (source: EH40/2005, short-term reference period of 15 minutes, recalled).
const SHORT: usize = 15;
/// Grams below which a film or the room is taken to be empty (own choice, no source).
const NOTHING: f64 = 1e-3;
/// Even a room that never clears is followed no longer than this after its last coat (own choice, no
/// source).
const LONGEST_TAIL: i64 = 3 * 1440;

/// A mean over the last minutes.
#[derive(Clone, Debug)]
struct Window {
    minutes: usize,
    held: VecDeque<f64>,
    sum: f64,
}

impl Window {
    fn new(minutes: usize) -> Self {
        Self {
            minutes,
            held: VecDeque::with_capacity(minutes),
            sum: 0.0,
        }
    }

    /// Takes a minute in; the mean over the whole window, what is before the beginning counting as nothing.
    fn push(&mut self, value: f64) -> f64 {
        self.held.push_back(value);
        self.sum += value;
        if self.held.len() > self.minutes
            && let Some(old) = self.held.pop_front()
        {
            self.sum -= old;
        }
        self.sum.max(0.0) / self.minutes as f64
    }

    fn clear(&mut self) {
        self.held.clear();
        self.sum = 0.0;
    }
}

/// One minute of the room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Minute {
    /// End of the minute.
    pub at: Moment,
    /// % of the lower explosive limit (Le Chatelier's sum).
    pub percent_lel: f64,
    /// All vapour, mg/m³.
    pub mg_m3: f64,
    /// Σ C/L of the shift's limits, now.
    pub now_sum: f64,
    /// The same over the last eight hours.
    pub shift_sum: f64,
    /// Σ C/L of the short limits over the last fifteen minutes.
    pub short_sum: f64,
}

/// What one substance came to.
#[derive(Clone, Copy, Debug)]
pub(super) struct SubstancePeak {
    pub substance: &'static Substance,
    pub peak_mg_m3: f64,
    pub shift_mg_m3: f64,
    pub short_mg_m3: f64,
}

/// The highest rates at which vapour comes off, weighed for what air has to be moved for.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Rates {
    /// Air an hour that would bring the worst minute to the explosive limit itself, were it to go on, m³/h.
    pub lel: f64,
    /// Air an hour that keeps the worst eight hours at the shift's limits, m³/h.
    pub shift: f64,
    /// Air an hour that keeps the worst quarter of an hour at the short limits, m³/h.
    pub short: f64,
}

/// The whole course.
#[derive(Clone, Debug, Default)]
pub(super) struct Course {
    pub minutes: Vec<Minute>,
    pub substances: Vec<SubstancePeak>,
    pub rates: Rates,
}

/// One substance from one product: films of one pace.
struct Source {
    index: usize,
    cloud: Cloud,
    /// Change of the grams laid a minute, by minute.
    turns: BTreeMap<i64, f64>,
    rate: f64,
}

/// One substance over all products, with its limits in mg/m³ and its means.
struct Ledger {
    peak: SubstancePeak,
    lel: f64,
    shift_limit: Option<f64>,
    short_limit: Option<f64>,
    shift: Window,
    short: Window,
}

/// Follows the coats through the room.
pub(super) fn follow(room: &Room, laid: &[Laid], country: Country) -> Course {
    let (mut sources, mut ledgers) = sources(room, laid, country);
    let (Some(first), Some(last)) = (
        laid.iter().map(|coat| coat.start).min(),
        laid.iter().map(|coat| coat.end).max(),
    ) else {
        return Course::default();
    };
    let mut course = Course::default();
    let mut sums = [Window::new(SHIFT), Window::new(SHORT)];
    let mut given = [Window::new(SHIFT), Window::new(SHORT)];
    let mut now = first;
    let end = last + Span(LONGEST_TAIL);
    while now < end {
        match ahead(&sources, now) {
            Ahead::Over => break,
            // an empty room: the day's means end here, the next coat begins afresh
            Ahead::Next(next) if next > now.0 + SHIFT as i64 => {
                for window in sums.iter_mut().chain(&mut given) {
                    window.clear();
                }
                for ledger in &mut ledgers {
                    ledger.shift.clear();
                    ledger.short.clear();
                }
                now = Moment(next);
            }
            Ahead::Next(_) | Ahead::Busy => {}
        }
        let mut released = vec![0.0; ledgers.len()];
        let mut air = vec![0.0; ledgers.len()];
        for source in &mut sources {
            if let Some(turn) = source.turns.remove(&now.0) {
                source.rate += turn;
            }
            // what is left of a rate after its coat has ended is rounding
            let rate = if source.rate > 1e-9 { source.rate } else { 0.0 };
            released[source.index] += source.cloud.minute(rate);
            air[source.index] += source.cloud.air;
        }
        now += Span(1);
        course.minutes.push(reckon(room, now, &air, &mut ledgers, &mut sums));
        rates(&mut course.rates, &released, &ledgers, &mut given);
    }
    course.substances = ledgers.into_iter().map(|ledger| ledger.peak).collect();
    course
}

fn sources(room: &Room, laid: &[Laid], country: Country) -> (Vec<Source>, Vec<Ledger>) {
    let mut ledgers: Vec<Ledger> = Vec::new();
    let mut keys: Vec<(String, usize, u64)> = Vec::new();
    let mut sources: Vec<Source> = Vec::new();
    for coat in laid {
        let minutes = (coat.end - coat.start).0.max(1);
        for (substance, grams) in &coat.parts {
            let known = ledgers
                .iter()
                .position(|ledger| ledger.peak.substance.name == substance.name);
            let index = known.unwrap_or_else(|| {
                ledgers.push(Ledger::new(substance, country));
                ledgers.len() - 1
            });
            let key = (coat.product.clone(), index, coat.release.time_constant().to_bits());
            let at = keys.iter().position(|one| *one == key).unwrap_or_else(|| {
                keys.push(key);
                sources.push(Source {
                    index,
                    cloud: Cloud::new(room, coat.release),
                    turns: BTreeMap::new(),
                    rate: 0.0,
                });
                sources.len() - 1
            });
            let rate = grams.0 / minutes as f64;
            *sources[at].turns.entry(coat.start.0).or_default() += rate;
            *sources[at].turns.entry(coat.start.0 + minutes).or_default() -= rate;
        }
    }
    (sources, ledgers)
}

impl Ledger {
    fn new(substance: &'static Substance, country: Country) -> Self {
        Self {
            peak: SubstancePeak {
                substance,
                peak_mg_m3: 0.0,
                shift_mg_m3: 0.0,
                short_mg_m3: 0.0,
            },
            lel: substance.lel_grams(),
            shift_limit: shift_mg_m3(substance, country),
            short_limit: short_mg_m3(substance, country),
            shift: Window::new(SHIFT),
            short: Window::new(SHORT),
        }
    }
}

/// What lies ahead of an instant.
enum Ahead {
    /// Something is being laid, or is still in films or air.
    Busy,
    /// Nothing is; the next coat begins then.
    Next(i64),
    /// Nothing is, and nothing comes.
    Over,
}

fn ahead(sources: &[Source], now: Moment) -> Ahead {
    let busy = |source: &Source| {
        source.rate > 1e-9
            || source.cloud.held > NOTHING
            || source.cloud.air > NOTHING
            || source.turns.contains_key(&now.0)
    };
    if sources.iter().any(busy) {
        return Ahead::Busy;
    }
    let next = sources
        .iter()
        .filter_map(|source| source.turns.keys().next().copied())
        .min();
    next.map_or(Ahead::Over, Ahead::Next)
}

fn reckon(room: &Room, at: Moment, air: &[f64], ledgers: &mut [Ledger], sums: &mut [Window; 2]) -> Minute {
    let (mut percent_lel, mut all, mut shift_now, mut short_now) = (0.0, 0.0, 0.0, 0.0);
    for (ledger, grams) in ledgers.iter_mut().zip(air) {
        let grams_m3 = grams / room.volume;
        let mg = 1000.0 * grams_m3;
        percent_lel += 100.0 * grams_m3 / ledger.lel;
        all += mg;
        shift_now += ledger.shift_limit.map_or(0.0, |limit| mg / limit);
        short_now += ledger.short_limit.map_or(0.0, |limit| mg / limit);
        let peak = &mut ledger.peak;
        peak.peak_mg_m3 = peak.peak_mg_m3.max(mg);
        peak.shift_mg_m3 = peak.shift_mg_m3.max(ledger.shift.push(mg));
        peak.short_mg_m3 = peak.short_mg_m3.max(ledger.short.push(mg));
    }
    let [shift, short] = sums;
    Minute {
        at,
        percent_lel,
        mg_m3: all,
        now_sum: shift_now,
        shift_sum: shift.push(shift_now),
        short_sum: short.push(short_now),
    }
}

fn rates(rates: &mut Rates, released: &[f64], ledgers: &[Ledger], given: &mut [Window; 2]) {
    // grams a minute over g/m³ are m³ a minute
    let sum = |limit: fn(&Ledger) -> Option<f64>| -> f64 {
        let one = |(grams, ledger): (&f64, &Ledger)| limit(ledger).map_or(0.0, |limit| 60.0 * grams / limit);
        released.iter().zip(ledgers).map(one).sum()
    };
    let [shift, short] = given;
    rates.lel = rates.lel.max(sum(|ledger| Some(ledger.lel)));
    rates.shift = rates
        .shift
        .max(shift.push(sum(|ledger| ledger.shift_limit.map(|limit| limit / 1000.0))));
    rates.short = rates
        .short
        .max(short.push(sum(|ledger| ledger.short_limit.map(|limit| limit / 1000.0))));
}
