//! The page *Now*: what do hands do now?
//!
//! Invariant: the round shown, and what is left out of it, are what a tick would write.

use super::super::model::Model;
use super::super::round_card::{RoundCard, RoundRow};
use super::super::verdict::{self, Hands};
use super::super::{timing, words};
use super::cells::{Row, first_shown, more, put_lines, width, wrap};
use super::outlook;
use crate::dayplan::document::Severity;
use crate::standing::RoundState;
use crate::units::{Moment, Span};
use ratatui::Frame;
use ratatui::layout::Rect;
use std::fmt::Write as _;
use std::sync::Arc;

/// Rows from which a screen has room for warnings in full.
const TALL: u16 = 36;

/// Columns of the words at the left edge: NOW, THEN, READY, CLOSES.
pub(super) const MARGIN: usize = 10;
/// From here on what comes ready stands beside the round instead of below it.
const WIDE: u16 = 110;

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    if area.width < WIDE {
        let round = round_rows(model, usize::from(area.width));
        let list = round.list();
        let fixed = round.above.len() + round.below.len() + 2;
        let free = usize::from(area.height).saturating_sub(fixed + list.clamp(3, 6));
        let outlook = outlook::rows(model, usize::from(area.width), free.clamp(5, 11));
        let outlook_rows = outlook.len().min(usize::from(area.height)) as u16;
        let split = area.height.saturating_sub(outlook_rows);
        draw_round(model, frame, Rect { height: split, ..area }, round);
        put_lines(
            model,
            frame,
            Rect {
                y: area.y + split,
                height: outlook_rows,
                ..area
            },
            outlook.into_iter(),
        );
    } else {
        let left = (area.width * 3 / 5).min(104);
        let right = (area.width - left).min(80);
        draw_round(
            model,
            frame,
            Rect { width: left, ..area },
            round_rows(model, usize::from(left)),
        );
        let side = Rect {
            x: area.x + left,
            y: area.y + 1,
            width: right,
            height: area.height.saturating_sub(1),
        };
        let rows = outlook::rows(model, usize::from(right), usize::from(side.height));
        put_lines(model, frame, side, rows.into_iter());
    }
}

/// The round in three parts: what stands above its pieces, the pieces, what stands below.
struct RoundRows {
    above: Vec<Row>,
    card: Option<Arc<RoundCard>>,
    below: Vec<Row>,
}

impl RoundRows {
    fn list(&self) -> usize {
        self.card.as_ref().map_or(0, |card| card.rows.len())
    }
}

fn draw_round(model: &Model, frame: &mut Frame, area: Rect, parts: RoundRows) {
    let height = usize::from(area.height);
    // the blank line between the parts goes first when room is short
    let blank = height >= parts.above.len() + parts.list().min(6) + parts.below.len() + 2;
    let fixed = parts.above.len() + parts.below.len() + if blank { 2 } else { 0 };
    let room = height.saturating_sub(fixed);
    let total = parts.list();
    let cursor = model.now_page.cursor.min(total.saturating_sub(1));
    let (shown, hidden) = if total > room {
        (room.saturating_sub(1), true)
    } else {
        (total, false)
    };
    let first = first_shown(cursor, total, shown);
    let above = parts.above.len() + usize::from(blank);
    let columns = usize::from(area.width);
    let mut rows = parts.above;
    if blank {
        rows.push(Row::new());
    }
    if let Some(card) = &parts.card {
        let listed = card.rows.iter().enumerate().skip(first).take(shown);
        let columns = Columns::of(card, columns);
        rows.extend(listed.map(|(index, row)| piece_row(model, index, row, &columns)));
    }
    if hidden {
        let below = total.saturating_sub(first + shown);
        let text = more(first, below, "");
        rows.push(Row::new().pad(MARGIN).text(text, model.theme.quiet));
    }
    if blank {
        rows.push(Row::new());
    }
    rows.extend(parts.below);
    put_lines(model, frame, area, rows.into_iter());
    if total > 0 && shown > 0 && model.layers.is_empty() {
        let y = area.y + (above + cursor - first) as u16;
        if y < area.y + area.height {
            frame.set_cursor_position((area.x + 1, y));
        }
    }
}

/// A word at the left edge, then a line of text.
pub(super) fn margin(model: &Model, word: &str) -> Row {
    Row::new()
        .text(" ", model.theme.text)
        .text(word.to_owned(), model.theme.strong)
        .pad(MARGIN)
}

