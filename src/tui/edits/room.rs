//! The form of the room.
//!
//! Invariant: an emptied line takes its key out of the file, so that the usual value holds again.

use super::super::bench::Sheet;
use super::super::form::{Entry, Form};
use super::super::task::Task;
use super::asked::NOT_SAID;
use super::{choice, line_of, set_or_gone, unit};
use crate::job::country_words;
use crate::job::edit::{Edit, Place, Written, value};

/// The room.
pub fn room(sheet: &Sheet) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let size = file.typed(&Place::Room, "size").unwrap_or_default();
    let size: Vec<&str> = size.split(", ").collect();
    let mut room = |key: &str| file.typed(&Place::Room, key).unwrap_or_default();
    let places = ["bearers", "points", "hooks", "racks"].map(|kind| room(&format!("places.{kind}")));
    let [settle, cap, mixing, speed, ignition, wide, warming, cooling] = [
        "settle",
        "vapour_cap",
        "mixing",
        "air_speed",
        "ignition",
        "wide_over",
        "warming",
        "cooling",
    ]
    .map(&mut room);
    let country = room("country");
    let countries: Vec<&str> = std::iter::once(NOT_SAID).chain(country_words()).collect();
    let (dust, changes) = (room("dust"), room("air_changes"));
    let mut air = |key: &str| file.typed(&Place::Air, key).unwrap_or_default();
    let [day, damp, night, night_damp] =
        ["day.temperature", "day.humidity", "night.temperature", "night.humidity"].map(&mut air);
    let heated = air("heated");
    let degrees = if sheet.job.shown_in.fahrenheit { "°F" } else { "°C" };
    let edge_of = |at: usize| size.get(at).copied().unwrap_or_default();
    let [bearers, points, hooks, racks] = &places;
    let entries = vec![
        Entry::text(
            "length",
            edge_of(0),
            if unit(sheet) == "mm" {
                "mm; the three may be left out"
            } else {
                "inches"
            },
        ),
        Entry::text("breadth", edge_of(1), ""),
        Entry::text("height", edge_of(2), ""),
        Entry::text(
            "air changes",
            &changes,
            "an hour, doors and windows as used; about 2 with one ajar",
        ),
        choice(
            "dust",
            &["together", "separated"],
            Some(dust.as_str()).filter(|dust| !dust.is_empty()),
        ),
        Entry::text("by day", &day, degrees),
        Entry::text("damp by day", &damp, "% RH"),
        Entry::text("heated", &heated, "07:00-18:00; empty: the same day and night"),
        Entry::text("by night", &night, degrees),
        Entry::text("damp by night", &night_damp, "% RH"),
        Entry::text("on bearers", bearers, "pieces at one time; empty: no limit"),
        Entry::text("on points", points, ""),
        Entry::text("hung", hooks, ""),
        Entry::text("on racks", racks, "dry, but not to be stacked yet"),
        Entry::text(
            "settle",
            &settle,
            "how long dust stays up: 1 h; needed where dust is made",
        ),
        Entry::text("vapour cap", &cap, "% of the lower explosive limit; empty: 10"),
        Entry::text(
            "mixing",
            &mixing,
            "1 blown through, 3 to 5 a usual workshop; empty: usual",
        ),
        Entry::text("air speed", &speed, "over the work"),
        Entry::text("ignition", &ignition, "what may set vapour off: stove, compressor"),
        Entry::text("wide over", &wide, "solid panels wider get equal coats on both faces"),
        Entry::text("warming", &warming, "2 h"),
        Entry::text("cooling", &cooling, "3 h"),
        choice(
            "limits of",
            &countries,
            Some(country.as_str()).filter(|country| !country.is_empty()),
        ),
    ];
    let about = "How fast it dries and how much it holds. Together: sanding and coating share the room. Limits: \
                 whose exposure limits the air is judged by.";
    Some((
        Task::Room,
        Form::new("THE ROOM", about, "write it into the job", entries),
    ))
}

pub(super) fn changes(form: &Form) -> Vec<Edit> {
    let mut edits = Vec::new();
    let sides = ["length", "breadth", "height"];
    if sides.iter().any(|label| form.is_changed(label)) {
        let typed = sides.map(|label| form.words(label));
        let (place, key) = (Place::Room, "size".to_owned());
        edits.push(if typed.iter().all(String::is_empty) {
            Edit::Unset { place, key }
        } else {
            let value = value::numbers(&typed);
            Edit::Set { place, key, value }
        });
    }
    let mut line = |label: &str, place: &Place, key: &str, write: fn(&str) -> String| {
        edits.extend(line_of(form, label, place, key, write));
    };
    line("air changes", &Place::Room, "air_changes", value::number);
    line("dust", &Place::Room, "dust", value::text);
    line("by day", &Place::Air, "day.temperature", value::number);
    line("damp by day", &Place::Air, "day.humidity", value::number);
    line("heated", &Place::Air, "heated", value::text);
    line("on bearers", &Place::Room, "places.bearers", value::number);
    line("on points", &Place::Room, "places.points", value::number);
    line("hung", &Place::Room, "places.hooks", value::number);
    line("on racks", &Place::Room, "places.racks", value::number);
    line("settle", &Place::Room, "settle", value::text);
    line("vapour cap", &Place::Room, "vapour_cap", value::number);
    line("mixing", &Place::Room, "mixing", value::number);
    line("air speed", &Place::Room, "air_speed", value::number);
    line("ignition", &Place::Room, "ignition", value::texts);
    line("wide over", &Place::Room, "wide_over", value::number);
    line("warming", &Place::Room, "warming", value::text);
    line("cooling", &Place::Room, "cooling", value::text);
    if form.is_changed("limits of") {
        let country = Some(form.words("limits of")).filter(|country| country != NOT_SAID);
        let country = country.map(|country| value::text(&country));
        edits.push(set_or_gone(&Place::Room, "country", country));
    }
    // a night without figures is no night: the whole key goes
    if form.words("by night").is_empty() && form.words("damp by night").is_empty() {
        if form.is_changed("by night") || form.is_changed("damp by night") {
            edits.push(Edit::Unset {
                place: Place::Air,
                key: "night".to_owned(),
            });
        }
    } else {
        let mut line = |label: &str, key: &str| edits.extend(line_of(form, label, &Place::Air, key, value::number));
        line("by night", "night.temperature");
        line("damp by night", "night.humidity");
    }
    edits
}
