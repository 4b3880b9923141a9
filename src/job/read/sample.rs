//! Sample boards the maker wants to sign off before the work is begun.
//!
//! Invariant: every board asked for is of a finish some part gets.

use super::names;
use crate::finish::Schedule;
use crate::source::{Code, Table, Value};
use std::collections::BTreeMap;

/// Reads `sample_boards`: `true` for every finish of the job, or a list of finishes; absent or `false`: none.
pub(super) fn read(top: &mut Table<'_>, used: &BTreeMap<String, Schedule>) -> Vec<String> {
    let Some(value) = top.may("sample_boards") else {
        return Vec::new();
    };
    if !value.is_list() {
        let every = value.flag().is_some_and(|flag| flag.value);
        return used.keys().filter(|_| every).cloned().collect();
    }
    let mut boards: Vec<String> = Vec::new();
    for item in value.list().map(|list| list.value).unwrap_or_default() {
        boards.extend(finish(item, used).filter(|finish| !boards.contains(finish)));
    }
    boards
}

fn finish(value: Value<'_>, used: &BTreeMap<String, Schedule>) -> Option<String> {
    let found = value.text()?.value;
    if used.contains_key(&found) {
        return Some(found);
    }
    let ids: Vec<&str> = used.keys().map(String::as_str).collect();
    names::unknown(&value, Code::SampleOfNothing, "finish of this job called", &ids);
    None
}
