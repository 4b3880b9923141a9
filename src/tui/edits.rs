//! Forms of the maker's own file: part, room, hours, job; and the changes they come to.
//!
//! Invariant: what was not changed in the form is not touched in the file; every value goes in as it was
//! typed, in the file's own units.

use super::bench::Sheet;
use super::form::{Entry, Form};
use super::task::Task;
use crate::job::Holding;
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

/// Shapes with a size of their own to type; frames, boxes and free shapes take more than a form asks.
const SHAPES: [&str; 3] = ["panel", "square", "round"];
const BUILDS: [&str; 4] = ["solid", "veneered", "ply", "sheet"];
const MEASURES: [&str; 2] = ["mm, °C, litres", "inches, °F, US gallons"];
const AS_THE_JOB: &str = "as the job";

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

/// A part: a new one, or one to be changed.
pub fn part(sheet: &Sheet, name: Option<&str>) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let place = name.map(|name| Place::Part(name.to_owned()));
    let mut typed = |key: &str| place.as_ref().and_then(|place| file.typed(place, key));
    let size: Vec<String> = typed("size").map_or_else(Vec::new, |size| size.split(", ").map(str::to_owned).collect());
    let edge_of = |at: usize| size.get(at).cloned().unwrap_or_default();
    let joints = name.and_then(|name| Written::of(sheet.text.as_deref()?)?.joints(name));
    let joints = joints.unwrap_or_default();
    let sections = Written::of(sheet.text.as_deref()?)?.sections();
    let sections: Vec<&str> = sections.iter().map(String::as_str).collect();
    let mut finishes: Vec<&str> = vec![AS_THE_JOB];
    finishes.extend(sheet.finishes.iter().map(String::as_str));
    finishes.push("bare");
    // like the part written last, so that little is left to change
    let like = |key: &str| {
        let last = file_last(sheet, key);
        last.unwrap_or_default()
    };
    let or_like = |found: Option<String>, key: &str| found.or_else(|| name.is_none().then(|| like(key)));
    let shape = or_like(typed("shape"), "shape").filter(|shape| !shape.is_empty());
    let build = or_like(typed("build"), "build").filter(|build| !build.is_empty());
    let material = or_like(typed("material"), "material").unwrap_or_default();
    let section = or_like(typed("section"), "section").filter(|section| !section.is_empty());
    let holding = or_like(typed("holding"), "holding").filter(|holding| !holding.is_empty());
    let holdings: Vec<&str> = Holding::ALL.iter().map(|holding| holding.name()).collect();
    let hint = if unit(sheet) == "mm" {
        "mm, along the grain"
    } else {
        "inches, along the grain: 31-1/2"
    };
    let entries = vec![
        Entry::text("name", name.unwrap_or(""), "side, top, leg, drawer front"),
        Entry::text(
            "how many",
            &typed("count").unwrap_or_else(|| "1".to_owned()),
            "like each other",
        ),
        choice("shape", &SHAPES, shape.as_deref()),
        Entry::text("length", &edge_of(0), hint),
        Entry::text("width", &edge_of(1), "across the grain; of a round, its thickness"),
        Entry::text("thickness", &edge_of(2), "not of a round"),
        choice("build", &BUILDS, build.as_deref()),
        Entry::text("timber", &material, "oak, ash, birch ply"),
        choice("section", &sections, section.as_deref()),
        choice("finish", &finishes, typed("finish").as_deref()),
        choice("kept wet", &holdings, holding.as_deref()),
        Entry::text("joints", &joints, "2 tenon, 1 groove; they stay bare. Empty: none"),
    ];
    let (task, title, verb) = match name {
        None => (Task::NewPart, "A NEW PART".to_owned(), "put it into the job"),
        Some(name) => (
            Task::Part { name: name.to_owned() },
            format!("CHANGE: {name}"),
            "write it into the job",
        ),
    };
    let about = "Joints: tenon, mortise, housing, groove, dowel hole, loose tenon, dovetail, marked.";
    Some((task, Form::new(title, about, verb, entries)))
}

/// What the last part of the file says.
fn file_last(sheet: &Sheet, key: &str) -> Option<String> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let last = file.parts().pop()?;
    file.typed(&Place::Part(last), key)
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

