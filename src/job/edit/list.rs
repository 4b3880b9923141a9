//! Lists of the file whose lines are added, changed and taken out.
//!
//! Invariant: a line is found by what it says, never by its number; lines that say the same are told apart by
//! their order alone.

use super::written::bare;
use super::{CannotEdit, find, push_like, set, unset};
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

/// A list of tables at the top of the file, or within a table there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum List {
    /// `[[section]]`.
    Section,
    /// `[[assembly]]`.
    Assembly,
    /// `[[hours.except]]`.
    Except,
    /// `[[hands]]`.
    Hands,
    /// `[[room.occupied]]`.
    Occupied,
    /// `[[room.air]]`.
    Air,
    /// `[[room.fan]]`.
    Fan,
    /// `[[stores.tin]]`.
    Tin,
    /// `[[stores.buy]]`.
    Buy,
    /// `[[figure]]`.
    Figure,
    /// `[[laid]]`.
    Laid,
    /// `[[accept]]`.
    Accept,
    /// `joints` of a part, by the part's name as written.
    Joints(String),
}

/// What an air line without a date is found by.
const FIRST_AIR: &str = "from the start";

impl List {
    /// All of the file's own; a part's joints are not among them.
    pub const ALL: [Self; 12] = [
        Self::Section,
        Self::Assembly,
        Self::Tin,
        Self::Buy,
        Self::Except,
        Self::Hands,
        Self::Air,
        Self::Fan,
        Self::Occupied,
        Self::Figure,
        Self::Laid,
        Self::Accept,
    ];

    /// To people.
    pub fn words(&self) -> String {
        let words = match self {
            Self::Section => "sections: due and weight",
            Self::Assembly => "glue-ups: what is made of what",
            Self::Except => "days with other hours",
            Self::Hands => "hands and their own hours",
            Self::Occupied => "places taken by other work",
            Self::Air => "the room's air, by date",
            Self::Fan => "fans over the work",
            Self::Tin => "tins on the shelf",
            Self::Buy => "tins to buy, and their prices",
            Self::Figure => "figures from a tin's label",
            Self::Laid => "how you lay a product: film, thinner, retarder",
            Self::Accept => "unequal coats accepted",
            Self::Joints(part) => return format!("joints of {part}"),
        };
        words.to_owned()
    }

    /// A new line of it, to people.
    pub fn one_more(&self) -> String {
        let words = match self {
            Self::Section => "a new section",
            Self::Assembly => "a new glue-up",
            Self::Except => "a day with other hours",
            Self::Hands => "another pair of hands",
            Self::Occupied => "places taken by other work",
            Self::Air => "the room's air from a day on",
            Self::Fan => "a fan over the work",
            Self::Tin => "a tin on the shelf",
            Self::Buy => "a tin to buy",
            Self::Figure => "a figure from a label",
            Self::Laid => "how you lay one product",
            Self::Accept => "unequal coats accepted",
            Self::Joints(part) => return format!("a joint of {part}"),
        };
        words.to_owned()
    }

    /// The table it stands in, and its key there; a part is found by its name.
    const fn path(&self) -> (Option<&'static str>, &'static str) {
        match self {
            Self::Section => (None, "section"),
            Self::Assembly => (None, "assembly"),
            Self::Except => (Some("hours"), "except"),
            Self::Hands => (None, "hands"),
            Self::Occupied => (Some("room"), "occupied"),
            Self::Air => (Some("room"), "air"),
            Self::Fan => (Some("room"), "fan"),
            Self::Tin => (Some("stores"), "tin"),
            Self::Buy => (Some("stores"), "buy"),
            Self::Figure => (None, "figure"),
            Self::Laid => (None, "laid"),
            Self::Accept => (None, "accept"),
            Self::Joints(_) => (Some("part"), "joints"),
        }
    }

