//! A closed list of words a key accepts, with what each means.
//!
//! Invariant: every word of `meant` points to a word of the list.

use super::nearest::nearest;

/// The words a key accepts.
#[derive(Clone, Copy, Debug)]
pub struct Words<'w, T> {
    list: &'w [(&'w str, T)],
    meant: &'w [(&'w str, &'w str)],
}

impl<'w, T: Copy> Words<'w, T> {
    /// Words and their meanings.
    pub const fn new(list: &'w [(&'w str, T)]) -> Self {
        Self { list, meant: &[] }
    }

    /// Other words of the trade for the same things: not accepted, but answered with the word that is.
    #[must_use]
    pub const fn meant(mut self, meant: &'w [(&'w str, &'w str)]) -> Self {
        self.meant = meant;
        self
    }

    /// What a word means.
    pub fn get(&self, word: &str) -> Option<T> {
        self.list
            .iter()
            .find(|(name, _)| *name == word)
            .map(|(_, meaning)| *meaning)
    }

    /// The word for a meaning.
    pub fn word_for(&self, meaning: T) -> Option<&'w str>
    where
        T: PartialEq,
    {
        self.list
            .iter()
            .find(|(_, known)| *known == meaning)
            .map(|(name, _)| *name)
    }

    /// The nearest accepted word.
    pub fn nearest(&self, word: &str) -> Option<&'w str> {
        let folded = word.trim().to_lowercase();
        let meant = self
            .meant
            .iter()
            .find(|(other, _)| *other == folded)
            .map(|(_, name)| *name);
        let near = || nearest(word, self.list.iter().map(|(name, _)| *name));
        let near_meant = || {
            let other = nearest(word, self.meant.iter().map(|(other, _)| *other))?;
            self.meant
                .iter()
                .find(|(known, _)| *known == other)
                .map(|(_, name)| *name)
        };
        meant.or_else(near).or_else(near_meant)
    }

    /// The words, in order.
    pub fn names(&self) -> impl Iterator<Item = &'w str> + use<'w, T> {
        self.list.iter().map(|(name, _)| *name)
    }

    /// The list for reading: `a`, `b` or `c`.
    pub fn listed(&self) -> String {
        listed(self.list.iter().map(|(name, _)| *name))
    }
}

/// Words for reading: `a`, `b` or `c`.
pub(super) fn listed<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    let quoted: Vec<String> = words.into_iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, others)) => format!("{} or {last}", others.join(", ")),
    }
}
