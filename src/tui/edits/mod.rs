//! Forms of the maker's own file, and the changes they come to.
//!
//! Invariant: what was not changed in the form is not touched in the file; every value goes in as it was
//! typed, in the file's own units.

mod asked;
mod lines;
mod part;
mod rates;
mod room;
mod shelf;

pub use lines::line;
pub use part::{more, part};
pub use rates::rates;
pub use room::room;
pub use shelf::shelf;

use super::bench::Sheet;
use super::form::{Entry, Form};
use super::task::Task;
use crate::job::edit::{Edit, Place, Written, value};

/// Days as the file calls them, and as people do.
const DAYS: [(&str, &str); 7] = [
    ("mon", "Monday"),
    ("tue", "Tuesday"),
    ("wed", "Wednesday"),
    ("thu", "Thursday"),
    ("fri", "Friday"),
    ("sat", "Saturday"),
    ("sun", "Sunday"),
];

const MEASURES: [&str; 2] = ["mm, °C, litres", "inches, °F, US gallons"];
fn words(all: &[&str]) -> Vec<String> {
    all.iter().map(|word| (*word).to_owned()).collect()
}

/// A choice among words, the one the file has first; a word the form does not know is offered too.
fn choice(label: &'static str, all: &[&str], now: Option<&str>) -> Entry {
    let mut all = words(all);
    let at = now.map_or(0, |now| {
        all.iter().position(|word| word == now).unwrap_or_else(|| {
            all.push(now.to_owned());
            all.len() - 1
        })
    });
    Entry::one(label, all, at)
}

fn unit(sheet: &Sheet) -> &'static str {
    if sheet.job.shown_in.inches { "inches" } else { "mm" }
}

/// A part once more under another name.
pub fn copy(name: &str) -> (Task, Form) {
    let entries = vec![Entry::text("name", &format!("{name} 2"), "another name")];
    let about = "Everything else is as it is there; change it afterwards.";
    let task = Task::CopyPart { name: name.to_owned() };
    (task, Form::new(format!("COPY: {name}"), about, "copy it", entries))
}

/// A part goes.
pub fn remove(name: &str) -> (Task, Form) {
    let about = "It goes out of the job file, and out of what is glued up from it. What the log says of it stays.";
    let task = Task::RemovePart { name: name.to_owned() };
    (
        task,
        Form::new(format!("REMOVE: {name}"), about, "remove it", Vec::new()),
    )
}

/// The working hours.
pub fn hours(sheet: &Sheet) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let day = |(key, label): &(&'static str, &'static str)| {
        let typed = file.typed(&Place::Hours, key).unwrap_or_default();
        let hint = if *key == "mon" {
            "08:00-12:30, 13:15-17:30; empty: a day off"
        } else {
            ""
        };
        Entry::text(label, &typed, hint)
    };
    let mut entries: Vec<Entry> = DAYS.iter().map(day).collect();
    let quiet = file.typed(&Place::Hours, "quiet").unwrap_or_default();
    entries.push(Entry::text("quiet", &quiet, "the bell keeps silent: 12:30-13:15"));
    let about = "When hands work. Films dry on outside these hours.";
    Some((
        Task::Hours,
        Form::new("HOURS", about, "write them into the job", entries),
    ))
}

/// Title, start, finish, hands.
pub fn job(sheet: &Sheet) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let mut typed = |place: &Place, key: &str| file.typed(place, key).unwrap_or_default();
    let finish = typed(&Place::Job, "finish");
    let finishes: Vec<&str> = sheet.finishes.iter().map(String::as_str).collect();
    let length = typed(&Place::Job, "units.length");
    // what a begun file is called before anybody has called it anything
    let title = typed(&Place::Job, "title");
    let title = if title == "new job" { String::new() } else { title };
    let mut entries = vec![
        Entry::text("title", &title, "writing desk in oak"),
        choice(
            "finish",
            &finishes,
            Some(finish.as_str()).filter(|finish| !finish.is_empty()),
        ),
        Entry::text("hands", &typed(&Place::Hands(0), "name"), "your name"),
        Entry::text("start", &typed(&Place::Job, "start"), "2026-11-30 08:00"),
        Entry::text("zone", &typed(&Place::Job, "zone"), "Europe/London, America/New_York"),
    ];
    let boards = typed(&Place::Job, "sample_boards");
    let boards = if boards == "true" { "yes" } else { boards.as_str() };
    entries.push(Entry::text(
        "sample boards",
        boards,
        "yes, or which finishes; empty: none",
    ));
    let tape = typed(&Place::Job, "tape_life");
    entries.push(Entry::text("tape life", &tape, "14 d; empty: a day"));
    if sheet.job.parts.is_empty() {
        // later it would make other sizes of the same figures
        let now = if length == "in" { MEASURES[1] } else { MEASURES[0] };
        entries.push(choice("measures", &MEASURES, Some(now)));
    }
    let about = "The finish of every part that names none of its own. Left and right choose.";
    Some((Task::Job, Form::new("THE JOB", about, "write it into the job", entries)))
}

