//! What every message does to the model.
//!
//! Invariant: pure; whatever is written is handed out as one [`Effect::Write`] at a time, and the model says
//! it is done only on [`Msg::Written`].

mod day;
mod layers;
mod lists;
pub use layers::{air_words, record_words};
mod now;
mod pieces;
mod plan;

use super::key::Key;
use super::layer::{Ask, Layer, Question};
use super::model::{Model, Page, Tone, due_round};
use super::msg::{Effect, Msg, Write};
use super::theme::Look;
use crate::dayplan::document::Stamp;
use crate::log::What;
use crate::units::Moment;

/// Takes a message.
pub fn update(model: &mut Model, msg: Msg) -> Vec<Effect> {
    let mut effects = match msg {
        Msg::Key(key) => press(model, key),
        Msg::Paste(text) => {
            layers::paste(model, &text);
            Vec::new()
        }
        Msg::Size(columns, rows) => {
            model.size = (columns, rows);
            Vec::new()
        }
        Msg::Clock(now) => clock(model, now),
        Msg::Sheet(sheet) => {
            model.sheet = *sheet;
            settle(model);
            call_hands(model)
        }
        Msg::Written(write, sheet) => {
            model.sheet = *sheet;
            written(model, &write)
        }
        Msg::NotWritten(write, why) => {
            model.writing = false;
            model.said = Some((Tone::Wrong, format!("NOT in the log: {}. {why}", write.words)));
            Vec::new()
        }
        Msg::Planned(generation, outcome) => plan::arrived(model, generation, outcome),
        Msg::Woken => vec![Effect::Recompute, Effect::Repaint],
    };
    effects.extend(plan::take_on(model));
    model.keep();
    effects
}

fn press(model: &mut Model, key: Key) -> Vec<Effect> {
    match key {
        Key::Ctrl('c') => return vec![Effect::Interrupt],
        Key::Ctrl('z') => return vec![Effect::Suspend],
        Key::Ctrl('l') => return vec![Effect::Repaint],
        _ => {}
    }
    model.went_back = None;
    if model.too_small() {
        // what cannot be seen cannot be ticked
        return if matches!(key, Key::Char('q')) {
            vec![Effect::Quit]
        } else {
            Vec::new()
        };
    }
    if let Some(layer) = model.layers.last().cloned() {
        return layers::press(model, layer, key);
    }
    model.said = None;
    if model.far {
        return far(model, key);
    }
    match key {
        Key::Char('q') => return vec![Effect::Quit],
        Key::Char('?') => model.layers.push(Layer::Help(0)),
        Key::Tab => model.page = model.page.turned(1),
        Key::BackTab => model.page = model.page.turned(Page::ALL.len() - 1),
        Key::Char(digit @ '1'..='8') => turn_to(model, digit),
        Key::Char('F') => model.far = true,
        Key::Char('T') => {
            let look = Look::of(&model.theme).next();
            model.theme = *look.theme();
            say(model, &format!("Theme: {}.", look.name()));
        }
        Key::Char('B') => {
            model.quiet.muted = !model.quiet.muted;
            say(
                model,
                if model.quiet.muted {
                    "The bell is off."
                } else {
                    "The bell rings when hands are needed."
                },
            );
        }
        Key::Char('c') => model.layers.push(Layer::Cautions(0)),
        Key::Char('r') => model.layers.push(Layer::Ask(Ask::new(Question::Reading, ""))),
        Key::Char('n') => model.layers.push(Layer::Ask(Ask::new(Question::Note, ""))),
        Key::Char('u') => match model.sheet.last_own.clone() {
            Some(record) => model.layers.push(Layer::TakeBack(Box::new(record))),
            None => say(model, "Nothing of yours to take back."),
        },
        _ => match model.page {
            Page::Now => now::press(model, key),
            Page::Pieces => pieces::press(model, key),
            Page::Day => day::press(model, key),
            Page::Balance | Page::Air | Page::Stores | Page::Places | Page::Record => lists::press(model, key),
        },
    }
    Vec::new()
}

/// The page of a digit.
fn turn_to(model: &mut Model, digit: char) {
    let at = digit.to_digit(10).and_then(|digit| (digit as usize).checked_sub(1));
    if let Some(page) = at.and_then(|at| Page::ALL.get(at)) {
        model.page = *page;
    }
}

/// Keys of the far wall: leave it, tick its round, or see what a key does.
fn far(model: &mut Model, key: Key) -> Vec<Effect> {
    match key {
        Key::Char('q') => return vec![Effect::Quit],
        Key::Char('?') => model.layers.push(Layer::Help(0)),
        Key::Char(digit @ '1'..='8') => {
            model.far = false;
            turn_to(model, digit);
        }
        Key::Esc | Key::Tab | Key::BackTab | Key::Char('F') => model.far = false,
        Key::Enter | Key::Char('b') => {
            model.page = Page::Now;
            now::press(model, key);
        }
        _ => {}
    }
    Vec::new()
}

/// Says something at the foot.
fn say(model: &mut Model, words: &str) {
    model.said = Some((Tone::Plain, words.to_owned()));
}

/// Hands something over to be written; a second key before the answer does nothing.
fn write(model: &mut Model, what: What, words: String) -> Vec<Effect> {
    if model.writing {
        return Vec::new();
    }
    model.writing = true;
    vec![Effect::Write(Write {
        what: vec![what],
        words,
    })]
}

fn clock(model: &mut Model, now: Stamp) -> Vec<Effect> {
    let back = (model.now - now).num_seconds();
    if back > 1 {
        // the time said stays until a key is pressed, and the larger step counts
        let minutes = (back + 59) / 60;
        model.went_back = Some(model.went_back.unwrap_or(0).max(minutes));
    }
    model.now = now;
    if Moment::of(&now) == model.sheet.standing.now {
        Vec::new()
    } else {
        vec![Effect::Recompute]
    }
}

fn written(model: &mut Model, write: &Write) -> Vec<Effect> {
    model.writing = false;
    let mut replan = false;
    let mut plan = false;
    for what in &write.what {
        match what {
            What::AcceptedPlan { .. } => plan = true,
            What::Note { .. } | What::AcceptedCaution { .. } => {}
            What::Done { .. } => {
                model.now_page.left_out.clear();
                replan = true;
            }
            _ => replan = true,
        }
    }
    settle(model);
    if plan {
        model.said = Some((Tone::Plain, write.words.clone()));
        return call_hands(model);
    }
    model.layers.clear();
    let (_, time) = super::timing::day_and_time(&model.now, model.sheet.job.zone);
    model.said = Some((Tone::Done, format!("In the log at {time}: {}.", write.words)));
    let mut effects = call_hands(model);
    if replan {
        effects.push(plan::ask(model));
    }
    effects
}

/// Rings once for every round whose time has come.
fn call_hands(model: &mut Model) -> Vec<Effect> {
    let due = due_round(&model.sheet);
    let ring = due.is_some() && due != model.called;
    if due.is_some() {
        model.called = due;
    }
    let quiet = model.quiet.at(model.moment(), model.sheet.job.zone);
    if ring && !quiet { vec![Effect::Bell] } else { Vec::new() }
}

/// Brings cursors, exceptions and open looks in line with a fresh sheet.
fn settle(model: &mut Model) {
    model.keep();
    now::settle(model);
    pieces::settle(model);
    lists::settle(model);
    layers::settle(model);
}
