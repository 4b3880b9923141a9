//! Keys of the page *Pieces*.
//!
//! Invariant: the cursor is on a line that is listed, or nowhere when none is.

use super::super::assembly_rows;
use super::super::key::Key;
use super::super::layer::{Ask, Layer, Question, Tick, Touch};
use super::super::menu::{Item, Menu};
use super::super::model::Model;
use super::super::piece_rows::{Content, Line, LineKey};
use super::super::verdict::Filter;
use super::say;

/// Takes a key.
pub fn press(model: &mut Model, key: Key) {
    let lines = model.lines();
    let (cursor, last) = (model.cursor_in(&lines), lines.len().saturating_sub(1));
    let page_rows = usize::from(model.size.1.saturating_sub(8)).max(1);
    match key {
        Key::Up | Key::Char('k') => go(model, &lines, cursor.saturating_sub(1)),
        Key::Down | Key::Char('j') => go(model, &lines, (cursor + 1).min(last)),
        Key::PageUp => go(model, &lines, cursor.saturating_sub(page_rows)),
        Key::PageDown => go(model, &lines, (cursor + page_rows).min(last)),
        Key::Home | Key::Char('g') => go(model, &lines, 0),
        Key::End | Key::Char('G') => go(model, &lines, last),
        Key::Enter | Key::Char(' ') => fold(model, &lines, cursor, None),
        Key::Right => fold(model, &lines, cursor, Some(true)),
        Key::Left => fold(model, &lines, cursor, Some(false)),
        Key::Char('a') => fold_all(model, &lines),
        Key::Char('f') => {
            let at = Filter::ALL
                .iter()
                .position(|filter| *filter == model.pieces_page.filter);
            model.layers.push(Layer::Choose(at.unwrap_or(0)));
        }
        Key::Char('/') => {
            let find = model.pieces_page.find.clone();
            model.layers.push(Layer::Ask(Ask::new(Question::Find, &find)));
        }
        Key::Esc => {
            model.pieces_page.filter = Filter::All;
            model.pieces_page.find.clear();
        }
        Key::Char('o') => tick_one(model, &lines, cursor),
        Key::Char('t') => touch(model, &lines, cursor),
        _ => {}
    }
}

fn go(model: &mut Model, lines: &[Line], to: usize) {
    model.pieces_page.cursor = lines.get(to).map(|line| line.key);
}

/// Unfolds, folds, or (`None`) does the other one; the cursor goes to the piece when its lines fold away.
fn fold(model: &mut Model, lines: &[Line], cursor: usize, unfold: Option<bool>) {
    let Some(line) = lines.get(cursor) else { return };
    let (piece, page) = (line.key.piece, &mut model.pieces_page);
    if unfold.unwrap_or(!page.unfolded.contains(&piece)) {
        page.unfolded.insert(piece);
        page.cursor = Some(line.key);
    } else {
        page.unfolded.remove(&piece);
        page.cursor = Some(LineKey { piece, line: 0 });
    }
}

fn fold_all(model: &mut Model, lines: &[Line]) {
    let pieces = lines.iter().map(|line| line.key.piece);
    let page = &mut model.pieces_page;
    if pieces.clone().all(|piece| page.unfolded.contains(&piece)) {
        page.unfolded.clear();
        page.cursor = page.cursor.map(|key| LineKey { line: 0, ..key });
    } else {
        page.unfolded.extend(pieces);
    }
}

fn tick_one(model: &mut Model, lines: &[Line], cursor: usize) {
    let piece = lines.get(cursor).map(|line| line.key.piece);
    let standing = piece.and_then(|piece| model.sheet.piece_standing(piece));
    let next = match standing {
        Some(standing) => standing.next,
        None => piece.and_then(|piece| assembly_rows::next(&model.sheet, piece)),
    };
    let operation = next
        .and_then(|next| model.sheet.plan.as_ref()?.operations.get(next))
        .map(|found| found.id.clone());
    match operation.and_then(|id| Tick::of(&model.sheet, &[id], &[], model.moment())) {
        Some(tick) => model.layers.push(Layer::Tick(tick)),
        None => say(model, "Nothing is planned on this piece."),
    }
}

fn touch(model: &mut Model, lines: &[Line], cursor: usize) {
    let Some(line) = lines.get(cursor) else { return };
    let surface = if let Content::Surface { surface, .. } = line.content {
        Some(surface)
    } else {
        None
    };
    match Touch::of(&model.sheet, line.key.piece, surface) {
        Some(touch) => model.layers.push(Layer::Touch(touch)),
        None => say(model, "No film here to test."),
    }
}

/// The line under the cursor.
pub fn here(model: &Model) -> Option<Line> {
    let lines = model.lines();
    lines.get(model.cursor_in(&lines)).cloned()
}

/// What can be done with the piece under the cursor.
pub fn deeds(model: &Model) -> Menu {
    let line = here(model);
    let piece = line.as_ref().map(|line| line.key.piece);
    let surface = line.and_then(|line| match line.content {
        Content::Surface { surface, .. } => Some(surface),
        _ => None,
    });
    let standing = piece.and_then(|piece| model.sheet.piece_standing(piece));
    let next = standing.and_then(|standing| model.sheet.plan.as_ref()?.operations.get(standing.next?));
    let skip = next.map(|next| Item::Skip {
        one: next.id.clone(),
        round: Vec::new(),
    });
    Menu::deeds(&model.sheet, piece, surface, skip)
}

/// Puts the cursor on a line that is there.
pub fn settle(model: &mut Model) {
    if model.pieces_page.cursor.is_some() {
        let lines = model.lines();
        let at = model.cursor_in(&lines);
        model.pieces_page.cursor = lines.get(at).map(|line| line.key);
    }
}
