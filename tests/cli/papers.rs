//! What the papers show is what the program prints.
//!
//! `UPDATE_PAPERS=1 cargo test --test cli papers::` writes the shown output anew.

#![allow(clippy::unwrap_used)] // a paper that cannot be read has failed

use crate::case::Case;
use std::path::Path;

/// Lines of the demo's plan that the README shows.
const SHOWN: usize = 48;

/// The text between two marks of a paper, and the paper with another text there.
fn shown(paper: &str, mark: &str, new: &str) -> (String, String) {
    let (open, close) = (format!("<!-- {mark} -->\n```text\n"), format!("```\n<!-- /{mark} -->"));
    let (before, rest) = paper.split_once(&open).unwrap();
    let (old, after) = rest.split_once(&close).unwrap();
    (old.to_owned(), format!("{before}{open}{new}{close}{after}"))
}

fn compare(mark: &str, new: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let paper = std::fs::read_to_string(&path).unwrap();
    let (old, updated) = shown(&paper, mark, new);
    if std::env::var_os("UPDATE_PAPERS").is_some() {
        std::fs::write(&path, updated).unwrap();
        return;
    }
    assert_eq!(
        old, new,
        "README.md shows something else under {mark}; UPDATE_PAPERS=1 writes it anew"
    );
}

#[test]
fn the_readme_shows_the_demos_plan() {
    let run = Case::new().run("demo").expect(0);
    let lines: Vec<&str> = run.out.lines().take(SHOWN).collect();
    assert_eq!(lines.len(), SHOWN);
    compare("demo-plan", &format!("{}\n...\n", lines.join("\n").trim_end()));
}

#[test]
fn the_readme_shows_the_wall() {
    let case = Case::new();
    case.run("demo --into .").expect(0);
    case.run("plan linen-press.toml --take --now 2026-11-30T08:00:00Z")
        .expect(0);
    // the pages as their keys bring them up, and where the README shows them
    for (mark, keys) in [
        ("wall", ""),
        ("wall-day", " --keys 3w"),
        ("wall-air", " --keys 5<right>"),
    ] {
        let run = case
            .run(&format!(
                "wall linen-press.toml --print --now 2026-11-30T08:00:00Z{keys}"
            ))
            .expect(0);
        let lines: Vec<&str> = run.out.lines().map(str::trim_end).collect();
        compare(mark, &format!("{}\n", lines.join("\n").trim_end()));
    }
}

#[test]
fn the_readme_names_every_command_and_its_two_commands_are_ours() {
    let paper = include_str!("../../README.md");
    let help = Case::new().run("--help").expect(0).out;
    let commands = help.lines().skip_while(|line| !line.starts_with("Commands:")).skip(1);
    let names = commands
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.strip_prefix("  "));
    for name in names
        .filter_map(|line| line.split_whitespace().next())
        .filter(|name| *name != "help")
    {
        // lines of a long description begin with a space too; only names are looked for
        if help.contains(&format!("\n  {name} ")) {
            assert!(
                paper.contains(&format!("denib {name}")),
                "README.md does not name {name}"
            );
        }
    }
    assert!(paper.contains("cargo run --release --locked -- demo"));
    assert!(paper.contains("cargo test --locked"));
}
