//! Reading a whole log, damaged or not.
//!
//! Invariant: every record whose own bytes are whole is kept, whatever happened to the bytes around it;
//! nothing that was not written is ever read.

use super::join::in_order;
use super::line::{self, HEADER, HEADER_WORDS};
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

/// Reads a log: its good records in order of time and id, each once, and the lines set aside.
pub fn read(bytes: &[u8]) -> (Vec<Record>, Vec<BadLine>) {
    let (records, bad) = read_from(bytes, 1);
    (in_order(records), bad)
}

/// Reads lines, the first of which has this number; records stay in the order of the file.
pub(super) fn read_from(bytes: &[u8], first: usize) -> (Vec<Record>, Vec<BadLine>) {
    let mut records = Vec::new();
    let mut bad = Vec::new();
    for (index, text) in bytes.split(|byte| *byte == b'\n').enumerate() {
        let text = text.strip_suffix(b"\r").unwrap_or(text);
        if text.is_empty() {
            continue;
        }
        if let Err(why) = take_line(text, &mut records) {
            let text = String::from_utf8_lossy(text).chars().take(SHOWN).collect();
            bad.push(BadLine {
                line: first + index,
                why,
                text,
            });
        }
    }
    (records, bad)
}

/// Takes what one line holds.
fn take_line(text: &[u8], records: &mut Vec<Record>) -> Result<(), Why> {
    if text == HEADER.as_bytes() {
        return Ok(());
    }
    match line::parse(text) {
        Ok(record) => {
            records.push(record);
            Ok(())
        }
        Err(why) => {
            if take_glued(text, records) {
                return Err(Why::Glued);
            }
            Err(other_format(text).map_or(why, Why::Format))
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
fn take_glued(text: &[u8], records: &mut Vec<Record>) -> bool {
    let mut rest = match text.strip_prefix(HEADER.as_bytes()) {
        Some(after) => after.get(1..).unwrap_or_default(),
        None => text,
    };
    let before = records.len();
    while let Some((record, length)) = leading_record(rest) {
        records.push(record);
        // one byte stands where the newline was
        rest = rest.get(length + 1..).unwrap_or_default();
    }
    records.len() > before
}

/// The whole record at the start of these bytes, and its length; one pass over them.
fn leading_record(bytes: &[u8]) -> Option<(Record, usize)> {
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
            && let Ok(record) = line::fields(bytes.get(..tab)?)
        {
            return Some((record, tab + 9));
        }
    }
    None
}
