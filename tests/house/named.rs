//! Every file of tests is named by a program that runs it, and every file of tests that is named anywhere is there.

#![allow(clippy::unwrap_used, clippy::panic)] // a test that cannot read the house has failed

use std::collections::BTreeSet;
use std::fs;
use std::path::{Component, Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Files below a folder with one of the endings.
fn files_below(folder: &Path, endings: &[&str], found: &mut BTreeSet<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files_below(&path, endings, found);
        } else if path
            .extension()
            .is_some_and(|ending| endings.iter().any(|one| ending == *one))
        {
            found.insert(path);
        }
    }
}

/// A path with its `..` taken out.
fn straight(path: &Path) -> PathBuf {
    let mut out = PathBuf::new();
    for part in path.components() {
        if part == Component::ParentDir {
            out.pop();
        } else {
            out.push(part);
        }
    }
    out
}

/// The modules a text declares, each with the path beside it, if it has one.
fn declared(text: &str) -> Vec<(&str, Option<&str>)> {
    let mut beside = None;
    let mut found = Vec::new();
    for line in text.lines() {
        if let Some(path) = line
            .strip_prefix("#[path = \"")
            .and_then(|rest| rest.strip_suffix("\"]"))
        {
            beside = Some(path);
            continue;
        }
        let module = line.strip_prefix("pub mod ").or_else(|| line.strip_prefix("mod "));
        if let Some(name) = module.and_then(|rest| rest.strip_suffix(';')) {
            found.push((name, beside));
        }
        beside = None;
    }
    found
}

/// The file of a module that `file` declares.
fn file_of(file: &Path, (name, beside): (&str, Option<&str>)) -> PathBuf {
    let folder = file.parent().unwrap();
    if let Some(path) = beside {
        return straight(&folder.join(path));
    }
    let top = file.ends_with("main.rs") || file.ends_with("mod.rs") || folder == root().join("tests");
    let folder = if top {
        folder.to_owned()
    } else {
        file.with_extension("")
    };
    let single = folder.join(format!("{name}.rs"));
    if single.exists() {
        single
    } else {
        folder.join(name).join("mod.rs")
    }
}

/// The files Cargo makes programs of: those right in `tests`, and every `main.rs` one folder down.
fn programs() -> BTreeSet<PathBuf> {
    let entries = fs::read_dir(root().join("tests"))
        .unwrap()
        .map(|entry| entry.unwrap().path());
    let program = |path: PathBuf| if path.is_dir() { path.join("main.rs") } else { path };
    entries
        .map(program)
        .filter(|path| path.extension().is_some_and(|ending| ending == "rs") && path.exists())
        .collect()
}

#[test]
fn every_file_of_tests_is_in_a_program() {
    let mut reached = programs();
    let mut open: Vec<PathBuf> = reached.iter().cloned().collect();
    while let Some(file) = open.pop() {
        let text = fs::read_to_string(&file).unwrap_or_else(|why| panic!("{}: {why}", file.display()));
        for module in declared(&text) {
            let file = file_of(&file, module);
            if reached.insert(file.clone()) {
                open.push(file);
            }
        }
    }
    let mut there = BTreeSet::new();
    files_below(&root().join("tests"), &["rs"], &mut there);
    let left: Vec<_> = there.difference(&reached).collect();
    assert!(left.is_empty(), "no program runs {left:?}");
}

#[test]
fn a_main_holds_a_line_of_docs_and_its_modules() {
    for file in programs().into_iter().filter(|file| file.ends_with("main.rs")) {
        let text = fs::read_to_string(&file).unwrap();
        let kept = |line: &&str| {
            line.is_empty()
                || line.starts_with("//! ")
                || line.starts_with("#[path = ")
                || line.starts_with("mod ") && line.ends_with(';')
        };
        let other: Vec<&str> = text.lines().filter(|line| !kept(line)).collect();
        assert!(other.is_empty(), "{}: {other:?}", file.display());
        assert!(text.starts_with("//! "), "{}: no docs", file.display());
    }
}

/// What follows a mark in a text, as far as a path or a name goes.
fn after<'a>(text: &'a str, mark: &str) -> Vec<&'a str> {
    let goes_on = |letter: char| letter.is_ascii_alphanumeric() || "_-./*".contains(letter);
    text.match_indices(mark)
        .filter(|(at, _)| !text.get(..*at).unwrap_or_default().ends_with(goes_on))
        .map(|(at, _)| {
            let rest = text.get(at + mark.len()..).unwrap_or_default();
            let end = rest.find(|letter| !goes_on(letter)).unwrap_or(rest.len());
            rest.get(..end).unwrap_or_default().trim_end_matches(['.', '/'])
        })
        .collect()
}

/// Whether it is there: a file or folder of tests; with a `*` in it, anything that begins and ends so.
fn is_there(named: &str) -> bool {
    let path = root().join("tests").join(named);
    let Some((before, behind)) = named.split_once('*') else {
        return path.exists();
    };
    let (folder, begins) = before.rsplit_once('/').unwrap_or(("", before));
    fs::read_dir(root().join("tests").join(folder)).is_ok_and(|mut entries| {
        entries.any(|entry| {
            let name = entry.unwrap().file_name().to_string_lossy().into_owned();
            name.strip_prefix(begins).is_some_and(|rest| rest.ends_with(behind))
        })
    })
}

#[test]
fn every_file_of_tests_that_is_named_is_there() {
    let mut files: BTreeSet<PathBuf> = ["README.md", "DEVELOPERS.md", "CHANGELOG.md", ".ci/run"]
        .map(|paper| root().join(paper))
        .into();
    for folder in ["src", "tests", "benches", "schedules", "demo"] {
        files_below(&root().join(folder), &["rs", "md", "toml", "py"], &mut files);
    }
    let programs = programs();
    let runs = |name: &str| {
        let tests = root().join("tests");
        programs.contains(&tests.join(name).join("main.rs")) || programs.contains(&tests.join(format!("{name}.rs")))
    };
    let (mut count, mut wrong) = (0, Vec::new());
    for file in files {
        // a bad job file is no text at all
        let text = String::from_utf8_lossy(&fs::read(&file).unwrap()).into_owned();
        // in two halves, so that this file does not find itself
        let paths = after(&text, concat!("tests", "/"));
        let commands = after(&text, concat!("--", "test "));
        count += paths.len() + commands.len();
        let gone = paths.iter().filter(|path| !is_there(path));
        wrong.extend(gone.map(|path| format!("{} names {path}", file.display())));
        let gone = commands.iter().filter(|name| !runs(name));
        wrong.extend(gone.map(|name| format!("{} runs {name}", file.display())));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count > 20, "only {count} were found");
}

#[test]
fn what_is_named_is_seen() {
    let text = "see `bench/wall/keys.rs`, (bench/jobs/a-*.toml) and bench/air. Not ../bench/case/mod.rs.";
    assert_eq!(after(text, "bench/"), ["wall/keys.rs", "jobs/a-*.toml", "air"]);
    assert!(is_there("house/named.rs") && is_there("jobs/scenario-*.toml") && is_there("values"));
    assert!(!is_there("house/no_such.rs") && !is_there("jobs/nothing-*.toml"));
    let text = "//! Docs.\n#[path = \"../case/mod.rs\"]\nmod case;\nmod keys;";
    assert_eq!(declared(text), [("case", Some("../case/mod.rs")), ("keys", None)]);
}
