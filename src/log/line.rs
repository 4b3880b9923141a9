//! One record as one line of text, and back.
//!
//! Invariant: a line holds no newline; `parse(write(record))` is the record itself, or `write` refuses it.
//!
//! Fields are parted by tabs: time with offset, id, who (a JSON string, so that a name cannot break the
//! line), kind, the rest as compact JSON, and a checksum of all bytes before the last tab (CRC-32 as in
//! ISO/IEC/IEEE 8802-3, eight lower-case hex digits).
//!
//! A plan that is taken on is written whole (`accepted-plan`), or as what differs from the plan another record took
//! on (`changed-plan`): a replan moves a part of the work and leaves the rest as it was.

use super::difference::Difference;
use super::read::Why;
use super::record::{Record, What};
use crate::dayplan::Plan;
use crate::dayplan::document::Stamp;
use chrono::{DateTime, SecondsFormat};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::sync::Arc;

/// The first line of every log.
pub const HEADER: &str = "denib log, format 1";

/// What the header says before its number.
pub const HEADER_WORDS: &str = "denib log, format ";

/// The kinds of a record that takes a plan on.
const PLAN: &str = "accepted-plan";
const CHANGED: &str = "changed-plan";

/// Most differences in a row before a whole plan is written again. A damaged line takes with it what was built on
/// it, so this is how many plans one bad spot on the disk can cost; and a wall plans again after every round, of
/// which a full day has about thirty, so the longest that is lost is a day's plans (common practice, no source).
pub const MOST_IN_A_ROW: u32 = 32;

/// What a line with a whole plan holds.
#[derive(Deserialize)]
struct TakenOn {
    plan: Arc<Plan>,
}

/// The same for writing.
#[derive(Serialize)]
struct Whole<'a> {
    plan: &'a Plan,
}

/// What a line with a changed plan holds.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Changed {
    /// The record of the plan it changes.
    base: String,
    /// Which in the row of differences it is, from 1.
    step: u32,
    difference: Difference,
}

/// A plan others may be built on.
#[derive(Clone, Debug)]
pub struct Base {
    /// The record that took it on.
    pub record: String,
    /// The plan.
    pub plan: Arc<Plan>,
    /// How many differences lie between it and a whole one.
    pub step: u32,
}

/// What a line says before its plan is made out.
#[derive(Debug)]
pub(super) enum Said {
    /// A record.
    Record(Record),
    /// A record whose plan is built on another record's.
    Onto(Onto),
}

/// A record whose plan is built on another record's.
#[derive(Debug)]
pub(super) struct Onto {
    id: String,
    at: Stamp,
    who: String,
    changed: Changed,
}

impl Onto {
    /// The record it is built on.
    pub(super) fn base(&self) -> &str {
        &self.changed.base
    }

    /// Which in the row of differences it is.
    pub(super) const fn step(&self) -> u32 {
        self.changed.step
    }

    /// The record, with its plan made from that of its base.
    pub(super) fn made(&self, base: &Plan) -> Result<Record, Why> {
        let plan = self.changed.difference.applied(base);
        let plan = plan.map_err(|misfit| Why::OtherBase(self.changed.base.clone(), misfit.to_string()))?;
        Ok(Record {
            id: self.id.clone(),
            at: self.at,
            who: self.who.clone(),
            what: What::AcceptedPlan { plan: Arc::new(plan) },
        })
    }
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
    let (kind, payload) = match &record.what {
        // by far the longest lines: straight into their text
        What::AcceptedPlan { plan } => (PLAN.to_owned(), serde_json::to_string(&Whole { plan })),
        what => {
            let mut payload = match serde_json::to_value(what) {
                Ok(Value::Object(fields)) => fields,
                Ok(_) => return Err(refuse("it has no fields".to_owned())),
                Err(error) => return Err(refuse(error.to_string())),
            };
            let Some(Value::String(kind)) = payload.remove("kind") else {
                return Err(refuse("it has no kind".to_owned()));
            };
            (kind, Ok(Value::Object(payload).to_string()))
        }
    };
    let payload = payload.map_err(|error| refuse(error.to_string()))?;
    let line = lined(record, &kind, &payload)?;
    // a figure that is not a number, or a year no clock shows, would be lost on the way: say so now
    match parse(line.as_bytes()) {
        Ok(back) if back == *record => Ok(line),
        Ok(_) => Err(refuse("it would read back differently".to_owned())),
        Err(why) => Err(refuse(format!("it would not read back: {why}"))),
    }
}

