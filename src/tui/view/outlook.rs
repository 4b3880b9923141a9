//! What comes ready next, and what closes soon.
//!
//! Invariant: times are those of the standing; what is not shown is counted.

use super::super::model::Model;
use super::super::{timing, words};
use super::cells::{Row, width, wrap};
use super::now::{MARGIN, margin};
use crate::finish::Stage;
use crate::standing::When;
use std::fmt::Write as _;

/// One entry: when, what, whether it presses.
struct Entry {
    when: String,
    what: String,
    presses: bool,
}

/// What comes ready and what closes, in so many rows at most.
pub fn rows(model: &Model, columns: usize, room: usize) -> Vec<Row> {
    let ready = ready_entries(model);
    let closing = closing_entries(model);
    let time = ready
        .iter()
        .chain(&closing)
        .map(|entry| width(&entry.when))
        .max()
        .unwrap_or(0)
        + 3;
    let text = columns.saturating_sub(MARGIN + time + 1);
    let tall = |entries: &[Entry]| {
        entries
            .iter()
            .map(|entry| wrap(&entry.what, text).len())
            .sum::<usize>()
            .max(1)
    };
    let blank = usize::from(room > 4 && (!ready.is_empty() || room > 8));
    let room = room.saturating_sub(blank);
    // what closes is never crowded out by what comes ready, nor the other way round
    let for_closing = tall(&closing).min((room / 2).max(room.saturating_sub(tall(&ready))));
    let for_ready = room.saturating_sub(for_closing);
    let mut rows = block(model, "READY", &ready, (time, text, for_ready), "nothing is drying");
    if blank > 0 {
        rows.push(Row::new());
    }
    rows.extend(block(
        model,
        "CLOSES",
        &closing,
        (time, text, for_closing),
        "nothing closes soon",
    ));
    rows
}

fn block(
    model: &Model,
    word: &str,
    entries: &[Entry],
    (time, text, room): (usize, usize, usize),
    none: &str,
) -> Vec<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    if entries.is_empty() {
        return vec![margin(model, word).text(none.to_owned(), theme.quiet)];
    }
    let mut rows: Vec<Row> = Vec::new();
    let mut shown = 0;
    for (index, entry) in entries.iter().enumerate() {
        let lines = wrap(&entry.what, text);
        let rest = usize::from(index + 1 < entries.len());
        if rows.len() + lines.len() + rest > room {
            break;
        }
        shown += 1;
        let (strong, plain) = if entry.presses {
            (theme.alarm, theme.alarm)
        } else {
            (theme.strong, theme.text)
        };
        for (part, line) in lines.into_iter().enumerate() {
            let row = margin(model, if rows.is_empty() { word } else { "" });
            let when = if part == 0 { entry.when.as_str() } else { "" };
            rows.push(row.cell(when, time, strong, symbols).text(line, plain));
        }
    }
    if shown < entries.len() {
        let row = margin(model, if rows.is_empty() { word } else { "" });
        let more = if shown == 0 { "" } else { " more" };
        rows.push(row.text(format!("{}{more}, see 2 Pieces", entries.len() - shown), theme.quiet));
    }
    rows
}

fn closing_entries(model: &Model) -> Vec<Entry> {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let pieces = &model.sheet.job.pieces;
    let entry = |closing: &crate::standing::Closing| Entry {
        when: timing::at(closing.at, now, zone),
        what: format!(
            "{}: {}",
            pieces.get(closing.piece).map_or("", |piece| piece.name.as_str()),
            closing.what
        ),
        presses: (closing.at - now).0 < 60,
    };
    model.sheet.standing.closing.iter().map(entry).collect()
}

/// What comes ready: pieces of one stage that follow each other within the hour in one line, the time being
/// that of the first.
fn ready_entries(model: &Model) -> Vec<Entry> {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let mut groups: Vec<(Stage, When, When, Vec<usize>)> = Vec::new();
    for (piece, stage, when) in &model.sheet.standing.coming {
        let joins = |(s, _, last, _): &&mut (Stage, When, When, Vec<usize>)| {
            s == stage && (when.late - last.late).0.abs() <= 60
        };
        match groups.iter_mut().find(joins) {
            Some((_, _, last, pieces)) => {
                pieces.push(*piece);
                last.late = last.late.max(when.late);
            }
            None => groups.push((*stage, *when, *when, vec![*piece])),
        }
    }
    let line = |(stage, first, last, pieces): (Stage, When, When, Vec<usize>)| {
        let name = pieces.first().and_then(|piece| model.sheet.job.pieces.get(*piece));
        let mut text = format!(
            "may be {}: {}",
            words::may_be(stage),
            name.map_or("", |piece| piece.name.as_str())
        );
        if pieces.len() > 1 {
            let _ = write!(
                text,
                ", then {} more by {}",
                pieces.len() - 1,
                timing::at(last.late, now, zone)
            );
        }
        Entry {
            when: timing::between(first, now, zone),
            what: text,
            presses: false,
        }
    };
    groups.into_iter().map(line).collect()
}
