//! One thing wrong in a file, and the list they are collected in.
//!
//! Invariant: a list handed out is sorted by place in the file; severity follows from the code alone.

use super::code::Code;
use super::file::SourceFile;
use std::cell::RefCell;
use std::ops::Range;

/// Bytes of the file's text, from and up to.
pub type Extent = Range<usize>;

/// How much a problem matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The file can be used; the maker should know.
    Warning,
    /// The file cannot be used.
    Error,
}

/// A stretch of the file that a problem points to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// Where.
    pub extent: Extent,
    /// What was found there, in a few words.
    pub label: String,
}

/// One thing wrong in a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Which kind of problem.
    pub code: Code,
    /// The name of the file.
    pub file: String,
    /// Where: the first mark is the place itself, others are what it is at odds with. Empty: the whole file.
    pub marks: Vec<Mark>,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What is accepted there; empty where nothing useful can be said.
    pub accepted: String,
    /// The nearest valid word.
    pub nearest: Option<String>,
}

impl Problem {
    /// A problem with no place yet.
    pub fn new(code: Code, message: impl Into<String>) -> Self {
        let message = message.into();
        Self {
            code,
            file: String::new(),
            marks: Vec::new(),
            message,
            accepted: String::new(),
            nearest: None,
        }
    }

    /// Adds a place and what was found there; the first added is the one reported as file, line and column.
    #[must_use]
    pub fn at(mut self, extent: Extent, label: impl Into<String>) -> Self {
        self.marks.push(Mark {
            extent,
            label: label.into(),
        });
        self
    }

    /// Says what is accepted.
    #[must_use]
    pub fn accepts(mut self, accepted: impl Into<String>) -> Self {
        self.accepted = accepted.into();
        self
    }

    /// Offers the nearest valid word.
    #[must_use]
    pub fn nearest(mut self, nearest: Option<String>) -> Self {
        self.nearest = nearest;
        self
    }

    /// Error or warning.
    pub const fn severity(&self) -> Severity {
        self.code.severity()
    }

    /// Whether it keeps the file from being used.
    pub fn is_error(&self) -> bool {
        self.severity() == Severity::Error
    }

    /// Where it starts, for sorting; problems of the whole file come last.
    fn order(&self) -> (usize, usize, Code) {
        self.marks.first().map_or((usize::MAX, 0, self.code), |mark| {
            (mark.extent.start, mark.extent.end, self.code)
        })
    }
}

/// The problems of one file while it is read.
#[derive(Debug)]
pub struct Problems<'f> {
    file: &'f SourceFile,
    list: RefCell<Vec<Problem>>,
    /// The text could not be parsed in full, so that absent keys prove nothing.
    broken: bool,
    /// Where a bracket was left open: what follows is the parser's guess.
    sound_until: usize,
    /// How a key is written, by key.
    examples: &'static [(&'static str, &'static str)],
}

impl<'f> Problems<'f> {
    /// An empty list for a file; `broken` when its text could not be parsed in full.
    pub(super) const fn of(
        file: &'f SourceFile,
        broken: bool,
        sound_until: usize,
        examples: &'static [(&'static str, &'static str)],
    ) -> Self {
        Self {
            file,
            list: RefCell::new(Vec::new()),
            broken,
            sound_until,
            examples,
        }
    }

    /// Adds a problem and puts the file's name to it.
    pub fn push(&self, mut problem: Problem) {
        problem.file.clone_from(&self.file.name);
        // the list is never lent out, so it is never held when this is called
        if let Ok(mut list) = self.list.try_borrow_mut()
            && !list.contains(&problem)
        {
            list.push(problem);
        }
    }

    /// The file's text between two places, as written.
    pub fn text_at(&self, extent: &Extent) -> &'f str {
        self.file.text.get(extent.clone()).unwrap_or("")
    }

    /// How a key is written, where the kind of file has an example of it.
    pub fn example(&self, key: &str) -> Option<&'static str> {
        self.examples
            .iter()
            .find(|(known, _)| *known == key)
            .map(|(_, example)| *example)
    }

    /// The line a problem starts on.
    fn line_of(&self, problem: &Problem) -> Option<Extent> {
        let at = problem.marks.first()?.extent.start;
        let before = self.file.text.get(..at)?;
        let start = before.rfind('\n').map_or(0, |end| end + 1);
        Some(start..at)
    }

    /// Whether the text could not be parsed in full: then a missing thing proves nothing.
    pub const fn broken(&self) -> bool {
        self.broken
    }

    /// All problems, in the order of the file. What else seems wrong on a line that could not be parsed, or
    /// after a bracket left open, is left out: the values there are the parser's guess.
    pub fn into_sorted(self) -> Vec<Problem> {
        let mut list = self.list.take();
        let broken: Vec<Extent> = list
            .iter()
            .filter(|problem| problem.code == Code::Syntax)
            .filter_map(|problem| self.line_of(problem))
            .collect();
        let guessed = |problem: &Problem| {
            let after_open = problem
                .marks
                .first()
                .is_some_and(|mark| mark.extent.start > self.sound_until);
            let line = self.line_of(problem);
            after_open || line.is_some_and(|line| broken.iter().any(|other| line.start == other.start))
        };
        list.retain(|problem| problem.code == Code::Syntax || !guessed(problem));
        list.sort_by_key(Problem::order);
        list
    }
}
