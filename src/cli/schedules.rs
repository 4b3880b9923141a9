//! Which finish schedules are at hand: the shipped ones, then the maker's own.
//!
//! Invariant: a schedule of the maker's replaces the shipped one of the same id; a folder named on the
//! command line counts before the maker's standing one.

use super::context::Context;
use super::failure::Failure;
use super::files::{list_toml, read_text};
use super::options::LookOptions;
use crate::finish::{self, Schedule};
use crate::source::{Problem, SourceFile, render};
use std::collections::BTreeMap;
use std::path::Path;

/// Schedules by id.
pub type Schedules = BTreeMap<String, Schedule>;

/// Gathers the schedules; problems in the maker's own files are said and end the command.
pub fn gather(named: Option<&Path>, look: LookOptions, context: &mut Context<'_>) -> Result<Schedules, Failure> {
    let mut schedules = finish::shipped();
    let standing = context.folders.schedules.clone().filter(|folder| folder.is_dir());
    for folder in standing.as_deref().into_iter().chain(named) {
        read_folder(folder, &mut schedules, look, context)?;
    }
    Ok(schedules)
}

fn read_folder(
    folder: &Path,
    schedules: &mut Schedules,
    look: LookOptions,
    context: &mut Context<'_>,
) -> Result<(), Failure> {
    let mut files: Vec<SourceFile> = Vec::new();
    let mut problems: Vec<Problem> = Vec::new();
    for path in list_toml(folder)? {
        let (file, no_text) = read_text(&path)?;
        problems.extend(no_text);
        files.push(file);
    }
    // two files of one folder with the same id are a problem; two folders with the same id are not
    problems.extend(finish::with_folder(&files).1);
    for schedule in files.iter().filter_map(|file| finish::read(file).0) {
        schedules.insert(schedule.id.clone(), schedule);
    }
    if !problems.is_empty() {
        let files: Vec<&SourceFile> = files.iter().collect();
        context.tell(&render(&problems, &files, look.problems(context)))?;
    }
    if problems.iter().any(Problem::is_error) {
        let text = format!("finish schedules in {} have errors", folder.display());
        return Err(Failure::no_plan(text));
    }
    Ok(())
}
