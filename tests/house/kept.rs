//! How the house is kept: file sizes, names, what stands at the top of a file, and what the papers may say.

#![allow(clippy::unwrap_used)] // a test that cannot read the house has failed

use std::fs;
use std::path::{Path, PathBuf};

/// Files are split before they grow past this.
const MOST_LINES: usize = 600;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn collect(folder: &Path, found: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    let mut entries: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    entries.sort();
    for entry in entries {
        if entry.is_dir() {
            collect(&entry, found);
        } else {
            found.push(entry);
        }
    }
}

fn files_in(folders: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for folder in folders {
        collect(&root().join(folder), &mut found);
    }
    found
}

fn is_rust(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "rs")
}

fn named(path: &Path) -> String {
    path.strip_prefix(root()).unwrap_or(path).display().to_string()
}

#[test]
fn no_file_is_too_long() {
    let mut wrong = Vec::new();
    for path in files_in(&["src", "tests", "benches"])
        .into_iter()
        .filter(|path| is_rust(path))
    {
        let lines = fs::read_to_string(&path).unwrap().lines().count();
        if lines > MOST_LINES {
            wrong.push(format!("{}: {lines} lines", named(&path)));
        }
    }
    assert!(wrong.is_empty(), "split these:\n{}", wrong.join("\n"));
}

#[test]
fn no_dumping_grounds() {
    let words = [
        "util", "utils", "helper", "helpers", "common", "misc", "stuff", "manager",
    ];
    for path in files_in(&["src", "tests", "benches"]) {
        let stem = path.file_stem().unwrap_or_default().to_string_lossy().to_lowercase();
        let folder = path
            .parent()
            .and_then(Path::file_name)
            .unwrap_or_default()
            .to_string_lossy()
            .to_lowercase();
        assert!(
            !words.contains(&stem.as_str()),
            "{}: name it after what it holds",
            named(&path)
        );
        assert!(
            !words.contains(&folder.as_str()),
            "{}: name its folder after what it holds",
            named(&path)
        );
    }
}

#[test]
fn every_source_file_opens_with_a_sentence_and_its_invariant() {
    let mut wrong = Vec::new();
    let is_tests = |path: &Path| {
        path.file_name()
            .is_some_and(|name| name.to_string_lossy().ends_with("tests.rs"))
    };
    for path in files_in(&["src"])
        .into_iter()
        .filter(|path| is_rust(path) && !is_tests(path))
    {
        let text = fs::read_to_string(&path).unwrap();
        let docs: Vec<&str> = text
            .lines()
            .take_while(|line| line.starts_with("//!"))
            .filter_map(|line| line.strip_prefix("//!"))
            .map(str::trim)
            .collect();
        let opening: String = docs
            .iter()
            .copied()
            .take_while(|line| !line.is_empty())
            .collect::<Vec<_>>()
            .join(" ");
        let sentence = opening.starts_with(|first: char| first.is_alphanumeric() || first == '`')
            && opening.ends_with(['.', '?', ':']);
        if !sentence {
            wrong.push(format!("{}: no opening sentence", named(&path)));
        } else if !docs.iter().any(|line| line.starts_with("Invariant:")) {
            wrong.push(format!("{}: no `Invariant:`", named(&path)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn nothing_is_left_for_later_in_the_code() {
    // written in two halves so that this file does not find itself
    let marks = [
        concat!("todo", "!("),
        concat!("unimplemented", "!("),
        concat!("#[ig", "nore"),
        concat!("FIX", "ME"),
    ];
    let mut wrong = Vec::new();
    for path in files_in(&["src", "tests", "benches"])
        .into_iter()
        .filter(|path| is_rust(path))
    {
        let text = fs::read_to_string(&path).unwrap();
        wrong.extend(
            marks
                .iter()
                .filter(|mark| text.contains(*mark))
                .map(|mark| format!("{}: {mark}", named(&path))),
        );
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_papers_are_there() {
    for paper in [
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "LICENSE-MIT",
        "LICENSE-APACHE",
        ".ci/run",
    ] {
        let text = fs::read_to_string(root().join(paper)).unwrap_or_default();
        assert!(text.lines().count() > 5, "{paper} is missing or empty");
    }
    let apache = fs::read_to_string(root().join("LICENSE-APACHE")).unwrap();
    assert!(apache.contains("Version 2.0, January 2004") && apache.contains("END OF TERMS AND CONDITIONS"));
    let changelog = fs::read_to_string(root().join("CHANGELOG.md")).unwrap();
    assert!(changelog.contains("Unreleased"));
}
