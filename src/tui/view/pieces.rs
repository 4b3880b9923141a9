//! The page *Pieces*: where is every piece?
//!
//! Invariant: the word for hands stands first and is the same on every line that is about the same state;
//! columns line up over the whole page.

use super::super::layer::{Ask, Layer, Question};
use super::super::model::Model;
use super::super::piece_rows::{Content, Line, Listed};
use super::super::verdict::Filter;
use super::cells::{Row, first_shown, more, put, put_lines, width};
use ratatui::Frame;
use ratatui::layout::Rect;

/// From here on there is room for the next coat and the next step beside each piece.
const WIDE: usize = 110;

/// Widths of the columns.
struct Columns {
    name: usize,
    coats: usize,
    changes: usize,
    next_coat: usize,
    next_step: usize,
}

impl Columns {
    fn of(total: usize, lines: &Listed) -> Self {
        // mark 3, sign 2, word for hands 14, right edge 1
        let rest = total.saturating_sub(3 + 2 + 14 + 1);
        if total < WIDE {
            let (name, coats) = (21, 7);
            return Self {
                name,
                coats,
                changes: rest.saturating_sub(name + coats),
                next_coat: 0,
                next_step: 0,
            };
        }
        // as wide as what stands in them, and a space; the step gives way last
        let mut widths = [12, 7, 16, 10, 16];
        for (wide, widest) in widths.iter_mut().zip(lines.widest) {
            *wide = (*wide).max(widest + 2);
        }
        let mut over = widths.iter().sum::<usize>().saturating_sub(rest);
        // what gives way: the next coat, what comes, the name, each down to what still says something
        for (column, least) in [(3, 14), (2, 20), (0, 18), (4, 20)] {
            if let Some(wide) = widths.get_mut(column) {
                let gives = wide.saturating_sub(least).min(over);
                *wide -= gives;
                over -= gives;
            }
        }
        // what is left over goes to all alike, no farther than the eye follows
        let spare = (rest.saturating_sub(widths.iter().sum()) / 5).min(8);
        let [name, coats, changes, next_coat, next_step] = widths.map(|wide| wide + spare);
        Self {
            name,
            coats,
            changes,
            next_coat,
            next_step,
        }
    }
}

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let total = usize::from(area.width);
    let lines = model.lines();
    let columns = Columns::of(total, &lines);
    put(
        model,
        frame,
        Rect {
            y: area.y,
            height: 1,
            ..area
        },
        tally(model, &lines, total),
    );
    let mut head = Row::new().pad(5).cell("hands", 14, theme.quiet, symbols);
    head = head
        .cell("piece", columns.name, theme.quiet, symbols)
        .cell("coats", columns.coats, theme.quiet, symbols);
    head = head.cell("what comes", columns.changes, theme.quiet, symbols);
    head = head.cell("next coat", columns.next_coat, theme.quiet, symbols).cell(
        "next step",
        columns.next_step,
        theme.quiet,
        symbols,
    );
    put(
        model,
        frame,
        Rect {
            y: area.y + 2,
            height: 1,
            ..area
        },
        head,
    );
    let list = Rect {
        y: area.y + 3,
        height: area.height.saturating_sub(3),
        ..area
    };
    if lines.is_empty() {
        let text = if model.sheet.standing.pieces.is_empty() {
            "The job has no pieces."
        } else {
            "No piece is like that. Esc shows all."
        };
        put(
            model,
            frame,
            Rect {
                y: list.y + 1,
                height: 1,
                ..list
            },
            Row::new().pad(5).text(text, theme.strong),
        );
        return;
    }
    let cursor = model.cursor_in(&lines);
    let room = usize::from(list.height);
    let (shown, hidden) = if lines.len() > room {
        (room.saturating_sub(1), true)
    } else {
        (lines.len(), false)
    };
    let first = first_shown(cursor, lines.len(), shown);
    let rows = lines.iter().enumerate().skip(first).take(shown).map(|(index, line)| {
        let here = index == cursor;
        let row = line_row(model, line, &columns, here);
        let asking = matches!(
            model.layers.last(),
            Some(Layer::Ask(Ask {
                question: Question::Find,
                ..
            }))
        );
        if here && (model.layers.is_empty() || asking) {
            row.focused(total.saturating_sub(1))
        } else {
            row
        }
    });
    put_lines(model, frame, list, rows);
    if hidden {
        let below = lines.len().saturating_sub(first + shown);
        let text = more(first, below, "lines ");
        let y = list.y + shown as u16;
        put(
            model,
            frame,
            Rect { y, height: 1, ..list },
            Row::new().pad(5).text(text, theme.quiet),
        );
    }
    if model.layers.is_empty() {
        frame.set_cursor_position((list.x + 1, list.y + (cursor - first) as u16));
    }
}

