//! The maker's file behind a bench: read, checked, changed, read again.
//!
//! Invariant: what is held is the last text that made a job; the file on the disk is only ever replaced by
//! one that makes a job too, whole or not at all.

use super::failure::Failure;
use super::files::{read_text, replace, write_new};
use super::schedules::{Schedules, read_schedules};
use crate::job::edit::{Edit, Place, Written, apply};
use crate::job::{self, Job};
use crate::source::{Code, Look, Problem, SourceFile, render};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What reading again gave.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fresh {
    /// Others wrote into the log.
    pub log: bool,
    /// The job is another.
    pub job: bool,
    /// What is wrong with the file now, as printed; the last good one is kept. `None`: nothing new to say.
    pub problems: Option<Vec<String>>,
}

/// The file.
#[derive(Clone, Debug)]
pub struct JobFile {
    /// Where it is; `None` before the first change of a job that is only begun.
    path: Option<PathBuf>,
    /// The folder it will be put into.
    folder: PathBuf,
    /// The text of the last job that was sound.
    text: Arc<str>,
    /// The text on the disk when it was last looked at.
    seen: Arc<str>,
    schedules: Schedules,
    /// Folders of the maker's own schedules, the standing one first.
    own: Vec<PathBuf>,
}

impl JobFile {
    /// A file that was read.
    pub fn read(path: &Path, text: &str, schedules: Schedules, own: Vec<PathBuf>) -> Self {
        let text: Arc<str> = Arc::from(text);
        Self {
            path: Some(path.to_owned()),
            folder: path.parent().map(Path::to_owned).unwrap_or_default(),
            seen: Arc::clone(&text),
            text,
            schedules,
            own,
        }
    }

    /// A job that is only begun: its text, and the folder its file will be put into.
    pub fn begun(folder: &Path, text: &str, schedules: Schedules, own: Vec<PathBuf>) -> Self {
        Self {
            path: None,
            folder: folder.to_owned(),
            ..Self::read(Path::new(""), text, schedules, own)
        }
    }

    /// The text of the last sound job.
    pub fn text(&self) -> Arc<str> {
        Arc::clone(&self.text)
    }

    /// Where it is.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// The folders to watch for the maker's own schedules.
    pub fn own(&self) -> &[PathBuf] {
        &self.own
    }

    /// Ids of the schedules at hand.
    pub fn finishes(&self) -> Vec<String> {
        self.schedules.keys().cloned().collect()
    }

    /// What would be wrong after these changes; a job without parts is only begun, not wrong.
    pub fn check(&self, edits: &[Edit]) -> Vec<String> {
        match apply(&self.text, edits) {
            Ok(text) => self.job_of(&text).err().unwrap_or_default(),
            Err(cannot) => vec![cannot.to_string()],
        }
    }

    /// The job of a text, or what is wrong with it, a line a fault.
    fn job_of(&self, text: &str) -> Result<Job, Vec<String>> {
        let (job, problems) = job::read_begun(&SourceFile::new(self.name(), text), &self.schedules);
        let errors = problems
            .iter()
            .filter(|problem| problem.is_error() && problem.code != Code::NoParts);
        job.ok_or_else(|| errors.map(in_a_line).collect())
    }

    fn name(&self) -> String {
        self.path
            .as_ref()
            .map_or_else(String::new, |path| path.display().to_string())
    }

    /// Changes the file; the job it makes.
    pub fn edit(&mut self, edits: &[Edit]) -> Result<Job, Vec<String>> {
        let on_disk = match &self.path {
            Some(path) => {
                read_text(path)
                    .map_err(|failure| vec![failure.text().to_owned()])?
                    .0
                    .text
            }
            None => self.text.to_string(),
        };
        let text = apply(&on_disk, edits).map_err(|cannot| vec![cannot.to_string()])?;
        let job = self.job_of(&text)?;
        let written = match &self.path {
            Some(path) => replace(path, &text).map(|()| path.clone()),
            None => self.found(&text),
        };
        let path = written.map_err(|failure| vec![failure.text().to_owned()])?;
        self.path = Some(path);
        self.text = Arc::from(text);
        self.seen = Arc::clone(&self.text);
        Ok(job)
    }

    /// Puts a job that was only begun into a file named after its title.
    fn found(&self, text: &str) -> Result<PathBuf, Failure> {
        let title = Written::of(text).and_then(|mut file| file.typed(&Place::Job, "title"));
        let name = file_name(&title.unwrap_or_default());
        let mut path = self.folder.join(format!("{name}.toml"));
        for number in 2..1000 {
            if !path.exists() {
                break;
            }
            path = self.folder.join(format!("{name}-{number}.toml"));
        }
        write_new(&path, text).map(|()| path)
    }

    /// Reads file and schedules again: the job, where it is another and sound, and what is new to say.
    pub fn refresh(&mut self) -> (Option<Job>, Option<Vec<String>>) {
        let Some(path) = self.path.clone() else {
            return (None, None);
        };
        let (schedules, faults) = read_schedules(&self.own);
        let others = faults.is_empty() && schedules != self.schedules;
        if others {
            self.schedules = schedules;
        }
        let file = match read_text(&path) {
            Ok((file, None)) => file,
            Ok((_, Some(problem))) => return (None, Some(vec![in_a_line(&problem)])),
            // an editor may put a new file in the old one's place at this very moment: the next look tells
            Err(failure) => return (None, Some(vec![failure.text().to_owned()])),
        };
        let was_wrong = self.seen != self.text;
        if *file.text == *self.seen && !others {
            return (None, None);
        }
        self.seen = Arc::from(file.text.as_str());
        let (job, problems) = job::read_begun(&file, &self.schedules);
        if let Some(job) = job {
            self.text = Arc::clone(&self.seen);
            return (Some(job), was_wrong.then(Vec::new));
        }
        let errors: Vec<Problem> = problems.into_iter().filter(Problem::is_error).collect();
        let look = Look {
            colour: false,
            ascii: false,
            width: 78,
        };
        let text = render(&errors, &[&file], look);
        (None, Some(text.lines().map(str::to_owned).collect()))
    }
}

/// A problem in one line.
fn in_a_line(problem: &Problem) -> String {
    let mut line = format!("{}.", problem.message);
    if !problem.accepted.is_empty() {
        line = format!("{line} Accepted: {}.", problem.accepted.replace('`', ""));
    }
    match &problem.nearest {
        Some(nearest) => format!("{line} The nearest is {nearest}."),
        None => line,
    }
}

/// A title as the name of a file: small letters, digits, hyphens.
fn file_name(title: &str) -> String {
    let words = title.to_lowercase();
    let words: Vec<&str> = words
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    let name: String = words.join("-").chars().take(60).collect();
    if name.is_empty() { "job".to_owned() } else { name }
}
