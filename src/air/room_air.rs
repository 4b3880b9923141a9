//! The air of the room as the plan makes it: the figures people and `--format json` read.
//!
//! Invariant: `None` where the job gives no room size or no air changes, or where no coat's vapour could be
//! computed; what was left out is in [`RoomAir::missing`].

use super::coats::{self, CoatAir, Missing};
use super::day::{self, Course, Minute};
use crate::dayplan::Plan;
use crate::dayplan::document::{AirLine, Stamp};
use crate::job::Job;
use crate::job::air_rules::{QUARTER, USUAL_CAP};
use crate::science::exposure::{Averaged, Country, Limit, limit};
use crate::science::vapour::room::USUAL_MIXING;
use crate::science::vapour::volume::ppm;
use crate::science::vapour::{Room, Substance};
use crate::units::Moment;
use serde::Serialize;

/// Share of the lower explosive limit no plan may pass, %.
pub const QUARTER_LEL: f64 = QUARTER.0;

/// Below this a day is not listed, % of the lower explosive limit (own choice, no source).
const SLIGHT: f64 = 0.01;

/// What is asked of the air.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Settings {
    /// Whose exposure limits.
    pub country: Country,
    /// Mixing factor, 1 (good) to 10 (poor).
    pub mixing: f64,
    /// Share of the lower explosive limit the plan should stay under, %; never above a quarter.
    pub cap_percent_lel: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            country: Country::default(),
            mixing: USUAL_MIXING,
            cap_percent_lel: USUAL_CAP.0,
        }
    }
}

impl Settings {
    /// What the job asks.
    pub fn of(job: &Job) -> Self {
        let rules = &job.room.rules;
        Self {
            country: rules.country(),
            mixing: rules.mixing,
            cap_percent_lel: rules.cap.0,
        }
    }

    /// The cap, kept to a quarter.
    pub fn cap(&self) -> f64 {
        self.cap_percent_lel.clamp(0.0, QUARTER_LEL)
    }
}

/// The highest sum of shares of limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Worst {
    /// Σ C/L; above 1 the limits are passed.
    pub sum: f64,
    /// End of the stretch it was highest over.
    pub until: Stamp,
}

/// One solvent in the room.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SubstanceAir {
    /// Name.
    pub name: &'static str,
    /// Number in the Chemical Abstracts registry.
    pub cas: &'static str,
    /// Grams over the whole plan.
    pub grams: f64,
    /// Highest concentration, mg/m³.
    pub peak_mg_m3: f64,
    /// The same in parts per million.
    pub peak_ppm: f64,
    /// Highest mean of eight hours, mg/m³.
    pub shift_mg_m3: f64,
    /// Highest mean of fifteen minutes, mg/m³.
    pub short_mg_m3: f64,
    /// Limit for eight hours; `null` where the table has none.
    pub shift_limit: Option<&'static Limit>,
    /// Limit for fifteen minutes; `null` where the table has none.
    pub short_limit: Option<&'static Limit>,
    /// Lower explosive limit, % by volume, with its source.
    pub lel: crate::science::Published,
    /// Flash point, °C, with its source.
    pub flash: crate::science::Published,
    /// How many times heavier than air.
    pub heavier_than_air: f64,
}

/// One day.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DayAir {
    /// When it is at its peak.
    pub peak_at: Stamp,
    /// That peak, % of the lower explosive limit.
    pub peak_percent_lel: f64,
    /// Highest sum over eight hours that ends on this day.
    pub shift_sum: f64,
    /// Highest sum over fifteen minutes.
    pub short_sum: f64,
}

/// A stretch in which the air is above the shift's limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spell {
    /// From.
    pub from: Stamp,
    /// Until; `null` where the air does not clear in the time that was followed.
    pub until: Option<Stamp>,
    /// Highest Σ C/L in it.
    pub sum: f64,
}

/// Fresh air needed for one purpose.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Need {
    /// `cap`, `quarter-lel`, `shift`, `short`.
    pub rule: &'static str,
    /// What for, in words.
    pub purpose: String,
    /// m³/h, mixing factor included.
    pub m3_h: f64,
    /// The same as changes of this room's air an hour.
    pub air_changes: f64,
    /// Source of the rule.
    pub source: &'static str,
}

