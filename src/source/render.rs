//! Problems as a person reads them: file, line, column, the text underlined, what is accepted.
//!
//! Invariant: nothing printed holds a control character other than line ends and our own colours.

use super::file::SourceFile;
use super::problem::{Problem, Severity};
use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet};

/// How problems are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// With colours.
    pub colour: bool,
    /// With plain ASCII rules instead of drawn ones.
    pub ascii: bool,
    /// Columns at hand.
    pub width: usize,
}

impl Default for Look {
    fn default() -> Self {
        Self {
            colour: false,
            ascii: true,
            width: 100,
        }
    }
}

/// Problems, one under the other, with a blank line between; `files` are where their text is looked up.
pub fn render(problems: &[Problem], files: &[&SourceFile], look: Look) -> String {
    let renderer = if look.colour {
        Renderer::styled().hyperlink(false)
    } else {
        Renderer::plain()
    };
    let decor = if look.ascii {
        DecorStyle::Ascii
    } else {
        DecorStyle::Unicode
    };
    let renderer = renderer.decor_style(decor).term_width(look.width.clamp(40, 1000));
    let mut out = String::new();
    for problem in problems {
        let text = files
            .iter()
            .find(|file| file.name == problem.file)
            .map_or("", |file| file.text.as_str());
        let text = same_length_visible(text);
        out.push_str(&renderer.render(&[group(problem, &text, look.width)]));
        out.push_str("\n\n");
    }
    // rules that end on a space read the same without it
    let lines: Vec<&str> = out.trim_end().lines().map(str::trim_end).collect();
    let mut out = lines.join("\n");
    if !out.is_empty() {
        out.push('\n');
    }
    out
}

/// One line that counts: `2 errors, 1 warning`; empty where there are none.
pub fn summary(problems: &[Problem]) -> String {
    let count = |severity, word: &str| {
        let number = problems.iter().filter(|problem| problem.severity() == severity).count();
        (number > 0).then(|| format!("{number} {word}{}", if number == 1 { "" } else { "s" }))
    };
    let parts = [count(Severity::Error, "error"), count(Severity::Warning, "warning")];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn group<'a>(problem: &'a Problem, text: &'a str, width: usize) -> Group<'a> {
    let level = match problem.severity() {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = level.primary_title(visible(&problem.message)).id(problem.code.name());
    let mut group = Group::with_title(title);
    let path = visible(&problem.file);
    if problem.marks.is_empty() {
        group = group.element(Origin::path(path));
    } else {
        let marks = problem.marks.iter().enumerate().map(|(index, mark)| {
            let kind = if index == 0 {
                AnnotationKind::Primary
            } else {
                AnnotationKind::Context
            };
            kind.span(inside(text, &mark.extent)).label(visible(&mark.label))
        });
        let snippet: Snippet<'_, Annotation<'_>> = Snippet::source(text).path(path).annotations(marks);
        group = group.element(snippet);
    }
    if !problem.accepted.is_empty() {
        // the line begins with the rule and the word
        let accepted = wrap(&visible(&problem.accepted), width.saturating_sub(18));
        group = group.element(Level::HELP.with_name("accepted").message(accepted));
    }
    if let Some(nearest) = &problem.nearest {
        group = group.element(Level::HELP.with_name("nearest").message(visible(nearest)));
    }
    group
}

/// Breaks a line between words.
fn wrap(text: &str, width: usize) -> String {
    let width = width.max(20);
    let (mut out, mut used) = (String::new(), 0);
    for word in text.split(' ') {
        let size = unicode_width::UnicodeWidthStr::width(word);
        if used > 0 && used + 1 + size > width {
            out.push('\n');
            used = 0;
        } else if !out.is_empty() {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += size;
    }
    out
}

/// The extent cut to the text and to whole characters.
fn inside(text: &str, extent: &std::ops::Range<usize>) -> std::ops::Range<usize> {
    let floor = |at: usize| {
        (0..=at.min(text.len()))
            .rev()
            .find(|at| text.is_char_boundary(*at))
            .unwrap_or(0)
    };
    let start = floor(extent.start);
    start..floor(extent.end).max(start)
}

/// Text with its control characters made visible: `␛` for escape, `�` for those without a picture.
pub fn visible(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)).unwrap_or('\u{fffd}'),
            '\u{7f}' => '\u{2421}',
            '\u{80}'..='\u{9f}'
            | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2066}'..='\u{2069}'
            | '\u{feff}' => '\u{fffd}',
            _ => c,
        })
        .collect()
}

/// A file's text with those control characters replaced that the snippet printer leaves alone; byte for
/// byte as long as it was, so that places still fit. (The printer shows the rest, `␛` for escape.)
fn same_length_visible(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\u{80}'..='\u{9f}' => '\u{bf}',
            '\u{200b}'..='\u{200f}' | '\u{2028}' | '\u{2029}' | '\u{feff}' => '\u{fffd}',
            _ => c,
        })
        .collect()
}
