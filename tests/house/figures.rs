//! No figure without its origin: every number the sciences, the balance, the air, the stores and the bench rates rest
//! on says beside it where it comes from, or that it has no source.
//!
//! What counts as saying so, in the comment on the constant: "source:" and a name; "no source"; "from memory";
//! "exact by definition" for units; "source above", where the head of the file names it; or "each row names its
//! source", and then each row has to.

#![allow(clippy::unwrap_used, clippy::panic)] // a test that cannot read the house has failed

use std::fs;
use std::path::{Path, PathBuf};

/// Where figures of the trade and of the sciences stand as constants.
const ROOMS: [&str; 5] = [
    "src/science",
    "src/balance",
    "src/air",
    "src/stores",
    "src/job/rates.rs",
];

/// Words that say how far a row was checked, or that hand its source on.
const CHECKED: [&str; 10] = [
    "Seen",
    "SeenSecondary",
    "Library",
    "library",
    "Computed",
    "MemoryChecked",
    "Memory",
    "memory",
    "MemoryConflict",
    "CommonPractice",
];

fn collect(path: &Path, found: &mut Vec<PathBuf>) {
    if path.is_dir() {
        let entries = fs::read_dir(path).unwrap().map(|entry| entry.unwrap().path());
        for entry in entries {
            collect(&entry, found);
        }
    } else if path.extension().is_some_and(|ending| ending == "rs") && !path.ends_with("tests.rs") {
        found.push(path.to_owned());
    }
}

/// A constant with numbers in it, and the comment on it.
#[derive(Debug, PartialEq)]
struct Figure {
    name: String,
    line: usize,
    comment: String,
    body: String,
}

/// The text with everything inside quotes left out.
fn unquoted(text: &str) -> String {
    let mut inside = false;
    let mut before = ' ';
    let mut out = String::new();
    for letter in text.chars() {
        if letter == '"' && before != '\\' {
            inside = !inside;
        }
        if !inside {
            out.push(letter);
        }
        before = letter;
    }
    out
}

/// Whether a number other than nought is written in it: digits that are no part of a name and no field.
fn has_number(text: &str) -> bool {
    let plain = unquoted(text);
    let mut words = plain.split(|letter: char| !letter.is_alphanumeric() && letter != '_' && letter != '.');
    words.any(|word| {
        word.starts_with(|letter: char| letter.is_ascii_digit())
            && word.contains(|letter: char| ('1'..='9').contains(&letter))
    })
}

/// The constants of a file that hold numbers, each with the comment right above it.
fn figures(text: &str) -> Vec<Figure> {
    let lines: Vec<&str> = text.lines().collect();
    let mut found = Vec::new();
    let mut comment: Vec<&str> = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let code = line.trim_start();
        if let Some(said) = code.strip_prefix("///").or_else(|| code.strip_prefix("// ")) {
            comment.push(said.trim());
            continue;
        }
        if code.starts_with("#[") {
            continue;
        }
        if let Some(name) = constant(code) {
            let body = declared(&lines[at..]);
            // what stands after the type: a count of rows is no figure
            let value = body.split_once('=').map_or("", |(_, value)| value);
            if has_number(value) {
                found.push(Figure {
                    name,
                    line: at + 1,
                    comment: comment.join(" "),
                    body: value.to_owned(),
                });
            }
        }
        comment.clear();
    }
    found
}

/// The name of the constant a line begins.
fn constant(code: &str) -> Option<String> {
    let mut rest = code;
    for before in ["pub(crate) ", "pub(super) ", "pub "] {
        rest = rest.strip_prefix(before).unwrap_or(rest);
    }
    let rest = rest.strip_prefix("const ").or_else(|| rest.strip_prefix("static "))?;
    let (name, _) = rest.split_once(':')?;
    let upper = |letter: char| letter.is_ascii_uppercase() || letter.is_ascii_digit() || letter == '_';
    (!name.is_empty() && name.chars().all(upper)).then(|| name.to_owned())
}

/// A declaration up to the semicolon that ends it.
fn declared(lines: &[&str]) -> String {
    let mut depth = 0_i64;
    let mut body = String::new();
    for line in lines {
        body.push_str(line);
        body.push('\n');
        for letter in unquoted(line).chars() {
            match letter {
                '[' | '(' | '{' => depth += 1,
                ']' | ')' | '}' => depth -= 1,
                ';' if depth == 0 => return body,
                _ => {}
            }
        }
    }
    body
}