/// The changes a filled form comes to, and the line for the foot.
pub fn changes(task: &Task, form: &Form) -> Option<(Vec<Edit>, String)> {
    let named = form.words("name");
    Some(match task {
        Task::NewPart => (
            vec![Edit::AddPart {
                lines: part::lines(form),
            }],
            format!("{named} added"),
        ),
        Task::Part { name } => (part::changes(name, form), format!("{name} changed")),
        Task::MorePart { name } => (part::more_changes(name, form), format!("{name} changed")),
        Task::Line { list, which } => lines::changes(list, which.as_deref(), form),
        Task::CopyPart { name } => {
            let edit = Edit::CopyPart {
                name: name.clone(),
                copy: named.clone(),
            };
            (vec![edit], format!("{name} copied as {named}"))
        }
        Task::RemovePart { name } => (vec![Edit::RemovePart { name: name.clone() }], format!("{name} removed")),
        Task::Room => (room::changes(form), "the room changed".to_owned()),
        Task::Hours => (hours_changes(form), "the hours changed".to_owned()),
        Task::Shelf => (shelf::changes(form), "the shelf changed".to_owned()),
        Task::Rates => (rates::changes(form), "the bench rates changed".to_owned()),
        Task::Job => (job_changes(form), "the job changed".to_owned()),
        _ => return None,
    })
}

/// Sets a key where its line was changed, and takes it out where the line was emptied.
fn line_of(form: &Form, label: &str, place: &Place, key: &str, write: fn(&str) -> String) -> Option<Edit> {
    let typed = form.words(label);
    let value = (!typed.is_empty()).then(|| write(&typed));
    form.is_changed(label).then(|| set_or_gone(place, key, value))
}

/// A key with its value, or without one: it goes.
fn set_or_gone(place: &Place, key: &str, value: Option<String>) -> Edit {
    let (place, key) = (place.clone(), key.to_owned());
    match value {
        Some(value) => Edit::Set { place, key, value },
        None => Edit::Unset { place, key },
    }
}

fn yes_or_no(flag: &str) -> String {
    if flag == "true" { "yes" } else { "no" }.to_owned()
}

fn hours_changes(form: &Form) -> Vec<Edit> {
    let mut edits = Vec::new();
    for (key, label) in DAYS {
        edits.extend(line_of(form, label, &Place::Hours, key, value::texts));
    }
    edits.extend(line_of(form, "quiet", &Place::Hours, "quiet", value::texts));
    edits
}

/// `yes` for every finish, or a list of finishes.
fn boards(typed: &str) -> String {
    match typed {
        "yes" | "all" | "true" => "true".to_owned(),
        "no" | "none" | "false" => "false".to_owned(),
        finishes => value::texts(finishes),
    }
}

fn job_changes(form: &Form) -> Vec<Edit> {
    let mut edits = Vec::new();
    let mut line = |label: &str, place: &Place, key: &str| {
        edits.extend(line_of(form, label, place, key, value::text));
    };
    line("title", &Place::Job, "title");
    line("finish", &Place::Job, "finish");
    line("hands", &Place::Hands(0), "name");
    line("start", &Place::Job, "start");
    line("zone", &Place::Job, "zone");
    line("tape life", &Place::Job, "tape_life");
    edits.extend(line_of(form, "sample boards", &Place::Job, "sample_boards", boards));
    if form.is_changed("measures") {
        let us = form.words("measures").starts_with("inches");
        let units = if us {
            "{ length = \"in\", temperature = \"F\", volume = \"US\" }"
        } else {
            "{ length = \"mm\", temperature = \"C\", volume = \"L\" }"
        };
        edits.push(Edit::Set {
            place: Place::Job,
            key: "units".to_owned(),
            value: units.to_owned(),
        });
    }
    edits
}
