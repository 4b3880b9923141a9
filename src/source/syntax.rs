//! Syntax errors said in plain words.
//!
//! Invariant: every syntax error becomes exactly one problem, placed inside the text.

use super::code::Code;
use super::problem::Problem;
use toml::de::Error;

/// What the parser says, what a maker reads, and how to write it right. The first that fits counts.
const PLAIN: &[(&str, &str, &str)] = &[
    (
        "duplicate key",
        "this is written twice",
        "each key once; delete or rename one of the two",
    ),
    (
        "cannot extend value",
        "this was already given another way above",
        "each key once",
    ),
    (
        "string values must be quoted",
        "text must stand in quotes",
        "text in double quotes: \"ash\"; numbers, true and false without",
    ),
    (
        "invalid basic string",
        "the closing quote is missing",
        "text in double quotes, closed on the same line",
    ),
    (
        "invalid literal string",
        "the closing quote is missing",
        "text in double quotes, closed on the same line",
    ),
    (
        "key with no value",
        "there is nothing after the key",
        "a line `key = value`",
    ),
    (
        "missing value",
        "there is nothing after the equals sign",
        "a line `key = value`",
    ),
    (
        "missing assignment",
        "two lines have run together",
        "one `key = value` on each line",
    ),
    (
        "extra assignment",
        "two lines have run together",
        "one `key = value` on each line",
    ),
    ("extra `=`", "there is one equals sign too many", "a line `key = value`"),
    (
        "missing comma",
        "a comma is missing",
        "a comma between one item and the next",
    ),
    (
        "extra comma",
        "there is a comma too many",
        "one comma between one item and the next",
    ),
    (
        "unclosed array table",
        "the heading is not closed",
        "a heading in double square brackets: `[[part]]`",
    ),
    (
        "unclosed array",
        "the list is not closed",
        "a list in square brackets: `[1420, 480, 22]`",
    ),
    (
        "unclosed inline table",
        "the braces are not closed",
        "a table in braces: `{ temperature = 19, humidity = 50 }`",
    ),
    (
        "unclosed table",
        "the heading is not closed",
        "a heading in square brackets: `[room]`",
    ),
    (
        "leading zero",
        "a number may not begin with a nought",
        "the number without the nought in front",
    ),
    (
        "recursion",
        "there are too many brackets inside one another",
        "at most a few tables or lists inside one another",
    ),
    (
        "carriage return",
        "the line ends are damaged",
        "line ends as any plain-text editor writes them",
    ),
    (
        "unquoted key",
        "a key may hold letters, digits, `-` and `_` only",
        "a plain key, or one in double quotes",
    ),
];

/// One syntax error as a problem.
pub(super) fn explain(text: &str, error: &Error) -> Problem {
    let said = error.message();
    let plain = PLAIN.iter().find(|(key, _, _)| said.contains(key));
    let repeated = said.contains("duplicate key");
    let code = if repeated { Code::WrittenTwice } else { Code::Syntax };
    let (message, accepted) = plain.map_or_else(
        || {
            (
                format!("the line cannot be read: {said}"),
                "a line `key = value`, or a heading `[room]` or `[[part]]`",
            )
        },
        |(_, message, accepted)| ((*message).to_owned(), *accepted),
    );
    let (extent, label) = place(text, error);
    Problem::new(code, message).at(extent, label).accepts(accepted)
}

/// Where the error stands; an error at the end of a line points at the end of its text.
fn place(text: &str, error: &Error) -> (std::ops::Range<usize>, &'static str) {
    let span = error.span().unwrap_or(text.len()..text.len());
    let start = span.start.min(text.len());
    let end = span.end.clamp(start, text.len());
    if text.get(start..end).is_some_and(|stretch| !stretch.trim().is_empty()) {
        return (start..end, "here");
    }
    (start..end, "expected more here")
}