    /// The key its lines stand under: `tin` of `[[stores.tin]]`.
    pub const fn key(&self) -> &'static str {
        self.path().1
    }

    /// The keys a line is found by.
    const fn found_by(&self) -> &'static [&'static str] {
        match self {
            Self::Section => &["id"],
            Self::Assembly | Self::Hands => &["name"],
            Self::Except => &["date"],
            Self::Occupied => &["by", "place", "from"],
            Self::Air => &["from"],
            Self::Fan => &["hours"],
            Self::Tin => &["product", "holds", "left", "batch"],
            Self::Buy => &["product", "holds"],
            Self::Figure => &["product", "what", "from_coat", "window", "method"],
            Self::Laid => &["product"],
            Self::Accept => &["piece"],
            Self::Joints(_) => &["count", "kind", "area", "size", "on"],
        }
    }

    /// The list in a file.
    pub(super) fn among<'d>(&self, document: &'d DocumentMut) -> Option<&'d Item> {
        let (outer, key) = self.path();
        match (self, outer) {
            (Self::Joints(part), _) => {
                let parts = document.get("part")?.as_array_of_tables()?;
                parts.get(find::part_at(parts, part).ok()?)?.get(key)
            }
            (_, None) => document.get(key),
            (_, Some(outer)) => document.get(outer)?.as_table_like()?.get(key),
        }
    }

    /// The table it stands in, to be changed.
    fn within<'d>(&self, document: &'d mut DocumentMut) -> Option<&'d mut dyn TableLike> {
        match (self, self.path().0) {
            (Self::Joints(part), _) => {
                let parts = find::parts_mut(document).ok()?;
                let at = find::part_at(parts, part).ok()?;
                parts.get_mut(at).map(|part| part as &mut dyn TableLike)
            }
            (_, None) => Some(document.as_table_mut()),
            (_, Some(outer)) => document.get_mut(outer)?.as_table_like_mut(),
        }
    }

    /// The list, to be changed.
    pub(super) fn among_mut<'d>(&self, document: &'d mut DocumentMut) -> Option<&'d mut Item> {
        self.within(document)?.get_mut(self.key())
    }

    /// What its lines are found by, in order; a second line that says the same is numbered.
    pub(super) fn names(&self, lines: Option<&Item>) -> Vec<String> {
        let name = |line: &dyn TableLike| {
            let words = self.found_by().iter();
            let words = words.filter_map(|key| Some(bare(line.get(key)?.as_value()?)));
            let name = words.collect::<Vec<_>>().join(" ");
            if name.is_empty() && *self == Self::Air {
                FIRST_AIR.to_owned()
            } else {
                name
            }
        };
        let mut names: Vec<String> = match lines {
            Some(Item::ArrayOfTables(tables)) => tables.iter().map(|table| name(table)).collect(),
            Some(Item::Value(value)) => {
                let values = value.as_array().into_iter().flatten();
                let names = values.map(|value| value.as_inline_table().map_or_else(String::new, |line| name(line)));
                names.collect()
            }
            _ => Vec::new(),
        };
        for at in (1..names.len()).rev() {
            let (before, after) = names.split_at_mut(at);
            let Some(name) = after.first_mut() else { continue };
            let same = before.iter().filter(|other| *other == name).count();
            if same > 0 {
                *name = format!("{name} ({})", same + 1);
            }
        }
        names
    }

    /// Which of them it is.
    pub(super) fn position(&self, lines: Option<&Item>, which: &str) -> Option<usize> {
        self.names(lines).iter().position(|name| name == which)
    }
}

/// Adds a line behind the last one; the list is made where there is none.
pub(super) fn add(document: &mut DocumentMut, list: &List, mut line: Table) -> Result<(), CannotEdit> {
    let (outer, key) = list.path();
    if *list == List::Tin || *list == List::Buy {
        // a job may know nothing of its shelf yet
        find::made(document, "stores", true);
    }
    let gone = || match list {
        List::Joints(part) => CannotEdit::Gone(format!("part \"{part}\"")),
        _ => CannotEdit::Gone(format!("[{}]", outer.unwrap_or(key))),
    };
    let within = list.within(document).ok_or_else(gone)?;
    match within.get_mut(key) {
        Some(Item::ArrayOfTables(tables)) => {
            line.decor_mut().set_prefix("\n");
            tables.push(line);
        }
        Some(Item::Value(value)) => {
            let why = || CannotEdit::Unreadable(format!("`{key}` is no list"));
            let line = Value::InlineTable(line.into_inline_table());
            push_like(value.as_array_mut().ok_or_else(why)?, line);
        }
        // a part has its joints in one line
        _ if matches!(list, List::Joints(_)) => {
            let mut joints = Array::new();
            joints.push(line.into_inline_table());
            within.insert(key, Item::Value(Value::Array(joints)));
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

/// Changes keys of a line; those without a value go.
pub(super) fn change(
    document: &mut DocumentMut,
    list: &List,
    which: &str,
    keys: Vec<(&str, Option<Value>)>,
) -> Result<(), CannotEdit> {
    let gone = || CannotEdit::Gone(which.to_owned());
    let at = list.position(list.among(document), which).ok_or_else(gone)?;
    let line = find::nth(list.among_mut(document), at).ok_or_else(gone)?;
    for (key, value) in keys {
        match value {
            Some(value) => set(line, key, value)?,
            None => unset(line, key),
        }
    }
    if let Some(Item::Value(Value::Array(lines))) = list.among_mut(document)
        && let Some(Value::InlineTable(line)) = lines.get_mut(at)
    {
        // a key behind the last one leaves no gap before its comma
        line.fmt();
    }
    Ok(())
}

/// Takes a line out; a comment above its heading goes above what follows in the file.
pub(super) fn remove(document: &mut DocumentMut, list: &List, which: &str) -> Result<(), CannotEdit> {
    let gone = || CannotEdit::Gone(which.to_owned());
    let at = list.position(list.among(document), which).ok_or_else(gone)?;
    let mut comment = None;
    let left = match list.among_mut(document).ok_or_else(gone)? {
        Item::ArrayOfTables(tables) => {
            comment = find::take_out(tables, at);
            tables.len()
        }
        Item::Value(value) => {
            let lines = value.as_array_mut().ok_or_else(gone)?;
            lines.remove(at);
            lines.len()
        }
        _ => return Err(gone()),
    };
    if left == 0
        && matches!(list, List::Joints(_))
        && let Some(part) = list.within(document)
    {
        part.remove(list.key());
    }
    find::put_comment(document, comment);
    Ok(())
}
