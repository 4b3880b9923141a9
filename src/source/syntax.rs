//! Syntax errors said in plain words.
//!
//! Invariant: every syntax error is told, save those that only follow from a bracket left open: that bracket
//! is told instead, once.

use super::code::Code;
use super::problem::{Extent, Problem};
use toml::de::Error;

/// What the parser says, what a maker reads, and how to write it right. The first that fits counts.
const PLAIN: &[(&str, &str, &str)] = &[
    (
        "duplicate key",
        "this is written twice",
        "each key and each heading once; delete or rename one of the two",
    ),
    (
        "cannot extend value",
        "this was already given another way above",
        "each key once",
    ),
    ("string values must be quoted", "text must stand in quotes", QUOTED),
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
        "at most a few lists or tables inside one another",
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

const QUOTED: &str = "text in double quotes: \"ash\"; numbers, true and false without";
const NUMBERS: &str = "a number such as 22 or 1.5; in a list a comma between one and the next: [1420, 480, 22]";
const OTHERWISE: &str = "a line `key = value`, or a heading `[room]` or `[[part]]`";

/// The syntax errors of a text as problems, and how far into the text its meaning can be trusted.
pub(super) fn explain(text: &str, errors: &[Error]) -> (Vec<Problem>, usize) {
    let left_open = errors.iter().any(|error| {
        let said = error.message();
        said.contains("unclosed array") && !said.contains("table") || said.contains("unclosed inline table")
    });
    let opener = if left_open { open_bracket(text) } else { None };
    let kept = errors.iter().filter(|error| {
        let start = error.span().map_or(text.len(), |span| span.start);
        opener.as_ref().is_none_or(|opener| start < opener.start)
    });
    let sound_until = opener.as_ref().map_or(usize::MAX, |opener| opener.start);
    let mut problems: Vec<Problem> = Vec::new();
    let mut heading_twice = false;
    for error in kept {
        let problem = one(text, error);
        if problem.code != Code::WrittenTwice {
            problems.push(problem);
            continue;
        }
        let at = problem.marks.first().map_or(0, |mark| mark.extent.start);
        let (first, is_heading) = first_written(text, at);
        if first.is_none() && heading_twice {
            continue; // a key under a heading that is there twice: the heading has been told
        }
        heading_twice |= is_heading;
        problems.push(match first {
            Some(first) => problem.at(first, "first here"),
            None => problem,
        });
    }
    problems.extend(opener.map(|opener| {
        let (message, accepted) = if text.get(opener.clone()).is_some_and(|line| line.starts_with('{')) {
            (
                "the braces are not closed",
                "a table in braces: `{ temperature = 19, humidity = 50 }`",
            )
        } else {
            ("the list is not closed", "a list in square brackets: `[1420, 480, 22]`")
        };
        Problem::new(Code::Syntax, message)
            .at(opener, "opened here, and all that follows is taken for part of it")
            .accepts(accepted)
    }));
    (problems, sound_until)
}

/// One syntax error as a problem.
fn one(text: &str, error: &Error) -> Problem {
    let said = error.message();
    let repeated = said.contains("duplicate key");
    let code = if repeated { Code::WrittenTwice } else { Code::Syntax };
    let (extent, label) = place(text, error);
    let stretch = text.get(extent.clone()).unwrap_or("").trim();
    let (message, accepted) = if said.contains("must be quoted") && stretch.is_empty() {
        (
            "there is nothing after the equals sign".to_owned(),
            "a line `key = value`",
        )
    } else if said.contains("must be quoted") && stretch.starts_with(|c: char| c.is_ascii_digit()) {
        (format!("`{stretch}` is not a number"), NUMBERS)
    } else if let Some((_, message, accepted)) = PLAIN.iter().find(|(key, _, _)| said.contains(key)) {
        ((*message).to_owned(), *accepted)
    } else {
        (format!("the line cannot be read: {said}"), OTHERWISE)
    };
    Problem::new(code, message).at(extent, label).accepts(accepted)
}

/// Where the key or heading at this place was first written, and whether it is a heading. Keys are looked for
/// under the same heading only.
fn first_written(text: &str, at: usize) -> (Option<Extent>, bool) {
    let start = text
        .get(..at)
        .and_then(|before| before.rfind('\n'))
        .map_or(0, |end| end + 1);
    let line = |from: usize| {
        text.get(from..)
            .and_then(|rest| rest.lines().next())
            .unwrap_or("")
            .trim()
    };
    let again = line(start);
    let is_heading = again.starts_with('[');
    let name = |line: &str| if is_heading { line.to_owned() } else { key_of(line) };
    let mut found = None;
    let mut from = start;
    while let Some(end) = from.checked_sub(1) {
        from = text
            .get(..end)
            .and_then(|before| before.rfind('\n'))
            .map_or(0, |end| end + 1);
        let earlier = line(from);
        if !is_heading && earlier.starts_with('[') {
            break;
        }
        if !earlier.is_empty() && name(earlier) == name(again) {
            let indent = text.get(from..).map_or(0, |rest| rest.len() - rest.trim_start().len());
            let length = if is_heading {
                earlier.len()
            } else {
                key_of(earlier).len()
            };
            found = Some(from + indent..from + indent + length);
        }
    }
    (found, is_heading)
}

/// What stands before the equals sign of a line; the whole line where there is none.
fn key_of(line: &str) -> String {
    line.split('=').next().unwrap_or(line).trim().to_owned()
}

/// Where the error stands; an error at the end of a line points at the end of its text.
fn place(text: &str, error: &Error) -> (Extent, &'static str) {
    let span = error.span().unwrap_or(text.len()..text.len());
    let start = span.start.min(text.len());
    let end = span.end.clamp(start, text.len());
    if text.get(start..end).is_some_and(|stretch| !stretch.trim().is_empty()) {
        return (
            start..end,
            if error.message().contains("duplicate key") {
                "again here"
            } else {
                "here"
            },
        );
    }
    (start..end, "expected more here")
}

/// The first bracket of a value that nothing closes before a new line begins with a key or a heading, up to
/// the end of its line.
fn open_bracket(text: &str) -> Option<Extent> {
    let mut open: Vec<usize> = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let body = line.trim_start();
        let begins_anew = body.starts_with('[') || is_assignment(body);
        if let Some(first) = open.first().filter(|_| begins_anew) {
            return Some(to_line_end(text, *first));
        }
        // headings open and close on one line
        if !body.starts_with('[') || !open.is_empty() {
            track(line, start, &mut open);
        }
        start += line.len();
    }
    open.first().map(|first| to_line_end(text, *first))
}

/// Whether a line outside all brackets would be `key = value`.
fn is_assignment(line: &str) -> bool {
    let key = line.split('=').next().unwrap_or("");
    line.contains('=')
        && key
            .trim()
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.'))
        && !key.trim().is_empty()
}

/// Follows brackets through a line, past text in quotes and comments.
fn track(line: &str, start: usize, open: &mut Vec<usize>) {
    let mut quote: Option<char> = None;
    for (at, c) in line.char_indices() {
        match (quote, c) {
            (None, '#') => return,
            (None, '"' | '\'') => quote = Some(c),
            (None, '[' | '{') => open.push(start + at),
            (None, ']' | '}') => {
                open.pop();
            }
            (Some(closing), _) if c == closing => quote = None,
            _ => {}
        }
    }
}

fn to_line_end(text: &str, from: usize) -> Extent {
    let rest = text.get(from..).unwrap_or("");
    let line = rest.lines().next().unwrap_or("").trim_end();
    from..from + line.len()
}
