//! What lies over a page.
//!
//! Invariant: a look shows everything the record will hold.

use super::super::layer::{Ask, Layer, PURPOSES, Question, Tick, Touch};
use super::super::model::Model;
use super::super::update::record_words;
use super::super::verdict::{self, Filter};
use super::super::{piece_rows, timing, words};
use super::cells::{Row, first_shown, more, put_lines, width, wrap};
use super::{cautions, forms, help};
use crate::units::Moment;
use ratatui::Frame;
use ratatui::layout::Rect;

/// Columns of the words at the left edge.
const MARGIN: usize = 14;

/// Draws a layer that takes the place of the page.
pub fn draw(model: &Model, layer: &Layer, frame: &mut Frame, area: Rect) {
    if let Layer::Form(filling) = layer {
        forms::draw(model, &filling.form, frame, area);
        return;
    }
    let columns = usize::from(area.width);
    let (rows, cursor) = match layer {
        Layer::Tick(tick) => (tick_rows(model, tick, columns, usize::from(area.height)), None),
        Layer::TakeBack(record) => {
            let at = timing::at(Moment::of(&record.at), model.moment(), model.sheet.job.zone);
            let mut rows = title(model, "TAKE BACK THE LAST OF YOURS");
            rows.extend(fact(model, "written", &format!("{at}, {}", record.who), columns));
            rows.extend(fact(model, "it said", &record_words(model, &record.what), columns));
            rows.push(Row::new());
            rows.extend(fact(
                model,
                "",
                "The line stays in the log; a new one takes it back.",
                columns,
            ));
            (rows, None)
        }
        Layer::Touch(touch) => touch_rows(model, touch, columns),
        Layer::Choose(cursor) => choose_rows(model, *cursor, columns),
        Layer::Help(scroll) => (scrolled(model, help::rows(model, columns), *scroll, area), None),
        Layer::Cautions(scroll) => (scrolled(model, cautions::rows(model, columns), *scroll, area), None),
        Layer::Menu(menu) => forms::menu_rows(model, menu, columns),
        Layer::Problems(lines, scroll) => (
            scrolled(model, forms::problem_rows(model, lines, columns), *scroll, area),
            None,
        ),
        Layer::Form(_) | Layer::Ask(_) => (Vec::new(), None),
    };
    put_lines(model, frame, area, rows.into_iter());
    if let Some(row) = cursor.filter(|row| *row < usize::from(area.height)) {
        frame.set_cursor_position((area.x + 1, area.y + row as u16));
    }
}

/// Rows from a place on; what is still below is counted in the last row.
pub(super) fn scrolled(model: &Model, rows: Vec<Row>, scroll: usize, area: Rect) -> Vec<Row> {
    let mut rows: Vec<Row> = rows.into_iter().skip(scroll).collect();
    let room = usize::from(area.height);
    if rows.len() > room {
        let below = rows.len() + 1 - room;
        rows.truncate(room.saturating_sub(1));
        rows.push(Row::new().text(format!(" {}", more(0, below, "lines ")), model.theme.quiet));
    }
    rows
}

pub(super) fn title(model: &Model, words: &str) -> Vec<Row> {
    vec![
        Row::new(),
        Row::new()
            .text(" ", model.theme.text)
            .text(words.to_owned(), model.theme.title),
        Row::new(),
    ]
}

fn fact(model: &Model, word: &str, text: &str, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let lines = wrap(text, columns.saturating_sub(MARGIN + 1));
    let word = |index: usize| if index == 0 { word } else { "" };
    let row = |(index, line): (usize, String)| {
        Row::new()
            .text(format!(" {}", word(index)), theme.quiet)
            .pad(MARGIN)
            .text(line, theme.text)
    };
    lines.into_iter().enumerate().map(row).collect()
}

fn tick_rows(model: &Model, tick: &Tick, columns: usize, height: usize) -> Vec<Row> {
    let (theme, now, zone) = (&model.theme, model.moment(), model.sheet.job.zone);
    let mut rows = title(model, "THIS GOES INTO THE LOG");
    let done = if tick.end.is_some() { "DONE" } else { "BEGUN" };
    let line = format!("{} {done}, {}", tick.step.to_uppercase(), tick.count());
    rows.push(
        Row::new()
            .pad(MARGIN)
            .cell(&line, columns.saturating_sub(MARGIN), theme.strong, &model.symbols),
    );
    let start = timing::at(tick.start, now, zone);
    let when = match tick.end {
        Some(end) if tick.begun.is_some() => format!("begun {start}, done {}", timing::at(end, now, zone)),
        Some(end) => format!(
            "begun about {start} (by the plan's minutes), done {}",
            timing::at(end, now, zone)
        ),
        None => format!("begun {start}"),
    };
    rows.extend(fact(model, "when", &when, columns));
    if !tick.too_early.is_empty() {
        let early = words::names(&tick.too_early, 4);
        rows.extend(fact(
            model,
            "mind",
            &format!("by what is known not dry enough for this: {early}"),
            columns,
        ));
    }
    rows.push(Row::new());
    let mut out = if tick.left_out.is_empty() {
        Vec::new()
    } else {
        vec![Row::new()]
    };
    let left_out = format!(
        "{}: {}",
        words::pieces(tick.left_out.len()),
        words::names(&tick.left_out, 12)
    );
    if !tick.left_out.is_empty() {
        for row in fact(model, "left out", &left_out, columns) {
            out.push(row);
        }
        out.extend(fact(model, "", "They stay to do.", columns));
    }
    // as many names as there is room for; the rest is counted
    let room = height.saturating_sub(rows.len() + out.len()).max(1);
    let most = (1..=tick.names.len())
        .rev()
        .find(|most| wrap(&words::names(&tick.names, *most), columns.saturating_sub(MARGIN + 1)).len() <= room);
    rows.extend(fact(
        model,
        "pieces",
        &words::names(&tick.names, most.unwrap_or(0)),
        columns,
    ));
    rows.extend(out);
    rows
}

