//! Changes to the maker's file: what is asked for changes, everything else stays byte for byte.

// a file that cannot be changed fails the test
#![allow(clippy::panic, clippy::expect_used)]

use denib::job::edit::{CannotEdit, Edit, Place, Written, apply, joints, value};
use denib::source::SourceFile;

const DEMO: &str = include_str!("../../demo/linen-press.toml");

fn set(place: Place, key: &str, value: &str) -> Edit {
    Edit::Set {
        place,
        key: key.to_owned(),
        value: value.to_owned(),
    }
}

fn changed(text: &str, edits: &[Edit]) -> String {
    apply(text, edits).unwrap_or_else(|cannot| panic!("{cannot}"))
}

/// Lines of one text that are not in the other, both ways: `-old`, `+new`.
fn difference(old: &str, new: &str) -> Vec<String> {
    let gone = old.lines().filter(|line| !new.lines().any(|other| other == *line));
    let come = new.lines().filter(|line| !old.lines().any(|other| other == *line));
    gone.map(|line| format!("-{line}"))
        .chain(come.map(|line| format!("+{line}")))
        .collect()
}

#[track_caller]
fn reads(text: &str) -> denib::job::Job {
    let (job, problems) = denib::job::read(&SourceFile::new("job.toml", text), &denib::finish::shipped());
    job.unwrap_or_else(|| panic!("{problems:#?}\n{text}"))
}

#[test]
fn nothing_changed_is_the_same_file() {
    assert_eq!(changed(DEMO, &[]), DEMO);
    // the same value written again is no change either
    let same = set(Place::Room, "size", "[6200,4600,  2500]");
    assert_eq!(changed(DEMO, &[same]), DEMO);
}

#[test]
fn one_key_changes_one_line_and_keeps_its_comment() {
    let check = |edit: Edit, expected: &[&str]| {
        let text = changed(DEMO, &[edit]);
        assert_eq!(difference(DEMO, &text), expected);
        assert_eq!(text.lines().count(), DEMO.lines().count());
        reads(&text);
    };
    check(
        set(Place::Room, "dust", "\"separated\""),
        &[
            "-dust = \"together\"                   # sanding and coating share the room",
            "+dust = \"separated\"                   # sanding and coating share the room",
        ],
    );
    check(
        set(Place::Room, "places.points", "14"),
        &[
            "-places = { bearers = 6, points = 11, hooks = 14, racks = 30 }",
            "+places = { bearers = 6, points = 14, hooks = 14, racks = 30 }",
        ],
    );
    check(
        set(Place::Part("top".to_owned()), "size", "[1000, 495, 22]"),
        &["-size = [1000, 490, 22]", "+size = [1000, 495, 22]"],
    );
    check(
        set(Place::Hours, "sat", "[\"09:00-13:00\"]"),
        &["-sat = [\"09:00-12:00\"]", "+sat = [\"09:00-13:00\"]"],
    );
}

#[test]
fn a_key_is_taken_out_and_put_in() {
    let text = changed(
        DEMO,
        &[
            Edit::Unset {
                place: Place::Hours,
                key: "sat".to_owned(),
            },
            set(Place::Part("top".to_owned()), "count", "2"),
        ],
    );
    assert_eq!(difference(DEMO, &text), ["-sat = [\"09:00-12:00\"]"]);
    assert_eq!(reads(&text).pieces.len(), reads(DEMO).pieces.len() + 1);
}

#[test]
fn a_part_is_added_copied_and_removed() {
    let before = reads(DEMO).parts.len();
    let lines = [
        ("name", "\"cornice\""),
        ("shape", "\"panel\""),
        ("size", "[1040, 60, 30]"),
        ("build", "\"solid\""),
        ("material", "\"ash\""),
        ("section", "\"carcase\""),
        ("holding", "\"points\""),
    ];
    let lines = lines.map(|(key, value)| (key.to_owned(), value.to_owned())).to_vec();
    let added = changed(DEMO, &[Edit::AddPart { lines }]);
    assert_eq!(reads(&added).parts.len(), before + 1);
    // behind the last part, before the glue-ups
    assert!(added.find("cornice").expect("it is there") < added.find("[[assembly]]").expect("they are there"));
    assert!(difference(DEMO, &added).iter().all(|line| line.starts_with('+')));

    let copy = Edit::CopyPart {
        name: "drawer front".to_owned(),
        copy: "false front".to_owned(),
    };
    let copied = changed(DEMO, &[copy]);
    let job = reads(&copied);
    let at = |name: &str| {
        job.parts
            .iter()
            .position(|part| part.name == name)
            .expect("it is there")
    };
    assert_eq!(at("false front"), at("drawer front") + 1);
    let twin = |name: &str| job.pieces.iter().find(|piece| piece.part == at(name)).expect("a piece");
    assert_eq!(twin("false front").joints, twin("drawer front").joints);
    assert_eq!(twin("false front").surfaces, twin("drawer front").surfaces);

    // the first part of the file: its rule across stands above the next one now
    let removed = changed(
        DEMO,
        &[Edit::RemovePart {
            name: "side".to_owned(),
        }],
    );
    let job = reads(&removed);
    assert_eq!(job.parts.len(), before - 1);
    assert!(removed.contains("# ---------------------------------------------------------------- carcase"));
    assert!(!removed.contains("made_of = [\"side\""));
}

