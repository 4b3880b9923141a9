//! Rows of cells that line up.
//!
//! Invariant: a cell is exactly as wide as asked for; text that is cut ends in the cut sign.

use super::super::model::Model;
use super::super::symbols::Symbols;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns a text takes.
pub fn width(text: &str) -> usize {
    UnicodeWidthStr::width(text)
}

/// A row being put together.
#[derive(Clone, Debug, Default)]
pub struct Row {
    spans: Vec<(String, Style)>,
}

impl Row {
    /// An empty row.
    pub fn new() -> Self {
        Self::default()
    }

    /// Text as wide as it is.
    #[must_use]
    pub fn text(mut self, text: impl Into<String>, style: Style) -> Self {
        self.spans.push((text.into(), style));
        self
    }

    /// Text in a cell of this width.
    #[must_use]
    pub fn cell(self, text: &str, columns: usize, style: Style, symbols: &Symbols) -> Self {
        self.text(fit(text, columns, symbols), style)
    }

    /// Text at the right end of a cell of this width.
    #[must_use]
    pub fn right(self, text: &str, columns: usize, style: Style, symbols: &Symbols) -> Self {
        let text = fit(text, columns, symbols);
        let trimmed = text.trim_end();
        let space = " ".repeat(columns.saturating_sub(width(trimmed)));
        let text = format!("{space}{trimmed}");
        self.text(text, style)
    }

    /// Spaces up to a column.
    #[must_use]
    pub fn pad(self, column: usize) -> Self {
        let missing = column.saturating_sub(self.width());
        self.text(" ".repeat(missing), Style::new())
    }

    /// Columns so far.
    pub fn width(&self) -> usize {
        self.spans.iter().map(|(text, _)| width(text)).sum()
    }

    /// The row the cursor is on: reversed over these columns.
    #[must_use]
    pub fn focused(self, columns: usize) -> Self {
        let mut row = self.pad(columns);
        for (_, style) in &mut row.spans {
            // dim text on a reversed row cannot be read
            *style = style.remove_modifier(Modifier::DIM).add_modifier(Modifier::REVERSED);
        }
        row
    }

    fn line(self, symbols: &Symbols) -> Line<'static> {
        let span = |(text, style): (String, Style)| Span::styled(symbols.plain(&text), style);
        Line::from(self.spans.into_iter().map(span).collect::<Vec<_>>())
    }
}

/// Text made exactly so wide; cut text ends in the cut sign.
pub fn fit(text: &str, columns: usize, symbols: &Symbols) -> String {
    let text: String = symbols.plain(text).chars().filter(|c| !c.is_control()).collect();
    let wide = width(&text);
    if wide <= columns {
        return format!("{text}{}", " ".repeat(columns - wide));
    }
    let mut cut = String::new();
    let mut used = 0;
    for c in text.chars() {
        let wide = c.width().unwrap_or(0);
        if used + wide + 1 > columns {
            break;
        }
        used += wide;
        cut.push(c);
    }
    if used < columns {
        cut.push(symbols.cut);
        used += 1;
    }
    format!("{cut}{}", " ".repeat(columns.saturating_sub(used)))
}

/// Text broken into lines between words; a word wider than the line is broken anywhere.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    let columns = columns.max(1);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && width(&line) + 1 + width(word) > columns {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for c in word.chars() {
            if width(&line) + c.width().unwrap_or(0) > columns && !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Puts one row on the screen.
pub fn put(model: &Model, frame: &mut Frame, area: Rect, row: Row) {
    let area = area.intersection(frame.area());
    if !area.is_empty() {
        frame.render_widget(row.line(&model.symbols), Rect { height: 1, ..area });
    }
}

/// Puts rows on the screen, one below the other, as many as the area holds.
pub fn put_lines(model: &Model, frame: &mut Frame, area: Rect, rows: impl Iterator<Item = Row>) {
    for (y, row) in (area.y..area.y.saturating_add(area.height)).zip(rows) {
        put(model, frame, Rect { y, height: 1, ..area }, row);
    }
}

/// The first row of a list to show so that the cursor is seen, in the middle where there is more above and
/// below.
pub fn first_shown(cursor: usize, rows: usize, room: usize) -> usize {
    cursor.saturating_sub(room / 2).min(rows.saturating_sub(room))
}

/// What of a list is not shown: `2 more below`, `3 more above, 2 below`.
pub fn more(above: usize, below: usize, what: &str) -> String {
    match (above, below) {
        (0, below) => format!("{below} more {what}below"),
        (above, 0) => format!("{above} more {what}above"),
        (above, below) => format!("{above} more {what}above, {below} below"),
    }
}