/// The room.
pub fn room(sheet: &Sheet) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let size = file.typed(&Place::Room, "size").unwrap_or_default();
    let size: Vec<&str> = size.split(", ").collect();
    let mut room = |key: &str| file.typed(&Place::Room, key).unwrap_or_default();
    let places = ["bearers", "points", "hooks", "racks"].map(|kind| room(&format!("places.{kind}")));
    let (dust, changes) = (room("dust"), room("air_changes"));
    let mut air = |key: &str| file.typed(&Place::Air, key).unwrap_or_default();
    let [day, damp, night, night_damp] =
        ["day.temperature", "day.humidity", "night.temperature", "night.humidity"].map(&mut air);
    let heated = air("heated");
    let degrees = if sheet.job.shown_in.fahrenheit { "°F" } else { "°C" };
    let edge_of = |at: usize| size.get(at).copied().unwrap_or_default();
    let [bearers, points, hooks, racks] = &places;
    let entries = vec![
        Entry::text(
            "length",
            edge_of(0),
            if unit(sheet) == "mm" {
                "mm; the three may be left out"
            } else {
                "inches"
            },
        ),
        Entry::text("breadth", edge_of(1), ""),
        Entry::text("height", edge_of(2), ""),
        Entry::text(
            "air changes",
            &changes,
            "an hour, doors and windows as used; about 2 with one ajar",
        ),
        choice(
            "dust",
            &["together", "separated"],
            Some(dust.as_str()).filter(|dust| !dust.is_empty()),
        ),
        Entry::text("by day", &day, degrees),
        Entry::text("damp by day", &damp, "% RH"),
        Entry::text("heated", &heated, "07:00-18:00; empty: the same day and night"),
        Entry::text("by night", &night, degrees),
        Entry::text("damp by night", &night_damp, "% RH"),
        Entry::text("on bearers", bearers, "pieces at one time; empty: no limit"),
        Entry::text("on points", points, ""),
        Entry::text("hung", hooks, ""),
        Entry::text("on racks", racks, "dry, but not to be stacked yet"),
    ];
    let about = "How fast it dries and how much it holds. Together: sanding and coating share the room.";
    Some((
        Task::Room,
        Form::new("THE ROOM", about, "write it into the job", entries),
    ))
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
    let entries = DAYS.iter().map(day).collect();
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
                lines: part_lines(form),
            }],
            format!("{named} added"),
        ),
        Task::Part { name } => (part_changes(name, form), format!("{name} changed")),
        Task::CopyPart { name } => {
            let edit = Edit::CopyPart {
                name: name.clone(),
                copy: named.clone(),
            };
            (vec![edit], format!("{name} copied as {named}"))
        }
        Task::RemovePart { name } => (vec![Edit::RemovePart { name: name.clone() }], format!("{name} removed")),
        Task::Room => (room_changes(form), "the room changed".to_owned()),
        Task::Hours => (hours_changes(form), "the hours changed".to_owned()),
        Task::Job => (job_changes(form), "the job changed".to_owned()),
        _ => return None,
    })
}

fn size(form: &Form) -> String {
    let mut sides = vec![form.words("length"), form.words("width")];
    if form.words("shape") != "round" {
        sides.push(form.words("thickness"));
    }
    value::numbers(&sides)
}

fn part_lines(form: &Form) -> Vec<(String, String)> {
    let mut lines = vec![("name".to_owned(), value::text(&form.words("name")))];
    let mut line = |key: &str, value: String| lines.push((key.to_owned(), value));
    if form.words("how many") != "1" {
        line("count", value::number(&form.words("how many")));
    }
    line("shape", value::text(&form.words("shape")));
    line("size", size(form));
    line("build", value::text(&form.words("build")));
    line("material", value::text(&form.words("timber")));
    line("section", value::text(&form.words("section")));
    if form.words("finish") != AS_THE_JOB {
        line("finish", value::text(&form.words("finish")));
    }
    line("holding", value::text(&form.words("kept wet")));
    if !form.words("joints").is_empty() {
        line("joints", value::joints(&form.words("joints")));
    }
    lines
}

