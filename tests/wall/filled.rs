//! Forms of the maker's file opened, filled in and written, for the tests of what they reach.
//!
//! Invariant: a form that cannot be opened, a line it does not have, or a file that cannot be read fails the test.

#![allow(clippy::panic, clippy::expect_used)]

use crate::wall_bench::{MemoryBench, at, played};
use denib::job::edit::apply;
use denib::source::SourceFile;
use denib::tui::edits;
use denib::tui::field::Field;
use denib::tui::form::{Form, Value};
use denib::tui::task::Task;
use std::sync::Arc;

/// The demo's job.
pub const DEMO: &str = include_str!("../../demo/linen-press.toml");

/// A bench with a file.
pub fn bench(text: &str) -> MemoryBench {
    let mut bench = MemoryBench::new();
    bench.text = Arc::from(text);
    let (job, problems) = denib::job::read(&SourceFile::new("job.toml", text), &denib::finish::shipped());
    bench.job = Arc::new(job.unwrap_or_else(|| panic!("{problems:#?}")));
    bench
}

/// What is filled in, and its form.
pub type Opened = (Task, Form);

/// Opens a form on a file.
pub fn open(text: &str, opens: impl Fn(&denib::tui::bench::Sheet) -> Option<Opened>) -> Opened {
    let model = played(&mut bench(text), at(0, 8, 0), "").model;
    opens(&model.sheet).expect("the form opens")
}

/// Types into a line, or chooses its word.
pub fn fill(form: &mut Form, label: &str, text: &str) {
    let entry = form.entries.iter_mut().find(|entry| entry.label == label);
    let entry = entry.unwrap_or_else(|| panic!("no line {label}"));
    match &mut entry.value {
        Value::Text(field) => *field = Field::with(text),
        Value::One(words, at) => *at = words.iter().position(|word| word == text).expect("a word of the line"),
        Value::Some(words, _) => words.iter_mut().for_each(|word| word.1 = text.contains(&word.0)),
    }
}

/// The file after a form was filled in, and its lines that are others now.
pub fn written(
    text: &str,
    opens: impl Fn(&denib::tui::bench::Sheet) -> Option<Opened>,
    lines: &[(&str, &str)],
) -> (String, Vec<String>) {
    let (task, mut form) = open(text, opens);
    for (label, typed) in lines {
        fill(&mut form, label, typed);
    }
    let (edits, _) = edits::changes(&task, &form).expect("a form of the file");
    let new = apply(text, &edits).unwrap_or_else(|cannot| panic!("{cannot}"));
    let comments = |text: &str| text.lines().filter(|line| line.contains('#')).count();
    assert_eq!(comments(&new), comments(text), "comments stay");
    let mut come: Vec<&str> = new.lines().collect();
    for line in text.lines() {
        if let Some(at) = come.iter().position(|other| *other == line) {
            come.remove(at);
        }
    }
    let come = come
        .into_iter()
        .filter(|line| !line.is_empty())
        .map(str::to_owned)
        .collect();
    (new, come)
}

/// The job of a file that has to be sound.
#[track_caller]
pub fn reads(text: &str) -> denib::job::Job {
    let (job, problems) = denib::job::read(&SourceFile::new("job.toml", text), &denib::finish::shipped());
    job.unwrap_or_else(|| panic!("{problems:#?}\n{text}"))
}
