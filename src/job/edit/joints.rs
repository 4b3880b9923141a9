//! The joints of a part, as a person types them in one line and as the file writes them.
//!
//! Invariant: every key the file's reader knows of a joint has its words in the line, so that nothing is lost
//! when the line is written again.

use super::surfaces::{Word, quoted, words};
use super::value;
use super::written::bare;
use toml_edit::{Item, TableLike, Value};

/// Joints as they are typed, `2 tenon 45x40 on ends play 0.3, 1 groove 900`: how many, which kind, the sides or
/// the area of one where they are known, the surface it lies on, its play. Words that are no kind are kept for
/// the reader to find fault with.
pub fn written(typed: &str) -> String {
    let all: Vec<String> = words(typed)
        .iter()
        .filter(|joint| !joint.is_empty())
        .map(|joint| one(joint))
        .collect();
    format!("[{}]", all.join(", "))
}

fn one(joint: &[Word]) -> String {
    let mut count = None;
    let mut kind: Vec<&str> = Vec::new();
    let (mut bare, mut on, mut play) = (String::new(), String::new(), String::new());
    let mut joint = joint.iter().map(|(word, _)| word.as_str());
    while let Some(word) = joint.next() {
        let digits = word.starts_with(|first: char| first.is_ascii_digit());
        match word {
            "on" => on = format!(", on = {}", value::text(joint.next().unwrap_or_default())),
            "play" => play = format!(", play = {}", value::number(joint.next().unwrap_or_default())),
            word if !digits => kind.push(word),
            word if kind.is_empty() && count.is_none() => count = Some(value::number(word)),
            word if word.contains(['x', '×']) => bare = format!(", size = {}", value::sides(word)),
            word => bare = format!(", area = {}", value::number(word)),
        }
    }
    let count = count.unwrap_or_else(|| "1".to_owned());
    let kind = singular(&kind.join("-").to_lowercase());
    format!("{{ kind = {}, count = {count}{bare}{on}{play} }}", value::text(&kind))
}

/// `tenons` is `tenon`; `dowel-holes` is `dowel-hole`.
fn singular(kind: &str) -> String {
    kind.strip_suffix('s').unwrap_or(kind).to_owned()
}

/// Joints back to how they are typed.
pub fn typed(item: &Item) -> String {
    let one = |joint: &dyn TableLike| {
        let said = |key: &str| joint.get(key).and_then(Item::as_value).map(bare);
        let mut words = vec![said("count").unwrap_or_else(|| "1".to_owned())];
        words.extend(said("kind").map(|kind| kind.replace('-', " ")));
        words.extend(said("area"));
        if let Some(Value::Array(size)) = joint.get("size").and_then(Item::as_value) {
            words.push(size.iter().map(bare).collect::<Vec<_>>().join("x"));
        }
        words.extend(said("on").map(|on| format!("on {}", quoted(&on))));
        words.extend(said("play").map(|play| format!("play {play}")));
        words.join(" ")
    };
    let all: Vec<String> = match item {
        Item::ArrayOfTables(tables) => tables.iter().map(|table| one(table)).collect(),
        Item::Value(Value::Array(values)) => {
            let tables = values.iter().filter_map(Value::as_inline_table);
            tables.map(|table| one(table)).collect()
        }
        _ => Vec::new(),
    };
    all.join(", ")
}