fn part_changes(name: &str, form: &Form) -> Vec<Edit> {
    let place = Place::Part(name.to_owned());
    let mut edits = Vec::new();
    let mut set = |key: &str, value: String| {
        edits.push(Edit::Set {
            place: place.clone(),
            key: key.to_owned(),
            value,
        });
    };
    for (label, key) in [
        ("shape", "shape"),
        ("build", "build"),
        ("timber", "material"),
        ("section", "section"),
        ("kept wet", "holding"),
    ] {
        if form.is_changed(label) {
            set(key, value::text(&form.words(label)));
        }
    }
    if form.is_changed("how many") {
        set("count", value::number(&form.words("how many")));
    }
    if ["length", "width", "thickness", "shape"]
        .iter()
        .any(|label| form.is_changed(label))
    {
        set("size", size(form));
    }
    if form.is_changed("finish") && form.words("finish") != AS_THE_JOB {
        set("finish", value::text(&form.words("finish")));
    }
    if form.is_changed("joints") && !form.words("joints").is_empty() {
        set("joints", value::joints(&form.words("joints")));
    }
    let unset = |key: &str| Edit::Unset {
        place: place.clone(),
        key: key.to_owned(),
    };
    if form.is_changed("finish") && form.words("finish") == AS_THE_JOB {
        edits.push(unset("finish"));
    }
    if form.is_changed("joints") && form.words("joints").is_empty() {
        edits.push(unset("joints"));
    }
    // the name last: until then it is what the part is found by
    if form.is_changed("name") {
        edits.push(Edit::Set {
            place: place.clone(),
            key: "name".to_owned(),
            value: value::text(&form.words("name")),
        });
    }
    edits
}

/// Sets a key where its line was changed, and takes it out where the line was emptied.
fn set_or_unset(edits: &mut Vec<Edit>, form: &Form, label: &str, place: &Place, key: &str, write: fn(&str) -> String) {
    if !form.is_changed(label) {
        return;
    }
    let (place, key, typed) = (place.clone(), key.to_owned(), form.words(label));
    edits.push(if typed.is_empty() {
        Edit::Unset { place, key }
    } else {
        let value = write(&typed);
        Edit::Set { place, key, value }
    });
}

fn room_changes(form: &Form) -> Vec<Edit> {
    let mut edits = Vec::new();
    let sides = ["length", "breadth", "height"];
    if sides.iter().any(|label| form.is_changed(label)) {
        let typed = sides.map(|label| form.words(label));
        let (place, key) = (Place::Room, "size".to_owned());
        edits.push(if typed.iter().all(String::is_empty) {
            Edit::Unset { place, key }
        } else {
            let value = value::numbers(&typed);
            Edit::Set { place, key, value }
        });
    }
    let mut line = |label: &str, place: &Place, key: &str, write: fn(&str) -> String| {
        set_or_unset(&mut edits, form, label, place, key, write);
    };
    line("air changes", &Place::Room, "air_changes", value::number);
    line("dust", &Place::Room, "dust", value::text);
    line("by day", &Place::Air, "day.temperature", value::number);
    line("damp by day", &Place::Air, "day.humidity", value::number);
    line("heated", &Place::Air, "heated", value::text);
    line("on bearers", &Place::Room, "places.bearers", value::number);
    line("on points", &Place::Room, "places.points", value::number);
    line("hung", &Place::Room, "places.hooks", value::number);
    line("on racks", &Place::Room, "places.racks", value::number);
    // a night without figures is no night: the whole key goes
    if form.words("by night").is_empty() && form.words("damp by night").is_empty() {
        if form.is_changed("by night") || form.is_changed("damp by night") {
            edits.push(Edit::Unset {
                place: Place::Air,
                key: "night".to_owned(),
            });
        }
    } else {
        let mut line = |label: &str, key: &str| set_or_unset(&mut edits, form, label, &Place::Air, key, value::number);
        line("by night", "night.temperature");
        line("damp by night", "night.humidity");
    }
    edits
}

fn hours_changes(form: &Form) -> Vec<Edit> {
    let mut edits = Vec::new();
    for (key, label) in DAYS {
        set_or_unset(&mut edits, form, label, &Place::Hours, key, value::texts);
    }
    edits
}

fn job_changes(form: &Form) -> Vec<Edit> {
    let mut edits = Vec::new();
    let mut line = |label: &str, place: &Place, key: &str| {
        set_or_unset(&mut edits, form, label, place, key, value::text);
    };
    line("title", &Place::Job, "title");
    line("finish", &Place::Job, "finish");
    line("hands", &Place::Hands(0), "name");
    line("start", &Place::Job, "start");
    line("zone", &Place::Job, "zone");
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