fn round_rows(model: &Model, columns: usize) -> RoundRows {
    let theme = &model.theme;
    let mut above = alarms(model, columns);
    let Some(card) = model.card() else {
        let words = match (&model.sheet.plan, model.sheet.standing.rounds.is_empty()) {
            (None, _) => "No plan is in force yet.",
            (Some(_), true) => "The plan has no rounds.",
            (Some(_), false) => "Every round is done.",
        };
        above.push(Row::new());
        above.push(margin(model, "NOW").text(words, theme.strong));
        return RoundRows {
            above,
            card: None,
            below: Vec::new(),
        };
    };
    above.push(Row::new());
    if card.is_ahead(model.moment()) {
        let start = timing::at(card.start, model.moment(), model.sheet.job.zone);
        let togo = timing::countdown(card.start, &model.now);
        let words = format!("hands are free until {start}: {togo} to go");
        above.push(margin(model, "NOW").text(words, theme.strong));
        above.push(Row::new());
    }
    above.extend(heading(model, &card, columns));
    let mut below = Vec::new();
    for (index, line) in card.then.iter().enumerate() {
        for (part, text) in wrap(line, columns.saturating_sub(MARGIN + 1)).into_iter().enumerate() {
            let word = if index == 0 && part == 0 { "THEN" } else { "" };
            below.push(margin(model, word).text(text, theme.text));
        }
    }
    RoundRows {
        above,
        card: Some(card),
        below,
    }
}

/// The step in spaced capitals, then product, number of pieces and time.
fn heading(model: &Model, card: &RoundCard, columns: usize) -> Vec<Row> {
    let (theme, now, zone) = (&model.theme, model.moment(), model.sheet.job.zone);
    let ahead = card.is_ahead(now);
    let room = columns.saturating_sub(MARGIN + 1);
    let mut step = large(&card.step);
    if width(&step) > room {
        step = card.step.to_uppercase();
    }
    let step_style = if card.state == RoundState::Late {
        theme.alarm
    } else {
        theme.strong
    };
    let mut rows =
        vec![margin(model, if ahead { "NEXT" } else { "NOW" }).cell(&step, room, step_style, &model.symbols)];
    if let Some(product) = &card.product {
        rows.push(margin(model, "").cell(product, room, theme.text, &model.symbols));
    }
    let out = model.now_page.left_out.len();
    let kept: i64 = card
        .rows
        .iter()
        .filter(|row| !model.now_page.left_out.contains(&row.operation))
        .map(|row| row.minutes)
        .sum();
    let minutes = Span(if out == 0 { card.minutes } else { kept.min(card.minutes) });
    let mut size = card.count();
    if out > 0 {
        let _ = write!(size, ", {out} left out");
    }
    if card.done > 0 {
        let _ = write!(size, ", {} done already", card.done);
    }
    let by = if card.hands.is_empty() {
        String::new()
    } else {
        format!(", {}", card.hands)
    };
    rows.push(margin(model, "").cell(&format!("{size}, {minutes}{by}"), room, theme.text, &model.symbols));
    let when = match card.state {
        _ if ahead => {
            let until = timing::at(card.end, now, zone);
            format!("from {} until {until}", timing::at(card.start, now, zone))
        }
        RoundState::Running => {
            let togo = timing::countdown(card.end, &model.now);
            if card.end <= now {
                format!("on the bench, planned until {}", timing::at(card.end, now, zone))
            } else {
                format!("on the bench until {}, {togo} to go", timing::at(card.end, now, zone))
            }
        }
        RoundState::Late => {
            let late = now - card.start;
            let until = timing::at(now + minutes, now, zone);
            format!(
                "LATE by {late}: planned at {}. Begun now, until {until}",
                timing::at(card.start, now, zone)
            )
        }
        _ => format!("until {} if you begin now", timing::at(now + minutes, now, zone)),
    };
    let style = if card.state == RoundState::Late {
        theme.alarm
    } else {
        theme.strong
    };
    rows.push(margin(model, "").cell(&when, room, style, &model.symbols));
    rows
}

/// Words in spaced capitals, to be read from across the room; numbers and grits close together.
fn large(step: &str) -> String {
    let word = |word: &str| {
        if word.chars().any(|c| c.is_ascii_digit()) {
            return word.to_owned();
        }
        let letters: Vec<String> = word.to_uppercase().chars().map(String::from).collect();
        letters.join(" ")
    };
    let words: Vec<String> = step.split(' ').map(word).collect();
    words.join("   ")
}

/// Widths of the columns of a round: as wide as what stands in them, names giving way last.
struct Columns {
    total: usize,
    number: usize,
    name: usize,
    side: usize,
    holding: usize,
    minutes: usize,
}

impl Columns {
    fn of(card: &RoundCard, total: usize) -> Self {
        let widest = |of: fn(&RoundRow) -> &str| card.rows.iter().map(|row| width(of(row))).max().unwrap_or(0);
        let number = width(&card.rows.len().to_string()).max(2);
        let holding = if widest(|row| row.holding) > 0 { 12 } else { 0 };
        let minutes = 8;
        let rest = total.saturating_sub(MARGIN - 5 + number + 2 + holding + minutes + 1);
        // room to say that a piece is left out, or when it will be dry enough
        let least = if card.rows.iter().any(|row| row.too_early.is_some()) {
            28
        } else {
            14
        };
        let (name, side) = (
            widest(|row| &row.name).max(8) + 2,
            widest(|row| &row.side).max(least) + 2,
        );
        let over = (name + side).saturating_sub(rest);
        let side = side - over.min(side / 2);
        let name = name.min(rest.saturating_sub(side));
        // what is left over goes between the name and the side, but no farther than the eye follows
        let spare = rest.saturating_sub(name + side).min(8);
        Self {
            total,
            number,
            name: name + spare,
            side,
            holding,
            minutes,
        }
    }
}

