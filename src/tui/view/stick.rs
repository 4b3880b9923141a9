//! One story stick: the hands, the films, what the end waits for, the film of the round picked.
//!
//! Invariant: the lines of a stick have their cells below each other; a line that would say nothing is left
//! out.

use super::super::model::Model;
use super::super::pages::chain::WaitsFor;
use super::super::pages::day::{self, Days, Zoom};
use super::super::pages::sticks::{self, FilmOf, FilmsIn, Stick};
use super::cells::{Row, width};
use super::day::stretch;
use crate::dayplan::Plan;
use crate::finish::Prepare;
use crate::units::{Moment, Span};
use ratatui::style::{Modifier, Style};

/// How sticks are cut.
pub struct Shape {
    /// Columns in all.
    pub columns: usize,
    /// Minutes a cell.
    pub minutes: i64,
    /// Zoom.
    pub zoom: Zoom,
    /// Columns of the day and the line's word before the cells.
    pub label: usize,
}

impl Shape {
    /// Cut for so many columns, with a little left for what is said at the end of a line.
    pub const fn of(zoom: Zoom, columns: usize) -> Self {
        let label = match zoom {
            Zoom::Days | Zoom::Day => 16,
            // the hour is said too
            Zoom::Quarter | Zoom::Hour => 18,
        };
        Self {
            columns,
            minutes: sticks::cell_minutes(zoom, columns.saturating_sub(label + 8)),
            zoom,
            label,
        }
    }
}

/// A stick, drawn.
#[derive(Default)]
pub struct Drawn {
    /// Its rows.
    pub rows: Vec<Row>,
    /// Row and column of the round picked.
    pub cursor: Option<(usize, usize)>,
}

/// A line of cells: signs and styles, joined into runs.
fn line(model: &Model, shape: &Shape, label: (&str, &str), cells: &[(char, Style)]) -> Row {
    let theme = &model.theme;
    let mut row = Row::new()
        .text(" ", theme.text)
        .text(label.0.to_owned(), theme.strong)
        .pad(shape.label - 7)
        .text(label.1.to_owned(), theme.quiet)
        .pad(shape.label);
    let mut from = 0;
    while let Some((_, style)) = cells.get(from) {
        let run: String = cells[from..]
            .iter()
            .take_while(|cell| cell.1 == *style)
            .map(|cell| cell.0)
            .collect();
        from += run.chars().count();
        row = row.text(run, *style);
    }
    row
}

/// Something said at the end of a line, if there is room.
fn noted(row: Row, note: String, style: Style, shape: &Shape) -> Row {
    if note.is_empty() || row.width() + 1 + width(&note) > shape.columns {
        return row;
    }
    row.text(" ", style).text(note, style)
}

/// The rows of a stick.
pub fn stick_rows(
    model: &Model,
    plan: &Plan,
    days: &Days,
    stick: &Stick,
    picked: Option<usize>,
    shape: &Shape,
) -> Drawn {
    let theme = &model.theme;
    let zone = model.sheet.job.zone;
    let (from, until) = match stick {
        Stick::Marked { from, until } => (*from, *until),
        Stick::Idle { from, until } => {
            let whole = matches!(shape.zoom, Zoom::Days | Zoom::Day);
            let dries = days.held.iter().any(|held| held.0 < *until && held.1 > *from);
            let words = if dries {
                "nothing for hands; films dry"
            } else {
                "nothing for hands"
            };
            let name = stretch(*from, *until, zone, whole);
            let row = Row::new()
                .text(" ", theme.text)
                .text(name, theme.quiet)
                .text("   ", theme.quiet)
                .pad(shape.label)
                .text(format!("{words}, {}", *until - *from), theme.quiet);
            return Drawn {
                rows: vec![row],
                cursor: None,
            };
        }
    };
    let name = match shape.zoom {
        Zoom::Days | Zoom::Day => from.in_zone(zone).format("%a %-d").to_string(),
        Zoom::Quarter | Zoom::Hour => from.in_zone(zone).format("%a %H:%M").to_string(),
    };
    let cells: Vec<(Moment, Moment)> = sticks::cells(from, until, shape.minutes).collect();
    let mut drawn = hands(model, days, &cells, picked, &name, shape);
    if let Some(row) = now(model, (from, until), shape) {
        drawn.rows.push(row);
    }
    if shape.zoom == Zoom::Days {
        return drawn;
    }
    drawn.rows.extend(films(model, days, &cells, shape));
    drawn.rows.extend(ends(model, days, &cells, shape));
    let round = picked
        .and_then(|mark| days.marks.get(mark))
        .and_then(|mark| plan.rounds.get(mark.round));
    if let Some(round) = round {
        drawn.rows.extend(film_picked(model, plan, round, &cells, shape));
    }
    drawn
}

