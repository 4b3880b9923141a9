//! The rooms of the house and who may use whom.
//!
//! The order of the rooms is that of `src/lib.rs`: a room uses only rooms listed above it there.

#![allow(clippy::unwrap_used)] // a test that cannot read the house has failed

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

fn house() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Rooms in the order of `src/lib.rs`.
fn rooms() -> Vec<String> {
    let lib = fs::read_to_string(house().join("lib.rs")).unwrap();
    let rooms = lib
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'));
    rooms.map(str::to_owned).collect()
}

fn files_below(folder: &Path, found: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for entry in entries {
        if entry.is_dir() {
            files_below(&entry, found);
        } else if entry.extension().is_some_and(|ending| ending == "rs") {
            found.push(entry);
        }
    }
}

/// Source files by their path below `src`, without those that only tests see.
fn sources() -> BTreeMap<String, String> {
    let mut paths = Vec::new();
    files_below(&house(), &mut paths);
    let read: BTreeMap<String, String> = paths
        .iter()
        .map(|path| {
            let name = path.strip_prefix(house()).unwrap().to_string_lossy().replace('\\', "/");
            (name, fs::read_to_string(path).unwrap())
        })
        .collect();
    let mut only_tests: Vec<String> = Vec::new();
    for (name, text) in &read {
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        for pair in lines.windows(2) {
            let module = pair[1].trim_start_matches("pub(super) ").strip_prefix("mod ");
            if let (true, Some(module)) = (
                pair[0] == "#[cfg(test)]",
                module.and_then(|rest| rest.strip_suffix(';')),
            ) {
                let folder = match name.strip_suffix("/mod.rs") {
                    Some(folder) => folder.to_owned(),
                    None => name.trim_end_matches(".rs").to_owned(),
                };
                only_tests.push(format!("{folder}/{module}"));
            }
        }
    }
    let is_test = |name: &str| {
        only_tests
            .iter()
            .any(|module| name == format!("{module}.rs") || name.starts_with(&format!("{module}/")))
    };
    read.into_iter()
        .filter(|(name, _)| !is_test(name))
        .map(|(name, text)| (name, without_tests(&text)))
        .collect()
}

/// The code of a file: comments gone, and everything from an inline test module on.
fn without_tests(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let end = lines
        .windows(2)
        .position(|pair| pair[0].trim() == "#[cfg(test)]" && pair[1].contains("mod ") && pair[1].trim().ends_with('{'))
        .unwrap_or(lines.len());
    let code = lines
        .iter()
        .take(end)
        .filter(|line| !line.trim_start().starts_with("//"));
    code.copied().collect::<Vec<_>>().join("\n")
}

/// Rooms a piece of code names behind `crate::`, singly or in braces.
fn rooms_used(code: &str) -> Vec<String> {
    let mut used = Vec::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = code.get(at + "crate::".len()..).unwrap_or_default();
        if let Some(list) = rest.strip_prefix('{') {
            let mut depth = 0;
            let mut word = String::new();
            let mut takes = true;
            for letter in list.chars() {
                match letter {
                    '{' => depth += 1,
                    '}' if depth == 0 => break,
                    '}' => depth -= 1,
                    ',' if depth == 0 => {
                        used.push(std::mem::take(&mut word));
                        takes = true;
                    }
                    ':' if depth == 0 => takes = false,
                    letter if depth == 0 && takes && (letter.is_alphanumeric() || letter == '_') => word.push(letter),
                    _ => {}
                }
            }
            used.push(word);
        } else {
            used.push(
                rest.chars()
                    .take_while(|letter| letter.is_alphanumeric() || *letter == '_')
                    .collect(),
            );
        }
    }
    used.retain(|room| !room.is_empty());
    used
}

fn room_of(name: &str) -> &str {
    name.split('/').next().unwrap_or(name)
}

#[test]
fn the_reader_of_this_test_sees_every_use() {
    assert_eq!(rooms_used("use crate::job::{Job, Part};"), ["job"]);
    assert_eq!(
        rooms_used("use crate::{finish::{self, Step}, job, units::Moment};"),
        ["finish", "job", "units"]
    );
    assert_eq!(
        rooms_used("let x: crate::log::Record = y; crate::tui::run()"),
        ["log", "tui"]
    );
    let text = "use a;\n// crate::tui\n#[cfg(test)]\nmod tests {\n use crate::tui;\n}";
    assert_eq!(without_tests(text), "use a;");
}

#[test]
fn lib_lists_every_room_once() {
    let mut listed = rooms();
    let mut there: Vec<String> = fs::read_dir(house())
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.is_dir())
        .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
        .collect();
    listed.sort();
    there.sort();
    assert_eq!(listed, there);
}

#[test]
fn a_room_uses_only_rooms_above_it() {
    let order = rooms();
    let level = |room: &str| order.iter().position(|one| one == room);
    let mut wrong = Vec::new();
    for (name, code) in sources() {
        if matches!(name.as_str(), "lib.rs" | "main.rs") {
            continue;
        }
        let room = room_of(&name);
        let own = level(room).unwrap_or_else(|| panic!("{name} is in no room that src/lib.rs lists"));
        for used in rooms_used(&code) {
            match level(&used) {
                Some(other) if other <= own => {}
                Some(_) => wrong.push(format!("{name} uses {used}, which stands below {room}")),
                // macros and items of the crate's root: there are none
                None => wrong.push(format!("{name} names crate::{used}, which is no room")),
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_planner_uses_no_other_room() {
    for (name, code) in sources() {
        if room_of(&name) == "planner" {
            let others: Vec<String> = rooms_used(&code).into_iter().filter(|room| room != "planner").collect();
            assert!(others.is_empty(), "{name} uses {others:?}");
        }
    }
}

/// What only some files may reach for, and which they are (a trailing `/` or a bare stem means all below).
const OUTSIDE: [(&str, &[&str]); 20] = [
    ("std::env", &["main.rs", "tui/terminal"]),
    ("env::var", &["main.rs", "tui/terminal"]),
    ("SystemTime::now", &["main.rs", "tui/terminal"]),
    ("Instant::now", &["main.rs", "tui/terminal"]),
    ("Utc::now", &["main.rs", "tui/terminal"]),
    ("Local::now", &["main.rs", "tui/terminal"]),
    ("io::stdin", &["main.rs", "tui/terminal"]),
    ("io::stdout", &["main.rs", "tui/terminal"]),
    ("io::stderr", &["main.rs", "tui/terminal"]),
    ("println!", &[]),
    ("print!", &[]),
    ("etcetera", &["main.rs"]),
    ("signal_hook", &["main.rs", "tui/terminal"]),
    ("crossterm::event::read", &["tui/terminal"]),
    ("crossterm::terminal", &["tui/terminal"]),
    ("rustix::termios", &["main.rs", "tui/terminal"]),
    ("std::fs", &["main.rs", "cli/files.rs", "log/file.rs", "tui/terminal"]),
    ("File::open", &["cli/files.rs", "log/file.rs"]),
    ("tempfile::", &["cli/demo.rs", "cli/files.rs", "cli/wall.rs"]),
    ("process::exit", &[]),
];

#[test]
fn clock_environment_terminal_and_disk_are_reached_from_few_places() {
    let mut wrong = Vec::new();
    for (name, code) in sources() {
        for (token, allowed) in OUTSIDE {
            let may = allowed.iter().any(|place| name == *place || name.starts_with(place));
            if !may && code.contains(token) {
                wrong.push(format!("{name} uses {token}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
