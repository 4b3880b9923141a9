//! Keys of what lies over a page.
//!
//! Invariant: Esc closes the top layer and has written nothing; Enter on a look writes exactly what the
//! look shows.

use super::super::key::Key;
use super::super::layer::{Ask, Layer, PURPOSES, Question, Tick, Touch};
use super::super::menu::Menu;
use super::super::model::Model;
use super::super::msg::Effect;
use super::super::task::Task;
use super::super::verdict::Filter;
use super::super::view::{self, cautions, help};
use super::super::{lot, timing, words};
use super::{forms, now, pieces, say, write};
use crate::log::What;
use std::collections::BTreeSet;

/// Takes a key for the top layer.
pub fn press(model: &mut Model, layer: Layer, key: Key) -> Vec<Effect> {
    if key == Key::Esc {
        close(model, &layer);
        return Vec::new();
    }
    match layer {
        Layer::Tick(tick) => tick_key(model, &tick, key),
        Layer::TakeBack(record) => match key {
            Key::Enter | Key::Char('u') => {
                let words = format!("taken back: {}", record_words(model, &record.what));
                write(model, What::Undone { record: record.id }, words)
            }
            _ => Vec::new(),
        },
        Layer::Touch(touch) => touch_key(model, touch, key),
        Layer::Ask(ask) => ask_key(model, ask, key),
        Layer::Choose(cursor) => choose_key(model, cursor, key),
        Layer::Form(filling) => forms::press(model, *filling, key),
        Layer::Menu(menu) => forms::menu_key(model, menu, key),
        Layer::Problems(lines, scroll) => {
            let last = view::forms::last_scroll(model, &lines);
            if key == Key::Char('e') && !model.read_only {
                return vec![Effect::Editor];
            }
            if let Some(to) = scrolled(model, scroll, key, last) {
                replace(model, Layer::Problems(lines, to));
            }
            Vec::new()
        }
        Layer::Help(scroll) => {
            if let Some(to) = scrolled(model, scroll, key, help::last_scroll(model)) {
                replace(model, Layer::Help(to));
            }
            Vec::new()
        }
        Layer::Cautions(_) if key == Key::Char('a') && !model.read_only => {
            if let Some(menu) = Menu::cautions(&model.sheet) {
                model.layers.push(Layer::Menu(menu));
            }
            Vec::new()
        }
        Layer::Cautions(scroll) => {
            if let Some(to) = scrolled(model, scroll, key, cautions::last_scroll(model)) {
                replace(model, Layer::Cautions(to));
            }
            Vec::new()
        }
    }
}

/// Where a page of text is scrolled to by a key; `None`: it was closed.
fn scrolled(model: &mut Model, scroll: usize, key: Key, last: usize) -> Option<usize> {
    let to = match key {
        Key::Up | Key::Char('k') => scroll.saturating_sub(1),
        Key::Down | Key::Char('j') => scroll + 1,
        Key::PageUp => scroll.saturating_sub(10),
        Key::PageDown | Key::Char(' ') => scroll + 10,
        Key::Home | Key::Char('g') => 0,
        Key::End | Key::Char('G') => last,
        Key::Char('q' | '?') | Key::Enter => {
            model.layers.pop();
            return None;
        }
        _ => scroll,
    };
    Some(to.min(last))
}

fn close(model: &mut Model, layer: &Layer) {
    model.layers.pop();
    if let Layer::Ask(Ask {
        question: Question::Find,
        ..
    }) = layer
    {
        model.pieces_page.find.clear();
        pieces::settle(model);
    }
    if let Layer::Form(filling) = layer
        && filling.guided
        && let Some(last) = model.sheet.job.parts.last()
    {
        // of a first job the parts so far are there to be planned
        model.layers.push(Layer::Menu(Menu::after_a_part(&last.name)));
    }
}

pub(super) fn replace(model: &mut Model, layer: Layer) {
    if let Some(top) = model.layers.last_mut() {
        *top = layer;
    }
}

fn tick_key(model: &mut Model, tick: &Tick, key: Key) -> Vec<Effect> {
    match key {
        Key::Enter => {
            let record = tick.record(&model.sheet);
            write(model, record, tick.line())
        }
        Key::Char('w') => {
            model.layers.push(Layer::Ask(Ask::new(Question::When, "")));
            Vec::new()
        }
        // a digit or a minus is the start of a time
        Key::Char(c) if c.is_ascii_digit() || c == '-' => {
            model
                .layers
                .push(Layer::Ask(Ask::new(Question::When, c.encode_utf8(&mut [0; 4]))));
            Vec::new()
        }
        _ => Vec::new(),
    }
}

