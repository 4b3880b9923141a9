//! A form: lines to fill in, one below the other, and a last line that writes it.
//!
//! Invariant: the cursor is on a line or on the last one; a choice always has one of its words chosen; what
//! a form comes to is worked out from its lines alone.

use super::field::Field;
use super::key::Key;
use std::borrow::Cow;

/// A line of a form.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// What it is called, to people.
    pub label: &'static str,
    /// What it holds.
    pub value: Value,
    /// An example, or what an empty line means.
    pub hint: Cow<'static, str>,
    /// What it held at first: what is not changed is not written.
    first: String,
}

/// What a line holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Text.
    Text(Field),
    /// One of some words.
    One(Vec<String>, usize),
    /// Some of some words, and which of them the keys are at.
    Some(Vec<(String, bool)>, usize),
}

impl Entry {
    /// A line of text.
    pub fn text(label: &'static str, text: &str, hint: impl Into<Cow<'static, str>>) -> Self {
        Self::of(label, Value::Text(Field::with(text)), hint.into())
    }

    /// A choice.
    pub fn one(label: &'static str, words: Vec<String>, at: usize) -> Self {
        let at = at.min(words.len().saturating_sub(1));
        Self::of(label, Value::One(words, at), Cow::Borrowed(""))
    }

    /// Several choices.
    pub fn some(label: &'static str, words: Vec<(String, bool)>) -> Self {
        Self::of(label, Value::Some(words, 0), Cow::Borrowed(""))
    }

    fn of(label: &'static str, value: Value, hint: Cow<'static, str>) -> Self {
        let mut entry = Self {
            label,
            value,
            hint,
            first: String::new(),
        };
        entry.first = entry.words();
        entry
    }

    /// What it holds, in words.
    pub fn words(&self) -> String {
        match &self.value {
            Value::Text(field) => field.text().trim().to_owned(),
            Value::One(words, at) => words.get(*at).cloned().unwrap_or_default(),
            Value::Some(words, _) => {
                let chosen = words.iter().filter(|(_, chosen)| *chosen);
                chosen.map(|(word, _)| word.as_str()).collect::<Vec<_>>().join(", ")
            }
        }
    }

    /// Whether it is not what it was at first.
    pub fn is_changed(&self) -> bool {
        self.words() != self.first
    }

    /// What it held at first.
    pub fn was(&self) -> &str {
        &self.first
    }

    /// Which of the words is chosen.
    pub const fn at(&self) -> usize {
        match &self.value {
            Value::One(_, at) | Value::Some(_, at) => *at,
            Value::Text(_) => 0,
        }
    }

    /// Which are chosen, by number.
    pub fn chosen(&self) -> Vec<usize> {
        match &self.value {
            Value::Some(words, _) => (0..words.len())
                .filter(|&at| words.get(at).is_some_and(|word| word.1))
                .collect(),
            Value::One(_, at) => vec![*at],
            Value::Text(_) => Vec::new(),
        }
    }

    /// Takes a key; `false` when it is none for this line.
    fn press(&mut self, key: Key) -> bool {
        match (&mut self.value, key) {
            (Value::Text(field), key) => field.press(key),
            (Value::One(words, at), Key::Left) => {
                *at = at.checked_sub(1).unwrap_or(words.len().saturating_sub(1));
                true
            }
            (Value::One(words, at), Key::Right | Key::Char(' ')) => {
                *at = (*at + 1) % words.len().max(1);
                true
            }
            (Value::One(words, at), Key::Char(letter)) => {
                // the next word that begins with the letter
                let begins = |word: &String| word.to_lowercase().starts_with(letter.to_ascii_lowercase());
                let after = (1..=words.len()).map(|step| (*at + step) % words.len().max(1));
                match after.into_iter().find(|next| words.get(*next).is_some_and(begins)) {
                    Some(next) => {
                        *at = next;
                        true
                    }
                    None => false,
                }
            }
            (Value::Some(words, at), Key::Left) => {
                *at = at.checked_sub(1).unwrap_or(words.len().saturating_sub(1));
                true
            }
            (Value::Some(words, at), Key::Right) => {
                *at = (*at + 1) % words.len().max(1);
                true
            }
            (Value::Some(words, at), Key::Char(' ')) => {
                if let Some(word) = words.get_mut(*at) {
                    word.1 = !word.1;
                }
                true
            }
            _ => false,
        }
    }
}

