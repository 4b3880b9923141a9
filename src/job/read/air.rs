//! The room's air: dated lines of day and night, heating hours and days, its own cooling and warming, fans.
//!
//! Invariant: the air of every minute from the job's start is known.

use super::basis::Basis;
use super::words::WEEKDAYS;
use crate::job::{Climate, ClimateLine, Fan};
use crate::source::{Code, Found, Problem, Problems, Table, Value};
use crate::units::{Celsius, MetresPerSecond, Percent};
use chrono::NaiveDate;

/// Air over the work that blows harder than this is a gale, m/s.
const HARDEST: f64 = 5.0;

/// Reads what `[room]` says of its air. Left out: `cooling` is a step, `warming` is as `cooling`, `air_speed` is
/// still air, no fan blows.
pub(super) fn read(room: &mut Table<'_>, basis: &Basis<'_>) -> Climate {
    let hours = |found: Found<crate::units::Span>| found.value.0 as f64 / 60.0;
    let cooling = room.may("cooling").and_then(Value::duration).map(hours);
    let warming = room.may("warming").and_then(Value::duration).map(hours);
    let air_speed = room.may("air_speed").and_then(read_speed);
    let fans = room.tables("fan").into_iter().filter_map(read_fan).collect();
    Climate {
        lines: read_air(room, basis),
        time_constant_hours: cooling.unwrap_or(0.0),
        warming_hours: warming,
        air_speed,
        fans,
    }
}

fn read_speed(value: Value<'_>) -> Option<MetresPerSecond> {
    let found = value.number_within(0.0..=HARDEST, "m/s")?;
    Some(MetresPerSecond(found.value))
}

fn read_fan(mut table: Table<'_>) -> Option<Fan> {
    table.call("the fan");
    let hours = table.need("hours").and_then(Value::clock_range);
    let speed = table.need("speed").and_then(read_speed);
    Some(Fan {
        hours: hours?.value,
        speed: speed?,
    })
}

/// The days of the week an air line is heated on.
fn read_days(days: Value<'_>, heated: bool) -> Option<[bool; 7]> {
    if !heated {
        let problem = Problem::new(
            Code::NightWithoutHeating,
            "heating days are given, but no heating hours",
        )
        .at(days.extent(), "heated from when to when?")
        .accepts("heating hours such as heated = \"07:00-18:30\" beside the days");
        days.refuse(problem);
        return None;
    }
    let mut on = [false; 7];
    for day in days.list_of(|day| day.word(&WEEKDAYS))?.value {
        if let Some(day) = on.get_mut(day.value) {
            *day = true;
        }
    }
    Some(on)
}

/// One side of an air line.
fn read_side(value: Value<'_>, basis: &Basis<'_>) -> Option<(Celsius, Percent)> {
    let conditions = value.conditions(basis.temperature)?.value;
    Some((conditions.temperature, conditions.humidity))
}

/// The lines of the room's air, sorted by date.
fn read_air(room: &mut Table<'_>, basis: &Basis<'_>) -> Vec<ClimateLine> {
    let mut lines: Vec<(Found<Option<NaiveDate>>, ClimateLine)> = Vec::new();
    let mut complete = true;
    for mut table in room.tables("air") {
        table.call("the air line");
        let from = table.may("from").map(Value::date);
        let heated = table.may("heated");
        let heating = heated.and_then(Value::clock_range);
        let days = table.may("days");
        let heated_days = days.map_or(Some([true; 7]), |days| read_days(days, heated.is_some()));
        let day = table.need("day").and_then(|value| read_side(value, basis));
        let night = if heated.is_some() {
            table.need("night")
        } else {
            table.may("night")
        };
        if let (Some(night), None) = (night, heated) {
            let problem = Problem::new(Code::NightWithoutHeating, "a night is given, but no heating hours")
                .at(night.extent(), "when does this air begin?")
                .accepts("heating hours such as heated = \"07:00-18:30\"; without them the day's air holds all day and night");
            table.problems().push(problem);
        }
        let night = night.and_then(|value| read_side(value, basis));
        let at = match &from {
            Some(Some(date)) => Found {
                value: Some(date.value),
                extent: date.extent.clone(),
            },
            Some(None) => {
                complete = false;
                continue;
            }
            None => Found {
                value: None,
                extent: table.extent(),
            },
        };
        let Some((day, day_humidity)) = day else {
            complete = false;
            continue;
        };
        let (night, night_humidity) = night.unwrap_or((day, day_humidity));
        let heating = heating.map(|heating| heating.value);
        let line = ClimateLine {
            from: at.value,
            heating,
            heated_days: heated_days.unwrap_or([true; 7]),
            day,
            day_humidity,
            night,
            night_humidity,
        };
        lines.push((at, line));
    }
    lines.sort_by_key(|(at, _)| at.value);
    check_air(room, basis, &lines, complete);
    lines.into_iter().map(|(_, line)| line).collect()
}

/// The air must be known from the start on, once for each day.
fn check_air(room: &Table<'_>, basis: &Basis<'_>, lines: &[(Found<Option<NaiveDate>>, ClimateLine)], complete: bool) {
    let problems: &Problems<'_> = room.problems();
    if room.has_none("air") && !problems.broken() {
        let problem = Problem::new(Code::NoAir, "the room's air is not given")
            .at(room.extent(), "no `[[room.air]]` for this room")
            .accepts("[[room.air]] with day = { temperature = 19, humidity = 50 }, and `heated` and `night` where the heating goes off");
        problems.push(problem);
    }
    for ((before, _), (after, _)) in lines.iter().zip(lines.iter().skip(1)) {
        if before.value == after.value {
            let problem = Problem::new(Code::DuplicateDate, "two air lines begin on the same day")
                .at(after.extent.clone(), "again here")
                .at(before.extent.clone(), "first here")
                .accepts("a `from` of its own for each air line but the first");
            problems.push(problem);
        }
    }
    if let (Some((first, _)), Some(start)) = (lines.first(), &basis.start)
        && let Some(from) = first.value
        && from > start.value.in_zone(basis.zone).date_naive()
        && complete
    {
        let problem = Problem::new(Code::AirBeginsLate, "the room's air is not known when the job starts")
            .at(first.extent.clone(), "the first air line begins here")
            .at(start.extent.clone(), "the job starts here")
            .accepts("a first `[[room.air]]` without `from`, or one not after the start");
        problems.push(problem);
    }
}
