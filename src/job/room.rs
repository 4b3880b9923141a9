//! The room: its air, its places, its dust.
//!
//! Invariant: climate lines cover every minute (the last one is open-ended); capacities are what is
//! free when nothing stands there.

use super::air_rules::AirRules;
use crate::units::{Celsius, MetresPerSecond, Millimetres, Moment, Percent};
use chrono::{NaiveDate, Weekday};

/// The room the work is done in.
#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    /// Length, width, height; `None` where the maker does not give it.
    pub size: Option<[Millimetres; 3]>,
    /// Air changes an hour with doors and windows as used; `None` where not given.
    pub air_changes: Option<f64>,
    /// Whose limits, how well the air mixes, how much vapour is let into it.
    pub rules: AirRules,
    /// Dust is made in another room.
    pub dust_separated: bool,
    /// From the last dust to the next coat, minutes.
    pub settle_minutes: i64,
    /// Ignition sources in the room, as written.
    pub ignition: Vec<String>,
    /// Solid panels wider than this across the grain get equal coats on both faces.
    pub wide_over: Millimetres,
    /// Air through time.
    pub climate: Climate,
    /// Places by kind.
    pub places: Places,
    /// Places taken by other work.
    pub occupied: Vec<Occupied>,
}

/// Kinds of place. Wet pieces stand in the first three; dry ones on racks until they may be stacked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PlaceKind {
    /// Bearers.
    Bearers,
    /// Points.
    Points,
    /// Hooks to hang from.
    Hooks,
    /// Racks for pieces that may be handled but not stacked.
    Racks,
}

/// Capacities; `None` means the maker sets no limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Places {
    /// Pieces on bearers at one time.
    pub bearers: Option<u32>,
    /// Pieces on points.
    pub points: Option<u32>,
    /// Pieces hung.
    pub hooks: Option<u32>,
    /// Dry pieces waiting to be stackable.
    pub racks: Option<u32>,
}

impl Places {
    /// How many of a kind there are; `None`: no limit.
    pub const fn of(&self, kind: PlaceKind) -> Option<u32> {
        match kind {
            PlaceKind::Bearers => self.bearers,
            PlaceKind::Points => self.points,
            PlaceKind::Hooks => self.hooks,
            PlaceKind::Racks => self.racks,
        }
    }
}

/// Places that other work takes for a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Occupied {
    /// Which kind.
    pub kind: PlaceKind,
    /// How many.
    pub count: u32,
    /// From.
    pub from: Moment,
    /// Until.
    pub until: Moment,
    /// By what, as written.
    pub by: String,
}

/// Day and night air, valid from a date on.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimateLine {
    /// First day it holds for; `None` from the start.
    pub from: Option<NaiveDate>,
    /// Heating on, minutes after midnight, to heating off; `None`: the day air holds all day and night.
    pub heating: Option<(u32, u32)>,
    /// The days of the week it is heated on, Monday first; on the others the room keeps its night air. Heating
    /// over midnight belongs to the day it goes on.
    pub heated_days: [bool; 7],
    /// Air while heated.
    pub day: Celsius,
    /// Humidity while heated.
    pub day_humidity: Percent,
    /// Air the room falls to when the heating is off.
    pub night: Celsius,
    /// Humidity then.
    pub night_humidity: Percent,
}

impl ClimateLine {
    /// Whether the heating goes on on this day of the week.
    pub fn heated_on(&self, day: Weekday) -> bool {
        self.heated_days
            .get(day.num_days_from_monday() as usize)
            .copied()
            .unwrap_or(true)
    }
}

/// A fan that blows over the work every day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fan {
    /// On, minutes after midnight, to off; off before on runs over midnight.
    pub hours: (u32, u32),
    /// How fast the air moves over the work while it blows.
    pub speed: MetresPerSecond,
}

impl Fan {
    /// Whether it blows at this minute after midnight.
    pub const fn blows(&self, minute: u32) -> bool {
        let (on, off) = self.hours;
        if on <= off {
            on <= minute && minute < off
        } else {
            minute >= on || minute < off
        }
    }
}

/// The room's air through time.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Climate {
    /// Lines sorted by date; the last one holds on.
    pub lines: Vec<ClimateLine>,
    /// Hours for the room to go about two thirds of the way to its new temperature after heating goes
    /// on or off (time constant); zero is a step.
    pub time_constant_hours: f64,
    /// The same while it warms; `None`: as it cools.
    pub warming_hours: Option<f64>,
    /// How fast the air moves over the work where no fan blows; `None`: still, as tins take it to be.
    pub air_speed: Option<MetresPerSecond>,
    /// Fans.
    pub fans: Vec<Fan>,
}

/// A reading taken in the room; replaces the climate lines from then on until the next change of heating.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// When.
    pub at: Moment,
    /// Air temperature.
    pub temperature: Celsius,
    /// Relative humidity; `None` where only the thermometer was read.
    pub humidity: Option<Percent>,
}
