//! The page *Day*: how does the day run?
//!
//! Invariant: time runs along story sticks, one below the other; letters, words and places tell all that colour
//! tells; the round the cursor is on is always in sight.

use super::super::model::Model;
use super::super::pages::day::{self, Days, Mark, Zoom};
use super::super::pages::sticks::{self, Stick};
use super::super::timing;
use super::cells::{Row, put_lines, width, wrap};
use super::stick::{Drawn, Shape, stick_rows};
use super::{day_detail, now::margin};
use crate::units::Moment;
use ratatui::Frame;
use ratatui::layout::Rect;

/// Draws the page.
pub fn draw(model: &Model, frame: &mut Frame, area: Rect) {
    let columns = usize::from(area.width);
    let (Some(plan), Some(days)) = (model.sheet.plan.as_ref(), model.days()) else {
        let row = margin(model, "").text(model.no_figures(), model.theme.strong);
        put_lines(model, frame, area, [Row::new(), row].into_iter());
        return;
    };
    let zoom = model.pages.day.zoom;
    let zone = model.sheet.job.zone;
    let picked = model.picked_mark(&days);
    let detail = day_detail::rows(model, plan, &days, picked, columns);
    let shape = Shape::of(zoom, columns);
    let mut head = heading(model, &days, columns);
    head.push(ruler(model, &shape));
    let all = sticks::sticks(&days, zoom, zone);
    let at = picked
        .and_then(|mark| days.marks.get(mark))
        .map_or(days.from, |mark| mark.start);
    let here = all.iter().position(|stick| stick.holds(at)).unwrap_or(0);
    // two rows for what the letters mean, a blank one
    let room = usize::from(area.height).saturating_sub(head.len() + detail.len() + 3);
    let drawn = window(&all, here, room, |stick| {
        stick_rows(model, plan, &days, stick, picked, &shape)
    });
    let marks: Vec<&Mark> = drawn
        .iter()
        .flat_map(|(stick, _)| days.marks.iter().filter(|mark| within(stick, mark)))
        .collect();
    let legend = legend(model, &day::legend(plan, &marks), columns);
    let used: usize = drawn.iter().map(|(_, drawn)| drawn.rows.len()).sum();
    let mut cursor = None;
    let mut rows = head;
    for (stick, drawn) in drawn {
        if let Some((row, column)) = drawn.cursor.filter(|_| stick.holds(at) || cursor.is_none()) {
            cursor = Some((rows.len() + row, column));
        }
        rows.extend(drawn.rows);
    }
    rows.extend(std::iter::repeat_with(Row::new).take(room.saturating_sub(used)));
    rows.extend(legend);
    rows.push(Row::new());
    rows.extend(detail);
    put_lines(model, frame, area, rows.into_iter());
    if let Some((row, column)) = cursor.filter(|_| model.layers.is_empty()) {
        let (x, y) = (area.x + column as u16, area.y + row as u16);
        if x < area.x + area.width && y < area.y + area.height {
            frame.set_cursor_position((x, y));
        }
    }
}

fn within(stick: &Stick, mark: &Mark) -> bool {
    let (from, until) = stick.span();
    mark.start < until && mark.end > from
}

/// When all is ready, and how far away that is.
fn heading(model: &Model, days: &Days, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let ready = timing::at(days.ready, now, zone);
    let away = days.ready - now;
    let words = if away.0 > 0 {
        format!("Ready to glue {ready}, {away} from now.")
    } else {
        format!("Ready to glue since {ready}.")
    };
    let mut row = Row::new().text(" ", theme.text).text(words, theme.strong);
    let stick = match model.pages.day.zoom {
        Zoom::Days => "a line is a day, hands only",
        Zoom::Day => "a stick is a day",
        Zoom::Quarter => "a stick is six hours",
        Zoom::Hour => "a stick is an hour",
    };
    if row.width() + 3 + width(stick) < columns {
        row = row.pad(columns - width(stick) - 1).text(stick, theme.quiet);
    }
    vec![row]
}