#[test]
fn a_copied_part_takes_its_tables_along() {
    let text = DEMO.replace(
        "surfaces.back = { show = \"hidden\", label = \"underside\" }",
        "[part.surfaces.back]\nshow = \"hidden\"\nlabel = \"underside\"",
    );
    let copied = changed(
        &text,
        &[Edit::CopyPart {
            name: "bottom".to_owned(),
            copy: "second bottom".to_owned(),
        }],
    );
    let job = reads(&copied);
    let labels = |name: &str| {
        let part = job
            .parts
            .iter()
            .position(|part| part.name == name)
            .expect("it is there");
        let piece = job.pieces.iter().find(|piece| piece.part == part).expect("a piece");
        piece
            .surfaces
            .iter()
            .map(|surface| surface.label.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(labels("second bottom"), labels("bottom"));
    assert!(labels("bottom").contains(&"underside".to_owned()));
}

#[test]
fn what_is_gone_or_no_value_is_refused() {
    let gone = apply(DEMO, &[set(Place::Part("lid".to_owned()), "count", "2")]);
    assert_eq!(gone, Err(CannotEdit::Gone("part \"lid\"".to_owned())));
    let bad = apply(DEMO, &[set(Place::Job, "title", "\"open")]);
    assert!(matches!(bad, Err(CannotEdit::BadValue { .. })), "{bad:?}");
    assert!(matches!(apply("a = ", &[]), Err(CannotEdit::Unreadable(_))));
}

#[test]
fn values_are_written_as_the_file_writes_them() {
    let check = |written: String, expected: &str| assert_eq!(written, expected);
    check(value::number("12,5"), "12.5");
    check(value::number("3/4"), "\"3/4\"");
    check(value::number("1-1/2"), "\"1-1/2\"");
    check(value::text("a \"thick\" one"), "'a \"thick\" one'");
    check(
        value::texts("08:00-12:30, 13:15-17:30"),
        "[\"08:00-12:30\", \"13:15-17:30\"]",
    );
    check(
        joints::written("2 tenons 1800, groove; 4 dowel hole 6x40"),
        "[{ kind = \"tenon\", count = 2, area = 1800 }, { kind = \"groove\", count = 1 }, \
{ kind = \"dowel-hole\", count = 4, size = [6, 40] }]",
    );
}

#[test]
fn what_is_typed_is_read_back() {
    let mut file = Written::of(DEMO).expect("it can be read");
    let mut typed = |place: Place, key: &str| file.typed(&place, key);
    assert_eq!(typed(Place::Job, "title").as_deref(), Some("Linen press in ash"));
    assert_eq!(typed(Place::Room, "places.hooks").as_deref(), Some("14"));
    assert_eq!(typed(Place::Air, "night.temperature").as_deref(), Some("15"));
    assert_eq!(typed(Place::Hours, "mon").as_deref(), Some("08:00-12:30, 13:15-17:30"));
    assert_eq!(
        typed(Place::Part("top".to_owned()), "size").as_deref(),
        Some("1000, 490, 22")
    );
    assert_eq!(typed(Place::Part("top".to_owned()), "count"), None);
    for (part, joints) in [
        ("side", "4 housing 9200"),
        ("foot", "1 tenon 30x25"),
        ("door stile", "2 mortise 480, 1 groove 7000"),
    ] {
        let found = file.joints(part).expect("it has joints");
        assert_eq!(found, joints);
        let edit = set(Place::Part(part.to_owned()), "joints", &joints::written(&found));
        assert_eq!(changed(DEMO, &[edit]), DEMO, "typed as it stands is no change");
    }
}