fn hands(
    model: &Model,
    days: &Days,
    cells: &[(Moment, Moment)],
    picked: Option<usize>,
    name: &str,
    shape: &Shape,
) -> Drawn {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mut cursor = None;
    let mut drawn = Vec::new();
    for (column, cell) in cells.iter().enumerate() {
        let mark = sticks::mark_in(days, *cell, picked);
        let Some(mark) = mark else {
            let sign = if days.worked(cell.0) { symbols.shift } else { ' ' };
            drawn.push((sign, theme.quiet));
            continue;
        };
        let here = picked.is_some_and(|picked| days.marks.get(picked) == Some(mark));
        let style = if mark.in_chain { theme.title } else { theme.text };
        if here && cursor.is_none() {
            cursor = Some((0, shape.label + column));
        }
        let style = if here {
            style.add_modifier(Modifier::REVERSED)
        } else {
            style
        };
        drawn.push((mark.sign, style));
    }
    let (from, until) = cells
        .first()
        .zip(cells.last())
        .map_or_else(Default::default, |(first, last)| (first.0, last.1));
    let inside = |mark: &super::super::pages::day::Mark| (mark.end.min(until) - mark.start.max(from)).0.max(0);
    let minutes: i64 = days.marks.iter().map(inside).sum();
    let row = line(model, shape, (name, "hands"), &drawn);
    Drawn {
        rows: vec![noted(row, Span(minutes).to_string(), theme.quiet, shape)],
        cursor,
    }
}

/// A line that points at now, on the stick that holds it.
fn now(model: &Model, (from, until): (Moment, Moment), shape: &Shape) -> Option<Row> {
    let now = model.moment();
    if now < from || now >= until {
        return None;
    }
    let column = shape.label + ((now - from).0 / shape.minutes.max(1)) as usize;
    let row = Row::new()
        .pad(shape.label - 7)
        .text("now", model.theme.strong)
        .pad(column);
    Some(row.text(model.symbols.now.to_string(), model.theme.strong))
}

fn films(model: &Model, days: &Days, cells: &[(Moment, Moment)], shape: &Shape) -> Option<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let sign = |cell: &(Moment, Moment)| match sticks::films_in(days, *cell) {
        FilmsIn::None => (' ', theme.text),
        FilmsIn::Drying => (symbols.drying, theme.turn),
        FilmsIn::Wet => (symbols.leave, theme.leave),
    };
    let drawn: Vec<(char, Style)> = cells.iter().map(sign).collect();
    if drawn.iter().all(|(sign, _)| *sign == ' ') {
        return None;
    }
    let (from, until) = (cells.first()?.0, cells.last()?.1);
    let wet = days.wet_at_most(from, until);
    let note = if wet == 0 { String::new() } else { format!("{wet} wet") };
    Some(noted(
        line(model, shape, ("", "films"), &drawn),
        note,
        theme.quiet,
        shape,
    ))
}

fn ends(model: &Model, days: &Days, cells: &[(Moment, Moment)], shape: &Shape) -> Option<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let links = sticks::links_in(days, (cells.first()?.0, cells.last()?.1));
    let sign = |cell: &(Moment, Moment)| match sticks::chain_in(&links, *cell) {
        None => (' ', theme.text),
        Some(WaitsFor::Hands) => (symbols.work, theme.strong),
        Some(WaitsFor::Drying) => (symbols.leave, theme.text),
        Some(WaitsFor::Hours) => (symbols.shift, theme.text),
        Some(WaitsFor::Place) => (symbols.place, theme.text),
        Some(WaitsFor::Choice) => (symbols.choice, theme.text),
    };
    let drawn: Vec<(char, Style)> = cells.iter().map(sign).collect();
    let any = drawn.iter().any(|(sign, _)| *sign != ' ');
    any.then(|| line(model, shape, ("", "end"), &drawn))
}

/// The film the round picked lays: wet, dry, windows and the gaps between them.
fn film_picked(
    model: &Model,
    plan: &Plan,
    round: &crate::dayplan::document::Round,
    cells: &[(Moment, Moment)],
    shape: &Shape,
) -> Option<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let (operation, dry) = day::last_film(&model.sheet, plan, round)?;
    let laid = Moment::of(&operation.end);
    // a window that stays open for good is drawn for as long as films are looked at
    let over = laid + Span::days(3);
    let sign = |cell: &(Moment, Moment)| match sticks::film_at(laid, dry, cell.0) {
        Some(_) if cell.0 > over => (' ', theme.text),
        None => (' ', theme.text),
        Some(FilmOf::Wet) => (symbols.leave, theme.leave),
        Some(FilmOf::Dry) => (symbols.drying, theme.turn),
        Some(FilmOf::Open(Prepare::None)) => (symbols.open, theme.carry),
        Some(FilmOf::Open(Prepare::Denib)) => ('n', theme.carry),
        Some(FilmOf::Open(Prepare::Scuff)) => ('x', theme.carry),
        Some(FilmOf::Gap) => (symbols.gap, theme.alarm),
    };
    let drawn: Vec<(char, Style)> = cells.iter().map(sign).collect();
    let any = drawn.iter().any(|(sign, _)| *sign != ' ');
    any.then(|| line(model, shape, ("", "this"), &drawn))
}
