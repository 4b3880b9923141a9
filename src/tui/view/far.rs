//! The far wall: one round and one time to go, in letters that are read from across the shop.
//!
//! Invariant: says the same as the page *Now*; what must stop the work is said here too.

use super::super::model::Model;
use super::super::round_card::RoundCard;
use super::super::timing;
use super::cells::{Row, put, put_lines};
use super::has_faults;
use super::large::large;
use super::now::alarms;
use crate::standing::RoundState;
use crate::units::Span;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;

/// Draws it.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let theme = &model.theme;
    let (day, time) = timing::day_and_time(&model.now, model.sheet.job.zone);
    let columns = usize::from(area.width);
    let top = Row::new().text(" ", theme.text).text(day, theme.text);
    let top = top.pad(columns.saturating_sub(time.len() + 1)).text(time, theme.strong);
    put(model, frame, Rect { height: 1, ..area }, top);
    let mut alarms = alarms(model, columns);
    alarms.truncate(4);
    if !model.problems.is_empty() {
        // what is shown is not what the file says
        let row = Row::new().text(" ", theme.alarm);
        alarms.insert(
            0,
            row.cell(
                has_faults(model.faulty),
                columns.saturating_sub(2),
                theme.alarm,
                &model.symbols,
            ),
        );
    }
    let keys = if model.read_only || model.card().is_none() {
        "   Esc the pages   ? help"
    } else {
        "   Esc the pages   Enter tick the round   ? help"
    };
    let foot = Rect {
        y: area.y + area.height - 1,
        height: 1,
        ..area
    };
    put(model, frame, foot, Row::new().text(keys, theme.quiet));
    let body = Rect {
        x: area.x + 2,
        y: area.y + 2,
        width: area.width.saturating_sub(4),
        height: area.height.saturating_sub(4 + alarms.len() as u16),
    };
    let said = Said::of(model);
    // two lines of plain text, two blank ones; of the rest the time takes five rows at least, the step the most
    let rows = usize::from(body.height).saturating_sub(4);
    let (wide, for_time) = (usize::from(body.width), (rows * 2 / 5).max(5));
    let block = model.symbols.block;
    let time = large(&said.time, wide, for_time, block);
    let left = rows.saturating_sub(time.as_ref().map_or(1, Vec::len));
    // where room is short the blank lines go first
    let roomy = large(&said.step, wide, left, block);
    let blank = roomy.is_some();
    let step = roomy.or_else(|| large(&said.step, wide, left + 2, block));
    let step = step.unwrap_or_else(|| vec![said.step.to_uppercase()]);
    let time = time.unwrap_or_else(|| vec![said.time.clone()]);
    let style = if said.presses { theme.alarm } else { theme.strong };
    let mut lines: Vec<Row> = Vec::new();
    let put_large = |lines: &mut Vec<Row>, rows: Vec<String>, style: Style| {
        lines.extend(rows.into_iter().map(|row| Row::new().text(row, style)));
    };
    // modifiers that would run through the blocks are left off
    put_large(&mut lines, step, plain(theme.strong));
    lines.extend(blank.then(Row::new));
    lines.push(Row::new().cell(&said.what, wide, theme.text, &model.symbols));
    lines.extend(blank.then(Row::new));
    put_large(&mut lines, time, plain(style));
    lines.push(Row::new().cell(&said.when, wide, style, &model.symbols));
    put_lines(model, frame, body, lines.into_iter());
    let below = Rect {
        y: body.y + body.height,
        height: alarms.len() as u16,
        ..area
    };
    put_lines(model, frame, below, alarms.into_iter());
}

/// Without the line below, which would run through large letters.
fn plain(style: Style) -> Style {
    style.remove_modifier(ratatui::style::Modifier::UNDERLINED)
}

/// What is said.
struct Said {
    step: String,
    what: String,
    time: String,
    when: String,
    presses: bool,
}

impl Said {
    fn of(model: &Model) -> Self {
        let Some(card) = model.card() else {
            let (step, what) = match &model.sheet.plan {
                None => ("no plan", "No plan is in force yet."),
                Some(_) => ("all done", "Every round is done."),
            };
            let (_, time) = timing::day_and_time(&model.now, model.sheet.job.zone);
            return Self {
                step: step.to_owned(),
                what: what.to_owned(),
                time,
                when: String::new(),
                presses: false,
            };
        };
        let product = card
            .product
            .as_ref()
            .map_or_else(String::new, |product| format!(", {product}"));
        let what = format!("{}{product}", card.count());
        let (time, when, presses) = counted(model, &card);
        Self {
            step: card.step.clone(),
            what,
            time,
            when,
            presses,
        }
    }
}

/// The time to be read, what it is, whether it presses.
fn counted(model: &Model, card: &RoundCard) -> (String, String, bool) {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    if card.is_ahead(now) {
        let start = timing::at(card.start, now, zone);
        return (
            timing::countdown(card.start, &model.now),
            format!("to go before it begins; hands are free until {start}"),
            false,
        );
    }
    match card.state {
        RoundState::Running => {
            let end = timing::at(card.end, now, zone);
            let over = card.end <= now;
            let words = if over {
                "past its end, planned for"
            } else {
                "to go, until"
            };
            (
                timing::countdown(card.end, &model.now).replace('-', ""),
                format!("{words} {end}"),
                over,
            )
        }
        RoundState::Late => {
            let late = now - card.start;
            let start = timing::at(card.start, now, zone);
            (late.to_string(), format!("LATE, planned at {start}"), true)
        }
        _ => {
            let until = timing::at(now + Span(card.minutes), now, zone);
            (
                Span(card.minutes).to_string(),
                format!("of work, until {until} if you begin now"),
                false,
            )
        }
    }
}