/// Writes a record that takes a plan on as what differs from `base`, if that reads back the very same plan and is at
/// most half as long as the whole; else, and any other record, whole. Which in a row of differences it came to be:
/// 0 is whole.
pub fn write_onto(record: &Record, base: Option<&Base>) -> Result<(String, u32), Unwritable> {
    let whole = || Ok((write(record)?, 0));
    let (What::AcceptedPlan { plan }, Some(base)) = (&record.what, base) else {
        return whole();
    };
    if base.step >= MOST_IN_A_ROW || base.record == record.id {
        return whole();
    }
    let step = base.step + 1;
    let Some(payload) = short(plan, base, step) else {
        return whole();
    };
    Ok((lined(record, CHANGED, &payload)?, step))
}

/// The payload of a difference that may stand for the whole plan.
fn short(plan: &Plan, base: &Base, step: u32) -> Option<String> {
    let changed = Changed {
        base: base.record.clone(),
        step,
        difference: Difference::between(&base.plan, plan).ok()?,
    };
    let payload = serde_json::to_string(&changed).ok()?;
    let whole = serde_json::to_string(plan).ok()?;
    if payload.len() * 2 > whole.len() {
        return None;
    }
    let read: Changed = serde_json::from_str(&payload).ok()?;
    let made = read.difference.applied(&base.plan).ok()?;
    (serde_json::to_string(&made).ok()? == whole).then_some(payload)
}

/// A line of its parts, with its checksum.
fn lined(record: &Record, kind: &str, payload: &str) -> Result<String, Unwritable> {
    if record.id.is_empty() || !record.id.bytes().all(|byte| byte.is_ascii_graphic()) {
        return Err(Unwritable {
            id: record.id.clone(),
            why: "its id must be plain letters, digits and signs".to_owned(),
        });
    }
    let at = record.at.to_rfc3339_opts(SecondsFormat::AutoSi, false);
    let who = Value::String(record.who.clone());
    let body = format!("{at}\t{}\t{who}\t{kind}\t{payload}", record.id);
    Ok(format!("{body}\t{}", checksum(crc32fast::hash(body.as_bytes()))))
}

/// Reads one line, without its newline, that says all of its record.
pub fn parse(line: &[u8]) -> Result<Record, Why> {
    match said(line)? {
        Said::Record(record) => Ok(record),
        Said::Onto(onto) => Err(Why::NoBase(onto.base().to_owned())),
    }
}

/// Reads one line, without its newline.
pub(super) fn said(line: &[u8]) -> Result<Said, Why> {
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
pub(super) fn fields(body: &[u8]) -> Result<Said, Why> {
    let text = std::str::from_utf8(body).map_err(|_| Why::Fields)?;
    let mut parts = text.splitn(5, '\t');
    let mut next = || parts.next().ok_or(Why::Fields);
    let (at, id, who, kind, payload) = (next()?, next()?, next()?, next()?, next()?);
    let at = DateTime::parse_from_rfc3339(at).map_err(|_| Why::Time)?;
    let who: String = serde_json::from_str(who).map_err(|error| Why::Content(error.to_string()))?;
    let content = |error: serde_json::Error| Why::Content(error.to_string());
    if kind == CHANGED {
        let changed: Changed = serde_json::from_str(payload).map_err(content)?;
        let id = id.to_owned();
        return Ok(Said::Onto(Onto { id, at, who, changed }));
    }
    let what = if kind == PLAN {
        // read straight into its place
        let taken: TakenOn = serde_json::from_str(payload).map_err(content)?;
        What::AcceptedPlan { plan: taken.plan }
    } else {
        let Value::Object(mut payload) = serde_json::from_str(payload).map_err(content)? else {
            return Err(Why::Fields);
        };
        payload.insert("kind".to_owned(), Value::String(kind.to_owned()));
        serde_json::from_value(Value::Object(payload)).map_err(content)?
    };
    Ok(Said::Record(Record {
        id: id.to_owned(),
        at,
        who,
        what,
    }))
}
