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

/// Two sides, `45x40`: `[45, 40]`.
pub fn sides(typed: &str) -> String {
    let sides: Vec<String> = typed
        .split(['x', '×', ',', ';'])
        .map(|side| side.trim().to_owned())
        .collect();
    numbers(&sides)
}
