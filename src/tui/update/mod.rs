//! What every message does to the model.
//!
//! Invariant: pure; whatever is written is handed out as one [`Effect::Write`] at a time, and the model says
//! it is done only on [`Msg::Written`]. Until then keys that only look are taken at once; the first that hangs on
//! what is being written is put off until the answer, and so is everything typed after it.

mod day;
mod forms;
mod layers;
mod lists;
pub use forms::begin;
pub use layers::{air_words, record_words};
mod now;
mod pieces;
mod plan;

use super::bench::{Faulty, Fresh, Sheet};
use super::key::Key;
use super::layer::{Ask, Layer, Question};
use super::menu::Menu;
use super::model::{Cause, Model, Page, Tone, Typed, due_round};
use super::msg::{Effect, Msg, Write};
use super::theme::Look;
use super::view::has_faults;
use crate::dayplan::document::Stamp;
use crate::log::What;
use crate::units::Moment;
use std::sync::Arc;

/// Takes a message.
pub fn update(model: &mut Model, msg: Msg) -> Vec<Effect> {
    let mut effects = match msg {
        Msg::Key(key) => typed(model, Typed::Key(key)),
        Msg::Paste(text) => typed(model, Typed::Text(text)),
        Msg::Size(columns, rows) => {
            model.size = (columns, rows);
            Vec::new()
        }
        Msg::Clock(now) => clock(model, now),
        Msg::Sheet(sheet) => {
            take_look(model, *sheet);
            settle(model);
            call_hands(model)
        }
        Msg::Written(write, sheet) => {
            if write.what.iter().any(|what| matches!(what, What::AcceptedPlan { .. })) {
                take_look(model, *sheet);
            } else {
                // a plan of another screen may have been read on the way
                others_wrote(model, *sheet);
            }
            written(model, &write)
        }
        Msg::NotWritten(write, why) => {
            model.writing = false;
            let meanwhile = std::mem::take(&mut model.layers);
            model.layers = std::mem::take(&mut model.handed);
            if model.layers.is_empty() {
                model.layers = meanwhile;
            }
            model.said = Some((Tone::Wrong, format!("NOT in the log: {}. {why}", write.words)));
            Vec::new()
        }
        Msg::Checked(wrong) => {
            forms::checked(model, wrong);
            Vec::new()
        }
        Msg::Edited(words, sheet) => {
            take_look(model, *sheet);
            model.problems.clear();
            forms::edited(model, &words)
        }
        Msg::NotEdited(wrong) => {
            forms::not_edited(model, wrong);
            Vec::new()
        }
        Msg::Refreshed(fresh, sheet) => {
            let with_plan = others_wrote(model, *sheet);
            read_again(model, fresh, with_plan)
        }
        Msg::Overtaken(fresh, sheet) => {
            model.writing = false;
            let own = model.cause == Cause::Here;
            let with_plan = others_wrote(model, *sheet);
            let mut effects = read_again(model, fresh, with_plan);
            if own {
                // theirs may not know yet what was done here
                effects.push(plan::ask(model));
            }
            effects
        }
        Msg::EditorEnded(why, fresh, sheet) => {
            take_look(model, *sheet);
            editor_ended(model, why, fresh)
        }
        Msg::WorkedOut(worked) => {
            model.take_figures(*worked);
            settle(model);
            Vec::new()
        }
        Msg::AtOnce(generation, plan) => plan::at_once(model, generation, plan),
        Msg::Planned(generation, outcome) => plan::arrived(model, generation, outcome),
        Msg::Woken => vec![Effect::Recompute, Effect::Repaint],
    };
    effects.extend(plan::take_on(model));
    effects.extend(take_up(model));
    model.keep();
    effects.extend(model.ask_for_figures().map(Effect::WorkOut));
    effects
}

/// Takes a fresh look at the bench.
fn take_look(model: &mut Model, sheet: Sheet) {
    model.asked = None;
    model.sheet = sheet;
}

/// Takes a look after others wrote, and says whether they took a plan on: it saves the one for the same files.
fn others_wrote(model: &mut Model, sheet: Sheet) -> bool {
    let other_plan = match (&model.sheet.plan, &sheet.plan) {
        (Some(old), Some(new)) => !Arc::ptr_eq(old, new),
        (old, new) => old.is_some() != new.is_some(),
    };
    take_look(model, sheet);
    if other_plan {
        plan::overtaken(model);
    }
    other_plan
}

/// Takes up what was put off, as far as nothing of it hangs on what is being written now.
fn take_up(model: &mut Model) -> Vec<Effect> {
    let mut effects = Vec::new();
    while let Some(next) = model.put_off.pop_front() {
        let later = std::mem::take(&mut model.put_off);
        effects.extend(typed(model, next));
        effects.extend(plan::take_on(model));
        let waits = !model.put_off.is_empty();
        model.put_off.extend(later);
        if waits {
            break;
        }
    }
    effects
}

/// Something was typed: taken now, or put off until what is being written is in the log.
fn typed(model: &mut Model, typed: Typed) -> Vec<Effect> {
    if model.writing && !is_at_once(model, &typed) {
        model.put_off.push_back(typed);
        return Vec::new();
    }
    match typed {
        Typed::Key(key) => press(model, key),
        Typed::Text(text) => layers::paste(model, &text),
    }
}