fn piece_row(model: &Model, index: usize, row: &RoundRow, columns: &Columns) -> Row {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let out = model.now_page.left_out.contains(&row.operation);
    let here = index == model.now_page.cursor;
    let style = if out { theme.quiet } else { theme.text };
    let mark = if here { symbols.cursor } else { ' ' };
    let mut line = Row::new().text(format!(" {mark} "), theme.text).pad(MARGIN - 5);
    line = line
        .right(&(index + 1).to_string(), columns.number, theme.quiet, symbols)
        .text("  ", style);
    let bold = if out { theme.quiet } else { theme.strong };
    line = line
        .cell(&row.name, columns.name.saturating_sub(2), bold, symbols)
        .text("  ", style);
    let rest = columns.side + columns.holding;
    if out {
        let words = format!("{} LEFT OUT, stays to do", symbols.left_out);
        line = line.cell(&words, rest + columns.minutes, theme.test, symbols);
    } else if let Some(may) = row.too_early {
        let words = format!(
            "{} not dry: {}",
            symbols.warn,
            verdict::may(may, model.moment(), model.sheet.job.zone)
        );
        line = line.cell(&words, rest, theme.leave, symbols);
        line = line.right(&Span(row.minutes).to_string(), columns.minutes, style, symbols);
    } else {
        line = line
            .cell(&row.side, columns.side.saturating_sub(2), style, symbols)
            .text("  ", style)
            .cell(row.holding, columns.holding, style, symbols);
        line = line.right(&Span(row.minutes).to_string(), columns.minutes, style, symbols);
    }
    if here && model.layers.is_empty() {
        line.focused(columns.total.saturating_sub(1))
    } else {
        line
    }
}

/// What is wrong: spoiled films, other rounds that run late, cautions that say stop.
pub(super) fn alarms(model: &Model, columns: usize) -> Vec<Row> {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let (sheet, theme) = (&model.sheet, &model.theme);
    let mut lines = Vec::new();
    let spoiled = sheet
        .standing
        .pieces
        .iter()
        .filter(|piece| Hands::on(piece) == Hands::SandOff);
    let spoiled: Vec<String> = spoiled
        .filter_map(|piece| sheet.job.pieces.get(piece.piece))
        .map(|piece| piece.name.clone())
        .collect();
    if !spoiled.is_empty() {
        lines.push((
            "SPOILED",
            format!("sand off, the cold spoiled the film: {}", words::names(&spoiled, 4)),
        ));
    }
    let shown = model.card();
    let late = sheet
        .standing
        .rounds
        .iter()
        .filter(|round| round.state == RoundState::Late);
    for standing in late {
        let Some(round) = sheet.plan.as_ref().and_then(|plan| plan.rounds.get(standing.round)) else {
            continue;
        };
        if shown.as_ref().is_none_or(|shown| shown.id != round.id) {
            let (step, count) = (words::round(round), words::pieces(standing.left.len()));
            let start = timing::at(Moment::of(&round.start), now, zone);
            lines.push(("LATE", format!("{step}, {count}, planned at {start}")));
        }
    }
    let cautions = sheet.plan.iter().flat_map(|plan| &plan.cautions);
    lines.extend(
        cautions
            .filter(|caution| caution.severity == Severity::Stop)
            .map(|caution| ("STOP", caution.text.clone())),
    );
    let total = lines.len();
    let mut rows = Vec::new();
    // the round must stay in sight; what is cut says so
    let most = match (model.size.1 >= TALL, total) {
        (true, 1) => 6,
        (true, _) => 4,
        (false, 1) => 3,
        (false, _) => 2,
    };
    let room = columns.saturating_sub(MARGIN + 1);
    for (word, text) in lines.into_iter().take(2) {
        let parts = wrap(&text, room);
        let cut = parts.len() > most;
        for (index, part) in parts.iter().take(if cut { most - 1 } else { most }).enumerate() {
            let word = if index == 0 { word } else { "" };
            let row = Row::new().text(format!(" {word}"), theme.alarm).pad(MARGIN);
            rows.push(row.text(part.clone(), theme.alarm));
        }
        if cut {
            let rest = parts.into_iter().skip(most - 1).collect::<Vec<_>>().join(" ");
            let row = Row::new()
                .pad(MARGIN)
                .cell(&rest, room.saturating_sub(9), theme.alarm, &model.symbols);
            rows.push(row.text(" (all: c)", theme.alarm));
        }
    }
    if total > 2 {
        rows.push(margin(model, "").text(format!("and {} more like this: c", total - 2), theme.alarm));
    }
    rows
}