/// The hours above the sticks.
fn ruler(model: &Model, shape: &Shape) -> Row {
    let theme = &model.theme;
    let zoom = model.pages.day.zoom;
    let (step, label): (i64, fn(i64) -> String) = match zoom {
        Zoom::Days | Zoom::Day => (if shape.minutes > 15 { 180 } else { 120 }, |minutes| {
            (minutes / 60).to_string()
        }),
        Zoom::Quarter => (60, |minutes| format!("+{} h", minutes / 60)),
        Zoom::Hour => (10, |minutes| format!(":{minutes:02}")),
    };
    let mut row = Row::new().pad(shape.label);
    let mut minutes = 0;
    while minutes < zoom.minutes() {
        let column = shape.label + (minutes / shape.minutes) as usize;
        row = row.pad(column).text(label(minutes), theme.quiet);
        minutes += step;
    }
    row
}

/// The sticks around one that fit, each drawn, the one itself always among them.
fn window(all: &[Stick], here: usize, room: usize, draw: impl Fn(&Stick) -> Drawn) -> Vec<(Stick, Drawn)> {
    let mut drawn: std::collections::VecDeque<(Stick, Drawn)> = std::collections::VecDeque::new();
    let mut used = 0;
    let mut take = |index: usize, front: bool| {
        let Some(stick) = all.get(index) else { return false };
        let mut rows = draw(stick);
        if used + rows.rows.len() > room {
            if used > 0 {
                return false;
            }
            rows.rows.truncate(room);
        }
        used += rows.rows.len();
        if front {
            drawn.push_front((stick.clone(), rows));
        } else {
            drawn.push_back((stick.clone(), rows));
        }
        true
    };
    if !take(here, false) {
        return Vec::new();
    }
    // one before for what led here, then on as far as there is room, then back
    let mut first = here;
    if first > 0 && take(first - 1, true) {
        first -= 1;
    }
    let mut next = here + 1;
    while take(next, false) {
        next += 1;
    }
    while first > 0 && take(first - 1, true) {
        first -= 1;
    }
    drawn.into_iter().collect()
}

/// What the letters mean, in two rows.
fn legend(model: &Model, marks: &[(String, &'static str)], columns: usize) -> [Row; 2] {
    let theme = &model.theme;
    let mut rows = [Row::new(), Row::new()];
    let mut at = 0;
    for (sign, step) in marks {
        let wide = width(sign) + 1 + width(step) + 2;
        if rows.get(at).is_some_and(|row| row.width() + wide > columns) {
            at += 1;
        }
        let Some(row) = rows.get_mut(at) else { break };
        let begun = std::mem::take(row);
        let begun = if begun.width() == 0 {
            begun.text(" ", theme.text)
        } else {
            begun
        };
        *row = begun
            .text(sign.clone(), theme.strong)
            .text(format!(" {step}  "), theme.quiet);
    }
    rows
}

/// A stretch in words: `Sun 13`, `Sun 13 to Fri 18`, with times where it is no whole day.
pub(super) fn stretch(from: Moment, until: Moment, zone: chrono_tz::Tz, whole_days: bool) -> String {
    let last = Moment(until.0 - 1);
    let (from, last) = (from.in_zone(zone), last.in_zone(zone));
    if !whole_days {
        let end = until.in_zone(zone);
        return format!("{} – {}", from.format("%a %-d %H:%M"), end.format("%a %-d %H:%M"));
    }
    if from.date_naive() == last.date_naive() {
        from.format("%a %-d").to_string()
    } else {
        format!("{} – {}", from.format("%a %-d"), last.format("%a %-d"))
    }
}

/// Words broken into rows behind a word at the left edge.
pub(super) fn told(model: &Model, word: &str, text: &str, columns: usize, style: ratatui::style::Style) -> Vec<Row> {
    let lines = wrap(text, columns.saturating_sub(super::now::MARGIN + 1));
    let row = |(index, line): (usize, String)| margin(model, if index == 0 { word } else { "" }).text(line, style);
    lines.into_iter().enumerate().map(row).collect()
}
