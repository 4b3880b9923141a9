//! The maker's file behind a bench: read, checked, changed, read again.
//!
//! Invariant: what is held is the last text that made a job; the file on the disk is only ever replaced by
//! one that makes a job too, whole or not at all.

use super::failure::Failure;
use super::files::{read_text, replace, write_new};
use super::schedules::{Schedules, printed, read_schedules};
use crate::job::edit::{Edit, Place, Written, apply};
use crate::job::{self, Job};
use crate::source::{Code, Problem, SourceFile};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What reading again gave.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fresh {
    /// Others wrote into the log.
    pub log: bool,
    /// The job is another.
    pub job: bool,
    /// What is wrong now, as printed; the last good one is kept. `None`: nothing new to say.
    pub problems: Option<Vec<String>>,
    /// What it is wrong with, or was.
    pub faulty: Faulty,
}

/// A file something is wrong with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Faulty {
    /// The maker's file.
    #[default]
    Job,
    /// A finish schedule of the maker's own.
    Schedule,
    /// The log, which cannot be read.
    Log,
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
    /// The text on the disk when it was last looked at; `None`: there was none to be read.
    seen: Option<Arc<str>>,
    schedules: Schedules,
    /// What is wrong with the text on the disk.
    wrong: Vec<String>,
    /// The last sound text is not sound any more with the schedules as they are.
    stale: bool,
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
            seen: Some(Arc::clone(&text)),
            text,
            schedules,
            wrong: Vec::new(),
            stale: false,
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
        self.seen = Some(Arc::clone(&self.text));
        self.wrong.clear();
        self.stale = false;
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

    /// Reads file and schedules again: the job, where it is another and sound, and what is wrong with which of them
    /// as they are now; the last good ones are kept.
    pub fn refresh(&mut self) -> (Option<Job>, Vec<String>, Faulty) {
        let Some(path) = self.path.clone() else {
            return (None, Vec::new(), Faulty::Job);
        };
        let (others, of_schedules) = match read_schedules(&self.own) {
            Ok(schedules) => (
                schedules != std::mem::replace(&mut self.schedules, schedules.clone()),
                Vec::new(),
            ),
            // half written, it may be: the next look tells
            Err(wrong) => (false, wrong),
        };
        let job = self.read_again(&path, others);
        let faulty = if self.wrong.is_empty() && !of_schedules.is_empty() {
            Faulty::Schedule
        } else {
            Faulty::Job
        };
        (job, [self.wrong.clone(), of_schedules].concat(), faulty)
    }

    /// Reads the file again; the job, where it is another, or its schedules are, and it is sound.
    fn read_again(&mut self, path: &Path, other_schedules: bool) -> Option<Job> {
        let file = match read_text(path) {
            Ok((file, None)) => file,
            Ok((_, Some(problem))) => {
                self.wrong = vec![in_a_line(&problem)];
                self.seen = None;
                return None;
            }
            // an editor may put a new file in the old one's place at this very moment: the next look tells
            Err(failure) => {
                self.wrong = vec![failure.text().to_owned()];
                self.seen = None;
                return None;
            }
        };
        if self.seen.as_deref() == Some(&*file.text) && !other_schedules {
            return None;
        }
        let as_it_was = *file.text == *self.text && !other_schedules && !self.stale;
        let text: Arc<str> = Arc::from(file.text.as_str());
        self.seen = Some(Arc::clone(&text));
        if as_it_was {
            self.wrong.clear();
            return None;
        }
        let (job, problems) = job::read_begun(&file, &self.schedules);
        self.stale = job.is_none() && (self.stale || other_schedules);
        if job.is_some() {
            self.text = text;
            self.wrong.clear();
        } else {
            let errors: Vec<Problem> = problems.into_iter().filter(Problem::is_error).collect();
            self.wrong = printed(&errors, &[&file]);
        }
        job
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
