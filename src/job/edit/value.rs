//! Values as the maker's file writes them.
//!
//! Invariant: whatever was typed comes out as one value of TOML, quoted where it has to be.

use toml_edit::{Array, Value};

/// A text in quotes.
pub fn text(typed: &str) -> String {
    Value::from(typed.trim()).to_string().trim().to_owned()
}

/// A number as it was typed, or in quotes where it is none (`3/4`, `1-1/2`, `14 d`).
pub fn number(typed: &str) -> String {
    let typed = typed.trim().replace(',', ".");
    let plain = typed
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'.' || byte == b'-');
    match typed.parse::<f64>() {
        Ok(_) if plain && !typed.starts_with('.') && !typed.ends_with('.') => typed,
        _ => text(&typed),
    }
}

/// Several numbers: `[800, 220, 20]`.
pub fn numbers(typed: &[String]) -> String {
    let all: Vec<String> = typed.iter().map(|one| number(one)).collect();
    format!("[{}]", all.join(", "))
}

/// Texts parted by commas: `["08:00-12:30", "13:15-17:30"]`.
pub fn texts(typed: &str) -> String {
    let parts = typed.split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
    let array: Array = parts.map(Value::from).collect();
    Value::Array(array).to_string().trim().to_owned()
}

/// Joints as they are typed, `2 tenon 1800, 1 groove`: how many, which kind, and the area of one or its
/// sides (`45x40`) where they are known. Words that are no kind are kept for the reader to find fault with.
pub fn joints(typed: &str) -> String {
    let one = |joint: &str| {
        let mut count = None;
        let mut kind: Vec<&str> = Vec::new();
        let mut rest = String::new();
        for word in joint.split_whitespace() {
            let digits = word.starts_with(|first: char| first.is_ascii_digit());
            if !digits {
                kind.push(word);
            } else if kind.is_empty() && count.is_none() {
                count = Some(number(word));
            } else if let Some((one, other)) = word.split_once(['x', '×']) {
                rest = format!(", size = {}", numbers(&[one.to_owned(), other.to_owned()]));
            } else {
                rest = format!(", area = {}", number(word));
            }
        }
        let count = count.unwrap_or_else(|| "1".to_owned());
        let kind = singular(&kind.join("-").to_lowercase());
        format!("{{ kind = {}, count = {count}{rest} }}", text(&kind))
    };
    let parts = typed.split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
    let all: Vec<String> = parts.map(one).collect();
    format!("[{}]", all.join(", "))
}

/// `tenons` is `tenon`; `dowel-holes` is `dowel-hole`.
fn singular(kind: &str) -> String {
    kind.strip_suffix('s').unwrap_or(kind).to_owned()
}

/// Joints back to how they are typed.
pub fn joints_typed(array: &str) -> String {
    let Ok(Value::Array(joints)) = array.trim().parse::<Value>() else {
        return String::new();
    };
    let bare = |value: &Value| {
        let mut value = value.clone();
        value.decor_mut().clear();
        value.as_str().map_or_else(|| value.to_string(), str::to_owned)
    };
    let one = |joint: &Value| {
        let table = joint.as_inline_table()?;
        let mut words = vec![table.get("count").map_or_else(|| "1".to_owned(), bare)];
        words.push(bare(table.get("kind")?).replace('-', " "));
        if let Some(area) = table.get("area") {
            words.push(bare(area));
        }
        if let Some(Value::Array(size)) = table.get("size") {
            words.push(size.iter().map(bare).collect::<Vec<_>>().join("x"));
        }
        Some(words.join(" "))
    };
    let all: Vec<String> = joints.iter().filter_map(one).collect();
    all.join(", ")
}
