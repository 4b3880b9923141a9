//! Reading a whole log, damaged or not.
//!
//! Invariant: every record whose own bytes are whole is kept, whatever happened to the bytes around it;
//! nothing that was not written is ever read.

use super::join::in_order;
use super::line::{self, HEADER, HEADER_WORDS, Onto, Said};
use super::plans::Plans;
use super::record::Record;
use std::fmt;

/// Why a line was set aside.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// The line does not end in a checksum: cut short, or not a record.
    NoChecksum,
    /// The checksum does not fit: a byte was changed.
    Checksum,
    /// The parts of a record are missing.
    Fields,
    /// The time cannot be read.
    Time,
    /// Whole, but this version does not know what it says.
    Content(String),
    /// The newline between records was damaged; the records on the line were kept.
    Glued,
    /// The header names another format.
    Format(String),
    /// Its plan is built on that of a record that is not here, or damaged.
    NoBase(String),
    /// Its plan cannot be made from that of the record it names; why.
    OtherBase(String, String),
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoChecksum => f.write_str("cut short, or not a record"),
            Self::Checksum => f.write_str("the checksum does not fit"),
            Self::Fields => f.write_str("a part of the record is missing"),
            Self::Time => f.write_str("the time cannot be read"),
            Self::Content(why) => write!(f, "not understood: {why}"),
            Self::Glued => f.write_str("the end of the line is damaged; the records on it are kept"),
            Self::Format(number) => write!(f, "the header names format {number}; this version knows format 1"),
            Self::NoBase(base) => write!(
                f,
                "its plan is built on record {base}, which is missing or damaged; the last good plan stays"
            ),
            Self::OtherBase(base, why) => write!(
                f,
                "its plan cannot be made from that of record {base} ({why}); the last good plan stays"
            ),
        }
    }
}

/// A line that was set aside. The file keeps it as it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadLine {
    /// Line number, from 1.
    pub line: usize,
    /// Why.
    pub why: Why,
    /// Its first characters, for showing.
    pub text: String,
}

/// How much of a bad line is shown.
const SHOWN: usize = 200;

/// What lines hold, in the order of the file.
#[derive(Debug, Default)]
pub(super) struct Lines {
    /// Records.
    pub(super) records: Vec<Record>,
    /// Records whose plan is built on another's, with a line to show should that one be missing.
    pub(super) onto: Vec<(Onto, BadLine)>,
    /// What was set aside.
    pub(super) bad: Vec<BadLine>,
}

/// Reads a log: its good records in order of time and id, each once, and the lines set aside.
pub fn read(bytes: &[u8]) -> (Vec<Record>, Vec<BadLine>) {
    let mut lines = read_from(bytes, 1);
    let mut plans = Plans::default();
    plans.take(&mut lines);
    lines.bad.extend(plans.unfounded().cloned());
    lines.bad.sort_by_key(|bad| bad.line);
    (in_order(lines.records), lines.bad)
}

/// Reads lines, the first of which has this number.
pub(super) fn read_from(bytes: &[u8], first: usize) -> Lines {
    let mut lines = Lines::default();
    for (index, text) in bytes.split(|byte| *byte == b'\n').enumerate() {
        let text = text.strip_suffix(b"\r").unwrap_or(text);
        if text.is_empty() {
            continue;
        }
        let line = first + index;
        if let Err(why) = take_line(text, line, &mut lines) {
            lines.bad.push(set_aside(text, line, why));
        }
    }
    lines
}

/// A line that is set aside.
fn set_aside(text: &[u8], line: usize, why: Why) -> BadLine {
    // no character is longer than four bytes
    let start = text.get(..SHOWN * 4).unwrap_or(text);
    BadLine {
        line,
        why,
        text: String::from_utf8_lossy(start).chars().take(SHOWN).collect(),
    }
}

/// Takes what one line holds.
fn take_line(text: &[u8], line: usize, lines: &mut Lines) -> Result<(), Why> {
    if text == HEADER.as_bytes() {
        return Ok(());
    }
    match line::said(text) {
        Ok(said) => {
            lines.hold(said, text, line);
            Ok(())
        }
        Err(why) => {
            if take_glued(text, line, lines) {
                return Err(Why::Glued);
            }
            Err(other_format(text).map_or(why, Why::Format))
        }
    }
}

impl Lines {
    fn hold(&mut self, said: Said, text: &[u8], line: usize) {
        match said {
            Said::Record(record) => self.records.push(record),
            Said::Onto(onto) => {
                let bad = set_aside(text, line, Why::NoBase(onto.base().to_owned()));
                self.onto.push((onto, bad));
            }
        }
    }
}

/// A header of another format.
fn other_format(text: &[u8]) -> Option<String> {
    let number = text.strip_prefix(HEADER_WORDS.as_bytes())?;
    let short = !number.is_empty() && number.len() <= 8;
    (short && number.iter().all(u8::is_ascii_digit)).then(|| String::from_utf8_lossy(number).into_owned())
}

/// Takes whole records that stand on one line because the newline between them was damaged; says whether
/// there was any.
fn take_glued(text: &[u8], line: usize, lines: &mut Lines) -> bool {
    let mut rest = match text.strip_prefix(HEADER.as_bytes()) {
        Some(after) => after.get(1..).unwrap_or_default(),
        None => text,
    };
    let mut any = false;
    while let Some((said, length)) = leading_record(rest) {
        lines.hold(said, rest, line);
        any = true;
        // one byte stands where the newline was
        rest = rest.get(length + 1..).unwrap_or_default();
    }
    any
}

/// The whole record at the start of these bytes, and its length; one pass over them.
fn leading_record(bytes: &[u8]) -> Option<(Said, usize)> {
    let mut sum = crc32fast::Hasher::new();
    let mut summed = 0;
    let tabs = bytes
        .iter()
        .enumerate()
        .filter(|(_, byte)| **byte == b'\t')
        .map(|(at, _)| at);
    for tab in tabs {
        sum.update(bytes.get(summed..tab)?);
        summed = tab;
        let Some(field) = bytes.get(tab + 1..tab + 9) else {
            continue;
        };
        if field == line::checksum(sum.clone().finalize()).as_bytes()
            && let Ok(said) = line::fields(bytes.get(..tab)?)
        {
            return Some((said, tab + 9));
        }
    }
    None
}
