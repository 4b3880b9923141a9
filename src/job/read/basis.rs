//! What the rest of the file is read against: zone, start, units, schedules.
//!
//! Invariant: a basis always exists, so that a bad zone or unit does not hide what else is wrong.

use super::words::{LENGTHS, TEMPERATURES, VOLUMES};
use super::{names, words};
use crate::finish::Schedule;
use crate::job::ShownIn;
use crate::source::{Code, Found, Table, Value};
use crate::units::text::{LengthUnit, TemperatureUnit};
use crate::units::{Edge, Moment};
use chrono_tz::Tz;
use std::collections::BTreeMap;

/// Zone, start, units and schedules of the job being read.
#[derive(Debug)]
pub(super) struct Basis<'s> {
    /// The zone; UTC where the file's could not be read (then no job comes out).
    pub zone: Tz,
    /// When work may start.
    pub start: Option<Found<Moment>>,
    /// The units, where they could be read.
    pub shown_in: Option<ShownIn>,
    /// The unit of bare lengths.
    pub length: LengthUnit,
    /// The unit of bare temperatures.
    pub temperature: TemperatureUnit,
    /// Every schedule at hand.
    pub schedules: &'s BTreeMap<String, Schedule>,
    /// The finish of parts that name none.
    pub finish: Option<Finish>,
    /// Whether the job names a finish, be it one that could be read or not.
    pub names_finish: bool,
}

/// What a surface gets: a schedule by id, or nothing.
pub(super) type Finish = Option<String>;

impl<'s> Basis<'s> {
    /// Reads `zone`, `start`, `units` and the job's `finish`.
    pub(super) fn read(top: &mut Table<'_>, schedules: &'s BTreeMap<String, Schedule>) -> Self {
        let zone = top
            .need("zone")
            .and_then(Value::zone)
            .map_or(Tz::UTC, |zone| zone.value);
        let start = top.need("start").and_then(|value| value.date_time(zone, Edge::Start));
        let shown_in = top.need_table("units").and_then(read_units);
        let inches = shown_in.is_some_and(|units| units.inches);
        let fahrenheit = shown_in.is_some_and(|units| units.fahrenheit);
        let mut basis = Self {
            zone,
            start,
            shown_in,
            length: if inches {
                LengthUnit::Inches
            } else {
                LengthUnit::Millimetres
            },
            temperature: if fahrenheit {
                TemperatureUnit::Fahrenheit
            } else {
                TemperatureUnit::Celsius
            },
            schedules,
            finish: None,
            names_finish: top.key_extent("finish").is_some(),
        };
        basis.finish = top.may("finish").and_then(|value| basis.finish_of(value));
        basis
    }

    /// The finish a value names: the id of a schedule, or `bare`.
    pub(super) fn finish_of(&self, value: Value<'_>) -> Option<Finish> {
        let id = value.text()?.value;
        if id == words::BARE {
            return Some(None);
        }
        if self.schedules.contains_key(&id) {
            return Some(Some(id));
        }
        let mut ids: Vec<&str> = self.schedules.keys().map(String::as_str).collect();
        ids.push(words::BARE);
        names::unknown(&value, Code::UnknownFinish, "finish schedule", &ids);
        None
    }
}

fn read_units(mut table: Table<'_>) -> Option<ShownIn> {
    table.call("`units`");
    let inches = table.need("length").and_then(|value| value.word(&LENGTHS));
    let fahrenheit = table.need("temperature").and_then(|value| value.word(&TEMPERATURES));
    let us_volume = table.need("volume").and_then(|value| value.word(&VOLUMES));
    Some(ShownIn {
        inches: inches?.value,
        fahrenheit: fahrenheit?.value,
        us_volume: us_volume?.value,
    })
}
