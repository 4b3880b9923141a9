//! The room's temperature and humidity, minute by minute.
//!
//! Invariant: every minute from [`Air::first`] to [`Air::end`] has its air; steps fall between minutes,
//! never inside one.
//!
//! The heating goes on and off at clock times of the job's zone, day by day, by the line of the climate
//! that holds on that day; a line holds from its first midnight. After each change the room nears its new
//! air as a body does that loses heat through one resistance: what is left of the difference after a time t
//! is exp(−t/τ) (Newton's law of cooling; τ is the climate's time constant, zero a step; a heater that warms the
//! room faster than it cools has a τ of its own). Humidity nears its new value the same way. On days without
//! heating the room nears its night air all day. Fans blow at clock times, every day. A reading replaces what was expected from then on until the room's aim next
//! changes, and the room then starts from the reading.

use super::repeats::{self, Repeat};
use crate::job::{Climate, ClimateLine, Job, Reading};
use crate::science::MoistAir;
use crate::science::draught::STILL;
use crate::units::{Celsius, Edge, MetresPerSecond, Moment, Percent, Span, resolve};
use chrono::{Datelike, Days, NaiveDate, NaiveTime, TimeDelta, Timelike};
use chrono_tz::Tz;

/// The room was at rest this many time constants before the first minute asked for: what is left of any
/// earlier difference is below 0.04 %.
const SETTLING_TIME_CONSTANTS: f64 = 8.0;
/// ...but no earlier than this; a room slower than that is taken to be at rest then.
const LONGEST_LEAD_MINUTES: i64 = 14 * 1440;

/// A room so near its aim, in kelvins or per cent, is there.
const ARRIVED: f64 = 1e-9;

/// The air at both ends of one minute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Minute {
    pub begin: MoistAir,
    pub end: MoistAir,
    /// How fast it moves over the work.
    pub speed: MetresPerSecond,
}

impl Minute {
    /// The air in the middle of it.
    pub fn middle(self) -> MoistAir {
        MoistAir::new(
            f64::midpoint(self.begin.temperature.0, self.end.temperature.0),
            f64::midpoint(self.begin.humidity.0, self.end.humidity.0),
        )
    }
}

/// How far a room's air goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Extremes {
    pub coldest: Celsius,
    pub warmest: Celsius,
    pub dampest: Percent,
}

/// The room's air over a stretch of time.
#[derive(Clone, Debug, PartialEq)]
pub struct Air {
    first: Moment,
    minutes: Vec<Minute>,
    /// How far the room goes; nothing without minutes.
    extremes: Option<Extremes>,
    /// Stretches like an earlier one.
    repeats: Vec<Repeat>,
}

impl Air {
    /// The air a climate gives from one moment to another, with what was read in the room laid over it.
    /// A climate without lines, or an end before its beginning, gives no minutes.
    pub fn new(climate: &Climate, zone: Tz, readings: &[Reading], from: Moment, until: Moment) -> Self {
        let tau = Tau {
            cooling: (climate.time_constant_hours * 60.0).max(0.0),
            warming: (climate.warming_hours.unwrap_or(climate.time_constant_hours) * 60.0).max(0.0),
        };
        // a weekend without heating is part of what the room comes from
        let lead = 3.0 * 1440.0 + SETTLING_TIME_CONSTANTS * tau.cooling.max(tau.warming);
        let rest = from - Span((lead.ceil() as i64).min(LONGEST_LEAD_MINUTES));
        let aims = aims(climate, zone, rest, until);
        let mut readings: Vec<Reading> = readings.to_vec();
        readings.sort_by_key(|reading| reading.at);
        let mut minutes = follow(&aims, tau, &readings, from, until);
        blow(climate, zone, from, &mut minutes);
        Self {
            first: from,
            extremes: extremes(&minutes),
            repeats: repeats::of(&minutes),
            minutes,
        }
    }

    /// The air of a job's room.
    pub fn of(job: &Job, readings: &[Reading], from: Moment, until: Moment) -> Self {
        Self::new(&job.room.climate, job.zone, readings, from, until)
    }

    /// The first minute it is known for.
    pub const fn first(&self) -> Moment {
        self.first
    }

    /// The first minute it is no longer known for.
    pub fn end(&self) -> Moment {
        self.first + Span(self.minutes.len() as i64)
    }

    /// The air at the beginning of a minute; `None` outside what is known.
    pub fn at(&self, at: Moment) -> Option<MoistAir> {
        let index = usize::try_from((at - self.first).0).ok()?;
        self.minutes.get(index).map(|minute| minute.begin)
    }

    /// The coldest the room gets.
    pub fn coldest(&self) -> Option<Celsius> {
        self.extremes.map(|extremes| extremes.coldest)
    }

    /// How far it goes.
    pub(super) const fn extremes(&self) -> Option<Extremes> {
        self.extremes
    }

