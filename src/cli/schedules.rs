//! Which finish schedules are at hand: the shipped ones, then the maker's own.
//!
//! Invariant: a schedule of the maker's replaces the shipped one of the same id; a folder named on the
//! command line counts before the maker's standing one.

use super::context::Context;
use super::failure::Failure;
use super::files::{list_toml, read_text};
use super::options::LookOptions;
use crate::finish::{self, Schedule};
use crate::source::{Look, Problem, SourceFile, render};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Schedules by id.
pub type Schedules = BTreeMap<String, Schedule>;

/// Folders of the maker's own schedules: the standing one, then the one named.
pub fn own_folders(named: Option<&Path>, context: &Context<'_>) -> Vec<PathBuf> {
    let standing = context.folders.schedules.clone().filter(|folder| folder.is_dir());
    standing.into_iter().chain(named.map(Path::to_owned)).collect()
}

/// The shipped schedules with those of folders laid over them; else what is wrong, as printed.
pub fn read_schedules(folders: &[PathBuf]) -> Result<Schedules, Vec<String>> {
    let mut schedules = finish::shipped();
    let mut faults = Vec::new();
    for folder in folders {
        match read_folder(folder) {
            Ok((files, problems)) => {
                let errors: Vec<Problem> = problems.into_iter().filter(Problem::is_error).collect();
                if errors.is_empty() {
                    add(&files, &mut schedules);
                } else {
                    faults.extend(printed(&errors, &files.iter().collect::<Vec<_>>()));
                }
            }
            Err(failure) => faults.push(failure.text().to_owned()),
        }
    }
    if faults.is_empty() { Ok(schedules) } else { Err(faults) }
}

/// Problems as the wall shows them, line by line.
pub(super) fn printed(problems: &[Problem], files: &[&SourceFile]) -> Vec<String> {
    let look = Look {
        colour: false,
        ascii: false,
        width: 78,
    };
    render(problems, files, look).lines().map(str::to_owned).collect()
}

/// Gathers the schedules; problems in the maker's own files are said and end the command.
pub fn gather(named: Option<&Path>, look: LookOptions, context: &mut Context<'_>) -> Result<Schedules, Failure> {
    let mut schedules = finish::shipped();
    for folder in own_folders(named, context) {
        let (files, problems) = read_folder(&folder)?;
        if !problems.is_empty() {
            let files: Vec<&SourceFile> = files.iter().collect();
            context.tell(&render(&problems, &files, look.problems(context)))?;
        }
        if problems.iter().any(Problem::is_error) {
            let text = format!("finish schedules in {} have errors", folder.display());
            return Err(Failure::no_plan(text));
        }
        add(&files, &mut schedules);
    }
    Ok(schedules)
}

/// The files of a folder, and what is wrong with them.
fn read_folder(folder: &Path) -> Result<(Vec<SourceFile>, Vec<Problem>), Failure> {
    let mut files: Vec<SourceFile> = Vec::new();
    let mut problems: Vec<Problem> = Vec::new();
    for path in list_toml(folder)? {
        let (file, no_text) = read_text(&path)?;
        problems.extend(no_text);
        files.push(file);
    }
    // two files of one folder with the same id are a problem; two folders with the same id are not
    problems.extend(finish::with_folder(&files).1);
    Ok((files, problems))
}

fn add(files: &[SourceFile], schedules: &mut Schedules) {
    for schedule in files.iter().filter_map(|file| finish::read(file).0) {
        schedules.insert(schedule.id.clone(), schedule);
    }
}
