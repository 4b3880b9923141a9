//! The log on disk, beside the job.
//!
//! Invariant: [`Log::append`] returns `Ok` only when the records are on the disk; it never changes a byte
//! that was acknowledged, and two processes appending at once lose nothing. What was decided by what the log said
//! ([`Log::append_if`]) is written only if it still says so when its turn has come.

use super::history::taken_on;
use super::ids::Ids;
use super::join::in_order;
use super::line::{self, Base, HEADER, Unwritable};
use super::plans::Plans;
use super::read::{BadLine, Why, read_from};
use super::record::{Record, What};
use crate::dayplan::document::Stamp;
use rustix::fs::{FlockOperation, flock};
use std::fs::{File, OpenOptions};
use std::io::{self, ErrorKind, Read, Seek, SeekFrom, Write};
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread::sleep;
use std::time::Duration;

/// Why the log could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum LogError {
    /// The disk says no.
    #[error("cannot {doing} {}: {source}", path.display())]
    Disk {
        /// What was tried.
        doing: &'static str,
        /// On which file or folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Another process has held the file too long.
    #[error("another denib is writing {}; try again", path.display())]
    Busy {
        /// The file.
        path: PathBuf,
    },
    /// The file is something else.
    #[error("{} is there already and is not a denib log; move it away", path.display())]
    NotALog {
        /// The file.
        path: PathBuf,
    },
    /// The file was written by a later version.
    #[error("{} is a log of format {format}; this version writes format 1", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its format.
        format: String,
    },
    /// A record cannot be written.
    #[error(transparent)]
    Unwritable(#[from] Unwritable),
}

/// How often, and how long between, a held file is tried again: two seconds in all.
const LOCK_TRIES: u32 = 200;
const LOCK_PAUSE: Duration = Duration::from_millis(10);

/// A log and what was read from it.
#[derive(Debug)]
pub struct Log {
    path: PathBuf,
    ids: Ids,
    records: Vec<Record>,
    /// Set aside among the whole lines.
    bad: Vec<BadLine>,
    /// Set aside after the last newline: it may yet change.
    bad_tail: Vec<BadLine>,
    /// The plans taken on, to be built on.
    plans: Plans,
    seen: Seen,
    /// The folder's entry for the file is known to be on the disk.
    entered: bool,
}

/// How much of the file has been read: up to the last newline.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Seen {
    bytes: usize,
    lines: usize,
    sum: u32,
}

