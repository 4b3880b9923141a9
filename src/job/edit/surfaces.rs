//! What is said of a part's surfaces, as a person types it and as the file writes it.
//!
//! Invariant: a key that says the same as before is not written again.

use super::value;
use super::written::bare;
use toml_edit::{Item, TableLike, Value};

/// Keys of a surface, in the order they are written.
const KEYS: [&str; 5] = ["area", "role", "show", "label", "finish"];
const SHOWS: [&str; 3] = ["show", "hidden", "inside"];
const ROLES: [&str; 7] = ["face", "back", "edge", "end", "side", "inner", "outer"];

/// A surface or a group of them, and its keys with their values as typed.
type Said = (String, Vec<(&'static str, String)>);

/// How it is typed: `back bare hidden "underside", edges hidden`.
pub fn typed(item: &Item) -> String {
    let one = |name: &str, table: &dyn TableLike| {
        let mut words = vec![quoted(name)];
        for key in KEYS {
            let word = table.get(key).and_then(Item::as_value).map(bare);
            words.extend(word.map(|word| if key == "label" { format!("\"{word}\"") } else { word }));
        }
        words.join(" ")
    };
    let named = |table: &dyn TableLike| one(table.get("name").and_then(Item::as_str).unwrap_or_default(), table);
    let all: Vec<String> = match item {
        Item::ArrayOfTables(tables) => tables.iter().map(|table| named(table)).collect(),
        Item::Value(Value::Array(values)) => {
            let tables = values.iter().filter_map(Value::as_inline_table);
            tables.map(|table| named(table)).collect()
        }
        item => {
            let table = item.as_table_like().into_iter().flat_map(TableLike::iter);
            let tables = table.filter_map(|(name, item)| Some(one(name, item.as_table_like()?)));
            tables.collect()
        }
    };
    all.join(", ")
}

/// The keys of the part that change, with their values; those without a value go.
pub fn changes(was: &str, now: &str, free: bool) -> Vec<(String, Option<String>)> {
    if now.trim().is_empty() {
        let gone = ("surfaces".to_owned(), None);
        return if was.trim().is_empty() { Vec::new() } else { vec![gone] };
    }
    let now = read(now, free);
    if free {
        let one = |(name, keys): &Said| {
            let named = format!("name = {}", value::text(name));
            let keys = keys.iter().map(|(key, word)| format!("{key} = {}", written(key, word)));
            let all: Vec<String> = std::iter::once(named).chain(keys).collect();
            format!("{{ {} }}", all.join(", "))
        };
        let all: Vec<String> = now.iter().map(one).collect();
        return vec![("surfaces".to_owned(), Some(format!("[{}]", all.join(", "))))];
    }
    let was = read(was, false);
    let find = |all: &[Said], name: &str| all.iter().find(|said| said.0 == name).map(|said| said.1.clone());
    let mut changes = Vec::new();
    for (name, _) in &was {
        if find(&now, name).is_none() {
            changes.push((format!("surfaces.{name}"), None));
        }
    }
    for (name, keys) in &now {
        let before = find(&was, name).unwrap_or_default();
        for (key, word) in keys.iter().filter(|key| !before.contains(key)) {
            changes.push((format!("surfaces.{name}.{key}"), Some(written(key, word))));
        }
        for (key, _) in before {
            if keys.iter().all(|other| other.0 != key) {
                changes.push((format!("surfaces.{name}.{key}"), None));
            }
        }
    }
    changes
}

fn written(key: &str, word: &str) -> String {
    if key == "area" {
        value::number(word)
    } else {
        value::text(word)
    }
}

pub(super) fn quoted(name: &str) -> String {
    if name.contains([' ', ',']) {
        format!("\"{name}\"")
    } else {
        name.to_owned()
    }
}

/// A word, and whether it stood in quotes.
pub(super) type Word = (String, bool);

/// Words parted by spaces, surfaces (or joints) parted by commas; neither parts what stands in quotes.
pub(super) fn words(typed: &str) -> Vec<Vec<Word>> {
    let mut all: Vec<Vec<Word>> = Vec::new();
    let (mut line, mut word, mut quoted) = (Vec::new(), String::new(), false);
    let end = |word: &mut String, line: &mut Vec<Word>, quoted: bool| {
        if !word.is_empty() {
            line.push((std::mem::take(word), quoted));
        }
    };
    for c in typed.chars() {
        match c {
            '"' => {
                end(&mut word, &mut line, quoted);
                quoted = !quoted;
            }
            c if quoted => word.push(c),
            ',' | ';' => {
                end(&mut word, &mut line, false);
                all.push(std::mem::take(&mut line));
            }
            ' ' => end(&mut word, &mut line, false),
            c => word.push(c),
        }
    }
    end(&mut word, &mut line, quoted);
    all.push(line);
    all
}

fn read(typed: &str, free: bool) -> Vec<Said> {
    let mut all = Vec::new();
    for line in words(typed) {
        let mut line = line.into_iter();
        let Some((name, _)) = line.next() else { continue };
        let mut keys: Vec<(&'static str, String)> = Vec::new();
        for (word, quoted) in line {
            let key = if quoted {
                "label"
            } else if word.starts_with(|first: char| first.is_ascii_digit()) {
                "area"
            } else if SHOWS.contains(&word.as_str()) {
                "show"
            } else if free && ROLES.contains(&word.as_str()) {
                "role"
            } else {
                "finish"
            };
            keys.push((key, word));
        }
        keys.sort_by_key(|(key, _)| KEYS.iter().position(|known| known == key));
        // a dot would be taken for a key within a key
        all.push((if free { name } else { name.replace('.', "-") }, keys));
    }
    all
}
