//! Changes to the maker's own file that leave everything else in it as it is.
//!
//! Invariant: comments, order and spacing of what is not changed stay byte for byte; a change that cannot
//! be made leaves the text as it was and says why.

mod find;
pub mod joints;
mod list;
pub mod surfaces;
pub mod value;
mod written;

pub use list::List;
pub use written::Written;

use find::{part_at, parts_mut, table_at};
use thiserror::Error;
use toml_edit::{Array, DocumentMut, Item, Table, TableLike, Value};

/// Where a key stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// At the top of the file.
    Job,
    /// `[room]`.
    Room,
    /// The first `[[room.air]]`.
    Air,
    /// `[hours]`.
    Hours,
    /// A `[[hands]]`, counted from nought.
    Hands(usize),
    /// A `[[section]]`, counted from nought.
    Section(usize),
    /// A `[[part]]`, by its name as written.
    Part(String),
    /// `[stores]`; a heading is made where there is none.
    Stores,
    /// `[rates]`; likewise.
    Rates,
    /// A line of a list, by what it is found by.
    Line(List, String),
}

/// One change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Edit {
    /// A key gets a value, written as the file writes it; `places.bearers` is a key within a key.
    Set {
        /// Where.
        place: Place,
        /// Key.
        key: String,
        /// Value.
        value: String,
    },
    /// A key goes.
    Unset {
        /// Where.
        place: Place,
        /// Key.
        key: String,
    },
    /// A part is added after the last one.
    AddPart {
        /// Its keys and values, in order.
        lines: Vec<(String, String)>,
    },
    /// A part is written once more under another name, below the first.
    CopyPart {
        /// Name.
        name: String,
        /// Name of the copy.
        copy: String,
    },
    /// A part goes, and assemblies are made without it.
    RemovePart {
        /// Name.
        name: String,
    },
    /// A line of a list is added after the last one.
    AddLine {
        /// List.
        list: List,
        /// Its keys and values, in order.
        lines: Vec<(String, String)>,
    },
    /// A line of a list changes: keys with their values, or without one, where they go.
    ChangeLine {
        /// List.
        list: List,
        /// What it is found by, before the change.
        which: String,
        /// Keys and values.
        keys: Vec<(String, Option<String>)>,
    },
    /// A line of a list goes.
    RemoveLine {
        /// List.
        list: List,
        /// What it is found by.
        which: String,
    },
    /// A section is added after the last one.
    AddSection {
        /// Its id, which is its name too.
        id: String,
    },
}

/// Why a change cannot be made.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum CannotEdit {
    /// The file as it stands cannot be read.
    #[error("the file cannot be changed while it cannot be read: {0}")]
    Unreadable(String),
    /// The key is a table of its own, whose comments a value has no room for.
    #[error("`{0}` stands under headings of its own; change it line by line")]
    Headings(String),
    /// What is to be changed is not there.
    #[error("{0} is not in the file any more")]
    Gone(String),
    /// The value is none.
    #[error("`{key}`: \"{value}\" cannot be written")]
    BadValue {
        /// Key.
        key: String,
        /// Value.
        value: String,
    },
}

/// The text with the changes made, in order.
pub fn apply(text: &str, edits: &[Edit]) -> Result<String, CannotEdit> {
    let parsed = text.parse::<DocumentMut>();
    let mut document = parsed.map_err(|error| CannotEdit::Unreadable(error.message().to_owned()))?;
    for edit in edits {
        make(&mut document, edit)?;
    }
    Ok(document.to_string())
}

fn make(document: &mut DocumentMut, edit: &Edit) -> Result<(), CannotEdit> {
    match edit {
        Edit::Set { place, key, value } => {
            let value = read_value(key, value)?;
            let called = value.as_str().map(str::to_owned);
            set(table_at(document, place)?, key, value)?;
            if let (Place::Part(was), "name", Some(now)) = (place, key.as_str(), called) {
                rename(document, was, &now);
            }
            Ok(())
        }
        Edit::Unset { place, key } => {
            unset(table_at(document, place)?, key);
            Ok(())
        }
        Edit::AddPart { lines } => {
            let mut part = Table::new();
            for (key, value) in lines {
                set(&mut part, key, read_value(key, value)?)?;
            }
            part.decor_mut().set_prefix("\n");
            push(document, "part", part)
        }
        Edit::CopyPart { name, copy } => {
            let parts = parts_mut(document)?;
            let at = part_at(parts, name)?;
            let Some(found) = parts.get(at) else {
                return Err(CannotEdit::Gone(format!("part \"{name}\"")));
            };
            let mut twin = found.clone();
            set(&mut twin, "name", Value::from(copy.as_str()))?;
            // the heading's own comment stays with the first
            twin.decor_mut().set_prefix("\n");
            find::insert_after(document, at, twin)
        }
        Edit::RemovePart { name } => {
            let parts = parts_mut(document)?;
            let at = part_at(parts, name)?;
            let left = find::take_out(parts, at);
            if parts.is_empty() {
                document.remove("part");
            }
            find::put_comment(document, left);
            find::each_made_of(document, |made_of| made_of.retain(|part| part.as_str() != Some(name)));
            Ok(())
        }
        Edit::AddLine { list, lines } => {
            let mut line = Table::new();
            for (key, value) in lines {
                set(&mut line, key, read_value(key, value)?)?;
            }
            list::add(document, list, line)
        }
        Edit::ChangeLine { list, which, keys } => {
            let mut read = Vec::new();
            for (key, value) in keys {
                let value = value.as_deref().map(|value| read_value(key, value)).transpose()?;
                read.push((key.as_str(), value));
            }
            list::change(document, list, which, read)
        }
        Edit::RemoveLine { list, which } => list::remove(document, list, which),
        Edit::AddSection { id } => {
            let mut section = Table::new();
            set(&mut section, "id", Value::from(id.as_str()))?;
            set(&mut section, "name", Value::from(id.as_str()))?;
            section.decor_mut().set_prefix("\n");
            push(document, "section", section)
        }
    }
}

