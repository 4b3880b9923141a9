//! Joining logs that were apart.
//!
//! Invariant: the join is a union: it does not matter in which order logs are joined, how often, or in
//! which order their lines stood. Records of one instant stand in the order of their ids ([`super::ids`]), which
//! is the same for everybody: what was written in the knowledge of another record stands after it.

use super::line;
use super::record::Record;
use std::cmp::Ordering;

/// The union of two logs, in order of time, then id. A record that is in both is there once.
pub fn join(a: &[Record], b: &[Record]) -> Vec<Record> {
    in_order(a.iter().chain(b).cloned().collect())
}

/// Records in order of time, then id, each once.
///
/// Two records that differ under one id can only come from a file edited by hand; both are kept, since
/// neither can be told to be the wrong one.
pub(super) fn in_order(mut records: Vec<Record>) -> Vec<Record> {
    records.sort_by(compare);
    records.dedup_by(|later, earlier| compare(later, earlier) == Ordering::Equal);
    records
}

/// Time, then id; what they say decides only between two records under one id.
fn compare(a: &Record, b: &Record) -> Ordering {
    let by_name = a.at.cmp(&b.at).then_with(|| a.id.cmp(&b.id));
    by_name.then_with(|| if a == b { Ordering::Equal } else { said(a).cmp(&said(b)) })
}

/// Everything a record says, for comparing.
fn said(record: &Record) -> String {
    line::write(record).unwrap_or_else(|_| format!("{record:?}"))
}
