//! A one-line text field.
//!
//! Invariant: the cursor stands between two characters of the text, or at either end; no control
//! characters get in.

use super::key::Key;

/// A line being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Field {
    before: Vec<char>,
    after: Vec<char>,
}

/// Longest line a field takes, characters: a note is a line, not a letter.
const LONGEST: usize = 400;

impl Field {
    /// A field with text in it, the cursor behind.
    pub fn with(text: &str) -> Self {
        let mut field = Self::default();
        field.insert(text);
        field
    }

    /// The text.
    pub fn text(&self) -> String {
        self.before.iter().chain(&self.after).collect()
    }

    /// The text before the cursor.
    pub fn before(&self) -> String {
        self.before.iter().collect()
    }

    /// Puts text in; line ends and tabs become spaces, other control characters are left out.
    pub fn insert(&mut self, text: &str) {
        for c in text.chars() {
            let c = if matches!(c, '\n' | '\r' | '\t') { ' ' } else { c };
            if !c.is_control() && self.before.len() + self.after.len() < LONGEST {
                self.before.push(c);
            }
        }
    }

    /// Takes a key; `false` when it is not one for a field.
    pub fn press(&mut self, key: Key) -> bool {
        match key {
            Key::Char(c) => self.insert(c.encode_utf8(&mut [0; 4])),
            Key::Backspace => {
                self.before.pop();
            }
            Key::Delete => {
                if !self.after.is_empty() {
                    self.after.remove(0);
                }
            }
            Key::Left => {
                if let Some(c) = self.before.pop() {
                    self.after.insert(0, c);
                }
            }
            Key::Right => {
                if !self.after.is_empty() {
                    self.before.push(self.after.remove(0));
                }
            }
            Key::Home => {
                self.before.append(&mut self.after);
                std::mem::swap(&mut self.before, &mut self.after);
            }
            Key::End => self.before.append(&mut self.after),
            Key::Ctrl('u') => self.before.clear(),
            _ => return false,
        }
        true
    }
}