    /// Whether it is ever colder than this.
    pub(super) fn dips_below(&self, floor: Celsius) -> bool {
        self.coldest().is_some_and(|coldest| coldest.0 < floor.0)
    }

    /// The air as a list of points, each holding until the next: a new one wherever the air has moved by
    /// more than `kelvins` or twice that many per cent of humidity since the last.
    pub fn points(&self, kelvins: f64) -> Vec<(Moment, MoistAir)> {
        let mut points: Vec<(Moment, MoistAir)> = Vec::new();
        for (index, minute) in self.minutes.iter().enumerate() {
            let here = minute.begin;
            let moved = points.last().is_none_or(|(_, last)| {
                (here.temperature.0 - last.temperature.0).abs() > kelvins
                    || (here.humidity.0 - last.humidity.0).abs() > 2.0 * kelvins
            });
            if moved {
                points.push((self.first + Span(index as i64), here));
            }
        }
        points
    }

    /// Stretches of minutes like earlier ones.
    pub(super) fn repeats(&self) -> &[Repeat] {
        &self.repeats
    }

    /// The minutes themselves, the first at [`Air::first`].
    pub(super) fn minutes(&self) -> &[Minute] {
        &self.minutes
    }
}

fn extremes(minutes: &[Minute]) -> Option<Extremes> {
    let first = minutes.first()?.begin;
    let mut found = Extremes {
        coldest: first.temperature,
        warmest: first.temperature,
        dampest: first.humidity,
    };
    // plain comparisons are several times quicker than least and most of two numbers
    let mut take_in = |air: MoistAir| {
        if air.temperature < found.coldest {
            found.coldest = air.temperature;
        }
        if air.temperature > found.warmest {
            found.warmest = air.temperature;
        }
        if air.humidity > found.dampest {
            found.dampest = air.humidity;
        }
    };
    for minute in minutes {
        take_in(minute.begin);
        take_in(minute.end);
    }
    Some(found)
}

/// From when on the room nears which air.
#[derive(Clone, Copy, Debug)]
struct Aim {
    from: Moment,
    air: MoistAir,
}

/// Every change of the room's aim between two moments, in order; the first holds from before `from`.
fn aims(climate: &Climate, zone: Tz, from: Moment, until: Moment) -> Vec<Aim> {
    let mut aims: Vec<Aim> = Vec::new();
    let last_day = until.in_zone(zone).date_naive();
    let mut day = from.in_zone(zone).date_naive();
    while day <= last_day {
        if let Some(line) = line_on(climate, day) {
            for (minute, air) in day_aims(line, day) {
                let aim = Aim {
                    from: clock_time(day, minute, zone),
                    air,
                };
                // midnight alone changes nothing
                if aims.last().is_none_or(|last| last.air != aim.air) {
                    aims.push(aim);
                }
            }
        }
        let Some(next) = day.checked_add_days(Days::new(1)) else {
            break;
        };
        day = next;
    }
    aims.sort_by_key(|aim| aim.from);
    aims
}

/// The line that holds on a day: the last whose first day is not after it, else the first.
fn line_on(climate: &Climate, day: NaiveDate) -> Option<&ClimateLine> {
    let holds = |line: &&ClimateLine| line.from.is_none_or(|from| from <= day);
    climate.lines.iter().rfind(holds).or(climate.lines.first())
}

/// A day's aims by minutes after midnight.
fn day_aims(line: &ClimateLine, on: NaiveDate) -> Vec<(u32, MoistAir)> {
    let day = MoistAir {
        temperature: line.day,
        humidity: line.day_humidity,
    };
    let night = MoistAir {
        temperature: line.night,
        humidity: line.night_humidity,
    };
    let heated = |on: NaiveDate| line.heated_on(on.weekday());
    match line.heating {
        None => vec![(0, day)],
        Some((from, off)) if from <= off && heated(on) => vec![(0, night), (from, day), (off, night)],
        Some((from, off)) if from <= off => vec![(0, night)],
        // heated over midnight: the hours after it belong to the evening before
        Some((from, off)) => {
            let mut aims = Vec::new();
            let before = on.pred_opt().is_none_or(heated);
            aims.push((0, if before { day } else { night }));
            aims.push((off, night));
            if heated(on) {
                aims.push((from, day));
            }
            aims
        }
    }
}

/// The instant of a clock time given in minutes after midnight; 1440 is the next midnight.
fn clock_time(day: NaiveDate, minute: u32, zone: Tz) -> Moment {
    let midnight = day.and_time(NaiveTime::MIN);
    let local = midnight
        .checked_add_signed(TimeDelta::minutes(i64::from(minute)))
        .unwrap_or(midnight);
    resolve(local, zone, Edge::Start)
}

/// Minutes for the room to go about two thirds of the way to its aim.
#[derive(Clone, Copy, Debug)]
struct Tau {
    cooling: f64,
    warming: f64,
}

