//! Where in the file a change is made.
//!
//! Invariant: tables are found by what the maker called them, never by their line.

use super::{CannotEdit, Place};
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike};

/// The table a place stands for.
pub(super) fn table_at<'d>(document: &'d mut DocumentMut, place: &Place) -> Result<&'d mut dyn TableLike, CannotEdit> {
    let gone = |what: &str| CannotEdit::Gone(what.to_owned());
    match place {
        Place::Job => Ok(document.as_table_mut()),
        Place::Room => like(document.get_mut("room")).ok_or_else(|| gone("[room]")),
        Place::Hours => like(document.get_mut("hours")).ok_or_else(|| gone("[hours]")),
        Place::Air => {
            let room = like(document.get_mut("room")).ok_or_else(|| gone("[room]"))?;
            nth(room.get_mut("air"), 0).ok_or_else(|| gone("[[room.air]]"))
        }
        Place::Hands(at) => nth(document.get_mut("hands"), *at).ok_or_else(|| gone("[[hands]]")),
        Place::Section(at) => nth(document.get_mut("section"), *at).ok_or_else(|| gone("[[section]]")),
        Place::Stores => made(document, "stores", false).ok_or_else(|| gone("[stores]")),
        Place::Rates => made(document, "rates", false).ok_or_else(|| gone("[rates]")),
        Place::Line(list, which) => {
            let (lines, key) = (list.among(document), which.as_str());
            let at = list.position(lines, key).ok_or_else(|| gone(which))?;
            nth(list.among_mut(document), at).ok_or_else(|| gone(which))
        }
        Place::Part(name) => {
            let parts = parts_mut(document)?;
            let at = part_at(parts, name)?;
            let part = parts.get_mut(at).map(|part| part as &mut dyn TableLike);
            part.ok_or_else(|| gone("the part"))
        }
    }
}

fn like(item: Option<&mut Item>) -> Option<&mut dyn TableLike> {
    item.and_then(Item::as_table_like_mut)
}

/// One of a list of tables, whichever way the list is written.
pub(super) fn nth(item: Option<&mut Item>, at: usize) -> Option<&mut dyn TableLike> {
    match item? {
        Item::ArrayOfTables(tables) => tables.get_mut(at).map(|table| table as &mut dyn TableLike),
        Item::Value(value) => {
            let inline = value.as_array_mut()?.get_mut(at)?.as_inline_table_mut()?;
            Some(inline as &mut dyn TableLike)
        }
        _ => None,
    }
}

/// A table at the top of the file, made where there is none; `quiet` without a heading of its own.
pub(super) fn made<'d>(document: &'d mut DocumentMut, key: &str, quiet: bool) -> Option<&'d mut dyn TableLike> {
    if document.get(key).is_none() {
        let mut table = Table::new();
        table.set_implicit(quiet);
        table.decor_mut().set_prefix("\n");
        document.insert(key, Item::Table(table));
    }
    like(document.get_mut(key))
}

/// The parts of the file.
pub(super) fn parts_mut(document: &mut DocumentMut) -> Result<&mut ArrayOfTables, CannotEdit> {
    let parts = document.get_mut("part").and_then(Item::as_array_of_tables_mut);
    parts.ok_or_else(|| CannotEdit::Gone("[[part]]".to_owned()))
}

/// The part of a name.
pub(super) fn part_at(parts: &ArrayOfTables, name: &str) -> Result<usize, CannotEdit> {
    let named = |part: &Table| part.get("name").and_then(Item::as_str) == Some(name);
    let at = parts.iter().position(named);
    at.ok_or_else(|| CannotEdit::Gone(format!("part \"{name}\"")))
}

/// Puts a part behind another, and behind the tables within that.
pub(super) fn insert_after(document: &mut DocumentMut, at: usize, mut part: Table) -> Result<(), CannotEdit> {
    let parts = parts_mut(document)?;
    let last = parts.get(at).and_then(last_position);
    // tables that stand at one place follow each other in the order of the list
    put_at(&mut part, last);
    let mut all: Vec<Table> = parts.iter().cloned().collect();
    all.insert((at + 1).min(all.len()), part);
    parts.clear();
    for part in all {
        parts.push(part);
    }
    Ok(())
}

/// Takes a part out; the comment above it goes to the part that follows.
pub(super) fn take_out(parts: &mut ArrayOfTables, at: usize) {
    let above = parts
        .get(at)
        .and_then(|part| part.decor().prefix()?.as_str().map(str::to_owned));
    let above = above.filter(|above| above.contains('#'));
    parts.remove(at);
    if let (Some(above), Some(next)) = (above, parts.get_mut(at)) {
        let own = next
            .decor()
            .prefix()
            .and_then(|own| own.as_str())
            .unwrap_or_default()
            .to_owned();
        let own = own.strip_prefix('\n').unwrap_or(&own);
        next.decor_mut().set_prefix(format!("{above}{own}"));
    }
}

/// The tables within a table.
fn within(table: &Table) -> impl Iterator<Item = &Table> {
    table.iter().filter_map(|(_, item)| item.as_table())
}

fn last_position(table: &Table) -> Option<isize> {
    within(table).filter_map(last_position).chain(table.position()).max()
}

fn put_at(table: &mut Table, position: Option<isize>) {
    table.set_position(position);
    for (_, item) in table.iter_mut() {
        if let Some(inner) = item.as_table_mut() {
            put_at(inner, position);
        }
    }
}
