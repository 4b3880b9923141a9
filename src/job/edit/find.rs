//! Where in the file a change is made.
//!
//! Invariant: tables are found by what the maker called them, never by their line.

use super::{CannotEdit, Place};
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

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

/// What was made of a part or a glue-up by name, whichever way the glue-ups are written.
pub(super) fn each_made_of(document: &mut DocumentMut, change: impl Fn(&mut Array)) {
    let of = |assembly: &mut dyn TableLike| {
        if let Some(made_of) = assembly.get_mut("made_of").and_then(Item::as_array_mut) {
            change(made_of);
        }
    };
    match document.get_mut("assembly") {
        Some(Item::ArrayOfTables(tables)) => tables.iter_mut().for_each(|table| of(table)),
        Some(Item::Value(Value::Array(values))) => {
            let tables = values.iter_mut().filter_map(Value::as_inline_table_mut);
            tables.for_each(|table| of(table));
        }
        _ => {}
    }
}

/// A comment that stood above a table which is gone, and where that stood.
pub(super) type Left = Option<(String, Option<isize>)>;

/// Takes a table out; the comment above it is handed back, to be put above what follows.
pub(super) fn take_out(tables: &mut ArrayOfTables, at: usize) -> Left {
    let table = tables.get(at)?;
    let above = table.decor().prefix()?.as_str().map(str::to_owned);
    let position = table.position();
    tables.remove(at);
    Some((above.filter(|above| above.contains('#'))?, position))
}

/// Puts a comment above the table that follows in the file, or at its end.
pub(super) fn put_comment(document: &mut DocumentMut, left: Left) {
    let Some((above, position)) = left else { return };
    let next = next_after(document.as_table(), position);
    let joined = |own: Option<&toml_edit::RawString>| {
        let own = own.and_then(|own| own.as_str()).unwrap_or_default();
        format!("{above}{}", own.strip_prefix('\n').unwrap_or(own))
    };
    if let Some(table) = next.and_then(|next| at_position(document.as_table_mut(), next)) {
        let own = joined(table.decor().prefix());
        table.decor_mut().set_prefix(own);
    } else {
        let own = joined(Some(document.trailing()));
        document.set_trailing(own);
    }
}

/// The place in the file of the table that follows a place.
fn next_after(table: &Table, position: Option<isize>) -> Option<isize> {
    let own = table
        .position()
        .filter(|own| Some(*own) > position && !table.is_implicit());
    let inner = table.iter().flat_map(|(_, item)| -> Vec<&Table> {
        match item {
            Item::Table(table) => vec![table],
            Item::ArrayOfTables(tables) => tables.iter().collect(),
            _ => Vec::new(),
        }
    });
    inner.filter_map(|table| next_after(table, position)).chain(own).min()
}

/// The table at a place of the file.
fn at_position(table: &mut Table, position: isize) -> Option<&mut Table> {
    if table.position() == Some(position) && !table.is_implicit() {
        return Some(table);
    }
    table.iter_mut().find_map(|(_, item)| match item {
        Item::Table(table) => at_position(table, position),
        Item::ArrayOfTables(tables) => tables.iter_mut().find_map(|table| at_position(table, position)),
        _ => None,
    })
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
