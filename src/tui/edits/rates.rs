//! The form of bench rates.
//!
//! Invariant: an emptied line takes its rate out of the file, so that the usual one holds again.

use super::super::bench::Sheet;
use super::super::form::{Entry, Form};
use super::super::task::Task;
use super::line_of;
use crate::job::edit::{Edit, Place, Written, value};
use crate::job::rates::ALL;

/// Every rate there is.
pub fn rates(sheet: &Sheet) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let entry = |rate: &crate::job::rates::Rate| {
        let typed = file.typed(&Place::Rates, rate.name).unwrap_or_default();
        let hint = format!("{} {}", rate.default, rate.unit);
        Entry::text(rate.name, &typed, hint)
    };
    let entries = ALL.iter().map(entry).collect();
    let about = "How long hands take. An empty line is the usual rate, which stands beside it.";
    let form = Form::new("BENCH RATES", about, "write them into the job", entries);
    Some((Task::Rates, form))
}

pub(super) fn changes(form: &Form) -> Vec<Edit> {
    let line = |rate: &crate::job::rates::Rate| line_of(form, rate.name, &Place::Rates, rate.name, value::number);
    ALL.iter().filter_map(line).collect()
}
