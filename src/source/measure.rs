//! Values with a unit: spans, clock times, dates, lengths, temperatures.
//!
//! Invariant: what comes out is in the program's own units (minutes, mm, °C) whatever the file used.

use super::code::Code;
use super::problem::Problem;
use super::value::{Found, Value};
use crate::units::text::{self, LengthUnit, TemperatureUnit};
use crate::units::{Celsius, Edge, Millilitres, Millimetres, Moment, Refusal, Span, resolve};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use chrono_tz::Tz;
use toml::de::DeValue;
use toml::value::{Datetime, Offset};

const DATE: &str = "a date such as \"2026-11-30\"";
const DATE_TIME: &str = "a date and a time such as \"2026-11-30 08:00\"";

impl Value<'_> {
    /// A span: `"45 min"`, `"2 h"`, `"2 h 30 min"`, `"3 d"`.
    pub fn duration(self) -> Option<Found<Span>> {
        self.parsed(Code::BadDuration, text::DURATION, text::duration)
    }

    /// A time of day, minutes after midnight: `"08:00"`; `"24:00"` is 1440.
    pub fn clock(self) -> Option<Found<u32>> {
        self.parsed(Code::BadClock, text::CLOCK, text::clock)
    }

    /// A stretch of the day, minutes after midnight: `"08:00-12:30"`.
    pub fn clock_range(self) -> Option<Found<(u32, u32)>> {
        self.parsed(Code::BadClock, text::CLOCK_RANGE, text::clock_range)
    }

    /// A day: `"2026-12-03"`, or the same without quotes.
    pub fn date(self) -> Option<Found<NaiveDate>> {
        if let DeValue::Datetime(written) = self.node() {
            let date = written
                .date
                .filter(|_| written.time.is_none() && written.offset.is_none());
            let day = date.and_then(|date| {
                NaiveDate::from_ymd_opt(i32::from(date.year), u32::from(date.month), u32::from(date.day))
            });
            if day.is_none() {
                let message = format!("`{}` wants a day alone", self.key());
                self.refuse(Problem::new(Code::BadDate, message).accepts(DATE));
            }
            return day.map(|day| self.found(day));
        }
        self.parsed(Code::BadDate, DATE, text::date)
    }

    /// A date and time in a zone: `"2026-11-30 08:00"`, or a TOML date-time (with an offset it is that
    /// instant). An hour that the spring change skips or the autumn change repeats is settled by
    /// [`resolve`].
    pub fn date_time(self, zone: Tz, edge: Edge) -> Option<Found<Moment>> {
        if let DeValue::Datetime(written) = self.node() {
            let moment = moment_of(written, zone, edge);
            if moment.is_none() {
                let message = format!("`{}` wants a day with a time", self.key());
                self.refuse(Problem::new(Code::BadDate, message).accepts(DATE_TIME));
            }
            return moment.map(|moment| self.found(moment));
        }
        let local = self.parsed(Code::BadDate, DATE_TIME, text::date_time)?;
        Some(local.map(|local| resolve(local, zone, edge)))
    }

    /// A length: a bare number in the file's unit, or text such as `"3/4"`, `"1-1/2"`, `"22 mm"`,
    /// `"3/4 in"`. Not checked for being above zero.
    pub fn length(self, unit: LengthUnit) -> Option<Found<Millimetres>> {
        if self.is_text() {
            return self.parsed(Code::BadLength, text::LENGTH, |written| text::length(written, unit));
        }
        if self.plain_number().is_none() {
            self.wrong_kind(text::LENGTH);
            return None;
        }
        Some(self.number()?.map(|number| Millimetres(number * unit.millimetres())))
    }

    /// A volume with its unit: `"2.5 L"`, `"400 mL"`, `"1 qt"`. Not checked for being above zero.
    pub fn volume(self) -> Option<Found<Millilitres>> {
        if self.plain_number().is_some() {
            let written = self.problems().text_at(&self.extent()).to_owned();
            if let Err(refusal) = text::volume(&written) {
                self.refuse_as(Code::BadVolume, refusal);
            }
            return None;
        }
        self.parsed(Code::BadVolume, text::VOLUME, text::volume)
    }

    /// An air temperature: a bare number in the file's unit, or text such as `"19 C"` or `"66 F"`.
    pub fn temperature(self, unit: TemperatureUnit) -> Option<Found<Celsius>> {
        let found = if self.is_text() {
            self.parsed(Code::BadTemperature, text::TEMPERATURE, |written| {
                text::temperature(written, unit)
            })?
        } else if self.plain_number().is_none() {
            self.wrong_kind(text::TEMPERATURE);
            return None;
        } else {
            self.number()?.map(|number| unit.to_celsius(number))
        };
        // colder and hotter than any workshop; catches °F written where °C is meant
        if (-40.0..=60.0).contains(&found.value.0) {
            return Some(found);
        }
        self.out_of_range("a workshop's temperature, -40 to 60 °C (-40 to 140 °F)");
        None
    }

    /// A time zone by its name: `"Europe/London"`.
    pub fn zone(self) -> Option<Found<Tz>> {
        self.parsed(Code::UnknownZone, "a time zone such as \"Europe/London\"", |written| {
            written.parse::<Tz>().map_err(|_| Refusal {
                why: "is not a time zone".to_owned(),
                accepted: "a zone of the IANA list, such as \"Europe/London\" or \"America/New_York\"".to_owned(),
                nearest: nearest_zone(written),
            })
        })
    }
}

/// The nearest zone name; a bare city is enough.
fn nearest_zone(written: &str) -> Option<String> {
    let names = || chrono_tz::TZ_VARIANTS.iter().map(|zone| zone.name());
    let folded = written.trim().to_lowercase().replace(' ', "_");
    let city = names().find(|name| {
        name.rsplit('/')
            .next()
            .is_some_and(|city| city.to_lowercase() == folded)
    });
    city.or_else(|| super::nearest::nearest(written, names()))
        .map(ToOwned::to_owned)
}

/// The instant of a TOML date-time; `None` without a day, without a time, or where there is no such day.
fn moment_of(written: &Datetime, zone: Tz, edge: Edge) -> Option<Moment> {
    let (date, time) = (written.date?, written.time?);
    let day = NaiveDate::from_ymd_opt(i32::from(date.year), u32::from(date.month), u32::from(date.day))?;
    let clock = NaiveTime::from_hms_opt(u32::from(time.hour), u32::from(time.minute), 0)?;
    let local = NaiveDateTime::new(day, clock);
    match written.offset {
        None => Some(resolve(local, zone, edge)),
        Some(Offset::Z) => Some(Moment::of(&local.and_utc())),
        Some(Offset::Custom { minutes }) => Some(Moment::of(&local.and_utc()) - Span(i64::from(minutes))),
    }
}