fn touch_key(model: &mut Model, mut touch: Touch, key: Key) -> Vec<Effect> {
    match key {
        Key::Up | Key::Char('k') => touch.purpose = touch.purpose.saturating_sub(1),
        Key::Down | Key::Char('j') => touch.purpose = (touch.purpose + 1).min(PURPOSES.len() - 1),
        Key::Left | Key::Right | Key::Tab | Key::Char(' ') => touch.dry = !touch.dry,
        Key::Enter => {
            let found = if touch.dry {
                "dry enough to"
            } else {
                "not dry enough yet to"
            };
            let words = format!("{found} {}: {}", words::purpose(touch.chosen()), touch.film);
            return write(model, touch.record(), words);
        }
        _ => {}
    }
    replace(model, Layer::Touch(touch));
    Vec::new()
}

fn choose_key(model: &mut Model, cursor: usize, key: Key) -> Vec<Effect> {
    let last = Filter::ALL.len() - 1;
    let to = match key {
        Key::Up | Key::Char('k') => cursor.saturating_sub(1),
        Key::Down | Key::Char('j') => (cursor + 1).min(last),
        Key::Home => 0,
        Key::End => last,
        Key::Char(c) if c.is_ascii_digit() && (1..=Filter::ALL.len()).contains(&(c as usize - '0' as usize)) => {
            choose(model, c as usize - '1' as usize);
            return Vec::new();
        }
        Key::Enter => {
            choose(model, cursor);
            return Vec::new();
        }
        _ => cursor,
    };
    replace(model, Layer::Choose(to));
    Vec::new()
}

fn choose(model: &mut Model, cursor: usize) {
    model.layers.pop();
    model.pieces_page.filter = Layer::filter_at(cursor);
    model.pieces_page.cursor = None;
}

fn ask_key(model: &mut Model, mut ask: Ask, key: Key) -> Vec<Effect> {
    if key == Key::Enter {
        return answer(model, ask);
    }
    if ask.field.press(key) {
        ask.wrong = None;
    }
    typed(model, ask);
    Vec::new()
}

/// Pasted text goes into a question, and nowhere else.
pub fn paste(model: &mut Model, text: &str) -> Vec<Effect> {
    if model.too_small() {
        return Vec::new();
    }
    if let Some(Layer::Ask(ask)) = model.layers.last() {
        let mut ask = ask.clone();
        ask.field.insert(text);
        ask.wrong = None;
        typed(model, ask);
    }
    forms::paste(model, text)
}

/// Keeps an answer being typed; finding follows every letter.
fn typed(model: &mut Model, ask: Ask) {
    if ask.question == Question::Find {
        ask.field.text().trim().clone_into(&mut model.pieces_page.find);
        model.pieces_page.cursor = None;
    }
    replace(model, Layer::Ask(ask));
}

fn answer(model: &mut Model, mut ask: Ask) -> Vec<Effect> {
    let text = ask.field.text();
    match ask.question {
        Question::Find => {
            model.layers.pop();
            Vec::new()
        }
        Question::When => {
            match timing::read_done_at(&text, model.moment(), model.sheet.job.zone) {
                Ok(at) => {
                    model.layers.pop();
                    if let Some(Layer::Tick(tick)) = model.layers.last_mut() {
                        tick.move_to(at);
                    }
                }
                Err(wrong) => {
                    ask.wrong = Some(wrong);
                    replace(model, Layer::Ask(ask));
                }
            }
            Vec::new()
        }
        Question::Lot => {
            let rows = model.card().map_or(0, |card| card.rows.len());
            match lot::read(&text, rows) {
                Ok(places) => {
                    model.layers.pop();
                    now::tick_places(model, &places);
                }
                Err(wrong) => {
                    ask.wrong = Some(wrong);
                    replace(model, Layer::Ask(ask));
                }
            }
            Vec::new()
        }
        Question::Reading => match timing::read_reading(&text, model.sheet.job.shown_in.fahrenheit) {
            Ok((temperature, humidity)) => {
                let read = air_words(model, temperature, humidity);
                write(
                    model,
                    What::Reading { temperature, humidity },
                    format!("the room reads {read}"),
                )
            }
            Err(wrong) => {
                ask.wrong = Some(wrong);
                replace(model, Layer::Ask(ask));
                Vec::new()
            }
        },
        Question::Note => {
            let text = text.trim().to_owned();
            if text.is_empty() {
                model.layers.pop();
                say(model, "No note: nothing was typed.");
                return Vec::new();
            }
            write(model, What::Note { text }, "a note".to_owned())
        }
    }
}

