//! The page *Places*: what stands where, and when does each place come free?
//!
//! Invariant: a sign a place, the sign of what may be done with the piece that stands there; lists are in the
//! order in which places come free.

use super::super::model::Model;
use super::super::pages::places::{PlaceNow, Stands};
use super::super::timing;
use super::super::verdict::Hands;
use super::cells::{Row, put_lines};
use super::layers::scrolled;
use crate::job::PlaceKind;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let rows = rows(model, usize::from(area.width));
    put_lines(
        model,
        frame,
        area,
        scrolled(model, rows, model.pages.places, area).into_iter(),
    );
}

/// How far it can be scrolled.
pub fn last_scroll(model: &Model) -> usize {
    let room = usize::from(model.size.1.saturating_sub(2 + 3));
    rows(model, usize::from(model.size.0)).len().saturating_sub(room)
}

const fn name(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Bearers => "BEARERS",
        PlaceKind::Points => "POINTS",
        PlaceKind::Hooks => "HOOKS",
        PlaceKind::Racks => "RACKS",
    }
}

fn rows(model: &Model, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let Some(found) = model.places() else {
        return vec![Row::new(), Row::new().pad(10).text(model.no_figures(), theme.strong)];
    };
    let (places, at_none) = &*found;
    let mut rows = Vec::new();
    let standing: usize = places.iter().map(|place| place.stands.len()).sum();
    let words = match standing {
        0 => "Nothing stands on bearers, points, hooks or racks.".to_owned(),
        standing => format!(
            "{} stand to dry; {at_none} elsewhere.",
            super::super::words::pieces(standing)
        ),
    };
    rows.push(Row::new().text(format!(" {words}"), theme.strong));
    for place in places {
        rows.push(Row::new());
        rows.extend(kind_rows(model, place, columns));
    }
    rows
}

fn hands_of(model: &Model, stands: &Stands) -> Option<Hands> {
    let standing = model.sheet.piece_standing(stands.piece?)?;
    Some(Hands::on(standing))
}

fn kind_rows(model: &Model, place: &PlaceNow, columns: usize) -> Vec<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let count = match (place.capacity, place.free()) {
        (Some(capacity), Some(free)) => format!("{free} of {capacity} free"),
        _ => format!("{} taken, no limit", place.taken()),
    };
    let mut head = Row::new()
        .text(" ", theme.text)
        .cell(name(place.kind), 9, theme.strong, symbols)
        .cell(&count, 22, theme.text, symbols)
        .text(" ", theme.text);
    for (sign, style) in slots(model, place, columns.saturating_sub(34)) {
        head = head.text(sign.to_string(), style);
    }
    let mut rows = vec![head];
    for stands in &place.stands {
        let hands = hands_of(model, stands);
        let (sign, word, style) = match hands {
            Some(hands) => (hands.sign(symbols), hands.word(), hands.style(theme)),
            None => (symbols.block, "other work", theme.quiet),
        };
        let until = match stands.until {
            Some(until) => format!("free from {}", timing::at(until, now, zone)),
            None => "until it is moved".to_owned(),
        };
        let since = format!("since {}", timing::at(stands.since, now, zone));
        let slots = if stands.slots > 1 {
            format!("  takes {}", stands.slots)
        } else {
            String::new()
        };
        rows.push(
            Row::new()
                .pad(4)
                .text(format!("{sign} "), style)
                .cell(word, 13, style, symbols)
                .text(" ", theme.text)
                .cell(&stands.name, if columns < 110 { 22 } else { 36 }, theme.strong, symbols)
                .text(" ", theme.text)
                .cell(&until, 26, theme.text, symbols)
                .text(since + &slots, theme.quiet),
        );
    }
    if let Some(comes) = &place.comes {
        let text = format!(
            "next: {}, planned {}, takes {}",
            comes.step,
            timing::at(comes.at, now, zone),
            comes.slots
        );
        let short = place.free().is_some_and(|free| free < comes.slots);
        let by_then = place
            .stands
            .iter()
            .filter(|stands| stands.until.is_some_and(|until| until <= comes.at))
            .map(|stands| stands.slots)
            .sum::<u32>();
        let text = if short && by_then > 0 {
            format!("{text}; {by_then} come free by then")
        } else {
            text
        };
        rows.push(Row::new().pad(4).text(text, theme.quiet));
    }
    rows
}

/// A sign a place: what stands there first, then what is free.
fn slots(model: &Model, place: &PlaceNow, room: usize) -> Vec<(char, Style)> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mut slots = Vec::new();
    for stands in &place.stands {
        let (sign, style) = match hands_of(model, stands) {
            Some(hands) => (hands.sign(symbols), hands.style(theme)),
            None => (symbols.block, theme.quiet),
        };
        slots.extend(std::iter::repeat_n((sign, style), stands.slots as usize));
    }
    let free = place.free().unwrap_or(0) as usize;
    slots.extend(std::iter::repeat_n((symbols.free, theme.quiet), free));
    if slots.len() > room {
        slots.truncate(room.saturating_sub(1));
        slots.push((symbols.cut, theme.quiet));
    }
    slots
}
