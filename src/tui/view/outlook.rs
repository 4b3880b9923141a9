//! What comes ready next, and what closes soon.
//!
//! Invariant: times are those of the standing; what is not shown is counted.

use super::super::model::Model;
use super::super::{timing, words};
use super::cells::{Row, width};
use super::now::{MARGIN, margin};

/// What comes ready and what closes.
pub fn rows(model: &Model, columns: usize, room: usize) -> Vec<Row> {
    let (theme, now, zone) = (&model.theme, model.moment(), model.sheet.job.zone);
    let standing = &model.sheet.standing;
    let name = |piece: usize| {
        model
            .sheet
            .job
            .pieces
            .get(piece)
            .map_or("", |piece| piece.name.as_str())
    };
    let ready: Vec<(String, String)> = ready_lines(model);
    let closing: Vec<(String, String, bool)> = standing
        .closing
        .iter()
        .map(|closing| {
            let soon = (closing.at - now).0 < 60;
            (
                timing::at(closing.at, now, zone),
                format!("{}: {}", name(closing.piece), closing.what),
                soon,
            )
        })
        .collect();
    let mut rows = Vec::new();
    let time = ready
        .iter()
        .map(|(time, _)| width(time))
        .chain(closing.iter().map(|(time, ..)| width(time)))
        .max();
    let time = time.unwrap_or(0) + 3;
    let text = columns.saturating_sub(MARGIN + time + 1);
    let blank = usize::from(room > 4 && !ready.is_empty());
    let half = room.saturating_sub(blank) / 2;
    let for_closing = closing
        .len()
        .max(1)
        .min(half.max(room.saturating_sub(blank + ready.len().max(1))));
    let for_ready = room.saturating_sub(blank + for_closing);
    let mut block = |word: &str, lines: Vec<(String, String, bool)>, room: usize, none: &str| {
        let total = lines.len();
        let shown = if total > room { room.saturating_sub(1) } else { total };
        if total == 0 {
            rows.push(margin(model, word).text(none.to_owned(), theme.quiet));
        }
        for (index, (at, what, alarm)) in lines.into_iter().take(shown).enumerate() {
            let word = if index == 0 { word } else { "" };
            let style = if alarm { theme.alarm } else { theme.text };
            let line = margin(model, word).cell(
                &at,
                time,
                if alarm { theme.alarm } else { theme.strong },
                &model.symbols,
            );
            rows.push(line.cell(&what, text, style, &model.symbols));
        }
        if total > shown {
            let word = if shown == 0 { word } else { "" };
            rows.push(margin(model, word).text(format!("and {} more: see 2 Pieces", total - shown), theme.quiet));
        }
        if word == "READY" && blank > 0 {
            rows.push(Row::new());
        }
    };
    let ready = ready.into_iter().map(|(at, what)| (at, what, false)).collect();
    block("READY", ready, for_ready, "nothing is drying");
    block("CLOSES", closing, for_closing, "nothing closes soon");
    rows
}

/// What comes ready, pieces that come together joined in one line.
fn ready_lines(model: &Model) -> Vec<(String, String)> {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let name = |piece: usize| {
        model
            .sheet
            .job
            .pieces
            .get(piece)
            .map_or("", |piece| piece.name.as_str())
            .to_owned()
    };
    let mut groups: Vec<(crate::finish::Stage, crate::standing::When, Vec<String>)> = Vec::new();
    for (piece, stage, when) in &model.sheet.standing.coming {
        match groups.iter_mut().find(|(s, w, _)| s == stage && w == when) {
            Some((.., names)) => names.push(name(*piece)),
            None => groups.push((*stage, *when, vec![name(*piece)])),
        }
    }
    let line = |(stage, when, names): (_, _, Vec<String>)| {
        let text = format!("may be {}: {}", words::may_be(stage), words::names(&names, 3));
        (timing::between(when, now, zone), text)
    };
    groups.into_iter().map(line).collect()
}
