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

/// Writes a file in place of one that may be there: whole, or the old one stays.
pub fn replace(path: &Path, text: &str) -> Result<(), Failure> {
    use std::io::Write as _;
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let cannot = |error: std::io::Error| Failure::file("write", path, &error);
    let mut file = tempfile::Builder::new()
        .prefix(".denib-")
        .tempfile_in(folder.unwrap_or(Path::new(".")))
        .map_err(cannot)?;
    file.write_all(text.as_bytes()).map_err(cannot)?;
    file.as_file().sync_all().map_err(cannot)?;
    file.persist(path).map_err(|error| cannot(error.error))?;
    Ok(())
}

/// Makes a folder and those above it.
pub fn make_folder(path: &Path) -> Result<(), Failure> {
    std::fs::create_dir_all(path).map_err(|error| Failure::file("make", path, &error))
}

/// The log beside a job: the same name, ending in `.log`.
pub fn log_beside(job: &Path) -> PathBuf {
    job.with_extension("log")
}
