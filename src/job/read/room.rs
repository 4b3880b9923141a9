//! The room: size, air, dust, places.
//!
//! Invariant: the air of every minute from the job's start is known; places taken are places there are.

use super::basis::Basis;
use super::words::{COUNTRIES, DUST, PLACES};
use crate::job::air_rules::QUARTER;
use crate::job::{AirRules, Climate, ClimateLine, Occupied, Places, Room};
use crate::source::{Code, Extent, Found, Problem, Problems, Table, Value};
use crate::units::{Celsius, Edge, Millimetres, Percent};
use chrono::NaiveDate;

/// Solid panels wider than this across the grain get equal coats on both faces (common practice, no source).
const WIDE_OVER: Millimetres = Millimetres(200.0);

/// The most places of one kind.
const MOST_PLACES: u32 = 100_000;

/// The room, and where its places are said.
#[derive(Debug)]
pub(super) struct RoomDraft {
    pub room: Room,
    pub places_at: Extent,
}

/// Reads `[room]`: `dust` and an air line are needed, `settle` too where dust is made in the same room.
/// Left out: `size` and `air_changes` are not known, the vapour rules are those of [`read_rules`], `wide_over` is 200 mm, `cooling` is a step, `ignition`
/// is none, a kind of place without number has no limit.
pub(super) fn read(mut table: Table<'_>, basis: &Basis<'_>) -> Option<RoomDraft> {
    table.call("`room`");
    let size = table.may("size").and_then(|value| read_size(value, basis));
    let air_changes = table
        .may("air_changes")
        .and_then(|value| value.number_within(0.0..=200.0, "an hour"));
    let rules = read_rules(&mut table);
    let dust = table.need("dust").and_then(|value| value.word(&DUST));
    let separated = dust.as_ref().is_some_and(|dust| dust.value);
    let settle = if separated || dust.is_none() {
        table.may("settle")
    } else {
        table.need("settle")
    };
    let settle = settle.and_then(Value::duration);
    let wide_over = table.may("wide_over").and_then(|value| value.length(basis.length));
    let cooling = table.may("cooling").and_then(Value::duration);
    let ignition = table.may("ignition").and_then(|value| value.list_of(Value::text));
    let places_at = table.key_extent("places").unwrap_or(table.extent());
    let places = table.may_table("places").map_or_else(Places::default, read_places);
    let lines = read_air(&mut table, basis);
    let occupied = table
        .tables("occupied")
        .into_iter()
        .filter_map(|line| read_occupied(line, basis, &places))
        .collect();
    let climate = Climate {
        lines,
        time_constant_hours: cooling.map_or(0.0, |constant| constant.value.0 as f64 / 60.0),
    };
    let room = Room {
        size,
        air_changes: air_changes.map(|changes| changes.value),
        rules,
        dust_separated: dust?.value,
        settle_minutes: settle.map_or(0, |settle| settle.value.0),
        ignition: ignition.map_or(Vec::new(), |list| {
            list.value.into_iter().map(|text| text.value).collect()
        }),
        wide_over: wide_over.map_or(WIDE_OVER, |length| length.value),
        climate,
        places,
        occupied,
    };
    Some(RoomDraft { room, places_at })
}

/// `country`, `mixing` and `vapour_cap`; left out: no country is said, the air mixes as in a usual workshop, the
/// cap is a tenth of the lower explosive limit.
fn read_rules(table: &mut Table<'_>) -> AirRules {
    let usual = AirRules::default();
    let country = table.may("country").and_then(|value| value.word(&COUNTRIES));
    let mixing = table.may("mixing").and_then(|value| {
        value.number_within(
            1.0..=10.0,
            "(1 where air is blown through, 3 to 5 in a usual workshop, 10 in still corners)",
        )
    });
    let cap = table.may("vapour_cap").and_then(|value| {
        value.number_within(
            0.5..=QUARTER.0,
            "% of the lower explosive limit; a quarter is the most the rules allow",
        )
    });
    AirRules {
        country: country.map(|country| country.value),
        mixing: mixing.map_or(usual.mixing, |mixing| mixing.value),
        cap: cap.map_or(usual.cap, |cap| Percent(cap.value)),
    }
}

/// Length, width and height.
fn read_size(value: Value<'_>, basis: &Basis<'_>) -> Option<[Millimetres; 3]> {
    let list = value.list()?;
    let [length, width, height] = list.value.as_slice() else {
        let message = format!("the room's size has {} numbers", list.value.len());
        value.refuse(
            Problem::new(Code::SizeCount, message).accepts("length, width and height of the room: three numbers"),
        );
        return None;
    };
    let read = |value: &Value<'_>| super::shape::positive(*value, basis);
    let (length, width, height) = (read(length), read(width), read(height));
    Some([length?.value, width?.value, height?.value])
}

fn read_places(mut table: Table<'_>) -> Places {
    table.call("`places`");
    let mut number = |key| {
        table
            .may(key)
            .and_then(|value| value.whole_within(0..=MOST_PLACES))
            .map(|found| found.value)
    };
    Places {
        bearers: number("bearers"),
        points: number("points"),
        hooks: number("hooks"),
        racks: number("racks"),
    }
}

fn read_occupied(mut table: Table<'_>, basis: &Basis<'_>, places: &Places) -> Option<Occupied> {
    table.call("the place taken");
    let kind = table.need("place").and_then(|value| value.word(&PLACES));
    let count = table
        .need("count")
        .and_then(|value| value.whole_within(1..=MOST_PLACES));
    let from = table
        .need("from")
        .and_then(|value| value.date_time(basis.zone, Edge::Start));
    let until = table
        .need("until")
        .and_then(|value| value.date_time(basis.zone, Edge::End));
    let by = table.need("by").and_then(Value::text);
    if let (Some(from), Some(until)) = (&from, &until)
        && from.value >= until.value
    {
        let problem = Problem::new(Code::TimesBackwards, "the places are given back before they are taken")
            .at(until.extent.clone(), "until")
            .at(from.extent.clone(), "from")
            .accepts("an `until` after its `from`");
        table.problems().push(problem);
    }
    if let (Some(kind), Some(count)) = (&kind, &count)
        && let Some(all) = places.of(kind.value)
        && count.value > all
    {
        let name = PLACES.word_for(kind.value).unwrap_or("places");
        let message = format!("other work takes {} {name}, but the room has {all}", count.value);
        let problem = Problem::new(Code::MoreTakenThanThere, message)
            .at(count.extent.clone(), format!("more than the {all} there are"))
            .accepts(format!("at most {all}, or more {name} under `places`"));
        table.problems().push(problem);
    }
    Some(Occupied {
        kind: kind?.value,
        count: count?.value,
        from: from?.value,
        until: until?.value,
        by: by?.value,
    })
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