/// What is listed, and how many pieces are how.
fn tally(model: &Model, lines: &Listed, total: usize) -> Row {
    let (theme, page) = (&model.theme, &model.pieces_page);
    let mut row = Row::new().text(" ", theme.text);
    if page.filter != Filter::All {
        row = row
            .text(
                format!("{} {}", lines.count(page.filter), page.filter.words()),
                theme.title,
            )
            .text("   ", theme.text);
    }
    if !page.find.is_empty() {
        row = row
            .text(format!("named \"{}\"", page.find), theme.strong)
            .text("   ", theme.text);
    }
    for filter in [
        Filter::All,
        Filter::Leave,
        Filter::Turned,
        Filter::Coated,
        Filter::Handled,
        Filter::Glue,
    ] {
        if filter == page.filter {
            continue;
        }
        let text = format!("{} {}", lines.count(filter), filter.words());
        if row.width() + width(&text) + 3 > total {
            break;
        }
        row = row.text(text, theme.quiet).text("   ", theme.text);
    }
    row
}

fn line_row(model: &Model, line: &Line, columns: &Columns, here: bool) -> Row {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let mark = if here { symbols.cursor } else { ' ' };
    let row = Row::new().text(format!(" {mark} "), theme.text);
    let more = columns.changes + columns.next_coat + columns.next_step;
    match &line.content {
        Content::Piece {
            hands,
            name,
            coats,
            changes,
            next_coat,
            next_step,
        } => {
            let style = hands.style(theme);
            row.text(hands.sign(symbols).to_string(), style)
                .text(" ", theme.text)
                .cell(hands.word(), 13, style, symbols)
                .text(" ", theme.text)
                .cell(name, columns.name.saturating_sub(1), theme.strong, symbols)
                .text(" ", theme.text)
                .cell(coats, columns.coats, theme.text, symbols)
                .cell(changes, columns.changes.saturating_sub(1), theme.text, symbols)
                .text(" ", theme.text)
                .cell(next_coat, columns.next_coat.saturating_sub(1), theme.text, symbols)
                .text(if columns.next_coat > 0 { " " } else { "" }, theme.text)
                .cell(next_step, columns.next_step, theme.text, symbols)
        }
        Content::Surface {
            label,
            coats,
            stage,
            next,
            hands_off,
            ..
        } => {
            let style = if *hands_off { theme.leave } else { theme.text };
            row.pad(5)
                .cell(stage, 13, style, symbols)
                .text(" ", theme.text)
                .cell(
                    &format!("  {label}"),
                    columns.name.saturating_sub(1),
                    theme.text,
                    symbols,
                )
                .text(" ", theme.text)
                .cell(coats, columns.coats, theme.text, symbols)
                .cell(next, more, theme.text, symbols)
        }
        Content::Fact { about, text, alarm } => {
            let style = if *alarm { theme.alarm } else { theme.text };
            row.pad(5 + 14)
                .cell(&format!("  {about}"), 12, theme.quiet, symbols)
                .cell(
                    text,
                    (columns.name + columns.coats + more).saturating_sub(12),
                    style,
                    symbols,
                )
        }
    }
}
