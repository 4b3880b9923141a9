//! What the maker's file holds, as it was typed.
//!
//! Invariant: reads only; what is not in the file is `None`, never a default.

use super::Place;
use super::find::table_at;
use super::{List, joints, surfaces};
use toml_edit::{DocumentMut, Item, TableLike, Value};

/// A job file to look things up in.
#[derive(Clone, Debug)]
pub struct Written(DocumentMut);

impl Written {
    /// A file; `None` where it cannot be read.
    pub fn of(text: &str) -> Option<Self> {
        text.parse().ok().map(Self)
    }

    /// What a key holds as a person types it: texts without quotes, lists parted by commas.
    pub fn typed(&mut self, place: &Place, key: &str) -> Option<String> {
        let mut table = table_at(&mut self.0, place).ok()?;
        let mut keys = key.split('.').peekable();
        while let Some(key) = keys.next() {
            let item = table.get_mut(key)?;
            if keys.peek().is_none() {
                return item.as_value().map(bare);
            }
            table = item.as_table_like_mut()?;
        }
        None
    }

    /// The joints of a part as a person types them.
    pub fn joints(&mut self, part: &str) -> Option<String> {
        let table = table_at(&mut self.0, &Place::Part(part.to_owned())).ok()?;
        table.get("joints").map(joints::typed)
    }

    /// Keys of a table and what each holds, in order.
    pub fn entries(&mut self, place: &Place, key: &str) -> Vec<(String, String)> {
        let table = table_at(&mut self.0, place).ok();
        let table = table.as_ref().and_then(|table| table.get(key)?.as_table_like());
        let entries = table.into_iter().flat_map(TableLike::iter);
        let entries = entries.filter_map(|(key, item)| Some((key.to_owned(), bare(item.as_value()?))));
        entries.collect()
    }

    /// What is said of a part's surfaces, as a person types it.
    pub fn surfaces(&mut self, part: &str) -> Option<String> {
        let table = table_at(&mut self.0, &Place::Part(part.to_owned())).ok()?;
        table.get("surfaces").map(surfaces::typed)
    }

    /// What the lines of a list are found by, in order.
    pub fn lines(&self, list: &List) -> Vec<String> {
        list.names(list.among(&self.0))
    }

    /// Names of the parts, in order.
    pub fn parts(&self) -> Vec<String> {
        self.names("part", "name")
    }

    /// Ids of the sections, in order.
    pub fn sections(&self) -> Vec<String> {
        self.names("section", "id")
    }

    fn names(&self, list: &str, key: &str) -> Vec<String> {
        let tables = self.0.get(list).and_then(Item::as_array_of_tables);
        let tables = tables.into_iter().flatten();
        tables
            .filter_map(|table| table.get(key)?.as_str().map(str::to_owned))
            .collect()
    }
}

pub(super) fn bare(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Array(items) => items.iter().map(bare).collect::<Vec<_>>().join(", "),
        other => {
            let mut other = other.clone();
            other.decor_mut().clear();
            other.to_string()
        }
    }
}
