//! What comes ready next, and what closes soon.
//!
//! Invariant: times are those of the standing; what is not shown is counted.

use super::super::model::Model;
use super::super::{timing, words};
use super::cells::{Row, width};
use super::now::{MARGIN, margin};
use crate::finish::Stage;
use crate::standing::When;
use crate::units::Moment;

/// One entry: when, what, on which pieces, whether it presses.
struct Entry {
    when: String,
    what: String,
    pieces: String,
    presses: bool,
}

/// From here on an entry takes two lines: when and what, and below the pieces.
const NARROW: usize = 70;

/// What comes ready and what closes, in so many rows at most.
pub fn rows(model: &Model, columns: usize, room: usize) -> Vec<Row> {
    let ready = ready_entries(model);
    let closing = closing_entries(model);
    let tall = if columns < NARROW { 2 } else { 1 };
    let blank = usize::from(room > 4 && (!ready.is_empty() || room > 8));
    let room = room.saturating_sub(blank);
    // what closes is never crowded out by what comes ready, nor the other way round
    let wanted = |entries: &[Entry]| (entries.len() * tall).max(1);
    let for_closing = wanted(&closing).min((room / 2).max(room.saturating_sub(wanted(&ready))));
    let for_ready = room.saturating_sub(for_closing);
    let time = ready
        .iter()
        .chain(&closing)
        .map(|entry| width(&entry.when))
        .max()
        .unwrap_or(0)
        + 2;
    let shape = Shape { columns, time, tall };
    let mut rows = block(model, "READY", &ready, &shape, for_ready, "nothing is drying");
    if blank > 0 {
        rows.push(Row::new());
    }
    rows.extend(block(
        model,
        "CLOSES",
        &closing,
        &shape,
        for_closing,
        "nothing closes soon",
    ));
    rows
}

/// How entries are laid out.
struct Shape {
    columns: usize,
    time: usize,
    tall: usize,
}

fn block(model: &Model, word: &str, entries: &[Entry], shape: &Shape, room: usize, none: &str) -> Vec<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    if entries.is_empty() {
        return vec![margin(model, word).text(none.to_owned(), theme.quiet)];
    }
    let all = entries.len() * shape.tall <= room;
    let shown = if all {
        entries.len()
    } else {
        room.saturating_sub(1) / shape.tall
    };
    let text = shape.columns.saturating_sub(MARGIN + 1);
    let mut rows: Vec<Row> = Vec::new();
    for entry in entries.iter().take(shown) {
        let (strong, plain) = if entry.presses {
            (theme.alarm, theme.alarm)
        } else {
            (theme.strong, theme.text)
        };
        let row = margin(model, if rows.is_empty() { word } else { "" });
        if shape.tall == 1 {
            let what = format!("{}: {}", entry.what, entry.pieces);
            let row = row.cell(&entry.when, shape.time, strong, symbols);
            rows.push(row.cell(&what, text.saturating_sub(shape.time), plain, symbols));
        } else {
            let when = format!("{}  ", entry.when);
            let rest = text.saturating_sub(width(&when));
            rows.push(row.text(when, strong).cell(&entry.what, rest, plain, symbols));
            rows.push(margin(model, "").cell(&format!(" {}", entry.pieces), text, plain, symbols));
        }
    }
    if shown < entries.len() {
        let row = margin(model, if rows.is_empty() { word } else { "" });
        let more = if shown == 0 { "" } else { " more" };
        rows.push(row.text(format!("{}{more}, see 2 Pieces", entries.len() - shown), theme.quiet));
    }
    rows
}

/// Pieces that follow each other within the hour to the same thing.
struct Group<T> {
    what: T,
    first: When,
    last: Moment,
    pieces: Vec<usize>,
}

fn grouped<T: PartialEq>(all: impl Iterator<Item = (usize, T, When)>) -> Vec<Group<T>> {
    let mut groups: Vec<Group<T>> = Vec::new();
    for (piece, what, when) in all {
        let joins = |group: &&mut Group<T>| group.what == what && (when.late - group.last).0.abs() <= 60;
        match groups.iter_mut().find(joins) {
            Some(group) => {
                group.pieces.push(piece);
                group.last = group.last.max(when.late);
            }
            None => groups.push(Group {
                what,
                first: when,
                last: when.late,
                pieces: vec![piece],
            }),
        }
    }
    groups
}

impl<T> Group<T> {
    /// `top`, `top + 8 more by 12:00`.
    fn names(&self, model: &Model) -> String {
        let first = self.pieces.first().and_then(|piece| model.sheet.job.pieces.get(*piece));
        let first = first.map_or("", |piece| piece.name.as_str());
        if self.pieces.len() < 2 {
            return first.to_owned();
        }
        let last = timing::at(self.last, model.moment(), model.sheet.job.zone);
        format!("{first} + {} more by {last}", self.pieces.len() - 1)
    }
}

fn closing_entries(model: &Model) -> Vec<Entry> {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let all = model.sheet.standing.closing.iter();
    let all = all.map(|closing| {
        (
            closing.piece,
            closing.what.as_str(),
            When {
                early: closing.at,
                late: closing.at,
            },
        )
    });
    let entry = |group: Group<&str>| Entry {
        when: timing::at(group.first.early, now, zone),
        what: group.what.to_owned(),
        pieces: group.names(model),
        presses: (group.first.early - now).0 < 60,
    };
    grouped(all).into_iter().map(entry).collect()
}

fn ready_entries(model: &Model) -> Vec<Entry> {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let entry = |group: Group<Stage>| Entry {
        when: timing::between(group.first, now, zone),
        what: words::hands_may(group.what).to_owned(),
        pieces: group.names(model),
        presses: false,
    };
    grouped(model.sheet.standing.coming.iter().copied())
        .into_iter()
        .map(entry)
        .collect()
}