/// Air in the maker's own unit.
pub fn air_words(model: &Model, celsius: f64, humidity: Option<f64>) -> String {
    let fahrenheit = model.sheet.job.shown_in.fahrenheit;
    let (degrees, unit) = if fahrenheit {
        (celsius * 1.8 + 32.0, "°F")
    } else {
        (celsius, "°C")
    };
    let humidity = humidity.map_or_else(String::new, |humidity| format!(", {humidity:.0} % RH"));
    // one decimal only where it says something
    let degrees = format!("{degrees:.1}");
    format!("{} {unit}{humidity}", degrees.strip_suffix(".0").unwrap_or(&degrees))
}

/// A piece's name by its id.
fn piece_name<'a>(model: &'a Model, id: &'a str) -> &'a str {
    let found = model
        .sheet
        .piece(id)
        .and_then(|index| model.sheet.job.pieces.get(index));
    found.map_or(id, |piece| piece.name.as_str())
}

/// A record in words, for taking it back.
pub fn record_words(model: &Model, what: &What) -> String {
    let sheet = &model.sheet;
    let step = |operations: &[String]| {
        let plan = sheet.plan.as_ref();
        let first = operations.first().and_then(|id| sheet.operation(id));
        let first = first.and_then(|index| plan?.operations.get(index));
        let words = first.map_or_else(|| "a step no longer in the plan".to_owned(), words::operation);
        format!("{words}, {}", words::pieces(operations.len()))
    };
    match what {
        What::Done { operations, .. } => format!("done: {}", step(operations)),
        What::Begun { operations, .. } => format!("begun: {}", step(operations)),
        What::Skipped { operations, .. } => format!("skipped: {}", step(operations)),
        What::NotYetDry { purpose, .. } => format!("not dry enough yet to {}", words::purpose(*purpose)),
        What::DryAlready { purpose, .. } => format!("dry enough to {}", words::purpose(*purpose)),
        What::Reading { temperature, humidity } => {
            format!("the room reads {}", air_words(model, *temperature, *humidity))
        }
        What::StripBack { piece, .. } => format!("stripped back: {}", piece_name(model, piece)),
        What::ExtraCoat { piece, .. } => format!("one coat more on {}", piece_name(model, piece)),
        What::Mend { piece, fault, .. } => format!("{} made good on {}", fault.word(), piece_name(model, piece)),
        What::HoldingChanged { piece, holding } => {
            format!(
                "{} kept {} from now on",
                piece_name(model, piece),
                words::holding(*holding)
            )
        }
        What::Away { hands, .. } if hands.is_empty() => "everybody away".to_owned(),
        What::Away { hands, .. } => format!("away: {}", hands.join(", ")),
        What::Note { text } => format!("note: {text}"),
        What::Event { text } => text.clone(),
        What::AcceptedCaution { code, .. } => format!("caution accepted: {code}"),
        What::AcceptedPlan { .. } => "a plan taken on".to_owned(),
        What::Undone { .. } => "something taken back".to_owned(),
    }
}

/// Closes looks at what is no longer there, and leaves out of a tick what has been done meanwhile.
pub fn settle(model: &mut Model) {
    if model.layers.is_empty() {
        return;
    }
    let sheet = model.sheet.clone();
    let left = sheet
        .standing
        .rounds
        .iter()
        .flat_map(|round| round.left.iter().copied());
    let next = sheet.standing.pieces.iter().filter_map(|piece| piece.next);
    let open: BTreeSet<usize> = left.chain(next).collect();
    let to_do = |id: &str| sheet.operation(id).is_some_and(|index| open.contains(&index));
    let mut gone = false;
    for layer in &mut model.layers {
        match layer {
            Layer::Tick(tick) => gone |= !tick.keep_only(to_do),
            Layer::Form(filling) => {
                if let Task::Skip { one, .. } = &filling.task {
                    gone |= !one.iter().all(|id| to_do(id));
                }
            }
            Layer::TakeBack(record) => gone |= sheet.last_own.as_ref().is_none_or(|last| last.id != record.id),
            _ => {}
        }
    }
    if gone && !model.writing {
        model.layers.clear();
        say(model, "Closed: that has changed meanwhile.");
    }
}
