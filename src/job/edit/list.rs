//! Lists of the file whose lines are added, changed and taken out.
//!
//! Invariant: a line is found by what it says, never by its number.

use super::written::bare;
use super::{CannotEdit, find};
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, TableLike};

/// A list of tables at the top of the file, or within a table there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// `[[section]]`.
    Section,
    /// `[[hours.except]]`.
    Except,
    /// `[[hands]]`.
    Hands,
    /// `[[room.occupied]]`.
    Occupied,
    /// `[[accept]]`.
    Accept,
}

impl List {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::Section, Self::Except, Self::Hands, Self::Occupied, Self::Accept];

    /// To people.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Section => "sections: due and weight",
            Self::Except => "days with other hours",
            Self::Hands => "hands and their own hours",
            Self::Occupied => "places taken by other work",
            Self::Accept => "unequal coats accepted",
        }
    }

    /// The table it stands in, and its key there.
    const fn path(self) -> (Option<&'static str>, &'static str) {
        match self {
            Self::Section => (None, "section"),
            Self::Except => (Some("hours"), "except"),
            Self::Hands => (None, "hands"),
            Self::Occupied => (Some("room"), "occupied"),
            Self::Accept => (None, "accept"),
        }
    }

    /// Whether a line is found by that key.
    pub fn is_found_by(self, key: &str) -> bool {
        self.found_by().contains(&key)
    }

    /// The keys a line is found by.
    pub const fn found_by(self) -> &'static [&'static str] {
        match self {
            Self::Section => &["id"],
            Self::Except => &["date"],
            Self::Hands => &["name"],
            Self::Occupied => &["by", "place", "from"],
            Self::Accept => &["piece"],
        }
    }

    /// The list in a file.
    pub(super) fn among(self, document: &DocumentMut) -> Option<&Item> {
        match self.path() {
            (None, key) => document.get(key),
            (Some(outer), key) => document.get(outer)?.as_table_like()?.get(key),
        }
    }

    /// The same, to be changed.
    pub(super) fn among_mut(self, document: &mut DocumentMut) -> Option<&mut Item> {
        match self.path() {
            (None, key) => document.get_mut(key),
            (Some(outer), key) => document.get_mut(outer)?.as_table_like_mut()?.get_mut(key),
        }
    }

    /// What its lines are found by, in order.
    pub(super) fn names(self, lines: Option<&Item>) -> Vec<String> {
        let name = |line: &dyn TableLike| {
            let words = self.found_by().iter();
            let words = words.filter_map(|key| Some(bare(line.get(key)?.as_value()?)));
            words.collect::<Vec<_>>().join(" ")
        };
        match lines {
            Some(Item::ArrayOfTables(tables)) => tables.iter().map(|table| name(table)).collect(),
            Some(Item::Value(value)) => {
                let values = value.as_array().into_iter().flatten();
                let names = values.map(|value| value.as_inline_table().map_or_else(String::new, |line| name(line)));
                names.collect()
            }
            _ => Vec::new(),
        }
    }

    /// Which of them it is.
    pub(super) fn position(self, lines: Option<&Item>, which: &str) -> Option<usize> {
        self.names(lines).iter().position(|name| name == which)
    }
}

/// Adds a line behind the last one; the list is made where there is none.
pub(super) fn add(document: &mut DocumentMut, list: List, mut line: Table) -> Result<(), CannotEdit> {
    let (outer, key) = list.path();
    let within: &mut dyn TableLike = match outer {
        None => document.as_table_mut(),
        Some(outer) => {
            let table = document.get_mut(outer).and_then(Item::as_table_like_mut);
            table.ok_or_else(|| CannotEdit::Gone(format!("[{outer}]")))?
        }
    };
    match within.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) => {
            line.decor_mut().set_prefix("\n");
            tables.push(line);
        }
        Some(Item::Value(value)) => {
            let why = || CannotEdit::Unreadable(format!("`{key}` is no list"));
            value.as_array_mut().ok_or_else(why)?.push(line.into_inline_table());
        }
        _ => {
            line.decor_mut().set_prefix("\n");
            let mut tables = ArrayOfTables::new();
            tables.push(line);
            within.insert(key, Item::ArrayOfTables(tables));
        }
    }
    Ok(())
}

/// Takes a line out; a comment above its heading goes to the line that follows.
pub(super) fn remove(document: &mut DocumentMut, list: List, which: &str) -> Result<(), CannotEdit> {
    let gone = || CannotEdit::Gone(which.to_owned());
    let at = list.position(list.among(document), which).ok_or_else(gone)?;
    match list.among_mut(document).ok_or_else(gone)? {
        Item::ArrayOfTables(tables) => find::take_out(tables, at),
        Item::Value(value) => {
            value.as_array_mut().ok_or_else(gone)?.remove(at);
        }
        _ => return Err(gone()),
    }
    Ok(())
}