impl Log {
    /// Opens a log and reads it; a file that is not there is an empty log, made by the first append.
    /// `now` is the clock as the caller reads it and goes into the ids of new records.
    pub fn open(path: &Path, now: &Stamp) -> Result<Self, LogError> {
        let mut log = Self {
            path: path.to_owned(),
            ids: Ids::of_this_process(now),
            records: Vec::new(),
            bad: Vec::new(),
            bad_tail: Vec::new(),
            plans: Plans::default(),
            seen: Seen::default(),
            entered: false,
        };
        log.refresh()?;
        Ok(log)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Its records, in order of time, then id.
    pub fn records(&self) -> &[Record] {
        &self.records
    }

    /// The lines set aside, by number.
    pub fn bad_lines(&self) -> impl Iterator<Item = &BadLine> {
        self.bad.iter().chain(&self.bad_tail).chain(self.plans.unfounded())
    }

    /// A new record with an id of its own; it is not in the log until it is appended.
    pub fn record(&mut self, at: Stamp, who: &str, what: What) -> Record {
        Record {
            id: self.ids.next(&at),
            at,
            who: who.to_owned(),
            what,
        }
    }

    /// Reads what others appended since; says whether there was anything.
    pub fn refresh(&mut self) -> Result<bool, LogError> {
        let bytes = match File::open(&self.path) {
            Ok(file) => self.bytes_of(file)?,
            Err(error) if error.kind() == ErrorKind::NotFound => Vec::new(),
            Err(error) => return Err(self.disk("open", error)),
        };
        Ok(self.take(&bytes))
    }

    /// Appends records and returns once they are on the disk. Records that are in the log already are left
    /// out, so that trying again after a failure, or appending another log's records, adds nothing twice.
    pub fn append(&mut self, records: &[Record]) -> Result<(), LogError> {
        self.append_if(records, |_| true).map(|_| ())
    }

    /// The same if `still` says so of all records that stand in the log when nobody else can write any more; says
    /// whether it did. What others wrote has been read either way.
    pub fn append_if(&mut self, records: &[Record], still: impl FnOnce(&[Record]) -> bool) -> Result<bool, LogError> {
        let mut file = self.lock()?;
        let mut bytes = self.bytes_of(&file)?;
        self.take(&bytes);
        self.check_kind(&bytes)?;
        if !still(&self.records) {
            return Ok(false);
        }
        let mut text = String::new();
        if bytes.last().is_some_and(|byte| *byte != b'\n') {
            // a line torn by a crash stays a line of its own
            text.push('\n');
        }
        if !has_header(&bytes) && self.records.is_empty() {
            text.push_str(HEADER);
            text.push('\n');
        }
        let takes_on = |record: &Record| matches!(record.what, What::AcceptedPlan { .. });
        let mut base = records
            .iter()
            .any(takes_on)
            .then(|| taken_on(&self.records).and_then(|(id, _)| self.plans.base(id)))
            .flatten();
        for record in records {
            if self.records.contains(record) {
                continue;
            }
            let (written, step) = line::write_onto(record, base.as_ref())?;
            text.push_str(&written);
            text.push('\n');
            if let What::AcceptedPlan { plan } = &record.what {
                base = Some(Base {
                    record: record.id.clone(),
                    plan: Arc::clone(plan),
                    step,
                });
            }
        }
        if !self.entered || bytes.is_empty() {
            self.enter()?;
        }
        let length = bytes.len() as u64;
        if let Err(error) = write_whole(&mut file, text.as_bytes()) {
            // nothing of this was acknowledged: leave the file as it was found, as far as the disk lets us
            let _ = file.set_len(length).and_then(|()| file.sync_all());
            return Err(self.disk("write", error));
        }
        bytes.extend_from_slice(text.as_bytes());
        self.take(&bytes);
        Ok(true)
    }

    /// Opens the file for appending and locks it, the file that stands at the path and no other.
    fn lock(&self) -> Result<File, LogError> {
        let mut open = OpenOptions::new();
        let open = open.read(true).append(true).create(true);
        for _ in 0..LOCK_TRIES {
            let file = open.open(&self.path).map_err(|error| self.disk("open", error))?;
            match flock(&file, FlockOperation::NonBlockingLockExclusive) {
                Ok(()) if self.still_there(&file) => return Ok(file),
                // it was moved away or replaced while we waited: open what is there now
                Ok(()) => {}
                Err(rustix::io::Errno::WOULDBLOCK | rustix::io::Errno::INTR) => sleep(LOCK_PAUSE),
                Err(error) => return Err(self.disk("lock", error.into())),
            }
        }
        Err(LogError::Busy {
            path: self.path.clone(),
        })
    }

    /// Whether the path still leads to this file.
    fn still_there(&self, file: &File) -> bool {
        match (file.metadata(), std::fs::metadata(&self.path)) {
            (Ok(ours), Ok(there)) => ours.dev() == there.dev() && ours.ino() == there.ino(),
            _ => false,
        }
    }

    /// Puts the folder's entry for the file on the disk.
    fn enter(&mut self) -> Result<(), LogError> {
        let folder = match self.path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let synced = File::open(folder).and_then(|folder| folder.sync_all());
        synced.map_err(|source| LogError::Disk {
            doing: "write",
            path: folder.to_owned(),
            source,
        })?;
        self.entered = true;
        Ok(())
    }

    /// All bytes of the file.
    fn bytes_of(&self, mut file: impl Read + Seek) -> Result<Vec<u8>, LogError> {
        let mut bytes = Vec::new();
        let read = file.seek(SeekFrom::Start(0)).and_then(|_| file.read_to_end(&mut bytes));
        read.map_err(|error| self.disk("read", error))?;
        Ok(bytes)
    }

    /// Takes in the file as it is now; says whether its records or bad lines changed.
    fn take(&mut self, bytes: &[u8]) -> bool {
        let count = |log: &Self| (log.records.len(), log.bad.len(), log.plans.unfounded().count());
        let before = (count(self), self.bad_tail.clone());
        let known = bytes
            .get(..self.seen.bytes)
            .is_some_and(|start| crc32fast::hash(start) == self.seen.sum);
        if !known {
            // not the file we read before: start again
            self.records.clear();
            self.bad.clear();
            self.plans = Plans::default();
            self.seen = Seen::default();
        }
        // the line after the last newline is read once more
        self.plans.forget_line(self.seen.lines + 1);
        let whole = bytes.iter().rposition(|byte| *byte == b'\n').map_or(0, |at| at + 1);
        let (lines, tail) = bytes.split_at(whole);
        let fresh = lines.get(self.seen.bytes..).unwrap_or_default();
        let lines_read = self.seen.lines + fresh.split(|byte| *byte == b'\n').count() - 1;
        let mut fresh = read_from(fresh, self.seen.lines + 1);
        let tail = read_from(tail, lines_read + 1);
        fresh.records.extend(tail.records);
        fresh.onto.extend(tail.onto);
        self.plans.take(&mut fresh);
        if !fresh.records.is_empty() {
            for record in &fresh.records {
                self.ids.seen(&record.id);
            }
            fresh.records.append(&mut self.records);
            self.records = in_order(fresh.records);
        }
        self.bad.extend(fresh.bad);
        self.bad_tail = tail.bad;
        self.seen = Seen {
            bytes: whole,
            lines: lines_read,
            sum: crc32fast::hash(lines),
        };
        !known || before != (count(self), self.bad_tail.clone())
    }

    /// Refuses to write into a file that is something else.
    fn check_kind(&self, bytes: &[u8]) -> Result<(), LogError> {
        let torn_header = HEADER.as_bytes().starts_with(bytes);
        if !self.records.is_empty() || has_header(bytes) || torn_header {
            return Ok(());
        }
        let newer = self.bad_lines().find_map(|bad| match &bad.why {
            Why::Format(format) => Some(format.clone()),
            _ => None,
        });
        let path = self.path.clone();
        Err(newer.map_or_else(
            || LogError::NotALog { path: path.clone() },
            |format| LogError::Newer {
                path: path.clone(),
                format,
            },
        ))
    }

    fn disk(&self, doing: &'static str, source: io::Error) -> LogError {
        LogError::Disk {
            doing,
            path: self.path.clone(),
            source,
        }
    }
}

/// Whether any line is the header.
fn has_header(bytes: &[u8]) -> bool {
    bytes
        .split(|byte| *byte == b'\n')
        .any(|text| text.strip_suffix(b"\r").unwrap_or(text) == HEADER.as_bytes())
}

/// Writes everything in one write and puts it on the disk.
fn write_whole(file: &mut File, bytes: &[u8]) -> io::Result<()> {
    if bytes.is_empty() {
        return file.sync_all();
    }
    let written = loop {
        match file.write(bytes) {
            Err(error) if error.kind() == ErrorKind::Interrupted => {}
            other => break other?,
        }
    };
    if written != bytes.len() {
        return Err(io::Error::new(ErrorKind::StorageFull, "only a part could be written"));
    }
    file.sync_all()
}
