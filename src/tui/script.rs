//! Key scripts: the real update and view on a screen in memory.
//!
//! Invariant: what a script shows is what a terminal of that size would show at that instant; writes go to
//! the bench handed in, in the order of the keys.

use super::bench::{Bench, Sheet};
use super::key::{ScriptStep, parse_script};
use super::model::{Model, Planning};
use super::msg::{Effect, Msg};
use super::pages::worked::WorkedOut;
use super::update::{begin, update};
use super::view;
use crate::cli::Manner;
use crate::dayplan::document::Stamp;
use crate::units::Moment;
use chrono::Duration;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;
use ratatui::style::{Color, Modifier};
use std::collections::VecDeque;
use std::fmt::Write as _;
use std::sync::atomic::AtomicBool;

/// How the screen is set up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Setting {
    /// Columns and rows.
    pub size: (u16, u16),
    /// With colour.
    pub colour: bool,
    /// ASCII only.
    pub ascii: bool,
}

/// What a script left behind.
pub struct Played {
    /// The model at the end.
    pub model: Model,
    /// The screen at the end, one line a row, spaces at the ends cut.
    pub text: String,
    /// Runs of style, `row:from..until WHAT`, and where the cursor is.
    pub styles: String,
    /// Everything that was asked for, in order.
    pub effects: Vec<Effect>,
}

/// Plays a script. Replans run at once; their end is seen before the next key.
pub fn play(bench: &mut dyn Bench, now: Stamp, setting: Setting, keys: &str) -> Result<Played, String> {
    play_put_up(bench, now, setting, &Manner::default(), keys)
}

/// The same with the wall put up so.
pub fn play_put_up(
    bench: &mut dyn Bench,
    now: Stamp,
    setting: Setting,
    manner: &Manner,
    keys: &str,
) -> Result<Played, String> {
    let steps = parse_script(keys).map_err(|bad| bad.to_string())?;
    let mut model = Model::new(Sheet::of(bench, Moment::of(&now)), now, setting.size);
    model = model.put_up(manner, setting.colour);
    if setting.ascii {
        model = model.ascii();
    }
    // a screen in memory plans only when it is asked to
    let _ = begin(&mut model);
    model.planning = Planning::Still;
    let mut effects = Vec::new();
    let mut now = now;
    for step in steps {
        let msg = match step {
            ScriptStep::Key(key) => Msg::Key(key),
            ScriptStep::Paste(text) => Msg::Paste(text),
            ScriptStep::Size(columns, rows) => Msg::Size(columns, rows),
            ScriptStep::Wait(minutes) => {
                now += Duration::minutes(minutes);
                Msg::Clock(now)
            }
        };
        let mut waiting = VecDeque::from([msg]);
        while let Some(msg) = waiting.pop_front() {
            for effect in update(&mut model, msg) {
                waiting.extend(answer(bench, now, &effect));
                let left = matches!(effect, Effect::Quit | Effect::Interrupt);
                effects.push(effect);
                if left {
                    return Ok(shown(model, effects));
                }
            }
        }
    }
    Ok(shown(model, effects))
}

/// What comes back for an effect.
fn answer(bench: &mut dyn Bench, now: Stamp, effect: &Effect) -> Option<Msg> {
    let moment = Moment::of(&now);
    match effect {
        Effect::Write(write) => Some(match bench.append(now, write.what.clone()) {
            Ok(_) => Msg::Written(write.clone(), Box::new(Sheet::of(bench, moment))),
            Err(why) => Msg::NotWritten(write.clone(), why),
        }),
        Effect::WorkOut(page) => {
            let sheet = Sheet::of(bench, moment);
            Some(Msg::WorkedOut(Box::new(WorkedOut::of(*page, &sheet))))
        }
        Effect::Recompute => Some(Msg::Sheet(Box::new(Sheet::of(bench, moment)))),
        Effect::Replan(generation) => {
            let outcome = bench.replan(moment)(&AtomicBool::new(false), &mut |_| ());
            Some(Msg::Planned(*generation, outcome.map(|plan| plan.map(Box::new))))
        }
        Effect::Check(check) => Some(Msg::Checked(check.wrong(bench))),
        Effect::Edit(edits, words) => Some(match bench.edit(edits, now) {
            Ok(()) => Msg::Edited(words.clone(), Box::new(Sheet::of(bench, moment))),
            Err(wrong) => Msg::NotEdited(wrong),
        }),
        Effect::Editor => Some(Msg::EditorEnded(
            Some("No editor can be opened on a screen in memory.".to_owned()),
            bench.refresh(),
            Box::new(Sheet::of(bench, moment)),
        )),
        Effect::Bell | Effect::Quit | Effect::Interrupt | Effect::Suspend | Effect::Repaint => None,
    }
}

fn shown(model: Model, effects: Vec<Effect>) -> Played {
    let (buffer, cursor) = paint(&model);
    Played {
        text: text_of(&buffer),
        styles: styles_of(&buffer, cursor),
        model,
        effects,
    }
}

/// Paints a model on a screen in memory; the cursor is where it stands, if it is shown.
pub fn paint(model: &Model) -> (Buffer, Option<(u16, u16)>) {
    let (columns, rows) = model.size;
    let mut cursor = None;
    let Ok(mut terminal) = Terminal::new(TestBackend::new(columns, rows));
    let Ok(_) = terminal.draw(|frame| view::draw(model, frame));
    if terminal.backend().cursor_visible() {
        cursor = Some(terminal.backend().cursor_position()).map(|at| (at.x, at.y));
    }
    (terminal.backend().buffer().clone(), cursor)
}

/// The text of a screen.
pub fn text_of(buffer: &Buffer) -> String {
    let columns = usize::from(buffer.area.width).max(1);
    let mut text = String::new();
    for row in buffer.content.chunks(columns) {
        let mut line = String::new();
        let mut covered = 0;
        for cell in row {
            // the second column of a wide letter holds nothing of its own
            if covered == 0 {
                line.push_str(cell.symbol());
                covered = unicode_width::UnicodeWidthStr::width(cell.symbol());
            }
            covered = covered.saturating_sub(1);
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// The styles of a screen as runs: `3:1..23 REVERSED`, rows and columns from 0; then the cursor.
pub fn styles_of(buffer: &Buffer, cursor: Option<(u16, u16)>) -> String {
    let columns = usize::from(buffer.area.width).max(1);
    let mut text = String::new();
    for (row, cells) in buffer.content.chunks(columns).enumerate() {
        let mut from = 0;
        while let Some(first) = cells.get(from) {
            let style = (first.fg, first.bg, first.modifier);
            let run = cells
                .iter()
                .skip(from)
                .take_while(|cell| (cell.fg, cell.bg, cell.modifier) == style)
                .count();
            let words = style_words(style);
            if !words.is_empty() {
                let _ = writeln!(text, "{row}:{from}..{} {words}", from + run);
            }
            from += run;
        }
    }
    match cursor {
        Some((x, y)) => {
            let _ = writeln!(text, "cursor {y}:{x}");
        }
        None => text.push_str("cursor hidden\n"),
    }
    text
}

fn style_words((fg, bg, modifier): (Color, Color, Modifier)) -> String {
    let mut words = Vec::new();
    if fg != Color::Reset {
        words.push(fg.to_string().to_lowercase());
    }
    if bg != Color::Reset {
        words.push(format!("on {}", bg.to_string().to_lowercase()));
    }
    words.extend(modifier.iter_names().map(|(name, _)| name.to_owned()));
    words.join(" ")
}