/// One quantity of the room on its way: where it started, what it nears, or what was read and held.
#[derive(Clone, Copy, Debug)]
struct Course {
    since: Moment,
    start: f64,
    aim: f64,
    held: bool,
    /// Minutes to go about two thirds of the way.
    tau: f64,
}

impl Course {
    fn at(&self, at: Moment) -> f64 {
        if self.held {
            return self.start;
        }
        if self.tau <= 0.0 {
            return self.aim;
        }
        let gone = (at - self.since).0 as f64;
        self.aim + (self.start - self.aim) * (-gone / self.tau).exp()
    }

    /// Its values from `at` on, a minute apart, as long as it neither turns nor is held: what is left of the way
    /// shrinks by the same share every minute.
    fn minutes(&self, at: Moment) -> impl Iterator<Item = f64> {
        let (aim, mut left, share) = if self.held {
            (self.start, 0.0, 0.0)
        } else {
            let share = if self.tau <= 0.0 { 0.0 } else { (-1.0 / self.tau).exp() };
            (self.aim, self.at(at) - self.aim, share)
        };
        std::iter::repeat_with(move || {
            let here = aim + left;
            left = if left.abs() < ARRIVED { 0.0 } else { left * share };
            here
        })
    }

    /// Sets off for another aim from wherever it is.
    fn turn(&mut self, at: Moment, aim: f64, tau: f64) {
        *self = Self {
            since: at,
            start: self.at(at),
            aim,
            held: false,
            tau,
        };
    }

    /// Holds what was read.
    const fn hold(&mut self, read: f64) {
        self.start = read;
        self.held = true;
    }
}

/// Follows the aims and the readings from rest, keeping the minutes from `from` to `until`.
fn follow(aims: &[Aim], tau: Tau, readings: &[Reading], from: Moment, until: Moment) -> Vec<Minute> {
    let Some(first) = aims.first() else { return Vec::new() };
    let rest = |aim: f64| Course {
        since: first.from,
        start: aim,
        aim,
        held: false,
        tau: 0.0,
    };
    let mut temperature = rest(first.air.temperature.0);
    let mut humidity = rest(first.air.humidity.0);
    let mut aims = aims.iter().skip(1).peekable();
    let mut readings = readings.iter().skip_while(|reading| reading.at < first.from).peekable();
    let mut minutes = Vec::with_capacity(usize::try_from((until - from).0).unwrap_or(0));
    let mut now = from;
    while now < until {
        loop {
            let aim_due = aims.peek().map(|aim| aim.from).filter(|at| *at <= now);
            let reading_due = readings.peek().map(|reading| reading.at).filter(|at| *at <= now);
            // a reading taken at the very minute of a change is of the air after it
            let aim_first = match (aim_due, reading_due) {
                (None, None) => break,
                (Some(aim), Some(reading)) => aim <= reading,
                (Some(_), None) => true,
                (None, Some(_)) => false,
            };
            if aim_first && let Some(aim) = aims.next() {
                let warms = aim.air.temperature.0 > temperature.at(aim.from);
                let tau = if warms { tau.warming } else { tau.cooling };
                temperature.turn(aim.from, aim.air.temperature.0, tau);
                humidity.turn(aim.from, aim.air.humidity.0, tau);
            } else if let Some(reading) = readings.next() {
                temperature.hold(reading.temperature.0);
                if let Some(read) = reading.humidity {
                    humidity.hold(read.0);
                }
            }
        }
        let next_aim = aims.peek().map_or(until, |aim| aim.from);
        let next_reading = readings.peek().map_or(until, |reading| reading.at);
        let turns = next_aim.min(next_reading).min(until).max(now + Span(1));
        let mut course = temperature.minutes(now).zip(humidity.minutes(now));
        let mut air = || {
            let (temperature, humidity) = course.next().unwrap_or_default();
            MoistAir {
                temperature: Celsius(temperature),
                humidity: Percent(humidity),
            }
        };
        let mut begin = air();
        while now < turns {
            let end = air();
            minutes.push(Minute {
                begin,
                end,
                speed: STILL,
            });
            (begin, now) = (end, now + Span(1));
        }
    }
    minutes
}

/// Lays the fans' hours over the minutes: where several blow, the strongest counts.
fn blow(climate: &Climate, zone: Tz, from: Moment, minutes: &mut [Minute]) {
    let still = climate.air_speed.unwrap_or(STILL);
    let always = climate.fans.is_empty();
    for (index, minute) in minutes.iter_mut().enumerate() {
        minute.speed = still;
        if always {
            continue;
        }
        let clock = (from + Span(index as i64)).in_zone(zone);
        let now = clock.hour() * 60 + clock.minute();
        for fan in climate.fans.iter().filter(|fan| fan.blows(now)) {
            if fan.speed.0 > minute.speed.0 {
                minute.speed = fan.speed;
            }
        }
    }
}