/// Glue-ups name their parts: a part that is called otherwise is so there too.
fn rename(document: &mut DocumentMut, was: &str, now: &str) {
    find::each_made_of(document, |made_of| {
        for name in made_of.iter_mut().filter(|name| name.as_str() == Some(was)) {
            put(name, Value::from(now));
        }
    });
}

/// Adds a table to a list of tables, which is made where there is none.
fn push(document: &mut DocumentMut, list: &str, table: Table) -> Result<(), CannotEdit> {
    let item = document
        .entry(list)
        .or_insert_with(|| Item::ArrayOfTables(toml_edit::ArrayOfTables::new()));
    let tables = item.as_array_of_tables_mut();
    let tables = tables.ok_or_else(|| CannotEdit::Unreadable(format!("`{list}` is not written as [[{list}]]")))?;
    tables.push(table);
    Ok(())
}

/// A value as the file would write it.
fn read_value(key: &str, value: &str) -> Result<Value, CannotEdit> {
    let bad = |_| CannotEdit::BadValue {
        key: key.to_owned(),
        value: value.to_owned(),
    };
    value.trim().parse::<Value>().map_err(bad)
}

/// Gives a key a value; what stands around the old value (a comment behind it, say) stays.
fn set(table: &mut dyn TableLike, key: &str, value: Value) -> Result<(), CannotEdit> {
    if let Some((outer, inner)) = key.split_once('.') {
        if table.get(outer).is_none_or(|item| item.as_table_like().is_none()) {
            table.insert(outer, Item::Value(Value::InlineTable(toml_edit::InlineTable::new())));
        }
        let within = table.get_mut(outer).and_then(Item::as_table_like_mut);
        let within = within.ok_or_else(|| CannotEdit::Gone(format!("`{outer}`")))?;
        set(within, inner, value)?;
        if let Some(Item::Value(Value::InlineTable(inline))) = table.get_mut(outer) {
            // a key behind the last one leaves no gap before its comma
            inline.fmt();
        }
        return Ok(());
    }
    match table.get_mut(key) {
        // headings of their own may hold comments a value has no room for
        Some(old) if old.is_table() || old.is_array_of_tables() => {
            return Err(CannotEdit::Headings(key.to_owned()));
        }
        Some(Item::Value(old)) => put(old, value),
        _ => {
            table.insert(key, Item::Value(value));
        }
    }
    Ok(())
}

/// Puts a value in the place of another; what is the same in an array or a table keeps its layout and its comments.
fn put(old: &mut Value, mut value: Value) {
    if same(old, &value) {
        return;
    }
    if let (Value::Array(old), Value::Array(new)) = (&mut *old, &value) {
        for (at, new) in new.iter().enumerate() {
            match old.get_mut(at) {
                Some(old) => put(old, new.clone()),
                None => push_like(old, new.clone()),
            }
        }
        while old.len() > new.len() {
            old.remove(old.len() - 1);
        }
        return;
    }
    if let (Value::InlineTable(old), Value::InlineTable(new)) = (&mut *old, &value) {
        let before = old.len();
        old.retain(|key, _| new.contains_key(key));
        let mut other = old.len() != before;
        for (key, new) in new {
            if let Some(old) = old.get_mut(key) {
                put(old, new.clone());
            } else {
                other = true;
                old.insert(key, new.clone());
            }
        }
        if other {
            old.fmt();
        }
        return;
    }
    *value.decor_mut() = old.decor().clone();
    *old = value;
}

/// Adds a value to an array as its last one stands: on a line of its own where that has one.
fn push_like(array: &mut Array, mut value: Value) {
    let last = array.iter().last().map(Value::decor);
    let text = |raw: Option<&toml_edit::RawString>| raw.and_then(|raw| raw.as_str()).unwrap_or_default().to_owned();
    let before = text(last.and_then(toml_edit::Decor::prefix));
    let after = text(last.and_then(toml_edit::Decor::suffix));
    match before.rsplit_once('\n') {
        // a comment behind the last one stays there
        Some((_, indent)) if !after.contains('#') => {
            if let Some(last) = array.len().checked_sub(1).and_then(|at| array.get_mut(at)) {
                last.decor_mut().set_suffix("");
            }
            *value.decor_mut() = toml_edit::Decor::new(format!("\n{indent}"), after);
            array.push_formatted(value);
        }
        _ => array.push(value),
    }
}

/// Whether two values say the same, however they are laid out.
fn same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Array(one), Value::Array(other)) => {
            one.len() == other.len() && one.iter().zip(other.iter()).all(|(one, other)| same(one, other))
        }
        (Value::InlineTable(one), Value::InlineTable(other)) => {
            let mut keys = one.iter();
            one.len() == other.len() && keys.all(|(key, value)| other.get(key).is_some_and(|other| same(value, other)))
        }
        (Value::String(one), Value::String(other)) => one.value() == other.value(),
        (one, other) => {
            let bare = |value: &Value| {
                let mut value = value.clone();
                value.decor_mut().clear();
                value.to_string()
            };
            bare(one) == bare(other)
        }
    }
}

fn unset(table: &mut dyn TableLike, key: &str) {
    match key.split_once('.') {
        Some((outer, inner)) => {
            if let Some(within) = table.get_mut(outer).and_then(Item::as_table_like_mut) {
                unset(within, inner);
            }
        }
        None => {
            table.remove(key);
        }
    }
}
