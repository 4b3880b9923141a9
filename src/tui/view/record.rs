//! The page *Record*: what was done, by whom, when?
//!
//! Invariant: the newest stands on top; what was taken back stays and says so; the line under the cursor is
//! told in full below the list.

use super::super::model::Model;
use super::super::pages::record::{self, Entry, Told};
use super::super::timing;
use super::super::update::record_words;
use super::cells::{Row, first_shown, more, put_lines, wrap};
use crate::dayplan::document::Stamp;
use crate::log::What;
use crate::units::Moment;
use ratatui::Frame;
use ratatui::layout::Rect;

/// Rows below the list for the line under the cursor.
const DETAIL: usize = 4;

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let theme = &model.theme;
    let (columns, height) = (usize::from(area.width), usize::from(area.height));
    let listed = record::listed(model);
    let entries = &model.sheet.entries;
    let mut rows = vec![summary(model, listed.len())];
    rows.push(Row::new());
    if listed.is_empty() {
        let text = "Nothing has been written down yet.";
        rows.push(Row::new().pad(3).text(text, theme.strong));
        put_lines(model, frame, area, rows.into_iter());
        return;
    }
    let total = listed.len();
    let cursor = model.pages.record.min(total - 1);
    let room = height.saturating_sub(rows.len() + DETAIL + 1);
    let all = total <= room;
    let shown = if all { total } else { room.saturating_sub(1) };
    let first = first_shown(cursor, total, shown);
    let mut at = None;
    let mut day = None;
    for (index, entry) in listed.iter().enumerate().skip(first).take(shown) {
        let Some(entry) = entries.get(*entry) else { continue };
        let here = index == cursor;
        let row = line(model, entry, columns, here, &mut day);
        if here && model.layers.is_empty() {
            at = Some(rows.len());
            rows.push(row.focused(columns.saturating_sub(1)));
        } else {
            rows.push(row);
        }
    }
    if !all {
        let text = more(first, total.saturating_sub(first + shown), "");
        rows.push(Row::new().pad(3).text(text, theme.quiet));
    }
    rows.push(Row::new());
    if let Some(entry) = listed.get(cursor).and_then(|entry| entries.get(*entry)) {
        rows.extend(detail(model, entry, columns));
    }
    put_lines(model, frame, area, rows.into_iter());
    if let Some(row) = at.filter(|row| *row < height) {
        frame.set_cursor_position((area.x + 1, area.y + row as u16));
    }
}

fn summary(model: &Model, listed: usize) -> Row {
    let theme = &model.theme;
    let all = model.sheet.entries.len();
    let row = Row::new()
        .text(" ", theme.text)
        .text(
            if listed == 1 {
                "1 line".to_owned()
            } else {
                format!("{listed} lines")
            },
            theme.strong,
        )
        .text("   the newest first", theme.quiet);
    match all - listed {
        0 => row,
        1 => row.text("   1 plan taken on: a lists it", theme.quiet),
        plans => row.text(format!("   {plans} plans taken on: a lists them"), theme.quiet),
    }
}

fn words_of(model: &Model, entry: &Entry) -> String {
    match &entry.told {
        Told::Plan { ready, rounds } => {
            let ready = timing::at(Moment::of(ready), model.moment(), model.sheet.job.zone);
            format!("a plan taken on: {rounds} rounds, ready to glue {ready}")
        }
        Told::Fact(What::Undone { record }) => {
            let all = &model.sheet.entries;
            let of = all.iter().rev().find(|one| one.id == *record);
            let what = of.map_or_else(
                || "something that is not in this log".to_owned(),
                |of| match &of.told {
                    Told::Fact(what) => record_words(model, what),
                    Told::Plan { .. } => "a plan".to_owned(),
                },
            );
            format!("taken back: {what}")
        }
        Told::Fact(what) => record_words(model, what),
    }
}

/// The day is said where it is another one than on the line above.
fn line(model: &Model, entry: &Entry, columns: usize, here: bool, day: &mut Option<String>) -> Row {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let local = Moment::of(&entry.at).in_zone(model.sheet.job.zone);
    let this = local.format("%a %-d %b").to_string();
    let said = if day.as_ref() == Some(&this) {
        String::new()
    } else {
        this.clone()
    };
    *day = Some(this);
    let mark = if here { symbols.cursor } else { ' ' };
    let style = if entry.taken_back { theme.quiet } else { theme.text };
    let back = if entry.taken_back { "(taken back) " } else { "" };
    let who = 12.min(columns / 6);
    let used = 3 + 11 + 7 + who + 1;
    Row::new()
        .text(format!(" {mark} "), theme.text)
        .cell(&said, 11, theme.strong, symbols)
        .cell(&local.format("%H:%M").to_string(), 7, style, symbols)
        .cell(&entry.who, who, style, symbols)
        .cell(
            &format!("{back}{}", words_of(model, entry)),
            columns.saturating_sub(used),
            style,
            symbols,
        )
}

fn detail(model: &Model, entry: &Entry, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let say = |stamp: &Stamp| timing::at(Moment::of(stamp), now, zone);
    let mut text = words_of(model, entry);
    match &entry.told {
        Told::Fact(What::Done { operations, start, end }) => {
            text = format!("{text}, {}–{}: {}", say(start), say(end), names(model, operations));
        }
        Told::Fact(What::Begun { operations, start }) => {
            text = format!("{text}, from {}: {}", say(start), names(model, operations));
        }
        Told::Fact(What::Skipped { operations, reason }) => {
            text = format!("{text}, because {reason}: {}", names(model, operations));
        }
        Told::Fact(What::StripBack { reason, .. } | What::AcceptedCaution { reason, .. }) => {
            text = format!("{text}, because {reason}");
        }
        Told::Fact(_) | Told::Plan { .. } => {}
    }
    let head = format!("Written {} by {}.", say(&entry.at), entry.who);
    let mut rows = vec![Row::new().pad(3).text(head, theme.strong)];
    let lines = wrap(&text, columns.saturating_sub(4));
    rows.extend(
        lines
            .into_iter()
            .take(DETAIL - 1)
            .map(|line| Row::new().pad(3).text(line, theme.text)),
    );
    rows
}

/// The pieces some operations were done to.
fn names(model: &Model, operations: &[String]) -> String {
    let plan = model.sheet.plan.as_ref();
    let find = |id: &String| {
        let planned = model.sheet.operation(id).and_then(|index| plan?.operations.get(index));
        planned.or_else(|| model.sheet.history.earlier.get(id))
    };
    let name = |id: &String| {
        find(id).map_or_else(
            || id.clone(),
            |one| super::super::round_card::name_of(&model.sheet, one),
        )
    };
    operations.iter().map(name).collect::<Vec<_>>().join("; ")
}
