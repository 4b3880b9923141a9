//! The forms of a part: what it is, and what more can be said of it.
//!
//! Invariant: keys of a shape the part no longer has go with that shape.

use super::super::bench::Sheet;
use super::super::form::{Entry, Form};
use super::super::task::Task;
use super::{choice, line_of, set_or_gone, unit, yes_or_no};
use crate::job::Holding;
use crate::job::edit::{Edit, Place, Written, joints, surfaces, value};

/// Shapes by the reader's words.
const SHAPES: [&str; 6] = ["panel", "square", "round", "frame", "box", "free"];
const BUILDS: [&str; 4] = ["solid", "veneered", "ply", "sheet"];
const NO_YES: [&str; 2] = ["no", "yes"];
/// Where a piece may stand as well; racks are for what is dry.
const ALSO: [&str; 3] = ["bearers", "points", "hooks"];
const AS_THE_JOB: &str = "as the job";

/// A part: a new one, or one to be changed.
pub fn part(sheet: &Sheet, name: Option<&str>) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let place = name.map(|name| Place::Part(name.to_owned()));
    let mut typed = |key: &str| place.as_ref().and_then(|place| file.typed(place, key));
    let size: Vec<String> = typed("size").map_or_else(Vec::new, |size| size.split(", ").map(str::to_owned).collect());
    let edge_of = |at: usize| size.get(at).cloned().unwrap_or_default();
    let joints = name.and_then(|name| Written::of(sheet.text.as_deref()?)?.joints(name));
    let joints = joints.unwrap_or_default();
    let walls = typed("member").or_else(|| typed("wall")).unwrap_or_default();
    let bottom = typed("bottom").map(|bottom| yes_or_no(&bottom));
    let said = name.and_then(|name| Written::of(sheet.text.as_deref()?)?.surfaces(name));
    let said = said.unwrap_or_default();
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
        Entry::text(
            "joints",
            &joints,
            "2 tenon 45x40 on ends, 1 groove play 0.3. Empty: none",
        ),
        Entry::text(
            "walls",
            &walls,
            "width of a frame's members, thickness of a box's walls",
        ),
        choice("bottom", &NO_YES, bottom.as_deref()),
        Entry::text("surfaces", &said, "back bare hidden \"underside\", edges hidden"),
    ];
    let (task, title, verb) = match name {
        None => (Task::NewPart, "A NEW PART".to_owned(), "put it into the job"),
        Some(name) => (
            Task::Part { name: name.to_owned() },
            format!("CHANGE: {name}"),
            "write it into the job",
        ),
    };
    let about = "Joints: tenon, mortise, housing, groove, dowel hole, loose tenon, dovetail, marked. Surfaces: of a \
                 free shape each with its area and role, top 120000 face show; of the others what differs.";
    Some((task, Form::new(title, about, verb, entries)))
}

/// What the last part of the file says.
fn file_last(sheet: &Sheet, key: &str) -> Option<String> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let last = file.parts().pop()?;
    file.typed(&Place::Part(last), key)
}

/// What more can be said of a part.
pub fn more(sheet: &Sheet, name: &str) -> Option<(Task, Form)> {
    let mut file = Written::of(sheet.text.as_deref()?)?;
    let place = Place::Part(name.to_owned());
    let mut typed = |key: &str| file.typed(&place, key).unwrap_or_default();
    let also = typed("or_on");
    let also: Vec<&str> = also.split(", ").collect();
    let also = ALSO.iter().map(|kind| ((*kind).to_owned(), also.contains(kind)));
    let entries = vec![
        Entry::some("or on", also.collect()),
        Entry::text("slots", &typed("slots"), "places a piece takes; empty: one"),
        choice("heavy", &NO_YES, Some(&yes_or_no(&typed("heavy")))),
        choice("handed", &NO_YES, Some(&yes_or_no(&typed("handed")))),
        Entry::text(
            "own grits",
            &typed("grits"),
            "P120, P150, P180; empty: those of its finish",
        ),
        Entry::text("made", &typed("made"), "2026-12-02 10:00; empty: there from the start"),
    ];
    let about = "Or on: where it may stand wet as well as on its own kind of place. Handed: left and right in pairs.";
    let task = Task::MorePart { name: name.to_owned() };
    let form = Form::new(format!("MORE OF: {name}"), about, "write it into the job", entries);
    Some((task, form))
}

