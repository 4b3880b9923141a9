//! Forms, lists to choose from, and what is wrong with the maker's file.
//!
//! Invariant: the line the keys go to is always on the screen, marked by a sign and not by colour alone, and
//! the terminal's own cursor stands on it.

use super::super::bench::Faulty;
use super::super::form::{Entry, Form, Value};
use super::super::menu::Menu;
use super::super::model::Model;
use super::cells::{Row, first_shown, more, put_lines, width, wrap};
use super::layers::title;
use ratatui::Frame;
use ratatui::layout::Rect;

/// Columns of the labels.
const MARGIN: usize = 18;
/// Most lines of what is wrong.
const WRONG: usize = 4;

/// Draws a form.
pub fn draw(model: &Model, form: &Form, frame: &mut Frame, area: Rect) {
    let (theme, columns) = (&model.theme, usize::from(area.width));
    let mut head = title(model, &form.title);
    if area.height < 22 {
        // the blank line above the heading goes first
        head.remove(0);
    }
    let about = wrap(&form.about, columns.saturating_sub(2));
    head.extend(
        about
            .into_iter()
            .map(|line| Row::new().text(format!(" {line}"), theme.quiet)),
    );
    head.push(Row::new());
    let mut wrong: Vec<Row> = Vec::new();
    let style = if form.tried { theme.alarm } else { theme.quiet };
    for (at, line) in form.wrong.iter().enumerate() {
        // three lengths left empty are one thing wrong
        if form.wrong.iter().take(at).any(|said| said == line) {
            continue;
        }
        let lines = wrap(line, columns.saturating_sub(4));
        for (part, line) in lines.into_iter().enumerate() {
            let sign = if part == 0 { '·' } else { ' ' };
            wrong.push(Row::new().text(format!(" {sign} "), style).text(line, style));
        }
    }
    wrong.truncate(WRONG);
    let room = usize::from(area.height)
        .saturating_sub(head.len() + wrong.len() + usize::from(!wrong.is_empty()))
        .max(2);
    let mut rows: Vec<Row> = Vec::new();
    let mut cursor_column = 0;
    for (at, entry) in form.entries.iter().enumerate() {
        let (row, column) = entry_row(model, entry, at == form.cursor, columns);
        if at == form.cursor {
            cursor_column = column;
        }
        rows.push(row);
    }
    let last = form.cursor >= form.entries.len();
    let mark = if last { model.symbols.cursor } else { ' ' };
    let verb = Row::new().text(format!(" {mark} "), theme.text).text(
        format!("[ {} ]", form.verb),
        if last { theme.cursor } else { theme.strong },
    );
    rows.push(verb);
    if last {
        cursor_column = 3;
    }
    // the last row counts what is above and below, where not all fits
    let (all, cut) = (rows.len(), rows.len() > room);
    let room = if cut { room - 1 } else { room };
    let first = first_shown(form.cursor, all, room);
    let above = head.len();
    let shown: Vec<Row> = rows.into_iter().skip(first).take(room).collect();
    let cursor_row = above + form.cursor.saturating_sub(first);
    head.extend(shown);
    if cut {
        let below = all.saturating_sub(first + room);
        head.push(Row::new().text(format!("   {}", more(first, below, "lines ")), theme.quiet));
    }
    if !wrong.is_empty() {
        head.push(Row::new());
    }
    head.extend(wrong);
    put_lines(model, frame, area, head.into_iter());
    if cursor_row < usize::from(area.height) {
        let x = area.x + (cursor_column as u16).min(area.width.saturating_sub(1));
        frame.set_cursor_position((x, area.y + cursor_row as u16));
    }
}

/// A line of a form, and the column of its cursor.
fn entry_row(model: &Model, entry: &Entry, here: bool, columns: usize) -> (Row, usize) {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mark = if here { symbols.cursor } else { ' ' };
    let label = if here { theme.strong } else { theme.text };
    let row = Row::new()
        .text(format!(" {mark} "), theme.text)
        .cell(entry.label, MARGIN - 4, label, symbols);
    let row = row.text(" ", theme.text);
    let room = columns.saturating_sub(MARGIN + 1);
    match &entry.value {
        Value::Text(field) => {
            let text = field.text();
            let before = width(&symbols.plain(&field.before()));
            let hint_room = room.saturating_sub(width(&symbols.plain(&text)) + 3);
            let skip = first_shown(before, width(&symbols.plain(&text)) + 1, room);
            let shown: String = symbols.plain(&text).chars().skip(skip).collect();
            let row = if here {
                // an empty line is seen to be one
                row.text(format!("{shown}_"), theme.strong)
            } else {
                row.text(shown, theme.text)
            };
            // beside what is typed it is seen to be a remark
            let hint = match (entry.hint.as_ref(), text.is_empty(), here) {
                ("", _, _) | (_, false, false) => String::new(),
                (hint, true, _) => hint.to_owned(),
                (hint, false, true) => format!("({hint})"),
            };
            let row = if hint.is_empty() || hint_room < 8 {
                row
            } else {
                row.text("  ", theme.text)
                    .cell(&hint, hint_room.saturating_sub(1), theme.quiet, symbols)
            };
            (row, MARGIN - 1 + before.saturating_sub(skip))
        }
        Value::One(words, at) => {
            let word = words.get(*at).map_or("", String::as_str);
            let text = if here { format!("< {word} >") } else { word.to_owned() };
            let style = if here { theme.strong } else { theme.text };
            let row = row.text(text.clone(), style);
            let of = format!("   {} of {}", at + 1, words.len());
            let fits = here && words.len() > 1 && width(&text) + width(&of) < room;
            let row = if fits { row.text(of, theme.quiet) } else { row };
            (row, MARGIN - 1)
        }
        Value::Some(words, at) => some_row(model, row, words, here.then_some(*at), room),
    }
}

