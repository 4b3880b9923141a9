//! One value of a file, read as what it should be.
//!
//! Invariant: a getter that returns nothing has reported why.

use super::code::Code;
use super::problem::{Extent, Problem, Problems};
use super::table::Table;
use super::words::Words;
use crate::units::Refusal;
use std::ops::RangeInclusive;
use toml::Spanned;
use toml::de::DeValue;

/// Something read, and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found<T> {
    /// What was read.
    pub value: T,
    /// Where.
    pub extent: Extent,
}

impl<T> Found<T> {
    /// The same place with another value.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Found<U> {
        Found {
            value: change(self.value),
            extent: self.extent,
        }
    }
}

/// Characters that steer a terminal or turn the direction of writing; they have no place in a name.
pub(super) const fn is_unprintable(c: char) -> bool {
    matches!(c, '\0'..='\u{1f}' | '\u{7f}'..='\u{9f}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// A value not yet read.
#[derive(Clone, Copy, Debug)]
pub struct Value<'d> {
    node: &'d Spanned<DeValue<'d>>,
    key: &'d str,
    problems: &'d Problems<'d>,
}

impl<'d> Value<'d> {
    /// A node of the tree under its key.
    pub(super) const fn new(node: &'d Spanned<DeValue<'d>>, key: &'d str, problems: &'d Problems<'d>) -> Self {
        Self { node, key, problems }
    }

    /// Where it stands.
    pub fn extent(&self) -> Extent {
        self.node.span()
    }

    /// The key it stands under.
    pub const fn key(&self) -> &'d str {
        self.key
    }

    /// Where problems go.
    pub const fn problems(&self) -> &'d Problems<'d> {
        self.problems
    }

    /// The node itself.
    pub(super) fn node(&self) -> &'d DeValue<'d> {
        self.node.get_ref()
    }

    /// What was read, at this place.
    pub(super) fn found<T>(&self, value: T) -> Found<T> {
        Found {
            value,
            extent: self.extent(),
        }
    }

    /// Reports a problem with this value; its place and what stands there are filled in.
    pub fn refuse(&self, problem: Problem) {
        let label = self.seen();
        self.problems.push(problem.at(self.extent(), label));
    }

    /// What stands here, for the label under it.
    fn seen(&self) -> String {
        match self.node.get_ref() {
            DeValue::Table(_) => "found a table".to_owned(),
            DeValue::Array(items) if items.is_empty() => "found an empty list".to_owned(),
            DeValue::Array(items) => format!("found a list of {}", items.len()),
            DeValue::String(text) if text.trim().is_empty() => "found nothing between the quotes".to_owned(),
            _ => {
                let text = self.problems.text_at(&self.extent());
                if text.chars().count() > 40 || text.contains('\n') {
                    format!("found {}", self.kind())
                } else {
                    format!("found {text}")
                }
            }
        }
    }

    /// The kind of thing that stands here, in plain words.
    fn kind(&self) -> &'static str {
        match self.node.get_ref() {
            DeValue::String(_) => "text in quotes",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date or time",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        }
    }

    /// Reports that another kind of thing is wanted here.
    pub(super) fn wrong_kind(&self, wanted: &str) {
        self.wrong_kind_near(wanted, None);
    }

    /// The same, with what was meant where that can be told.
    fn wrong_kind_near(&self, wanted: &str, nearest: Option<String>) {
        let message = format!("`{}` wants {wanted}, not {}", self.key, self.kind());
        let is_open = wanted.starts_with("a list") || wanted.starts_with("a table");
        let accepted = match self.problems.example(self.key).filter(|_| is_open) {
            Some(example) => format!("{wanted}: {example}"),
            None => wanted.to_owned(),
        };
        self.refuse(
            Problem::new(Code::WrongType, message)
                .accepts(accepted)
                .nearest(nearest),
        );
    }

    /// A number in quotes, without them.
    fn unquoted(&self) -> Option<String> {
        let DeValue::String(text) = self.node.get_ref() else {
            return None;
        };
        let number = text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
        number.map(|_| format!("{}, without the quotes", text.trim()))
    }

    /// Text in quotes, not empty.
    pub fn text(self) -> Option<Found<String>> {
        let found = self.raw_text(|| "text in quotes".to_owned())?;
        if found.value.trim().is_empty() {
            self.refuse(Problem::new(Code::EmptyText, format!("`{}` is empty", self.key)).accepts("some text"));
            return None;
        }
        if found.value.chars().any(is_unprintable) {
            let message = format!("`{}` holds a character that cannot be shown", self.key);
            self.refuse(Problem::new(Code::ControlCharacter, message).accepts("letters, digits, signs and spaces"));
            return None;
        }
        Some(found.map(|text| text.trim().to_owned()))
    }

    /// Text in quotes, as it stands; what is wanted is only written out where something else stands here.
    pub(super) fn raw_text(&self, wanted: impl FnOnce() -> String) -> Option<Found<&'d str>> {
        if let DeValue::String(text) = self.node.get_ref() {
            let text: &'d str = text;
            return Some(self.found(text));
        }
        self.wrong_kind(&wanted());
        None
    }

    /// True or false.
    pub fn flag(self) -> Option<Found<bool>> {
        if let DeValue::Boolean(flag) = self.node.get_ref() {
            return Some(self.found(*flag));
        }
        self.wrong_kind("`true` or `false`");
        None
    }

    /// A number, whole or not, and finite.
    pub fn number(self) -> Option<Found<f64>> {
        let Some(number) = self.plain_number() else {
            self.wrong_kind_near("a number", self.unquoted());
            return None;
        };
        if number.is_finite() {
            return Some(self.found(number));
        }
        let message = format!("`{}` is not a number that can be worked with", self.key);
        self.refuse(Problem::new(Code::OutOfRange, message).accepts("a number"));
        None
    }

    /// A number within bounds; `unit` is for the message.
    pub fn number_within(self, bounds: RangeInclusive<f64>, unit: &str) -> Option<Found<f64>> {
        let found = self.number()?;
        if bounds.contains(&found.value) {
            return Some(found);
        }
        self.out_of_range(&format!("{} to {} {unit}", bounds.start(), bounds.end()));
        None
    }

    /// A whole number.
    pub fn whole(self) -> Option<Found<i64>> {
        if let DeValue::Integer(digits) = self.node.get_ref() {
            if let Ok(whole) = i64::from_str_radix(digits.as_str(), digits.radix()) {
                return Some(self.found(whole));
            }
            self.out_of_range("a whole number of a usual size");
            return None;
        }
        self.wrong_kind_near("a whole number", self.unquoted());
        None
    }

    /// A whole number within bounds.
    pub fn whole_within(self, bounds: RangeInclusive<u32>) -> Option<Found<u32>> {
        let found = self.whole()?;
        let fitting = u32::try_from(found.value).ok().filter(|number| bounds.contains(number));
        if fitting.is_none() {
            self.out_of_range(&format!("a whole number from {} to {}", bounds.start(), bounds.end()));
        }
        fitting.map(|number| self.found(number))
    }

    /// Reports a number outside what is accepted.
    pub(super) fn out_of_range(&self, accepted: &str) {
        let message = format!("`{}` is outside what can be", self.key);
        self.refuse(Problem::new(Code::OutOfRange, message).accepts(accepted));
    }

    /// Whichever way a number is written; not checked for being finite.
    pub(super) fn plain_number(&self) -> Option<f64> {
        match self.node.get_ref() {
            DeValue::Integer(digits) => i64::from_str_radix(digits.as_str(), digits.radix())
                .ok()
                .map(|whole| whole as f64),
            DeValue::Float(digits) => digits.as_str().parse().ok(),
            _ => None,
        }
    }

    /// A list.
    pub fn list(self) -> Option<Found<Vec<Value<'d>>>> {
        if let DeValue::Array(items) = self.node.get_ref() {
            return Some(
                self.found(
                    items
                        .iter()
                        .map(|node| Value::new(node, self.key, self.problems))
                        .collect(),
                ),
            );
        }
        let single = match self.node.get_ref() {
            DeValue::Table(_) => None,
            _ => Some(format!("[{}]", self.problems.text_at(&self.extent()))),
        };
        self.wrong_kind_near("a list in square brackets", single);
        None
    }

    /// A list whose items are all read the same way; items that cannot be read are left out and reported.
    pub fn list_of<T>(self, read: impl Fn(Value<'d>) -> Option<T>) -> Option<Found<Vec<T>>> {
        Some(self.list()?.map(|items| items.into_iter().filter_map(read).collect()))
    }

    /// A table.
    pub fn table(self) -> Option<Table<'d>> {
        if let DeValue::Table(map) = self.node.get_ref() {
            return Some(Table::new(
                map,
                self.extent(),
                &format!("`{}`", self.key),
                self.problems,
            ));
        }
        self.wrong_kind("a table");
        None
    }

    /// The tables of an array of tables, or a list of inline ones.
    pub fn tables(self) -> Vec<Table<'d>> {
        let Some(items) = self.list() else { return Vec::new() };
        items.value.into_iter().filter_map(Value::table).collect()
    }

    /// Whether text in quotes stands here.
    pub fn is_text(&self) -> bool {
        matches!(self.node.get_ref(), DeValue::String(_))
    }

    /// Whether a table stands here.
    pub fn is_table(&self) -> bool {
        matches!(self.node.get_ref(), DeValue::Table(_))
    }

    /// Whether a list stands here.
    pub fn is_list(&self) -> bool {
        matches!(self.node.get_ref(), DeValue::Array(_))
    }

    /// One word of a closed list.
    pub fn word<T: Copy>(self, words: &Words<'_, T>) -> Option<Found<T>> {
        let found = self.raw_text(|| format!("one of {}", words.listed()))?;
        if let Some(meaning) = words.get(found.value) {
            return Some(self.found(meaning));
        }
        let problem = Problem::new(
            Code::UnknownWord,
            format!("{}: \"{}\" is not one of its words", self.key, found.value),
        )
        .accepts(words.listed())
        .nearest(words.nearest(found.value).map(ToOwned::to_owned));
        self.refuse(problem);
        None
    }

    /// Text that a parser of its own reads; what it refuses becomes a problem of the given kind.
    pub fn parsed<T>(self, code: Code, wanted: &str, parse: impl Fn(&str) -> Result<T, Refusal>) -> Option<Found<T>> {
        let text = self.raw_text(|| wanted.to_owned())?;
        match parse(text.value) {
            Ok(value) => Some(self.found(value)),
            Err(refusal) => {
                self.refuse_as(code, refusal);
                None
            }
        }
    }

    /// Reports what a parser refused.
    pub fn refuse_as(&self, code: Code, refusal: Refusal) {
        let written = self.problems.text_at(&self.extent()).trim_matches(['"', '\'']);
        let message = format!("{}: \"{written}\" {}", self.key, refusal.why);
        self.refuse(
            Problem::new(code, message)
                .accepts(refusal.accepted)
                .nearest(refusal.nearest),
        );
    }
}
