//! What the model looks like.
//!
//! Invariant: reads the model and changes nothing; draws at any size without fault; text that does not fit
//! ends in a sign that says so.

pub mod air;
pub mod air_curve;
mod balance;
pub mod cautions;
mod cells;
mod day;
mod day_detail;
mod far;
pub mod forms;
mod glossary;
pub mod help;
pub mod large;
mod layers;
mod now;
mod outlook;
mod pieces;
pub mod places;
mod record;
mod stick;
pub mod stores;

use super::bench::Faulty;
use super::layer::Layer;
use super::model::{Better, Model, Page, Planning, SMALLEST, Tone};
use super::timing;
use super::update::air_words;
use cells::{Row, put, put_lines, width, wrap};
use ratatui::Frame;
use ratatui::layout::Rect;

/// Draws everything.
pub fn draw(model: &Model, frame: &mut Frame) {
    let area = frame.area();
    frame.buffer_mut().set_style(area, model.theme.ground);
    if area.width < SMALLEST.0 || area.height < SMALLEST.1 {
        too_small(model, frame, area);
        return;
    }
    if model.far && model.layers.is_empty() {
        far::draw(model, frame, area);
        return;
    }
    head(model, frame, area);
    let foot = foot(model, frame, area);
    let body = Rect {
        y: area.y + 2,
        height: area.height.saturating_sub(2 + foot),
        ..area
    };
    match model.layers.last() {
        Some(Layer::Ask(ask)) if !matches!(ask.question, super::layer::Question::When) => page(model, frame, body),
        Some(Layer::Ask(_)) => {
            if let Some(below) = model.layers.iter().rev().nth(1) {
                layers::draw(model, below, frame, body);
            }
        }
        Some(layer) => layers::draw(model, layer, frame, body),
        None => page(model, frame, body),
    }
}

fn page(model: &Model, frame: &mut Frame, body: Rect) {
    match model.page {
        Page::Now => now::draw(model, frame, body),
        Page::Pieces => pieces::draw(model, frame, body),
        Page::Day => day::draw(model, frame, body),
        Page::Balance => balance::draw(model, frame, body),
        Page::Air => air::draw(model, frame, body),
        Page::Stores => stores::draw(model, frame, body),
        Page::Places => places::draw(model, frame, body),
        Page::Record => record::draw(model, frame, body),
    }
}

fn too_small(model: &Model, frame: &mut Frame, area: Rect) {
    let text = format!(
        "The wall needs {} columns and {} rows. Here are {} and {}. Make the window larger or the letters smaller; q leaves.",
        SMALLEST.0, SMALLEST.1, area.width, area.height
    );
    let lines = wrap(&text, usize::from(area.width));
    put_lines(
        model,
        frame,
        area,
        lines.into_iter().map(|line| Row::new().text(line, model.theme.text)),
    );
}

/// The pages and the time; below, on the rule, the job, the room's air and the day.
fn head(model: &Model, frame: &mut Frame, area: Rect) {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let (day, time) = timing::day_and_time(&model.now, model.sheet.job.zone);
    let total = usize::from(area.width);
    let between = if total < WIDE_HEAD { "  " } else { "    " };
    let mut row = Row::new().text(" ", theme.text);
    for (index, page) in Page::ALL.iter().enumerate() {
        let style = if *page == model.page { theme.title } else { theme.quiet };
        row = row
            .text(format!("{} {}", index + 1, page.name()), style)
            .text(between, theme.text);
    }
    row = row.pad(total.saturating_sub(width(&time) + 1)).text(time, theme.strong);
    put(model, frame, Rect { height: 1, ..area }, row);
    // the room's air, as read or foreseen
    let (celsius, humidity) = model.sheet.standing.air;
    let air = air_words(model, celsius, Some(humidity));
    let right = format!(" {air}   {day} ");
    let title: String = cells::fit(&model.sheet.job.title, total.saturating_sub(width(&right) + 8), symbols);
    let title = title.trim_end();
    let line = |columns: usize| symbols.rule.to_string().repeat(columns);
    let mut row = Row::new().text(line(1), theme.quiet);
    if !title.is_empty() {
        row = row
            .text(" ", theme.quiet)
            .text(title, theme.text)
            .text(" ", theme.quiet);
    }
    let rest = total.saturating_sub(row.width() + width(&right) + 1);
    row = row
        .text(line(rest), theme.quiet)
        .text(right, theme.text)
        .text(line(1), theme.quiet);
    let below = Rect {
        y: area.y + 1,
        height: 1,
        ..area
    };
    put(model, frame, below, row);
}