/// Several choices on one line; where they do not fit, those around the one the keys are at.
fn some_row(model: &Model, row: Row, words: &[(String, bool)], at: Option<usize>, room: usize) -> (Row, usize) {
    let theme = &model.theme;
    let cell = |(word, chosen): &(String, bool)| format!("[{}] {word}", if *chosen { 'x' } else { ' ' });
    let wide = |from: usize, until: usize| -> usize {
        words
            .iter()
            .take(until)
            .skip(from)
            .map(|word| width(&cell(word)) + 2)
            .sum()
    };
    let focus = at.unwrap_or(0);
    let mut first = 0;
    while first < focus && wide(first, focus + 1) > room {
        first += 1;
    }
    let mut row = row;
    let mut column = MARGIN - 1;
    let mut used = 0;
    for (index, word) in words.iter().enumerate().skip(first) {
        let text = cell(word);
        if used + width(&text) > room && index > focus {
            row = row.text("…", theme.quiet);
            break;
        }
        if Some(index) == at {
            column = MARGIN - 1 + used;
        }
        let style = if Some(index) == at { theme.cursor } else { theme.text };
        used += width(&text) + 2;
        row = row.text(text, style).text("  ", theme.text);
    }
    (row, column)
}

/// A list to choose from.
pub fn menu_rows(model: &Model, menu: &Menu, columns: usize) -> (Vec<Row>, Option<usize>) {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mut rows = title(model, &menu.title);
    let first = rows.len();
    let room = usize::from(model.size.1.saturating_sub(2 + 4))
        .saturating_sub(first)
        .max(1);
    // the last row counts what is above and below, where not all fits
    let cut = menu.items.len() > room;
    let room = if cut { room.saturating_sub(1).max(1) } else { room };
    let from = first_shown(menu.cursor, menu.items.len(), room);
    for (index, item) in menu.items.iter().enumerate().skip(from).take(room) {
        let here = index == menu.cursor;
        let mark = if here { symbols.cursor } else { ' ' };
        let number = Menu::key_of(index).map_or_else(String::new, String::from);
        let row = Row::new()
            .text(format!(" {mark} "), theme.text)
            .right(&number, 3, theme.quiet, symbols);
        let row = row
            .text("  ", theme.text)
            .cell(&item.words(), columns.saturating_sub(10), theme.strong, symbols);
        rows.push(if here {
            row.focused(columns.saturating_sub(1))
        } else {
            row
        });
    }
    if cut {
        let below = menu.items.len().saturating_sub(from + room);
        rows.push(Row::new().text(format!("     {}", more(from, below, "lines ")), theme.quiet));
    }
    (rows, Some(first + menu.cursor.saturating_sub(from)))
}

/// What is wrong with the maker's files, as their reader prints it.
pub fn problem_rows(model: &Model, lines: &[String], columns: usize) -> Vec<Row> {
    let words = match model.faulty {
        Faulty::Job => "THE JOB FILE HAS FAULTS",
        Faulty::Schedule => "A FINISH SCHEDULE HAS FAULTS",
        Faulty::Log => "THE LOG CANNOT BE READ",
    };
    let mut rows = title(model, words);
    rows.push(Row::new().text(" The last good one is kept until they are mended.", model.theme.text));
    rows.push(Row::new());
    for line in lines {
        // what stands under something keeps its place; only what is too long is broken
        if width(line) + 1 < columns {
            rows.push(Row::new().text(format!(" {line}"), model.theme.text));
            continue;
        }
        let indent = (1 + width(line) - width(line.trim_start())).min(columns / 2);
        for (part, text) in wrap(line.trim(), columns.saturating_sub(indent + 3))
            .into_iter()
            .enumerate()
        {
            let indent = if part == 0 { indent } else { indent + 2 };
            rows.push(Row::new().pad(indent).text(text, model.theme.text));
        }
    }
    rows
}

/// How far they can be scrolled so that their end is seen.
pub fn last_scroll(model: &Model, lines: &[String]) -> usize {
    let room = usize::from(model.size.1.saturating_sub(2 + 3));
    problem_rows(model, lines, usize::from(model.size.0))
        .len()
        .saturating_sub(room)
}