/// What stands in a line for the moment: a word, a number, a length.
const SOMETHING: &str = "7";

/// A form.
#[derive(Clone, Debug, PartialEq)]
pub struct Form {
    /// Its heading.
    pub title: String,
    /// A line or two of what it is for; may be empty.
    pub about: String,
    /// Its lines.
    pub entries: Vec<Entry>,
    /// The line the keys go to; one past the last is the line that writes.
    pub cursor: usize,
    /// The furthest line the keys have been at.
    reached: usize,
    /// What the last line says.
    pub verb: &'static str,
    /// What is wrong, as far as it has been looked at.
    pub wrong: Vec<String>,
    /// Somebody tried to write it: what is wrong is said aloud.
    pub tried: bool,
}

/// What a key did to a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pressed {
    /// Nothing.
    Nothing,
    /// It holds something else.
    Changed,
    /// The keys go to another line.
    Moved,
    /// It is to be written.
    Write,
}

impl Form {
    /// A form.
    pub fn new(title: impl Into<String>, about: impl Into<String>, verb: &'static str, entries: Vec<Entry>) -> Self {
        Self {
            title: title.into(),
            about: about.into(),
            entries,
            cursor: 0,
            reached: 0,
            verb,
            wrong: Vec::new(),
            tried: false,
        }
    }

    /// Takes a key.
    pub fn press(&mut self, key: Key) -> Pressed {
        let last = self.entries.len();
        match key {
            Key::Up | Key::BackTab => self.cursor = self.cursor.saturating_sub(1),
            Key::Down | Key::Tab => self.cursor = (self.cursor + 1).min(last),
            Key::Enter if self.cursor == last => return Pressed::Write,
            Key::Enter => self.cursor += 1,
            Key::Ctrl('s') => {
                self.cursor = last;
                return Pressed::Write;
            }
            Key::PageUp => self.cursor = 0,
            Key::PageDown => self.cursor = last,
            key => {
                let pressed = self.entries.get_mut(self.cursor).is_some_and(|entry| entry.press(key));
                return if pressed { Pressed::Changed } else { Pressed::Nothing };
            }
        }
        self.reached = self.reached.max(self.cursor);
        Pressed::Moved
    }

    /// What the form would be with something in every empty line nobody has passed yet; `None` where there is
    /// none. A line that was filled from the start counts only once it was emptied, except `all` are asked for.
    pub fn filled_on(&self, all: bool) -> Option<Self> {
        let mut filled = self.clone();
        let mut any = false;
        for (at, entry) in filled.entries.iter_mut().enumerate() {
            let passed = at < self.reached && at != self.cursor;
            let asked = all || entry.is_changed();
            if let Value::Text(field) = &mut entry.value
                && asked
                && !passed
                && field.text().trim().is_empty()
            {
                *field = Field::with(SOMETHING);
                any = true;
            }
        }
        any.then_some(filled)
    }

    /// Takes pasted text; `false` where no text goes.
    pub fn paste(&mut self, text: &str) -> bool {
        match self.entries.get_mut(self.cursor).map(|entry| &mut entry.value) {
            Some(Value::Text(field)) => {
                field.insert(text);
                true
            }
            _ => false,
        }
    }

    /// A line by its label.
    pub fn entry(&self, label: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.label == label)
    }

    /// What a line holds, in words.
    pub fn words(&self, label: &str) -> String {
        self.entry(label).map(Entry::words).unwrap_or_default()
    }

    /// Whether a line is not what it was.
    pub fn is_changed(&self, label: &str) -> bool {
        self.entry(label).is_some_and(Entry::is_changed)
    }
}