/// The whole.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct RoomAir {
    /// What was asked.
    pub settings: Settings,
    /// Name of the limits' table.
    pub table: &'static str,
    /// m³.
    pub volume_m3: f64,
    /// Changes an hour.
    pub air_changes: f64,
    /// Peak, % of the lower explosive limit.
    pub peak_percent_lel: f64,
    /// When.
    pub peak_at: Option<Stamp>,
    /// Worst eight hours against the limits.
    pub worst_shift: Option<Worst>,
    /// Worst fifteen minutes against the limits.
    pub worst_short: Option<Worst>,
    /// By solvent.
    pub substances: Vec<SubstanceAir>,
    /// By coat.
    pub coats: Vec<CoatAir>,
    /// By day, days without vapour left out.
    pub days: Vec<DayAir>,
    /// When the air is above the limits.
    pub above: Vec<Spell>,
    /// Minutes after the last stroke until the air stays below the limits; `null` where it does not.
    pub clears_after_minutes: Option<f64>,
    /// Minutes to air the peak down to a tenth, were all films dry; `null` where nothing leaves.
    pub purge_minutes: Option<f64>,
    /// Air needed.
    pub needs: Vec<Need>,
    /// Instant, % of the lower explosive limit, mg/m³.
    pub series: Vec<(Stamp, f64, f64)>,
    /// What is not in the figures.
    pub missing: Vec<Missing>,
    /// Solvents the table has no limit for.
    pub without_limit: Vec<&'static str>,
}

/// The room of a job as a well-mixed one; `None` where size or air changes are not given.
pub fn room(job: &Job, mixing: f64) -> Option<Room> {
    job.room.mixed(mixing)
}

/// The air of a plan by the limits of a country.
pub fn of(job: &Job, plan: &Plan, country: Country) -> Option<RoomAir> {
    let settings = Settings {
        country,
        ..Settings::default()
    };
    with(job, plan, &settings)
}

/// The same with every setting.
pub fn with(job: &Job, plan: &Plan, settings: &Settings) -> Option<RoomAir> {
    let room = room(job, settings.mixing)?;
    let coats = coats::of(job, plan);
    if coats.laid.is_empty() && !coats.missing.is_empty() {
        return None;
    }
    let stamp = |at: Moment| at.with_offset(job.zone);
    let course = day::follow(&room, &coats.laid, settings.country);
    let peak = highest(&course, |minute| minute.percent_lel);
    let worst = |of: fn(&Minute) -> f64| {
        highest(&course, of).map(|minute| Worst {
            sum: of(minute),
            until: stamp(minute.at),
        })
    };
    let substances = substances(&course, &coats.told, settings.country);
    let last = coats.laid.iter().map(|coat| coat.end).max();
    let above = spells(&course, &stamp);
    let clears = last.and_then(|last| clears(&course, last));
    let peak_percent_lel = peak.map_or(0.0, |minute| minute.percent_lel);
    Some(RoomAir {
        settings: *settings,
        table: settings.country.table(),
        volume_m3: room.volume,
        air_changes: room.fresh_air / room.volume,
        peak_percent_lel,
        peak_at: peak.map(|minute| stamp(minute.at)),
        worst_shift: worst(|minute| minute.shift_sum),
        worst_short: worst(|minute| minute.short_sum),
        without_limit: substances
            .iter()
            .filter(|one| one.shift_limit.is_none() && one.short_limit.is_none())
            .map(|one| one.name)
            .collect(),
        substances,
        coats: coats.told,
        days: days(&course, job),
        above,
        clears_after_minutes: clears,
        purge_minutes: room.purge(1.0, 0.1).map(|hours| 60.0 * hours),
        needs: needs(&course, &room, settings),
        series: series(&course, peak_percent_lel, &stamp),
        missing: coats.missing,
    })
}

/// The line of the plan document.
pub fn line(air: &RoomAir) -> AirLine {
    let thousandth = |value: f64| (value * 1000.0).round() / 1000.0;
    AirLine {
        volume_m3: thousandth(air.volume_m3),
        air_changes: thousandth(air.air_changes),
        mixing: air.settings.mixing,
        cap_percent_lel: air.settings.cap(),
        peak_percent_lel: thousandth(air.peak_percent_lel),
        peak_at: air.peak_at,
        series: air.series.clone(),
    }
}

fn highest(course: &Course, of: impl Fn(&Minute) -> f64) -> Option<&Minute> {
    course
        .minutes
        .iter()
        .reduce(|best, minute| if of(minute) > of(best) { minute } else { best })
}

fn substances(course: &Course, coats: &[CoatAir], country: Country) -> Vec<SubstanceAir> {
    let told = |peak: &day::SubstancePeak| {
        let substance: &'static Substance = peak.substance;
        SubstanceAir {
            name: substance.name,
            cas: substance.cas,
            grams: coats
                .iter()
                .filter_map(|coat| coat.by_solvent.get(substance.name))
                .sum(),
            peak_mg_m3: peak.peak_mg_m3,
            peak_ppm: ppm(peak.peak_mg_m3, substance.molar_mass),
            shift_mg_m3: peak.shift_mg_m3,
            short_mg_m3: peak.short_mg_m3,
            shift_limit: limit(substance, country, Averaged::EightHours),
            short_limit: limit(substance, country, Averaged::FifteenMinutes),
            lel: substance.lel,
            flash: substance.flash,
            heavier_than_air: substance.heavier_than_air(),
        }
    };
    course.substances.iter().map(told).collect()
}

