//! One record as one line of text, and back.
//!
//! Invariant: a line holds no newline; `parse(write(record))` is the record itself, or `write` refuses it.
//!
//! Fields are parted by tabs: time with offset, id, who (a JSON string, so that a name cannot break the
//! line), kind, the rest as compact JSON, and a checksum of all bytes before the last tab (CRC-32 as in
//! ISO/IEC/IEEE 8802-3, eight lower-case hex digits).

use super::read::Why;
use super::record::{Record, What};
use crate::dayplan::Plan;
use chrono::{DateTime, SecondsFormat};
use serde_json::Value;
use std::sync::Arc;

/// The first line of every log.
pub const HEADER: &str = "denib log, format 1";

/// What the header says before its number.
pub const HEADER_WORDS: &str = "denib log, format ";

/// The kind of a record that takes a plan on.
const PLAN: &str = "accepted-plan";

/// What such a record holds.
#[derive(serde::Deserialize)]
struct TakenOn {
    plan: Arc<Plan>,
}

/// A record that cannot be written so that it reads back the same.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("record {id} cannot be written: {why}")]
pub struct Unwritable {
    /// Its id.
    pub id: String,
    /// Why.
    pub why: String,
}

/// Writes a record as one line, without the newline.
pub fn write(record: &Record) -> Result<String, Unwritable> {
    let refuse = |why: String| Unwritable {
        id: record.id.clone(),
        why,
    };
    if record.id.is_empty() || !record.id.bytes().all(|byte| byte.is_ascii_graphic()) {
        return Err(refuse("its id must be plain letters, digits and signs".to_owned()));
    }
    let mut payload = match serde_json::to_value(&record.what) {
        Ok(Value::Object(fields)) => fields,
        Ok(_) => return Err(refuse("it has no fields".to_owned())),
        Err(error) => return Err(refuse(error.to_string())),
    };
    let Some(Value::String(kind)) = payload.remove("kind") else {
        return Err(refuse("it has no kind".to_owned()));
    };
    let at = record.at.to_rfc3339_opts(SecondsFormat::AutoSi, false);
    let who = Value::String(record.who.clone());
    let body = format!("{at}\t{}\t{who}\t{kind}\t{}", record.id, Value::Object(payload));
    let line = format!("{body}\t{:08x}", crc32fast::hash(body.as_bytes()));
    // a figure that is not a number, or a year no clock shows, would be lost on the way: say so now
    match parse(line.as_bytes()) {
        Ok(back) if back == *record => Ok(line),
        Ok(_) => Err(refuse("it would read back differently".to_owned())),
        Err(why) => Err(refuse(format!("it would not read back: {why}"))),
    }
}

/// Reads one line, without its newline.
pub fn parse(line: &[u8]) -> Result<Record, Why> {
    let tab = line.iter().rposition(|byte| *byte == b'\t').ok_or(Why::NoChecksum)?;
    let (body, rest) = line.split_at(tab);
    let sum = rest.get(1..).unwrap_or_default();
    if sum.len() != 8 || !sum.iter().all(u8::is_ascii_hexdigit) {
        return Err(Why::NoChecksum);
    }
    if sum != checksum(crc32fast::hash(body)).as_bytes() {
        return Err(Why::Checksum);
    }
    fields(body)
}

/// The checksum as it stands in the file.
pub(super) fn checksum(sum: u32) -> String {
    format!("{sum:08x}")
}

/// Reads the fields of a body whose checksum holds.
pub(super) fn fields(body: &[u8]) -> Result<Record, Why> {
    let text = std::str::from_utf8(body).map_err(|_| Why::Fields)?;
    let mut parts = text.splitn(5, '\t');
    let mut next = || parts.next().ok_or(Why::Fields);
    let (at, id, who, kind, payload) = (next()?, next()?, next()?, next()?, next()?);
    let at = DateTime::parse_from_rfc3339(at).map_err(|_| Why::Time)?;
    let who: String = serde_json::from_str(who).map_err(|error| Why::Content(error.to_string()))?;
    if kind == PLAN {
        // by far the longest lines: read straight into their place
        let taken: TakenOn = serde_json::from_str(payload).map_err(|error| Why::Content(error.to_string()))?;
        return Ok(Record {
            id: id.to_owned(),
            at,
            who,
            what: What::AcceptedPlan { plan: taken.plan },
        });
    }
    let payload: Value = serde_json::from_str(payload).map_err(|error| Why::Content(error.to_string()))?;
    let Value::Object(mut payload) = payload else {
        return Err(Why::Fields);
    };
    payload.insert("kind".to_owned(), Value::String(kind.to_owned()));
    let what: What = serde_json::from_value(Value::Object(payload)).map_err(|error| Why::Content(error.to_string()))?;
    Ok(Record {
        id: id.to_owned(),
        at,
        who,
        what,
    })
}