/// From here on the names of the pages stand wider apart.
const WIDE_HEAD: usize = 110;

fn rule(model: &Model, frame: &mut Frame, area: Rect) {
    let line = model.symbols.rule.to_string().repeat(usize::from(area.width));
    put(model, frame, area, Row::new().text(line, model.theme.quiet));
}

/// A rule, what is said, the keys; answers how many rows it took.
fn foot(model: &Model, frame: &mut Frame, area: Rect) -> u16 {
    let total = usize::from(area.width).saturating_sub(2);
    let (style, said) = said(model);
    let mut lines: Vec<Row> = wrap(&said, total)
        .into_iter()
        .take(3)
        .map(|line| Row::new().text(" ", style).text(line, style))
        .collect();
    if lines.is_empty() {
        lines.push(Row::new());
    }
    let mut cursor = None;
    if let Some(Layer::Ask(ask)) = model.layers.last() {
        let (row, column) = layers::question(model, ask, total);
        cursor = Some((lines.len() as u16, column));
        lines.push(row);
    }
    lines.push(keys(model, total));
    let height = lines.len() as u16 + 1;
    let top = (area.y + area.height).saturating_sub(height);
    rule(
        model,
        frame,
        Rect {
            y: top,
            height: 1,
            ..area
        },
    );
    let below = Rect {
        y: top + 1,
        height: height - 1,
        ..area
    };
    put_lines(model, frame, below, lines.into_iter());
    if let Some((row, column)) = cursor {
        frame.set_cursor_position((area.x + column.min(area.width.saturating_sub(1)), below.y + row));
    }
    height
}

/// Said for as long as a file has faults.
pub(super) const fn has_faults(faulty: Faulty) -> &'static str {
    match faulty {
        Faulty::Job => "The job file has faults: ! shows them. The last good one is kept.",
        Faulty::Schedule => "A finish schedule has faults: ! shows them. The last good one is kept.",
        Faulty::Log => "The log cannot be read: ! says why. What was read of it is kept.",
    }
}

fn said(model: &Model) -> (ratatui::style::Style, String) {
    let theme = &model.theme;
    if let Some(Layer::Ask(super::layer::Ask { wrong: Some(wrong), .. })) = model.layers.last() {
        return (theme.alarm, wrong.clone());
    }
    if let Some(minutes) = model.went_back {
        let back = crate::units::Span(minutes);
        return (
            theme.alarm,
            format!("The clock went back by {back}. Times are by the clock as it is now; check it before you tick."),
        );
    }
    match &model.said {
        Some((Tone::Done, words)) => (theme.strong, words.clone()),
        Some((Tone::Plain, words)) => (theme.text, words.clone()),
        Some((Tone::Wrong, words)) => (theme.alarm, words.clone()),
        // what is shown is not what the file says: that stays on the screen until it is mended
        None if !model.problems.is_empty() && !matches!(model.layers.last(), Some(Layer::Problems(..))) => {
            (theme.alarm, has_faults(model.faulty).to_owned())
        }
        None if model.planning == Planning::Working => (theme.quiet, "The plan is being worked out afresh.".to_owned()),
        None if matches!(model.planning, Planning::Found(_)) => (
            theme.quiet,
            "A fresh plan is there; it is taken on when you are done here.".to_owned(),
        ),
        None if model.better == Better::LookedFor => (theme.quiet, "A better plan is being looked for.".to_owned()),
        None => (theme.text, String::new()),
    }
}

/// The keys that do something here; as many as fit, the rest behind `?`.
fn keys(model: &Model, room: usize) -> Row {
    let theme = &model.theme;
    let all = help::short_keys(model);
    let last = (" ? ", "help");
    let on_page = model.layers.is_empty();
    let mut row = Row::new().text(" ", theme.text);
    let reserve = if on_page { width(last.0) + width(last.1) + 3 } else { 0 };
    for (key, does) in all {
        let wide = width(key) + 1 + width(does) + 3;
        if row.width() + wide + reserve > room + 3 {
            break;
        }
        row = row
            .text(key, theme.strong)
            .text(" ", theme.text)
            .text(does, theme.text)
            .text("   ", theme.text);
    }
    if on_page {
        row = row.text("?", theme.strong).text(" help", theme.text);
    }
    row
}
