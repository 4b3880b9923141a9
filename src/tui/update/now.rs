//! Keys of the page *Now*.
//!
//! Invariant: nothing is written from here; ticks open a look.

use super::super::key::Key;
use super::super::layer::{Ask, Layer, Question, Tick, Touch};
use super::super::menu::{Item, Menu};
use super::super::model::Model;
use super::super::round_card::RoundCard;
use super::say;
use std::collections::BTreeSet;

/// Takes a key.
pub fn press(model: &mut Model, key: Key) {
    let Some(card) = model.card() else {
        if matches!(key, Key::Enter | Key::Char(' ' | 'o' | 'b' | 't')) {
            say(model, "There is no round to do.");
        }
        return;
    };
    let last = card.rows.len().saturating_sub(1);
    let page = &mut model.now_page;
    match key {
        Key::Up | Key::Char('k') => page.cursor = page.cursor.saturating_sub(1),
        Key::Down | Key::Char('j') => page.cursor = (page.cursor + 1).min(last),
        Key::PageUp => page.cursor = page.cursor.saturating_sub(8),
        Key::PageDown => page.cursor = (page.cursor + 8).min(last),
        Key::Home | Key::Char('g') => page.cursor = 0,
        Key::End | Key::Char('G') => page.cursor = last,
        Key::Char(' ') => leave_out(model, &card),
        Key::Enter => tick_round(model, &card, false),
        Key::Char('b') => tick_round(model, &card, true),
        Key::Char('o') => tick_one(model, &card),
        Key::Char('t') => touch(model, &card),
        Key::Char('l') => model.layers.push(Layer::Ask(Ask::new(Question::Lot, ""))),
        _ => {}
    }
}

fn leave_out(model: &mut Model, card: &RoundCard) {
    let page = &mut model.now_page;
    let Some(row) = card.rows.get(page.cursor) else { return };
    if !page.left_out.remove(&row.operation) {
        page.left_out.insert(row.operation.clone());
    }
    page.cursor = (page.cursor + 1).min(card.rows.len().saturating_sub(1));
}

fn tick_round(model: &mut Model, card: &RoundCard, begin: bool) {
    let out = &model.now_page.left_out;
    let (left_out, chosen): (Vec<_>, Vec<_>) = card
        .rows
        .iter()
        .map(|row| row.operation.clone())
        .partition(|operation| out.contains(operation));
    let now = model.moment();
    match Tick::of(&model.sheet, &chosen, &left_out, now) {
        Some(mut tick) => {
            if begin {
                if tick.begun.is_some() {
                    say(model, "This round is begun already.");
                    return;
                }
                (tick.start, tick.end) = (now, None);
            }
            model.layers.push(Layer::Tick(tick));
        }
        None if card.rows.is_empty() => say(model, "Nothing of this round is left to do."),
        None => say(model, "Every piece is left out: take one back in with Space."),
    }
}

fn tick_one(model: &mut Model, card: &RoundCard) {
    let Some(row) = card.rows.get(model.now_page.cursor) else {
        return;
    };
    let chosen = std::slice::from_ref(&row.operation);
    if let Some(tick) = Tick::of(&model.sheet, chosen, &[], model.moment()) {
        model.layers.push(Layer::Tick(tick));
    }
}

fn touch(model: &mut Model, card: &RoundCard) {
    let piece = card.rows.get(model.now_page.cursor).and_then(|row| row.piece);
    match piece.and_then(|piece| Touch::of(&model.sheet, piece, None)) {
        Some(touch) => model.layers.push(Layer::Touch(touch)),
        None => say(model, "No film on this piece to test."),
    }
}

/// The piece under the cursor.
pub fn piece(model: &Model) -> Option<usize> {
    model.card()?.rows.get(model.now_page.cursor)?.piece
}

/// What can be done with the piece under the cursor, and with the round.
pub fn deeds(model: &Model) -> Menu {
    let card = model.card();
    let row = card.as_ref().and_then(|card| card.rows.get(model.now_page.cursor));
    let skip = card.as_ref().zip(row).map(|(card, row)| Item::Skip {
        one: row.operation.clone(),
        round: card.rows.iter().map(|row| row.operation.clone()).collect(),
    });
    Menu::deeds(&model.sheet, row.and_then(|row| row.piece), None, skip)
}

/// Opens the tick of these places of the round; the others stay to do.
pub fn tick_places(model: &mut Model, places: &BTreeSet<usize>) {
    let Some(card) = model.card() else { return };
    let others = card.rows.iter().enumerate().filter(|(at, _)| !places.contains(at));
    model.now_page.left_out = others.map(|(_, row)| row.operation.clone()).collect();
    tick_round(model, &card, false);
}

/// Keeps the cursor in the round and only what is still to do left out.
pub fn settle(model: &mut Model) {
    let card = model.card();
    let rows = card.as_ref().map_or(&[][..], |card| card.rows.as_slice());
    model.now_page.cursor = model.now_page.cursor.min(rows.len().saturating_sub(1));
    if !model.now_page.left_out.is_empty() {
        let to_do: BTreeSet<&str> = rows.iter().map(|row| row.operation.as_str()).collect();
        model.now_page.left_out.retain(|out| to_do.contains(out.as_str()));
    }
}
