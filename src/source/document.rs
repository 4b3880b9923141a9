//! A whole file parsed into a spanned tree.
//!
//! Invariant: every syntax error of the file is among the problems, and the tree holds what could be read.

use super::file::SourceFile;
use super::problem::{Problem, Problems};
use super::syntax::explain;
use super::table::Table;
use toml::Spanned;
use toml::de::DeTable;

/// A parsed file and the problems found in it so far.
#[derive(Debug)]
pub struct Document<'f> {
    tree: Spanned<DeTable<'f>>,
    problems: Problems<'f>,
}

impl<'f> Document<'f> {
    /// Parses a file; syntax errors become problems.
    pub fn parse(file: &'f SourceFile) -> Self {
        Self::parse_with(file, &[])
    }

    /// Parses a file of a kind whose keys have examples: what is missing, or of the wrong kind, is answered
    /// with its example.
    pub fn parse_with(file: &'f SourceFile, examples: &'static [(&'static str, &'static str)]) -> Self {
        let (tree, errors) = DeTable::parse_recoverable(&file.text);
        let (told, sound_until) = explain(&file.text, &errors);
        let problems = Problems::of(file, !errors.is_empty(), sound_until, examples);
        for problem in told {
            problems.push(problem);
        }
        Self { tree, problems }
    }

    /// The file's outermost table.
    pub fn root(&self) -> Table<'_> {
        Table::new(self.tree.get_ref(), self.tree.span(), "the file", &self.problems)
    }

    /// Where problems go, for checks that need more than one value.
    pub const fn problems(&self) -> &Problems<'f> {
        &self.problems
    }

    /// Ends reading: all problems, in the order of the file.
    pub fn into_problems(self) -> Vec<Problem> {
        self.problems.into_sorted()
    }
}
