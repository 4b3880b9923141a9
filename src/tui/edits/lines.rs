//! The forms of the file's lists: sections, dated exceptions, hands, places taken, acceptances.
//!
//! Invariant: a line is found by what it said when the form was opened.

use super::super::bench::Sheet;
use super::super::form::{Entry, Form};
use super::super::task::Task;
use super::{DAYS, choice, line_of};
use crate::job::edit::{Edit, List, Place, Written, value};

const KEEP: [&str; 2] = ["keep it", "take it out"];
const PLACES: [&str; 4] = ["bearers", "points", "hooks", "racks"];

/// A line of the form: label, key, how it is written, hint.
type Asked = (&'static str, &'static str, fn(&str) -> String, &'static str);

/// What is asked of a list.
const fn asked(list: List) -> &'static [Asked] {
    match list {
        List::Section => &[
            ("id", "id", value::text, "what parts name it by: carcase"),
            ("name", "name", value::text, "to people; empty: the id"),
            ("due", "due", value::text, "2026-12-18 17:00; empty: no date"),
            (
                "weight",
                "weight",
                value::number,
                "0 to 100; how much it matters; empty: 1",
            ),
        ],
        List::Except => &[
            ("date", "date", value::text, "2026-12-24"),
            ("work", "work", value::texts, "08:00-12:00; empty: closed"),
            ("note", "note", value::text, "why"),
        ],
        List::Hands => &[("name", "name", value::text, "who")],
        List::Occupied => &[
            ("place", "place", value::text, ""),
            ("count", "count", value::number, "how many"),
            ("from", "from", value::text, "2026-12-01 08:00"),
            ("until", "until", value::text, "2026-12-03 17:00"),
            ("by", "by", value::text, "a chair for somebody else"),
        ],
        List::Accept => &[
            ("piece", "piece", value::text, "a piece, or a part for all of it"),
            (
                "reason",
                "unequal",
                value::text,
                "why its two faces may get unequal coats",
            ),
        ],
    }
}

/// A line of a list: a new one, or one to be changed.
pub fn line(sheet: &Sheet, list: List, which: Option<&str>) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let place = which.map(|which| Place::Line(list, which.to_owned()));
    let mut typed = |key: &str| {
        let typed = place.as_ref().and_then(|place| file.typed(place, key));
        typed.unwrap_or_default()
    };
    let mut entries = Vec::new();
    for &(label, key, _, hint) in asked(list) {
        if (list, key) == (List::Section, "id") && which.is_some() {
            // parts name it by that
            continue;
        }
        let now = typed(key);
        entries.push(if key == "place" {
            choice(label, &PLACES, Some(now.as_str()).filter(|now| !now.is_empty()))
        } else {
            Entry::text(label, &now, hint)
        });
    }
    if list == List::Hands {
        for (key, label) in DAYS {
            let hint = if key == "mon" { "all empty: the job's hours" } else { "" };
            entries.push(Entry::text(label, &typed(&format!("hours.{key}")), hint));
        }
    }
    if which.is_some() {
        entries.push(choice("and", &KEEP, None));
    }
    let title = which.map_or_else(|| "ADD".to_owned(), |which| format!("CHANGE: {which}"));
    let task = Task::Line {
        list,
        which: which.map(str::to_owned),
    };
    Some((task, Form::new(title, list.words(), "write it into the job", entries)))
}

/// What the form comes to, and the line for the foot.
pub(super) fn changes(list: List, which: Option<&str>, form: &Form) -> (Vec<Edit>, String) {
    let Some(which) = which else {
        let mut lines: Vec<(String, String)> = Vec::new();
        for &(label, key, write, _) in asked(list) {
            let typed = form.words(label);
            // a closed day says so: `work = []`
            if !typed.is_empty() || key == "work" {
                lines.push((key.to_owned(), write(&typed)));
            }
        }
        for (key, label) in DAYS {
            let typed = form.words(label);
            if !typed.is_empty() {
                lines.push((format!("hours.{key}"), value::texts(&typed)));
            }
        }
        return (vec![Edit::AddLine { list, lines }], "one line added".to_owned());
    };
    let removed = Edit::RemoveLine {
        list,
        which: which.to_owned(),
    };
    if form.words("and") == "take it out" {
        return (vec![removed], format!("{which} taken out"));
    }
    let place = Place::Line(list, which.to_owned());
    let mut edits: Vec<Edit> = Vec::new();
    // what it is found by comes last: until then it has to be found
    let mut named: Vec<Edit> = Vec::new();
    for &(label, key, write, _) in asked(list) {
        let change = line_of(form, label, &place, key, write);
        let change = match change {
            Some(Edit::Unset { place, key }) if key == "work" => Some(Edit::Set {
                place,
                key,
                value: "[]".to_owned(),
            }),
            other => other,
        };
        if list.is_found_by(key) {
            named.extend(change);
        } else {
            edits.extend(change);
        }
    }
    if list == List::Hands {
        let any = DAYS.iter().any(|(_, label)| !form.words(label).is_empty());
        let changed = DAYS.iter().any(|(_, label)| form.is_changed(label));
        if changed && !any {
            let key = "hours".to_owned();
            let place = place.clone();
            edits.push(Edit::Unset { place, key });
        } else {
            for (key, label) in DAYS {
                edits.extend(line_of(form, label, &place, &format!("hours.{key}"), value::texts));
            }
        }
    }
    edits.extend(rename(list, which, form, named));
    (edits, format!("{which} changed"))
}

/// Several keys of a name change one after the other: each finds the line by the name so far.
fn rename(list: List, which: &str, form: &Form, named: Vec<Edit>) -> Vec<Edit> {
    let mut words: Vec<(&str, String)> = Vec::new();
    for key in list.found_by() {
        let label = asked(list)
            .iter()
            .find(|line| line.1 == *key)
            .map_or(*key, |line| line.0);
        words.push((key, form.entry(label).map_or(which, Entry::was).to_owned()));
    }
    let mut edits = Vec::new();
    for edit in named {
        let so_far: Vec<&str> = words
            .iter()
            .map(|word| word.1.as_str())
            .filter(|word| !word.is_empty())
            .collect();
        let place = Place::Line(list, so_far.join(" "));
        let (key, edit, now) = match edit {
            Edit::Set { key, value, .. } => {
                let now = form.words(&key);
                (key.clone(), Edit::Set { place, key, value }, now)
            }
            Edit::Unset { key, .. } => (key.clone(), Edit::Unset { place, key }, String::new()),
            other => {
                edits.push(other);
                continue;
            }
        };
        edits.push(edit);
        if let Some(word) = words.iter_mut().find(|word| word.0 == key) {
            word.1 = now;
        }
    }
    edits
}