/// Whether what is typed while something is being written does not hang on it.
fn is_at_once(model: &Model, typed: &Typed) -> bool {
    let Typed::Key(key) = *typed else { return false };
    if matches!(key, Key::Ctrl('c' | 'z' | 'l')) {
        return true;
    }
    model.put_off.is_empty()
        && match model.layers.last() {
            Some(Layer::Help(_)) => true,
            Some(Layer::Cautions(_)) => key != Key::Char('a'),
            Some(Layer::Problems(..)) => key != Key::Char('e'),
            Some(_) => false,
            None if model.far => !writes(Page::Now, key),
            None => !writes(model.page, key),
        }
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
    let page = if model.far { Page::Now } else { model.page };
    if model.read_only && writes(page, key) {
        say(model, "This screen only shows. Another one, or denib tick, writes.");
        return Vec::new();
    }
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
        Key::Char('d') => {
            let menu = match model.page {
                Page::Pieces => pieces::deeds(model),
                _ => now::deeds(model),
            };
            model.layers.push(Layer::Menu(menu));
        }
        Key::Char('e') => {
            let piece = match model.page {
                Page::Now => now::piece(model),
                Page::Pieces => pieces::here(model).map(|line| line.key.piece),
                _ => None,
            };
            let menu = match model.page {
                Page::Stores => Menu::shelf(&model.sheet),
                _ => Menu::changes(&model.sheet, piece),
            };
            model.layers.push(Layer::Menu(menu));
        }
        Key::Char('p') if model.sheet.plan.is_none() && !model.sheet.job.pieces.is_empty() => {
            return vec![plan::ask(model)];
        }
        Key::Char('!') if !model.problems.is_empty() => {
            model.layers.push(Layer::Problems(model.problems.clone(), 0));
        }
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
        Key::Char('!') if !model.problems.is_empty() => {
            model.layers.push(Layer::Problems(model.problems.clone(), 0));
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

/// Whether a key writes, or leads to something that does.
pub(super) const fn writes(page: Page, key: Key) -> bool {
    match key {
        Key::Char('r' | 'n' | 'u' | 'd' | 'e' | 'p' | 't' | 'o' | 'b' | 'l') => true,
        Key::Enter | Key::Char(' ') => matches!(page, Page::Now),
        _ => false,
    }
}

/// Others wrote into log, file or schedules; a plan of theirs may have come with it.
fn read_again(model: &mut Model, fresh: Fresh, with_plan: bool) -> Vec<Effect> {
    if let Some(problems) = fresh.problems {
        if problems.is_empty() {
            model.layers.retain(|layer| !matches!(layer, Layer::Problems(..)));
            let words = match fresh.faulty {
                Faulty::Job => "The job file is sound again, and taken.",
                Faulty::Schedule => "The finish schedules are sound again, and taken.",
                Faulty::Log => "The log can be read again.",
            };
            say(model, words);
        } else {
            model.said = Some((Tone::Wrong, has_faults(fresh.faulty).to_owned()));
        }
        model.problems = problems;
        model.faulty = fresh.faulty;
    } else if fresh.job {
        say(model, "The job file has changed: read again.");
    }
    settle(model);
    let mut effects = call_hands(model);
    // who writes into the log replans; a file is changed by somebody who does not. A plan that came with the change and
    // keeps every rule of the job as it is now was made for it.
    let planned = with_plan && plan::holds(model);
    if fresh.job && !model.read_only && model.sheet.plan.is_some() && !planned {
        effects.push(plan::ask_for_files(model));
    }
    effects
}

/// Back from the editor: what is wrong is shown in place.
fn editor_ended(model: &mut Model, why: Option<String>, fresh: Fresh) -> Vec<Effect> {
    let nothing = !fresh.job && fresh.problems.is_none();
    let effects = read_again(model, fresh, false);
    // who watches the file may have read the faults before the editor had ended
    let faults = Some(model.problems.clone()).filter(|problems| !problems.is_empty());
    if let Some(why) = why {
        model.said = Some((Tone::Wrong, why));
    } else if let Some(faults) = faults {
        model.layers.push(Layer::Problems(faults, 0));
    } else if nothing {
        say(model, "The job file is as it was.");
    }
    effects
}

/// Says something at the foot.
fn say(model: &mut Model, words: &str) {
    model.said = Some((Tone::Plain, words.to_owned()));
}

/// Hands something over to be written; a second key before the answer does nothing.
fn write(model: &mut Model, what: What, words: String) -> Vec<Effect> {
    if model.writing || model.read_only {
        return Vec::new();
    }
    model.writing = true;
    // the page is there to be looked at meanwhile
    model.handed = std::mem::take(&mut model.layers);
    vec![Effect::Write(Write {
        what: vec![what],
        words,
        over: None,
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
    let minute = Moment::of(&now);
    if minute == model.sheet.standing.now || model.asked == Some(minute) {
        Vec::new()
    } else {
        model.asked = Some(minute);
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
            What::Note { .. } => {}
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
    model.handed.clear();
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
    let job = &model.sheet.job;
    let quiet = model.quiet.at(model.moment(), job.zone, &job.hours.quiet);
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
