//! What belongs to a day as a whole: its hours, its air, its night, and what is seen to before leaving.
//!
//! Invariant: figures come from the plan document; nothing is worked out about drying here.

use super::names::and_list;
use super::paper::{JOIN, clean};
use super::round::{View, lays_film, title_of};
use super::times::when;
use crate::dayplan::document::{Operation, Stamp, State};
use crate::finish::StepKind;
use crate::job::ShownIn;
use chrono::{NaiveDate, TimeDelta};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// The ends of temperature and humidity over a stretch of the plan's climate.
struct Air {
    temperature: (f64, f64),
    humidity: (f64, f64),
}

/// `None` where the plan says nothing of that stretch.
fn air_over(climate: &[(Stamp, f64, f64)], from: Stamp, until: Stamp) -> Option<Air> {
    holding_in(climate, from, until).fold(None, |known: Option<Air>, &(_, temperature, humidity)| {
        let air = known.unwrap_or(Air {
            temperature: (temperature, temperature),
            humidity: (humidity, humidity),
        });
        Some(Air {
            temperature: (air.temperature.0.min(temperature), air.temperature.1.max(temperature)),
            humidity: (air.humidity.0.min(humidity), air.humidity.1.max(humidity)),
        })
    })
}

/// The lines of the climate that hold at some instant of a stretch.
fn holding_in(
    climate: &[(Stamp, f64, f64)],
    from: Stamp,
    until: Stamp,
) -> impl Iterator<Item = &(Stamp, f64, f64)> + Clone {
    let first = climate.partition_point(|line| line.0 <= from).saturating_sub(1);
    climate.iter().skip(first).take_while(move |line| line.0 < until)
}

fn degrees(celsius: f64, shown: ShownIn) -> f64 {
    if shown.fahrenheit {
        celsius * 1.8 + 32.0
    } else {
        celsius
    }
}

fn ends(low: f64, high: f64) -> String {
    let (low, high) = (low.round() as i64, high.round() as i64);
    if low == high {
        low.to_string()
    } else {
        format!("{low}–{high}")
    }
}

/// The shifts of a day: for everybody, from first start to last end.
pub(super) fn shifts_on(view: &View<'_>, date: NaiveDate) -> Vec<(Stamp, Stamp)> {
    let all = view.plan.hands.iter().flat_map(|hand| &hand.shifts);
    let mut here: Vec<(Stamp, Stamp)> = all.filter(|shift| shift.0.date_naive() == date).copied().collect();
    here.sort_unstable();
    here.dedup();
    here
}

/// Who works when, and in which air.
pub(super) fn opening(view: &View<'_>, date: NaiveDate) -> Vec<String> {
    let mut lines = Vec::new();
    let mut hours = Vec::new();
    for hand in &view.plan.hands {
        let shifts = hand.shifts.iter().filter(|shift| shift.0.date_naive() == date);
        let spans: Vec<String> = shifts.map(|shift| super::times::span(shift.0, shift.1)).collect();
        if !spans.is_empty() {
            hours.push(format!("{} {}", clean(&hand.name), spans.join(", ")));
        }
    }
    if !hours.is_empty() {
        lines.push(format!("{}.", hours.join("; ")));
    }
    let shown = view.names.job().shown_in;
    let shifts = shifts_on(view, date);
    if let (Some(first), Some(last)) = (shifts.first(), shifts.iter().map(|shift| shift.1).max()) {
        let climate = &view.plan.climate;
        let unit = if shown.fahrenheit { "°F" } else { "°C" };
        if let Some(day) = air_over(climate, first.0, last) {
            let warmth = ends(degrees(day.temperature.0, shown), degrees(day.temperature.1, shown));
            let damp = ends(day.humidity.0, day.humidity.1);
            let mut line = format!("Air {warmth}{JOIN}{unit}, {damp}{JOIN}% in working hours");
            if let Some(night) = air_over(climate, last, last + TimeDelta::hours(12)) {
                let colder = night.temperature.0 < day.temperature.0 - 0.5;
                let damper = night.humidity.1 > day.humidity.1 + 0.5;
                let mut words = Vec::new();
                if colder {
                    words.push(format!(
                        "down to {:.0}{JOIN}{unit}",
                        degrees(night.temperature.0, shown)
                    ));
                }
                if damper {
                    words.push(format!("up to {:.0}{JOIN}%", night.humidity.1));
                }
                if !words.is_empty() {
                    _ = write!(line, "; overnight {}", words.join(" and "));
                }
            }
            lines.push(format!("{line}."));
        }
    }
    lines
}

/// The day's work in one paragraph: steps in the order they first come, each with how many pieces.
pub(super) fn in_short(view: &View<'_>, date: NaiveDate) -> Option<String> {
    let today = view.plan.operations.iter().filter(|operation| {
        let hands = !matches!(operation.step, StepKind::ChangeOver | StepKind::CleanUp | StepKind::Mix);
        operation.start.date_naive() == date && operation.state == State::Planned && hands
    });
    let mut steps: Vec<(String, BTreeSet<&str>)> = Vec::new();
    for operation in today {
        let mut title = title_of(operation);
        if let Some(product) = &operation.product {
            title = format!("{title}, {}", view.names.product(product));
        }
        let object = operation
            .piece
            .as_deref()
            .or(operation.assembly.as_deref())
            .unwrap_or_default();
        match steps.iter_mut().find(|(known, _)| *known == title) {
            Some((_, objects)) => _ = objects.insert(object),
            None => steps.push((title, BTreeSet::from([object]))),
        }
    }
    if steps.len() < 2 {
        return None;
    }
    let words: Vec<String> = steps
        .iter()
        .map(|(title, objects)| format!("{} ({})", lower_first(title), objects.len()))
        .collect();
    Some(format!("In short, with pieces: {}.", words.join("; ")))
}

fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        format!("{}{}", first.to_lowercase(), letters.as_str())
    })
}

/// What is seen to at the end of the day: rags, lids, tape left on, the cold of the night.
pub(super) fn closing(view: &View<'_>, date: NaiveDate) -> Vec<String> {
    let today: Vec<&Operation> = view
        .plan
        .operations
        .iter()
        .filter(|operation| operation.start.date_naive() == date)
        .collect();
    let mut lines = Vec::new();
    let used: BTreeSet<&str> = today
        .iter()
        .filter(|operation| {
            lays_film(operation.step) || matches!(operation.step, StepKind::WipeBack | StepKind::ReWipe)
        })
        .filter_map(|operation| operation.product.as_deref())
        .collect();
    let hot = used
        .iter()
        .filter(|id| view.names.job().product(id).is_some_and(|product| product.self_heating));
    let hot: Vec<String> = hot.map(|id| view.names.product(id)).collect();
    if !hot.is_empty() {
        lines.push(format!(
            "Rags wet with {} heat themselves and can burn: before you leave, lay them out singly in the open or \
             put them under water in a lidded metal tin, as the label and local rules say.",
            and_list(&hot)
        ));
    }
    if !used.is_empty() {
        let tins: Vec<String> = used.iter().map(|id| view.names.product(id)).collect();
        lines.push(format!("Lids on: {}.", and_list(&tins)));
    }
    lines.extend(tape(view, date, &today));
    lines.extend(cold(view, date));
    lines
}

/// Pieces coated today whose tape stays on overnight, and when it comes off.
fn tape(view: &View<'_>, date: NaiveDate, today: &[&Operation]) -> Option<String> {
    let coated: BTreeSet<&str> = today
        .iter()
        .filter(|operation| lays_film(operation.step))
        .filter_map(|operation| operation.piece.as_deref())
        .collect();
    let later = view.plan.operations.iter().filter(|operation| {
        operation.step == StepKind::Unmask
            && operation.start.date_naive() > date
            && operation.piece.as_deref().is_some_and(|piece| coated.contains(piece))
    });
    let later: Vec<&Operation> = later.collect();
    let first = later.iter().map(|operation| operation.start).min()?;
    let day_of_first = later
        .iter()
        .filter(|operation| operation.start.date_naive() == first.date_naive());
    let pieces = view
        .names
        .in_words(day_of_first.filter_map(|operation| operation.piece.as_deref()));
    Some(format!(
        "Tape stays on tonight; first off {}: {pieces}.",
        when(first, date)
    ))
}

/// Products whose films are still drying when the room falls below their drying floor tonight.
fn cold(view: &View<'_>, date: NaiveDate) -> Vec<String> {
    let Some(leaving) = shifts_on(view, date).iter().map(|shift| shift.1).max() else {
        return Vec::new();
    };
    let night = leaving + TimeDelta::hours(14);
    let shown = view.names.job().shown_in;
    // products that stand still over the same hours are one line
    let mut lines: Vec<(Chill, Vec<String>)> = Vec::new();
    for product in &view.plan.products {
        let Some(floor) = product.drying_floor_c else { continue };
        let mut held = holding_in(&view.plan.climate, leaving, night);
        let Some(from) = held.find(|line| line.1 < floor).map(|line| line.0.max(leaving)) else {
            continue;
        };
        let climate = &view.plan.climate;
        let until = climate
            .iter()
            .find(|line| line.0 > from && line.1 >= floor)
            .map(|line| line.0);
        let drying = view.plan.operations.iter().any(|operation| {
            operation.product.as_deref() == Some(product.id.as_str())
                && operation.end <= from
                && operation
                    .dry
                    .as_ref()
                    .and_then(|dry| dry.dry_hard)
                    .is_some_and(|hard| hard > from)
        });
        if !drying {
            continue;
        }
        let key = (
            from,
            until,
            degrees(floor, shown).round() as i64,
            product.mechanism.spoils(),
        );
        let name = view.names.product(&product.id);
        match lines.iter_mut().find(|(known, _)| *known == key) {
            Some((_, names)) => names.push(name),
            None => lines.push((key, vec![name])),
        }
    }
    let unit = if shown.fahrenheit { "°F" } else { "°C" };
    let line = |((from, until, floor, spoils), names): (Chill, Vec<String>)| {
        let what = if spoils {
            "a film caught there too early is spoiled, so keep the heat on if a coat went on later than planned"
        } else {
            "films stand still until then"
        };
        let back = until.map_or_else(|| "the air is warm again".to_owned(), |until| when(until, date));
        format!(
            "Cold: below {floor}{JOIN}{unit}, the drying floor of {}, from {} until {back}; {what}.",
            and_list(&names),
            when(from, date),
        )
    };
    lines.into_iter().map(line).collect()
}

/// Hours below a drying floor: from, until, the floor in the maker's unit, and whether it spoils films.
type Chill = (Stamp, Option<Stamp>, i64, bool);
