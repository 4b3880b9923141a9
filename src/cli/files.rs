//! Reading the maker's files from the disk.
//!
//! Invariant: only this file and the log touch the disk for the commands; a file that cannot be read is
//! named in the failure.

use super::failure::Failure;
use crate::source::{Problem, SourceFile};
use std::path::{Path, PathBuf};

/// Where the maker's own things lie, as the shell found them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Folders {
    /// The maker's own finish schedules.
    pub schedules: Option<PathBuf>,
}

/// Files larger than this are not plain text that somebody wrote (the largest jobs are some 100 kB).
const LARGEST: u64 = 8 * 1024 * 1024;

/// Reads a text file; bytes that are no text are a problem, not a failure.
pub fn read_text(path: &Path) -> Result<(SourceFile, Option<Problem>), Failure> {
    let cannot = |error: std::io::Error| Failure::file("read", path, &error);
    let size = std::fs::metadata(path).map_err(cannot)?.len();
    if size > LARGEST {
        let text = format!(
            "{} is {} MB: that is no file somebody wrote by hand",
            path.display(),
            size / 1024 / 1024
        );
        return Err(Failure::usage(text));
    }
    let bytes = std::fs::read(path).map_err(cannot)?;
    Ok(SourceFile::from_bytes(path.display().to_string(), bytes))
}

/// The `*.toml` files of a folder, sorted by name.
pub fn list_toml(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let cannot = |error: std::io::Error| Failure::file("read", folder, &error);
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        if path.extension().is_some_and(|ending| ending == "toml") && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// Writes a new file and refuses to overwrite one.
pub fn write_new(path: &Path, text: &str) -> Result<(), Failure> {
    use std::io::Write as _;
    let cannot = |error: std::io::Error| Failure::file("write", path, &error);
    let mut file = std::fs::File::create_new(path).map_err(cannot)?;
    file.write_all(text.as_bytes()).map_err(cannot)?;
    file.sync_all().map_err(cannot)
}

/// What half-written files are called; one that a crash left behind is swept away by a later change.
const HALF: &str = ".denib-half-";

/// Puts a text in a file's place: whole or not at all, with the file's own permissions.
pub fn replace(path: &Path, text: &str) -> Result<(), Failure> {
    use std::io::Write as _;
    let cannot = |error: std::io::Error| Failure::file("write", path, &error);
    // a link stays a link: what it leads to is replaced
    let path = std::fs::canonicalize(path).map_err(cannot)?;
    let folder = path.parent().unwrap_or(Path::new("."));
    sweep(folder, &path);
    let permissions = std::fs::metadata(&path).map_err(cannot)?.permissions();
    let half = tempfile::Builder::new().prefix(HALF).tempfile_in(folder);
    let mut half = half.map_err(cannot)?;
    half.write_all(text.as_bytes()).map_err(cannot)?;
    half.as_file().set_permissions(permissions).map_err(cannot)?;
    half.as_file().sync_all().map_err(cannot)?;
    half.persist(&path).map_err(|error| cannot(error.error))?;
    std::fs::File::open(folder)
        .and_then(|folder| folder.sync_all())
        .map_err(cannot)
}

/// Takes away half-written files that a crash left behind: those older than the file they were meant for (one
/// being written just now is younger).
fn sweep(folder: &Path, target: &Path) {
    let written = |path: &Path| std::fs::metadata(path).and_then(|data| data.modified()).ok();
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries.filter(|entry| entry.file_name().to_string_lossy().starts_with(HALF)) {
        if written(&entry.path()) < written(target) {
            // somebody else may have swept it already
            let _ = std::fs::remove_file(entry.path());
        }
    }
}

/// Makes a folder and those above it.
pub fn make_folder(path: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(path).map_err(|error| Failure::file("make", path, &error))
}

/// The log beside a job: the same name, ending in `.log`.
pub fn log_beside(job: &Path) -> PathBuf {
    job.with_extension("log")
}
