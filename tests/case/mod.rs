//! A case for the command line: the program in an empty environment, a home of its own, a fixed clock.

#![allow(dead_code, clippy::unwrap_used)] // each test file uses its part; a case that cannot be set up has failed

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

/// A folder with files, and the program run in it.
pub struct Case {
    home: TempDir,
    variables: Vec<(String, String)>,
}

/// What a run left.
#[derive(Debug)]
pub struct Run {
    /// Exit code; `None`: killed by a signal.
    pub code: Option<i32>,
    /// Standard output.
    pub out: String,
    /// Error stream.
    pub err: String,
}

impl Case {
    /// An empty home.
    pub fn new() -> Self {
        Self {
            home: tempfile::tempdir().unwrap(),
            variables: Vec::new(),
        }
    }

    /// With a file in it.
    pub fn file(self, name: &str, text: &str) -> Self {
        let path = self.path(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
        self
    }

    /// With a variable in the environment.
    pub fn variable(mut self, name: &str, value: &str) -> Self {
        self.variables.push((name.to_owned(), value.to_owned()));
        self
    }

    /// A path in the home.
    pub fn path(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    /// The home.
    pub fn home(&self) -> &Path {
        self.home.path()
    }

    /// The text of a file in it.
    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// The program, ready to be started there.
    pub fn command(&self, line: &str) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_denib"));
        command
            .args(line.split_whitespace())
            .env_clear()
            .env("HOME", self.home.path())
            .env("TMPDIR", self.home.path())
            .envs(self.variables.iter().map(|(name, value)| (name, value)))
            .current_dir(self.home.path())
            .stdin(Stdio::null());
        command
    }

    /// Runs a line; words are parted at spaces.
    pub fn run(&self, line: &str) -> Run {
        Run::of(&self.command(line).output().unwrap())
    }
}

impl Run {
    /// What a finished program left.
    pub fn of(output: &Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout.clone()).unwrap(),
            err: String::from_utf8(output.stderr.clone()).unwrap(),
        }
    }

    /// Asserts the code and shows everything when it is another.
    #[track_caller]
    pub fn expect(self, code: i32) -> Self {
        assert_eq!(self.code, Some(code), "\nout:\n{}\nerr:\n{}", self.out, self.err);
        self
    }

    /// Asserts that the output holds a text.
    #[track_caller]
    pub fn says(self, text: &str) -> Self {
        assert!(
            self.out.contains(text),
            "{text:?} is not in\n{}\nerr:\n{}",
            self.out,
            self.err
        );
        self
    }

    /// Asserts that the error stream holds a text.
    #[track_caller]
    pub fn tells(self, text: &str) -> Self {
        assert!(
            self.err.contains(text),
            "{text:?} is not in\n{}\nout:\n{}",
            self.err,
            self.out
        );
        self
    }
}

/// A small job: a shelf, two rails, one evening's shellac.
pub const SMALL: &str = r#"
format = 1
title = "Wall shelf"
zone = "Europe/London"
start = "2026-11-30 08:00"
units = { length = "mm", temperature = "C", volume = "L" }
finish = "dewaxed-shellac"

[room]
dust = "separated"
places = { bearers = 4, points = 6, hooks = 4, racks = 8 }

[[room.air]]
day = { temperature = 20, humidity = 50 }

[hours]
mon = ["08:00-12:30", "13:15-17:30"]
tue = ["08:00-12:30", "13:15-17:30"]
wed = ["08:00-12:30", "13:15-17:30"]
thu = ["08:00-12:30", "13:15-17:30"]
fri = ["08:00-12:30", "13:15-17:30"]

[[hands]]
name = "Wren"

[[section]]
id = "shelf"
name = "shelf"

[[part]]
name = "shelf"
shape = "panel"
size = [800, 220, 20]
build = "solid"
material = "oak"
section = "shelf"
holding = "points"

[[part]]
name = "rail"
count = 2
shape = "square"
size = [760, 40, 20]
build = "solid"
material = "oak"
section = "shelf"
holding = "points"
joints = [{ kind = "tenon", count = 2, area = 1800 }]
"#;
