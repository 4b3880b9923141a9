//! The room: size, dust, places; its air is read by [`air`].
//!
//! Invariant: places taken are places there are.

use super::air;
use super::basis::Basis;
use super::words::{COUNTRIES, DUST, PLACES};
use crate::job::air_rules::QUARTER;
use crate::job::{AirRules, Occupied, Places, Room};
use crate::source::{Code, Extent, Problem, Table, Value};
use crate::units::{Edge, Millimetres, Percent};

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
/// Left out: `size` and `air_changes` are not known, the vapour rules are those of [`read_rules`], `wide_over` is
/// 200 mm, `ignition` is none, a kind of place without number has no limit; of the air see [`air`].
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
    let ignition = table.may("ignition").and_then(|value| value.list_of(Value::text));
    let places_at = table.key_extent("places").unwrap_or(table.extent());
    let places = table.may_table("places").map_or_else(Places::default, read_places);
    let climate = air::read(&mut table, basis);
    let occupied = table
        .tables("occupied")
        .into_iter()
        .filter_map(|line| read_occupied(line, basis, &places))
        .collect();
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
