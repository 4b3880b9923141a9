//! Keys of the pages that list or scroll: *Balance*, *Air*, *Stores*, *Places*, *Record*.
//!
//! Invariant: a cursor or a scroll never leaves what there is; nothing is written from here.

use super::super::key::Key;
use super::super::layer::Layer;
use super::super::menu::Menu;
use super::super::model::{Model, Page};
use super::super::pages::record;
use super::super::view;
use super::say;

/// Where a cursor goes by a key, between 0 and `last`; `None`: the key does not move it.
fn moved(at: usize, last: usize, key: Key) -> Option<usize> {
    let to = match key {
        Key::Up | Key::Char('k') => at.saturating_sub(1),
        Key::Down | Key::Char('j') => at + 1,
        Key::PageUp => at.saturating_sub(10),
        Key::PageDown | Key::Char(' ') => at + 10,
        Key::Home | Key::Char('g') => 0,
        Key::End | Key::Char('G') => last,
        _ => return None,
    };
    Some(to.min(last))
}

/// Takes a key.
pub fn press(model: &mut Model, key: Key) {
    match model.page {
        Page::Balance => {
            let last = model
                .balance()
                .map_or(0, |balance| balance.panels.len().saturating_sub(1));
            if let Some(to) = moved(model.pages.balance, last, key) {
                model.pages.balance = to;
            }
        }
        Page::Air => air(model, key),
        Page::Stores => {
            if let Some(to) = moved(model.pages.stores, view::stores::last_scroll(model), key) {
                model.pages.stores = to;
            }
        }
        Page::Places => {
            if let Some(to) = moved(model.pages.places, view::places::last_scroll(model), key) {
                model.pages.places = to;
            }
        }
        Page::Record => {
            if key == Key::Char('a') {
                model.pages.record_plans = !model.pages.record_plans;
                model.pages.record = 0;
            }
            let last = record::listed(model).len().saturating_sub(1);
            if let Some(to) = moved(model.pages.record, last, key) {
                model.pages.record = to;
            }
        }
        Page::Now | Page::Pieces | Page::Day => {}
    }
}

fn air(model: &mut Model, key: Key) {
    if key == Key::Char('a') {
        return accept(model);
    }
    let cautions = view::air::listed(model).len().saturating_sub(1);
    if let Some(to) = moved(model.pages.air.caution, cautions, key) {
        model.pages.air.caution = to;
        return;
    }
    if !matches!(key, Key::Left | Key::Right) {
        return;
    }
    let Some(air) = model.room_air() else { return };
    let Some(air) = air.as_ref() else {
        say(model, "The vapour is not computed.");
        return;
    };
    let Some(at) = view::air_curve::day_shown(model, air) else {
        say(model, "No day of the plan has vapour to speak of.");
        return;
    };
    let last = air.days.len().saturating_sub(1);
    let to = if key == Key::Left {
        at.saturating_sub(1)
    } else {
        (at + 1).min(last)
    };
    model.pages.air.day = Some(to);
}

/// The cautions to choose from, the one under the cursor first in sight.
fn accept(model: &mut Model) {
    if model.read_only {
        say(model, "This screen only shows. Another one, or denib tick, writes.");
        return;
    }
    match Menu::cautions(&model.sheet) {
        Some(mut menu) => {
            menu.cursor = model.pages.air.caution.min(menu.items.len().saturating_sub(1));
            model.layers.push(Layer::Menu(menu));
        }
        None => say(model, "The plan in force carries no caution."),
    }
}

/// Brings the cursors back to what there is.
pub fn settle(model: &mut Model) {
    let records = record::listed(model).len().saturating_sub(1);
    model.pages.record = model.pages.record.min(records);
    let cautions = view::air::listed(model).len().saturating_sub(1);
    model.pages.air.caution = model.pages.air.caution.min(cautions);
    match model.page {
        // on their way: where it was scrolled to is kept for them
        Page::Stores if model.stores().is_none() && model.sheet.plan.is_some() => {}
        Page::Stores => model.pages.stores = model.pages.stores.min(view::stores::last_scroll(model)),
        Page::Places if model.places().is_none() => {}
        Page::Places => model.pages.places = model.pages.places.min(view::places::last_scroll(model)),
        _ => {}
    }
}
