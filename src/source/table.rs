//! A table of a file: keys asked for by name, unknown ones reported.
//!
//! Invariant: when a table goes out of use, every key in it was either asked for or reported, and every
//! needed key that is absent was reported, once.

use super::code::Code;
use super::nearest::nearest;
use super::problem::{Extent, Problem, Problems};
use super::value::{Found, Value};
use super::words::listed;
use toml::de::DeTable;

/// A table while it is read.
#[derive(Debug)]
pub struct Table<'d> {
    map: &'d DeTable<'d>,
    extent: Extent,
    name: String,
    problems: &'d Problems<'d>,
    asked: Vec<&'static str>,
    missing: Vec<&'static str>,
    open: bool,
}

impl<'d> Table<'d> {
    /// A table under a name that messages use (`the part`, `the file`).
    pub(super) fn new(map: &'d DeTable<'d>, extent: Extent, name: &str, problems: &'d Problems<'d>) -> Self {
        let (asked, missing) = (Vec::new(), Vec::new());
        Self {
            map,
            extent,
            name: name.to_owned(),
            problems,
            asked,
            missing,
            open: false,
        }
    }

    /// Calls the table something better in messages: `part "side"`.
    pub fn call(&mut self, name: impl Into<String>) {
        self.name = name.into();
    }

    /// What messages call it.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where the table stands: its header, or the braces.
    pub fn extent(&self) -> Extent {
        self.extent.clone()
    }

    /// Where problems go, for checks that need more than one value.
    pub const fn problems(&self) -> &'d Problems<'d> {
        self.problems
    }

    /// The value of a key that must be there; absent is a problem.
    pub fn need(&mut self, key: &'static str) -> Option<Value<'d>> {
        let value = self.may(key);
        if value.is_none() {
            self.missing.push(key);
        }
        value
    }

    /// The value of a key that may be there.
    pub fn may(&mut self, key: &'static str) -> Option<Value<'d>> {
        if !self.asked.contains(&key) {
            self.asked.push(key);
        }
        self.map.get(key).map(|node| Value::new(node, key, self.problems))
    }

    /// The tables of an array of tables (`[[part]]`), none where the key is absent.
    pub fn tables(&mut self, key: &'static str) -> Vec<Table<'d>> {
        self.may(key).map_or_else(Vec::new, Value::tables)
    }

    /// The table under a key that must be there.
    pub fn need_table(&mut self, key: &'static str) -> Option<Table<'d>> {
        self.need(key).and_then(Value::table)
    }

    /// The table under a key that may be there.
    pub fn may_table(&mut self, key: &'static str) -> Option<Table<'d>> {
        self.may(key).and_then(Value::table)
    }

    /// All keys and values in the order of the file, for tables whose keys are the maker's own; no key of
    /// such a table is unknown.
    pub fn entries(&mut self) -> Vec<(Found<&'d str>, Value<'d>)> {
        self.open = true;
        let mut entries: Vec<_> = self
            .map
            .iter()
            .map(|(key, node)| {
                let word: &'d str = key.get_ref();
                (
                    Found {
                        value: word,
                        extent: key.span(),
                    },
                    Value::new(node, word, self.problems),
                )
            })
            .collect();
        entries.sort_by_key(|(key, _)| key.extent.start);
        entries
    }

    /// Whether a key is absent or an empty list.
    pub fn has_none(&self, key: &str) -> bool {
        self.map
            .get(key)
            .is_none_or(|node| node.get_ref().as_array().is_some_and(|list| list.is_empty()))
    }

    /// Where a key stands, if it is there.
    pub fn key_extent(&self, key: &str) -> Option<Extent> {
        self.map.get_key_value(key).map(|(key, _)| key.span())
    }

    /// Checks the `format` key against the newest format this program reads.
    pub fn format(&mut self, newest: i64) {
        let accepted = format!("`format = {newest}`");
        match self.may("format") {
            None => {
                if !self.problems.broken() {
                    let message = "the file does not say which format it is written in";
                    self.problems
                        .push(Problem::new(Code::FormatMissing, message).accepts(accepted));
                }
            }
            Some(value) => {
                if let Some(found) = value.whole()
                    && found.value != newest
                {
                    let message = if found.value > newest {
                        "the file is written in a newer format than this program reads"
                    } else {
                        "there is no such format"
                    };
                    value.refuse(Problem::new(Code::FormatUnknown, message).accepts(accepted));
                }
            }
        }
    }

    fn report_unknown(&mut self) {
        let known = self.asked.clone();
        for (key, _) in self.map {
            let word: &str = key.get_ref();
            if known.contains(&word) {
                continue;
            }
            let near = nearest(
                word,
                known.iter().copied().filter(|known| !self.map.contains_key(*known)),
            );
            if let Some(near) = near {
                // one slip of the pen is one problem: not unknown *and* missing
                self.missing.retain(|missing| *missing != near);
            }
            let message = format!("{} has no key `{word}`", self.name);
            let problem = Problem::new(Code::UnknownKey, message)
                .at(key.span(), "not a key here")
                .accepts(listed(known.iter().copied()))
                .nearest(near.map(ToOwned::to_owned));
            self.problems.push(problem);
        }
    }

    fn report_missing(&self) {
        if self.problems.broken() {
            return;
        }
        for key in &self.missing {
            let problem = Problem::new(Code::MissingKey, format!("{} must say its `{key}`", self.name));
            let whole = self.extent.is_empty() || self.name == "the file";
            let problem = if whole {
                problem
            } else {
                problem.at(self.extent.clone(), format!("no `{key}` here"))
            };
            // a key that means something else under another heading has its heading's example first
            let full = format!("{}.{key}", self.name.trim_matches('`'));
            let example = self.problems.example(&full).or_else(|| self.problems.example(key));
            self.problems
                .push(problem.accepts(example.map_or(format!("{key} = ..."), ToOwned::to_owned)));
        }
    }
}

impl Drop for Table<'_> {
    /// The end of a table's use is when its unknown and missing keys can be told.
    fn drop(&mut self) {
        if !self.open {
            self.report_unknown();
        }
        self.report_missing();
    }
}
