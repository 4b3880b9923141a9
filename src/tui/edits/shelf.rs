//! The form of what is on the shelf beside tins, and the money prices are in.
//!
//! Invariant: a grit that is not named in the line any more goes out of the file; the others are not touched.

use super::super::bench::Sheet;
use super::super::form::{Entry, Form};
use super::super::task::Task;
use super::{line_of, set_or_gone};
use crate::job::edit::{Edit, Place, Written, value};
use crate::job::shelf::SUNDRIES;

/// Money, abrasives, sundries.
pub fn shelf(sheet: &Sheet) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let money = file.typed(&Place::Stores, "money").unwrap_or_default();
    let grits = file.entries(&Place::Stores, "abrasives");
    let grits: Vec<String> = grits.iter().map(|(grit, count)| format!("{grit} {count}")).collect();
    let mut entries = vec![
        Entry::text("money", &money, "what prices are in: GBP, USD"),
        Entry::text(
            "paper",
            &grits.join(", "),
            "sheets or pads of each grit: P120 12, P180 10",
        ),
    ];
    for (item, unit) in SUNDRIES {
        let count = file.typed(&Place::Stores, &key(item)).unwrap_or_default();
        entries.push(Entry::text(item, &count, unit));
    }
    let about = "What is there beside tins. Empty: nobody has said.";
    let form = Form::new("THE SHELF", about, "write it into the job", entries);
    Some((Task::Shelf, form))
}

fn key(item: &str) -> String {
    format!("sundries.{item}")
}

/// Grits and how many of each; the count is the last word.
fn counts(typed: &str) -> Vec<(String, String)> {
    let parts = typed.split([',', ';']).map(str::trim).filter(|part| !part.is_empty());
    let parts = parts.map(|part| part.rsplit_once(' ').unwrap_or((part, "")));
    parts
        .map(|(grit, count)| (grit.trim().to_owned(), count.to_owned()))
        .collect()
}

pub(super) fn changes(form: &Form) -> Vec<Edit> {
    let place = Place::Stores;
    let mut edits: Vec<Edit> = line_of(form, "money", &place, "money", value::text)
        .into_iter()
        .collect();
    if let Some(entry) = form.entry("paper") {
        let (was, now) = (counts(entry.was()), counts(&entry.words()));
        for (grit, _) in was.iter().filter(|(grit, _)| now.iter().all(|other| other.0 != *grit)) {
            edits.push(set_or_gone(&place, &format!("abrasives.{grit}"), None));
        }
        for (grit, count) in now.iter().filter(|line| !was.contains(line)) {
            let count = value::number(count);
            edits.push(set_or_gone(&place, &format!("abrasives.{grit}"), Some(count)));
        }
    }
    for (item, _) in SUNDRIES {
        edits.extend(line_of(form, item, &place, &key(item), value::number));
    }
    edits
}