fn touch_rows(model: &Model, touch: &Touch, columns: usize) -> (Vec<Row>, Option<usize>) {
    let (theme, symbols, now, zone) = (&model.theme, &model.symbols, model.moment(), model.sheet.job.zone);
    let name = model
        .sheet
        .job
        .pieces
        .get(touch.piece)
        .map_or("", |piece| piece.name.as_str());
    let mut rows = title(model, "TOUCH TEST");
    rows.extend(fact(model, "film", &format!("{name}: {}", touch.film), columns));
    rows.extend(fact(
        model,
        "where",
        "the witness offcut, or the last and thickest piece of the round",
        columns,
    ));
    rows.push(Row::new());
    let choice = |dry: bool, words: &str| {
        let chosen = touch.dry == dry;
        let text = if chosen {
            format!("[{words}]")
        } else {
            format!(" {words} ")
        };
        (text, if chosen { theme.cursor } else { theme.text })
    };
    let (not_yet, dry) = (choice(false, "NOT DRY ENOUGH YET"), choice(true, "DRY ENOUGH ALREADY"));
    let row = Row::new()
        .text(" found", theme.quiet)
        .pad(MARGIN - 1)
        .text(not_yet.0, not_yet.1);
    rows.push(row.text("   ", theme.text).text(dry.0, dry.1));
    rows.push(Row::new());
    let head = Row::new()
        .text(" to", theme.quiet)
        .pad(MARGIN + 22)
        .text("by what is known", theme.quiet);
    rows.push(head);
    let standing = model.sheet.piece_standing(touch.piece);
    let first = rows.len();
    for (index, purpose) in PURPOSES.iter().enumerate() {
        let here = index == touch.purpose;
        let known = standing.map(|piece| Touch::said(piece, *purpose));
        let known = known.map_or_else(|| symbols.dash.to_string(), |known| verdict::may(known, now, zone));
        let mark = if here { symbols.cursor } else { ' ' };
        let row = Row::new().text(format!(" {mark} "), theme.text).pad(MARGIN);
        let row = row.cell(words::purpose(*purpose), 22, theme.strong, symbols);
        let row = row.cell(&known, columns.saturating_sub(MARGIN + 23), theme.text, symbols);
        rows.push(if here {
            row.focused(columns.saturating_sub(1))
        } else {
            row
        });
    }
    (rows, Some(first + touch.purpose))
}

fn choose_rows(model: &Model, cursor: usize, columns: usize) -> (Vec<Row>, Option<usize>) {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mut rows = title(model, "WHICH PIECES");
    let first = rows.len();
    for (index, filter) in Filter::ALL.iter().enumerate() {
        let here = index == cursor;
        let count = piece_rows::listed(&model.sheet, *filter, "").len();
        let mark = if here { symbols.cursor } else { ' ' };
        let row =
            Row::new()
                .text(format!(" {mark} "), theme.text)
                .right(&(index + 1).to_string(), 3, theme.quiet, symbols);
        let row = row
            .text("  ", theme.text)
            .cell(filter.words(), 24, theme.strong, symbols);
        let row = row.right(&count.to_string(), 5, theme.text, symbols);
        rows.push(if here {
            row.focused(columns.saturating_sub(1))
        } else {
            row
        });
    }
    (rows, Some(first + cursor))
}

/// The line a question is answered on, and the column of the cursor in it.
pub fn question(model: &Model, ask: &Ask, total: usize) -> (Row, u16) {
    let theme = &model.theme;
    let fahrenheit = model.sheet.job.shown_in.fahrenheit;
    let begun = model
        .layers
        .iter()
        .any(|layer| matches!(layer, Layer::Tick(tick) if tick.end.is_none()));
    let words = match ask.question {
        Question::When if begun => "Begun when? 14:10, or -20 for twenty minutes ago: ",
        Question::When => "Done when? 14:10, or -20 for twenty minutes ago: ",
        Question::Reading if fahrenheit => "The room reads (°F, then % RH): ",
        Question::Reading => "The room reads (°C, then % RH): ",
        Question::Note => "Note: ",
        Question::Find => "Find a piece by name: ",
        Question::Lot => "Which are done? 18 for the first 18, 4-9, or 2, 5: ",
    };
    let row = Row::new().text(" ", theme.text).text(words, theme.strong);
    let (text, before) = (ask.field.text(), width(&model.symbols.plain(&ask.field.before())));
    let room = total.saturating_sub(width(&model.symbols.plain(words)) + 1).max(1);
    // a long answer slides so that the cursor stays on the line
    let skip = first_shown(before, width(&text) + 1, room);
    let mut passed = 0;
    let shown: String = text
        .chars()
        .filter(|c| {
            let at = passed;
            passed += width(c.encode_utf8(&mut [0; 4]));
            at >= skip && passed <= skip + room
        })
        .collect();
    let column = 1 + width(&model.symbols.plain(words)) + before.saturating_sub(skip);
    (row.text(shown, theme.text), column as u16)
}