/// The rows of a table: what stands between its commas.
fn rows(body: &str) -> Vec<String> {
    let open = body.find('[').map_or(0, |at| at + 1);
    let (mut depth, mut inside, mut rows) = (0_i64, false, vec![String::new()]);
    for letter in body.get(open..).unwrap_or_default().chars() {
        inside ^= letter == '"';
        match letter {
            '[' | '(' | '{' if !inside => depth += 1,
            ']' | ')' | '}' if !inside => depth -= 1,
            ',' if !inside && depth == 0 => {
                rows.push(String::new());
                continue;
            }
            _ => {}
        }
        if depth < 0 {
            break;
        }
        rows.last_mut().unwrap().push(letter);
    }
    rows.retain(|row| !row.trim().is_empty());
    rows
}

/// Whether a row says how far it was checked, or ends with its source.
fn names_its_source(row: &str) -> bool {
    let words: Vec<&str> = row
        .split(|letter: char| !letter.is_alphanumeric() && letter != '_')
        .collect();
    let inner = row.trim().trim_end_matches(')').trim().trim_end_matches(',').trim_end();
    words.iter().any(|word| CHECKED.contains(word)) || inner.ends_with('"') && !inner.ends_with("\"\"")
}

/// What is missing from a figure, if anything is.
fn lacks(figure: &Figure, head: &str) -> Option<&'static str> {
    let said = figure.comment.to_lowercase();
    if let Some((_, source)) = said.split_once("source: ") {
        return (!source.starts_with(char::is_alphanumeric)).then_some("an empty source");
    }
    if said.contains("each row names its source") {
        let rows = rows(&figure.body);
        let all = !rows.is_empty() && rows.iter().all(|row| names_its_source(row));
        return (!all).then_some("a row without its source");
    }
    if said.contains("source above") || said.contains("sources above") {
        let named = ["Source:", "Sources:", "Source of ", "Sources differ"]
            .iter()
            .any(|word| head.contains(word));
        return (!named).then_some("no source in the head of the file");
    }
    let marks = ["no source", "from memory", "exact by definition"];
    (!marks.iter().any(|mark| said.contains(mark))).then_some("no origin")
}

fn head(text: &str) -> String {
    let lines = text.lines().take_while(|line| line.starts_with("//!"));
    lines.map(|line| line.trim_start_matches("//!")).collect()
}

#[test]
fn every_figure_says_where_it_comes_from() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    for room in ROOMS {
        collect(&root.join(room), &mut files);
    }
    files.sort();
    let (mut count, mut wrong) = (0, Vec::new());
    for path in files {
        let text = fs::read_to_string(&path).unwrap();
        let named = path.strip_prefix(root).unwrap().display().to_string();
        let head = head(&text);
        for figure in figures(&text) {
            count += 1;
            if let Some(what) = lacks(&figure, &head) {
                wrong.push(format!(
                    "{named}:{} {}: {what} ({})",
                    figure.line, figure.name, figure.comment
                ));
            }
        }
        // figures that are no constants: rates in a macro's rows or in a default
        let rates = named.ends_with("rates.rs");
        if rates && !head.contains("common practice, no source") {
            wrong.push(format!(
                "{named}: the head does not say that its rates are common practice, no source"
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {count} figures:\n{}",
        wrong.len(),
        wrong.join("\n")
    );
    assert!(count > 40, "only {count} figures were found");
}

#[test]
fn a_figure_without_its_origin_is_found() {
    let cases = [
        ("/// Litres.\nconst ONE: f64 = 3.0;", Some("no origin")),
        ("const ONE: [f64; 2] = [1.0, 2.0];", Some("no origin")),
        (
            "/// Far off (source: ).\nconst ONE: f64 = 3.0;",
            Some("an empty source"),
        ),
        (
            "/// Source above.\nconst ONE: f64 = 3.0;",
            Some("no source in the head of the file"),
        ),
        (
            "/// Each row names its source.\nconst ONE: &[Row] = &[\n    row(1.0, \"\"),\n];",
            Some("a row without its source"),
        ),
        (
            "/// Each row names its source.\nconst ONE: &[Row] = &[row(1.0, Seen), row(2.0)];",
            Some("a row without its source"),
        ),
        (
            "/// Each row names its source.\nconst ONE: &[Row] = &[row(1.0, Seen), row(2.0, \"a page\")];",
            None,
        ),
        ("/// Litres (source: the law).\nconst ONE: f64 = 3.0;", None),
        (
            "/// Judgement, no source.\n#[rustfmt::skip]\npub(super) const ONE: f64 = 3.0;",
            None,
        ),
    ];
    for (text, wanted) in cases {
        let found = figures(text);
        assert_eq!(found.len(), 1, "{text}");
        assert_eq!(lacks(&found[0], ""), wanted, "{text}");
    }
    assert_eq!(
        figures("const NAME: &str = \"29 CFR 1910\";\nconst COUNT: [&str; 2] = [A, B];"),
        Vec::new()
    );
    assert_eq!(
        lacks(
            &figures("/// Source above.\nconst ONE: f64 = 3.0;")[0],
            "Source: a book"
        ),
        None
    );
}