fn days(course: &Course, job: &Job) -> Vec<DayAir> {
    let mut days: Vec<(chrono::NaiveDate, DayAir)> = Vec::new();
    for minute in &course.minutes {
        let at = minute.at.with_offset(job.zone);
        let date = at.date_naive();
        match days.last_mut() {
            Some((known, day)) if *known == date => {
                if minute.percent_lel > day.peak_percent_lel {
                    day.peak_percent_lel = minute.percent_lel;
                    day.peak_at = at;
                }
                day.shift_sum = day.shift_sum.max(minute.shift_sum);
                day.short_sum = day.short_sum.max(minute.short_sum);
            }
            _ => days.push((
                date,
                DayAir {
                    peak_at: at,
                    peak_percent_lel: minute.percent_lel,
                    shift_sum: minute.shift_sum,
                    short_sum: minute.short_sum,
                },
            )),
        }
    }
    // a day on which only the last of yesterday's vapour leaves is none to speak of
    days.into_iter()
        .map(|(_, day)| day)
        .filter(|day| day.peak_percent_lel >= SLIGHT)
        .collect()
}

fn spells(course: &Course, stamp: &impl Fn(Moment) -> Stamp) -> Vec<Spell> {
    let mut spells: Vec<Spell> = Vec::new();
    let mut open = false;
    for minute in &course.minutes {
        let above = minute.now_sum > 1.0;
        match (above, open) {
            (true, false) => spells.push(Spell {
                from: stamp(minute.at),
                until: None,
                sum: minute.now_sum,
            }),
            (true, true) => {
                if let Some(spell) = spells.last_mut() {
                    spell.sum = spell.sum.max(minute.now_sum);
                }
            }
            (false, true) => {
                if let Some(spell) = spells.last_mut() {
                    spell.until = Some(stamp(minute.at));
                }
            }
            (false, false) => {}
        }
        open = above;
    }
    spells
}

/// Minutes from the last stroke until the air stays below the shift's limits.
fn clears(course: &Course, last: Moment) -> Option<f64> {
    let after: Vec<&Minute> = course.minutes.iter().filter(|minute| minute.at > last).collect();
    match after.iter().rposition(|minute| minute.now_sum > 1.0) {
        None => Some(0.0),
        Some(at) => after.get(at + 1).map(|minute| (minute.at - last).0 as f64),
    }
}

fn needs(course: &Course, room: &Room, settings: &Settings) -> Vec<Need> {
    let need = |rule, purpose: String, bare: f64, source| Need {
        rule,
        purpose,
        m3_h: bare * room.mixing,
        air_changes: bare * room.mixing / room.volume,
        source,
    };
    let rates = course.rates;
    let mut needs = Vec::new();
    if rates.lel > 0.0 {
        needs.push(need(
            "quarter-lel",
            "to keep the vapour under a quarter of the lower explosive limit".to_owned(),
            rates.lel / (QUARTER_LEL / 100.0),
            "29 CFR 1910.94(c)(6)(ii), recalled",
        ));
        if settings.cap() > 0.0 {
            let purpose = format!(
                "to keep the vapour under {} % of the lower explosive limit",
                settings.cap()
            );
            needs.push(need(
                "cap",
                purpose,
                rates.lel / (settings.cap() / 100.0),
                "the cap asked for",
            ));
        }
    }
    let health = "dilution relation of the American Conference of Governmental Industrial Hygienists";
    if rates.shift > 0.0 {
        let purpose = "to keep the worst eight hours at the exposure limits".to_owned();
        needs.push(need("shift", purpose, rates.shift, health));
    }
    if rates.short > 0.0 {
        let purpose = "to keep the worst quarter of an hour at the short limits".to_owned();
        needs.push(need("short", purpose, rates.short, health));
    }
    needs
}

/// Points wherever the air has moved by a fiftieth of its peak, and at both ends of every stretch followed.
fn series(course: &Course, peak: f64, stamp: &impl Fn(Moment) -> Stamp) -> Vec<(Stamp, f64, f64)> {
    let rounded = |value: f64, by: f64| (value * by).round() / by;
    let mut points: Vec<(Stamp, f64, f64)> = Vec::new();
    let mut last: Option<&Minute> = None;
    for (index, minute) in course.minutes.iter().enumerate() {
        let ends = course
            .minutes
            .get(index + 1)
            .is_none_or(|next| (next.at - minute.at).0 > 1);
        let moved = last.is_none_or(|last| {
            (minute.percent_lel - last.percent_lel).abs() > peak / 50.0 || (minute.at - last.at).0 > 60
        });
        let top = peak > 0.0 && (minute.percent_lel - peak).abs() < f64::EPSILON * peak;
        if moved || ends || top {
            points.push((
                stamp(minute.at),
                rounded(minute.percent_lel, 1000.0),
                rounded(minute.mg_m3, 10.0),
            ));
            last = Some(minute);
        }
    }
    points
}