/// What that form comes to.
pub(super) fn more_changes(name: &str, form: &Form) -> Vec<Edit> {
    let place = Place::Part(name.to_owned());
    let mut edits = Vec::new();
    let mut line = |label, key, write| edits.extend(line_of(form, label, &place, key, write));
    line("or on", "or_on", value::texts);
    line("slots", "slots", value::number);
    line("own grits", "grits", value::texts);
    line("made", "made", value::text);
    for key in ["heavy", "handed"] {
        if form.is_changed(key) {
            let yes = form.words(key) == "yes";
            edits.push(set_or_gone(&place, key, yes.then(|| "true".to_owned())));
        }
    }
    edits
}

fn is_free(form: &Form) -> bool {
    form.words("shape") == "free"
}

/// What stands inside a frame or a box; the keys that other shapes do not have go.
fn inside(form: &Form) -> [(&'static str, Option<String>); 3] {
    let shape = form.words("shape");
    let walls = form.words("walls");
    let of = |is: bool| is.then(|| value::number(&walls)).filter(|_| !walls.is_empty());
    let bottom = (shape == "box").then(|| (form.words("bottom") == "yes").to_string());
    [
        ("member", of(shape == "frame")),
        ("wall", of(shape == "box")),
        ("bottom", bottom),
    ]
}

fn size(form: &Form) -> String {
    let mut sides = vec![form.words("length"), form.words("width")];
    if form.words("shape") != "round" {
        sides.push(form.words("thickness"));
    }
    value::numbers(&sides)
}

pub(super) fn lines(form: &Form) -> Vec<(String, String)> {
    let mut lines = vec![("name".to_owned(), value::text(&form.words("name")))];
    let mut line = |key: &str, value: String| lines.push((key.to_owned(), value));
    if form.words("how many") != "1" {
        line("count", value::number(&form.words("how many")));
    }
    line("shape", value::text(&form.words("shape")));
    if form.words("shape") != "free" {
        line("size", size(form));
    }
    for (key, value) in inside(form) {
        lines.extend(value.map(|value| (key.to_owned(), value)));
    }
    let mut line = |key: &str, value: String| lines.push((key.to_owned(), value));
    line("build", value::text(&form.words("build")));
    line("material", value::text(&form.words("timber")));
    line("section", value::text(&form.words("section")));
    if form.words("finish") != AS_THE_JOB {
        line("finish", value::text(&form.words("finish")));
    }
    line("holding", value::text(&form.words("kept wet")));
    if !form.words("joints").is_empty() {
        line("joints", joints::written(&form.words("joints")));
    }
    for (key, value) in surfaces::changes("", &form.words("surfaces"), is_free(form)) {
        lines.extend(value.map(|value| (key, value)));
    }
    lines
}

pub(super) fn changes(name: &str, form: &Form) -> Vec<Edit> {
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
        && !is_free(form)
    {
        set("size", size(form));
    }
    if form.is_changed("finish") && form.words("finish") != AS_THE_JOB {
        set("finish", value::text(&form.words("finish")));
    }
    if form.is_changed("joints") && !form.words("joints").is_empty() {
        set("joints", joints::written(&form.words("joints")));
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
    let mut put = |key: &str, value: Option<String>| edits.push(set_or_gone(&place, key, value));
    if form.is_changed("shape") && is_free(form) {
        put("size", None);
        // one list of all of them takes the place of what differed
        put("surfaces", None);
    }
    if ["shape", "walls", "bottom"].iter().any(|label| form.is_changed(label)) {
        for (key, value) in inside(form) {
            put(key, value);
        }
    }
    if form.is_changed("surfaces") {
        let was = form.entry("surfaces").map(Entry::was).unwrap_or_default();
        for (key, value) in surfaces::changes(was, &form.words("surfaces"), is_free(form)) {
            put(&key, value);
        }
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
