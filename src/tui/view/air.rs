//! The page *Air*: what is in the air?
//!
//! Invariant: figures are those of the room `air` for the plan in force; where they could not be computed that
//! is said; every caution shows its figure and source.

use super::super::model::Model;
use super::super::timing;
use super::air_curve;
use super::cells::{Row, put_lines, wrap};
use super::day::told;
use super::now::{MARGIN, margin};
use crate::air::RoomAir;
use crate::air::room_air::QUARTER_LEL;
use crate::dayplan::document::{Caution, Severity};
use crate::units::Moment;
use ratatui::Frame;
use ratatui::layout::Rect;

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let (columns, height) = (usize::from(area.width), usize::from(area.height));
    let air = model.room_air();
    let mut rows = match air.as_deref() {
        None => vec![
            Row::new(),
            margin(model, "").text(model.no_figures(), model.theme.strong),
        ],
        Some(None) => not_computed(model, columns),
        Some(Some(air)) => computed(model, air, columns, height),
    };
    rows.push(Row::new());
    let top = rows.len();
    let (list, starts) = cautions(model, columns);
    let room = height.saturating_sub(top);
    let cursor = model.pages.air.caution.min(starts.len().saturating_sub(1));
    let at = starts.get(cursor).copied().unwrap_or(0);
    let end = starts.get(cursor + 1).copied().unwrap_or(list.len());
    // as far down as the caution the cursor is on asks for, its first line always in sight
    let first = if end > room {
        at.min(end - room.min(end))
            .max(at.saturating_sub(room.saturating_sub(1)))
    } else {
        0
    };
    let first = if at < first { at } else { first };
    let total = list.len();
    let cut = total > first + room;
    let shown = if cut { room.saturating_sub(1) } else { room };
    rows.extend(list.into_iter().skip(first).take(shown));
    if cut {
        let text = format!("{} more lines of cautions below", total - first - shown);
        rows.push(margin(model, "").text(text, model.theme.quiet));
    }
    put_lines(model, frame, area, rows.into_iter());
    if !starts.is_empty() && model.layers.is_empty() && at >= first && top + at - first < height {
        frame.set_cursor_position((area.x + 1, area.y + (top + at - first) as u16));
    }
}

fn not_computed(model: &Model, columns: usize) -> Vec<Row> {
    let text = "The vapour in the room is not computed: the job does not give the room's size and how often its air changes, or no coat's solvent is known. That is no sign that there is none.";
    let mut rows = vec![Row::new()];
    rows.extend(told(model, "AIR", text, columns, model.theme.strong));
    rows
}

fn computed(model: &Model, air: &RoomAir, columns: usize, height: usize) -> Vec<Row> {
    let theme = &model.theme;
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let mut rows = Vec::new();
    let peak = air.peak_percent_lel;
    let at = air.peak_at.map_or_else(String::new, |at| {
        format!(", {}", timing::at(Moment::of(&at), now, zone))
    });
    let style = if peak > air.settings.cap() {
        theme.alarm
    } else {
        theme.strong
    };
    let text = format!(
        "{} % of what can burn{at}; the cap is {} %, the rule {QUARTER_LEL} %",
        percent(peak),
        percent(air.settings.cap())
    );
    rows.push(margin(model, "PEAK").text(text, style));
    rows.extend(told(
        model,
        "BREATH",
        &breath(model, air),
        columns,
        breath_style(model, air),
    ));
    if height > 24 {
        rows.push(Row::new());
    }
    let for_curve = (height * 2 / 5).clamp(7, 16);
    rows.extend(air_curve::rows(model, air, columns, for_curve));
    let room = format!(
        "{:.0} m³, {} air changes an hour, mixing factor {}; close to wet work it is richer",
        air.volume_m3,
        percent(air.air_changes),
        percent(air.settings.mixing)
    );
    rows.extend(told(model, "ROOM", &room, columns, theme.quiet));
    rows
}

/// A figure with as many digits as say something.
pub(super) fn percent(value: f64) -> String {
    let text = if value >= 9.95 {
        format!("{value:.0}")
    } else if value >= 0.095 {
        format!("{value:.1}")
    } else {
        format!("{value:.2}")
    };
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

fn breath(model: &Model, air: &RoomAir) -> String {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let worst = |worst: &crate::air::Worst, over: &str| {
        let until = timing::at(Moment::of(&worst.until), now, zone);
        format!("{} times the limits in the {over} to {until}", percent(worst.sum))
    };
    let shift = air.worst_shift.as_ref().map(|one| worst(one, "8 h"));
    let short = air.worst_short.as_ref().map(|one| worst(one, "15 min"));
    let both: Vec<String> = shift.into_iter().chain(short).collect();
    let unknown = if air.without_limit.is_empty() {
        String::new()
    } else {
        format!("; no limit is known for {}", air.without_limit.join(", "))
    };
    if both.is_empty() {
        return format!("no vapour to breathe{unknown}");
    }
    format!("{}; {}{unknown}", both.join(", "), air.table)
}

fn breath_style(model: &Model, air: &RoomAir) -> ratatui::style::Style {
    let over = [air.worst_shift, air.worst_short]
        .into_iter()
        .flatten()
        .any(|worst| worst.sum > 1.0);
    if over { model.theme.alarm } else { model.theme.text }
}

/// The cautions of the plan in force, the gravest first.
pub fn listed(model: &Model) -> Vec<&Caution> {
    let mut cautions: Vec<&Caution> = model.sheet.plan.iter().flat_map(|plan| &plan.cautions).collect();
    cautions.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    cautions
}

/// All rows of the cautions, and the row each begins at.
fn cautions(model: &Model, columns: usize) -> (Vec<Row>, Vec<usize>) {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let (mut rows, mut starts) = (Vec::new(), Vec::new());
    let cursor = model.pages.air.caution;
    for (index, caution) in listed(model).into_iter().enumerate() {
        starts.push(rows.len());
        let (word, style) = match caution.severity {
            Severity::Stop => ("STOP", theme.alarm),
            Severity::Warning => ("WARNING", theme.strong),
            Severity::Note => ("note", theme.text),
        };
        let taken = accepted(model, caution);
        let mut parts = vec![(caution.text.clone(), theme.text)];
        parts.extend(caution.figure.iter().map(|figure| (figure.clone(), theme.quiet)));
        parts.extend(
            caution
                .source
                .iter()
                .map(|source| (format!("source: {source}"), theme.quiet)),
        );
        parts.extend(taken.map(|reason| (format!("accepted: {reason}"), theme.strong)));
        let first = rows.len();
        for (text, text_style) in parts {
            for line in wrap(&text, columns.saturating_sub(MARGIN + 2)) {
                let head = rows.len() == first;
                let mark = if index == cursor && head { symbols.cursor } else { ' ' };
                let word = if head { word } else { "" };
                let row = Row::new().text(format!("{mark}{word}"), style).pad(MARGIN);
                rows.push(row.text(line, text_style));
            }
        }
    }
    if rows.is_empty() {
        rows.push(margin(model, "").text("The plan in force carries no caution.", theme.text));
    }
    (rows, starts)
}

/// Why a caution was accepted, where it was.
fn accepted(model: &Model, caution: &Caution) -> Option<String> {
    let all = model.sheet.history.accepted.iter();
    let found = all.rev().find(|one| one.code == caution.code)?;
    Some(found.reason.clone())
}
