//! The forms of the file's lists: added to, changed, taken out, with everything else in the file as it was.

// a form that cannot be opened fails the test
#![allow(clippy::panic, clippy::expect_used)]

use crate::filled::{DEMO, open, reads, written};
use denib::job::edit::{List, apply};
use denib::science::exposure::Country;
use denib::tui::edits;

/// A job with joints on a face, one to a line, and a figure from a label.
const SETTLE: &str = include_str!("../good/settle.toml");
/// A job that says nothing of its shelf.
const PLAIN: &str = include_str!("../jobs/scenario-b.toml");

/// A line of a list added or changed: the file, and its lines that are others now.
fn line(text: &str, list: &List, which: Option<&str>, lines: &[(&str, &str)]) -> (String, Vec<String>) {
    written(text, |sheet| edits::line(sheet, list, which), lines)
}

/// What the lines of a list are called.
fn names(text: &str, list: &List) -> Vec<String> {
    denib::job::edit::Written::of(text).expect("it can be read").lines(list)
}

#[test]
fn lines_of_the_lists_are_added_changed_and_taken_out() {
    let list = |list: List, which: Option<&str>, lines: &[(&str, &str)]| {
        let (new, come) = written(DEMO, |sheet| edits::line(sheet, &list, which), lines);
        (reads(&new), come)
    };
    let (_, come) = list(
        List::Section,
        Some("doors"),
        &[("due", "2026-12-18 17:00"), ("weight", "5"), ("name", "the doors")],
    );
    assert_eq!(
        come,
        ["name = \"the doors\"", "weight = 5", "due = \"2026-12-18 17:00\""]
    );
    let (job, come) = list(List::Section, None, &[("id", "stool"), ("weight", "4")]);
    assert_eq!(come, ["[[section]]", "id = \"stool\"", "weight = 4"]);
    let sections = job.sections.len();
    let text = written(
        DEMO,
        |sheet| edits::line(sheet, &List::Section, None),
        &[("id", "stool")],
    )
    .0;
    let (new, _) = written(
        &text,
        |sheet| edits::line(sheet, &List::Section, Some("stool")),
        &[("and", "take it out")],
    );
    assert_eq!(reads(&new).sections.len(), sections - 1);

    let (job, come) = list(List::Except, None, &[("date", "2026-12-24"), ("note", "closed")]);
    assert_eq!(
        come,
        [
            "[[hours.except]]",
            "date = \"2026-12-24\"",
            "work = []",
            "note = \"closed\""
        ]
    );
    assert_eq!(job.hours.exceptions.len(), 2);
    let (_, come) = list(
        List::Except,
        Some("2026-12-03"),
        &[("date", "2026-12-04"), ("work", "10:00-12:00")],
    );
    assert_eq!(come, ["date = \"2026-12-04\"", "work = [\"10:00-12:00\"]"]);
    let (job, come) = list(List::Except, Some("2026-12-03"), &[("and", "take it out")]);
    assert_eq!((job.hours.exceptions.len(), come.len()), (0, 0));

    let (job, come) = list(List::Hands, None, &[("name", "Lark"), ("Monday", "09:00-12:00")]);
    assert_eq!(
        come,
        ["[[hands]]", "name = \"Lark\"", "hours = { mon = [\"09:00-12:00\"] }"]
    );
    assert_eq!(job.hands.iter().filter(|hand| hand.hours.is_some()).count(), 1);

    let taken = [
        ("place", "hooks"),
        ("count", "2"),
        ("from", "2026-12-01 08:00"),
        ("until", "2026-12-03 17:00"),
        ("by", "a chair"),
    ];
    let (job, come) = list(List::Occupied, None, &taken);
    assert_eq!(come.first().map(String::as_str), Some("[[room.occupied]]"));
    assert_eq!((come.len(), job.room.occupied.len()), (6, 1));
    let text = written(DEMO, |sheet| edits::line(sheet, &List::Occupied, None), &taken).0;
    let (_, come) = written(
        &text,
        |sheet| edits::line(sheet, &List::Occupied, Some("a chair hooks 2026-12-01 08:00")),
        &[("by", "a stool"), ("place", "points"), ("from", "2026-12-02 08:00")],
    );
    assert_eq!(
        come,
        ["place = \"points\"", "from = \"2026-12-02 08:00\"", "by = \"a stool\""]
    );

    let (_, come) = list(List::Accept, None, &[("piece", "bottom"), ("reason", "screwed down")]);
    assert_eq!(come, ["[[accept]]", "piece = \"bottom\"", "unequal = \"screwed down\""]);
}

#[test]
fn joints_keep_what_is_said_of_them() {
    let part = "side";
    let said = open(SETTLE, |sheet| edits::part(sheet, Some(part))).1.words("joints");
    assert!(said.contains(" on "), "{said}");
    // typed again with one more of the last kind: nothing is lost
    let more = format!("{said}, 2 tenon 30x20 on \"{}\" play 0.3", "face");
    let (new, come) = written(SETTLE, |sheet| edits::part(sheet, Some(part)), &[("joints", &more)]);
    let again = open(&new, |sheet| edits::part(sheet, Some(part))).1.words("joints");
    assert_eq!(again, more.replace('"', ""));
    // each stands in a line of its own there
    assert_eq!(
        come,
        ["    { kind = \"tenon\", count = 2, size = [30, 20], on = \"face\", play = 0.3 },"]
    );
    let play = |text: &str| {
        let job = reads(text);
        let piece = job
            .pieces
            .iter()
            .find(|piece| piece.id == "side-left")
            .expect("the piece");
        piece.joints.iter().filter(|joint| joint.play.is_some()).count()
    };
    assert_eq!((play(SETTLE), play(&new)), (0, 2));
}

#[test]
fn a_joint_has_a_form_of_its_own() {
    let list = List::Joints("side".to_owned());
    let all = names(SETTLE, &list);
    let first = all.first().expect("it has joints").clone();
    let (new, come) = line(SETTLE, &list, Some(&first), &[("play", "0.4")]);
    assert_eq!(come.len(), 1, "{come:#?}");
    assert!(
        come.iter().any(|line| line.contains("on = \"back\", play = 0.4 }")),
        "{come:#?}"
    );
    reads(&new);
    let more = [("kind", "groove"), ("area", "1500"), ("lies on", "face")];
    let (new, come) = line(SETTLE, &list, None, &more);
    assert_eq!(names(&new, &list).len(), all.len() + 1);
    assert!(
        come.iter()
            .any(|line| line.contains("{ kind = \"groove\", area = 1500, on = \"face\" }")),
        "{come:#?}"
    );
    reads(&new);
    // a part without joints gets its line, and loses it with its last joint
    let (new, come) = line(
        DEMO,
        &List::Joints("shelf".to_owned()),
        None,
        &[("kind", "mortise"), ("sides", "20x8")],
    );
    assert_eq!(come, ["joints = [{ kind = \"mortise\", size = [20, 8] }]"]);
    let one = List::Joints("shelf".to_owned());
    let which = names(&new, &one).pop();
    let (back, _) = line(&new, &one, which.as_deref(), &[("and", "take it out")]);
    assert_eq!(back, DEMO);
}

#[test]
fn glue_ups_are_added_changed_and_taken_out() {
    let (_, come) = line(
        DEMO,
        &List::Assembly,
        Some("doors"),
        &[("minutes", ""), ("cure", "14 h")],
    );
    assert_eq!(come, ["cure = \"14 h\""]);
    let (new, come) = line(
        DEMO,
        &List::Assembly,
        Some("carcase"),
        &[("name", "case"), ("hands", "2")],
    );
    assert_eq!(come, ["name = \"case\"", "hands = 2"]);
    assert!(names(&new, &List::Assembly).contains(&"case".to_owned()));
    let (without, _) = line(DEMO, &List::Assembly, Some("drawers"), &[("and", "take it out")]);
    assert_eq!(reads(&without).assemblies.len(), reads(DEMO).assemblies.len() - 1);
    let drawers = [
        ("name", "drawers"),
        ("made of", "drawer front, drawer side, drawer back, drawer bottom"),
        ("minutes", "40"),
        ("hands", "1"),
        ("cure", "10 h"),
    ];
    let (again, come) = line(&without, &List::Assembly, None, &drawers);
    assert_eq!(
        come,
        [
            "[[assembly]]",
            "name = \"drawers\"",
            "made_of = [\"drawer front\", \"drawer side\", \"drawer back\", \"drawer bottom\"]",
            "minutes = 40",
            "hands = 1",
            "cure = \"10 h\"",
        ]
    );
    let job = reads(&again);
    let made = job
        .assemblies
        .iter()
        .find(|one| one.id == "drawers")
        .expect("it is there");
    assert_eq!((made.minutes, made.cure, made.hands), (Some(40), 600, 1));
}

#[test]
fn a_part_called_otherwise_stays_in_its_glue_up() {
    let (new, _) = written(
        DEMO,
        |sheet| edits::part(sheet, Some("shelf")),
        &[("name", "loose shelf")],
    );
    let job = reads(&new);
    let carcase = job
        .assemblies
        .iter()
        .find(|one| one.id == "carcase")
        .expect("it is there");
    assert!(
        carcase.made_of.iter().any(|piece| piece.starts_with("loose-shelf")),
        "{:?}",
        carcase.made_of
    );
}

#[test]
fn the_shelf_is_written() {
    let tin = [
        ("product", "shellac"),
        ("holds", "250 mL"),
        ("how many", "2"),
        ("batch", "S 9"),
    ];
    let (new, come) = line(DEMO, &List::Tin, None, &tin);
    assert_eq!(come.len(), 5, "{come:#?}");
    let block = "[[stores.tin]]\nproduct = \"shellac\"\nholds = \"250 mL\"\ncount = 2\nbatch = \"S 9\"\n";
    assert!(new.contains(block), "{come:#?}");
    assert_eq!(reads(&new).shelf.tins.len(), reads(DEMO).shelf.tins.len() + 1);
    let which = "brushing-varnish 1 L 600 mL K 3988";
    let (new, come) = line(DEMO, &List::Tin, Some(which), &[("left", "450 mL")]);
    assert_eq!(come, ["left = \"450 mL\""]);
    reads(&new);
    let (new, come) = line(
        DEMO,
        &List::Buy,
        Some("paste-wax 250 mL"),
        &[("price", "13.40"), ("holds", "500 mL")],
    );
    assert_eq!(come, ["holds = \"500 mL\"", "price = 13.40"]);
    reads(&new);
    let shelf = [
        ("money", "EUR"),
        ("paper", "P120 12, P150 8, P180 10, P220 5, P320 4, 0000 wool 2"),
        ("plug", ""),
    ];
    let (new, come) = written(DEMO, edits::shelf, &shelf);
    assert_eq!(come, ["money = \"EUR\"", "P150 = 8", "P320 = 4"]);
    let shelf = reads(&new).shelf;
    assert_eq!(shelf.abrasives.get("P400"), None, "it is named no more");
    assert_eq!(shelf.sundries.get("plug"), None);
}

#[test]
fn a_job_that_knows_no_shelf_gets_one() {
    assert!(!PLAIN.contains("[stores"), "it says nothing of it");
    let product = open(PLAIN, |sheet| edits::line(sheet, &List::Tin, None))
        .1
        .words("product");
    let (new, come) = line(PLAIN, &List::Tin, None, &[("holds", "1 L")]);
    assert_eq!(
        come,
        [
            "[[stores.tin]]".to_owned(),
            format!("product = \"{product}\""),
            "holds = \"1 L\"".to_owned()
        ]
    );
    let (new, come) = written(&new, edits::shelf, &[("money", "USD"), ("masking tape", "50")]);
    assert!(come.contains(&"money = \"USD\"".to_owned()), "{come:#?}");
    let shelf = reads(&new).shelf;
    assert_eq!((shelf.tins.len(), shelf.money.as_deref()), (1, Some("USD")));
    assert_eq!(shelf.sundries.get("masking tape"), Some(&50.0));
    let (new, _) = written(PLAIN, edits::shelf, &[("masking tape", "50")]);
    assert_eq!(reads(&new).shelf.sundries.len(), 1);
}

#[test]
fn later_air_fans_and_whose_limits_are_written() {
    let later = [
        ("from", "2026-12-05"),
        ("by day", "17"),
        ("damp by day", "55"),
        ("heated", "07:00-16:00"),
        ("heated on", "mon, tue, wed"),
        ("by night", "11"),
        ("damp by night", "65"),
    ];
    let (new, come) = line(DEMO, &List::Air, None, &later);
    assert_eq!(
        come,
        [
            "[[room.air]]",
            "from = \"2026-12-05\"",
            "day = { temperature = 17, humidity = 55 }",
            "heated = \"07:00-16:00\"",
            "days = [\"mon\", \"tue\", \"wed\"]",
            "night = { temperature = 11, humidity = 65 }",
        ]
    );
    assert_eq!(reads(&new).room.climate.lines.len(), 4);
    assert_eq!(
        names(&new, &List::Air),
        ["from the start", "2026-12-02", "2026-12-03", "2026-12-05"]
    );
    let even = [
        ("heated", ""),
        ("heated on", ""),
        ("by night", ""),
        ("damp by night", ""),
    ];
    let (even, come) = line(&new, &List::Air, Some("2026-12-05"), &even);
    assert_eq!(come, [""; 0], "keys go, none comes");
    assert_eq!(
        reads(&even)
            .room
            .climate
            .lines
            .iter()
            .filter(|line| line.heating.is_none())
            .count(),
        1
    );
    let (_, come) = line(&new, &List::Air, Some("from the start"), &[("by day", "21")]);
    assert_eq!(come.len(), 1, "{come:#?}");

    let (new, come) = line(DEMO, &List::Fan, None, &[("hours", "09:00-17:00"), ("speed", "0.4")]);
    assert_eq!(come, ["[[room.fan]]", "hours = \"09:00-17:00\"", "speed = 0.4"]);
    assert_eq!(reads(&new).room.climate.fans.len(), 1);
    let (new, _) = line(&new, &List::Fan, Some("09:00-17:00"), &[("and", "take it out")]);
    assert_eq!(reads(&new).room.climate.fans.len(), 0);

    let said = open(DEMO, edits::room).1.words("limits of");
    assert_eq!(said, "GB");
    let (new, come) = written(DEMO, edits::room, &[("limits of", "US")]);
    assert!(
        matches!(come.as_slice(), [one] if one.starts_with("country = \"US\"")),
        "{come:#?}"
    );
    assert_eq!(reads(&new).room.rules.country, Some(Country::UnitedStates));
    let (new, _) = written(PLAIN, edits::room, &[("limits of", "US")]);
    assert_eq!(reads(&new).room.rules.country, Some(Country::UnitedStates));
    let (back, _) = written(&new, edits::room, &[("limits of", "not said")]);
    assert_eq!(back, PLAIN);
}

#[test]
fn figures_of_a_label_and_ways_of_laying_are_written() {
    let film = [
        ("product", "brushing-varnish"),
        ("figure", "wet-film"),
        ("from", "80"),
        ("to", "100"),
        ("source", "the tin"),
        ("put on by", "brush"),
    ];
    let (new, come) = line(DEMO, &List::Figure, None, &film);
    assert_eq!(
        come,
        [
            "[[figure]]",
            "product = \"brushing-varnish\"",
            "what = \"wet-film\"",
            "low = 80",
            "high = 100",
            "source = \"the tin\"",
            "method = \"brush\"",
        ]
    );
    reads(&new);
    let which = "brushing-varnish wet-film brush";
    let (new, come) = line(&new, &List::Figure, Some(which), &[("from", "90")]);
    assert_eq!(come, ["low = 90"]);
    let (new, _) = line(&new, &List::Figure, Some(which), &[("and", "take it out")]);
    assert_eq!(names(&new, &List::Figure).len(), names(DEMO, &List::Figure).len());

    let closes = [
        ("product", "brushing-varnish"),
        ("figure", "window-closes"),
        ("value", "20 h"),
        ("in air of", "23"),
        ("damp", "50"),
        ("window", "1"),
        ("source", "the tin"),
    ];
    let (new, come) = line(DEMO, &List::Figure, None, &closes);
    assert!(
        come.contains(&"at = { temperature = 23, humidity = 50 }".to_owned()),
        "{come:#?}"
    );
    assert!(come.contains(&"value = \"20 h\"".to_owned()) && come.contains(&"window = 1".to_owned()));
    reads(&new);

    let laid = [
        ("product", "brushing-varnish"),
        ("wet film", "90"),
        ("put on by", "brush"),
        ("thinner", "10"),
        ("of", "white spirit"),
    ];
    let (new, come) = line(DEMO, &List::Laid, None, &laid);
    assert_eq!(
        come,
        [
            "[[laid]]",
            "product = \"brushing-varnish\"",
            "wet_film = 90",
            "method = \"brush\"",
            "thinned = { parts = 10, with = \"white spirit\" }",
        ]
    );
    reads(&new);
    let none = [("thinner", ""), ("of", "not said")];
    let (new, _) = line(&new, &List::Laid, Some("brushing-varnish"), &none);
    assert!(!new.contains("thinned"), "the whole of it goes");
    reads(&new);
}

#[test]
fn bench_rates_are_written_and_go() {
    let (new, come) = written(PLAIN, edits::rates, &[("sand", "8"), ("buff", "3.5")]);
    assert_eq!(come, ["[rates]", "sand = 8", "buff = 3.5"]);
    let job = reads(&new);
    assert_eq!(job.rates.get("sand"), Some(&8.0));
    let (new, come) = written(&new, edits::rates, &[("sand", "")]);
    assert_eq!((reads(&new).rates.len(), come.len()), (1, 0));
}

#[test]
fn two_tins_that_say_the_same_are_told_apart() {
    let tin = "\n[[stores.tin]]\nproduct = \"shellac\"\nholds = \"1 L\"\nleft = \"700 mL\"\n";
    let text = DEMO.replace(
        "\n[[stores.buy]]\nproduct = \"shellac\"",
        &format!("{tin}\n[[stores.buy]]\nproduct = \"shellac\""),
    );
    let all = names(&text, &List::Tin);
    assert_eq!(
        all.get(2..),
        Some(&["shellac 1 L 700 mL".to_owned(), "shellac 1 L 700 mL (2)".to_owned()][..])
    );
    let (new, _) = line(&text, &List::Tin, all.last().map(String::as_str), &[("left", "100 mL")]);
    let left: Vec<f64> = reads(&new).shelf.tins.iter().map(|tin| tin.left.0).collect();
    assert_eq!(left.get(2..), Some(&[700.0, 100.0][..]));
    assert!(apply(&text, &[]).is_ok_and(|same| same == text));
}

#[test]
fn a_comment_above_the_last_line_of_a_list_stays() {
    // the heading of the glue-ups stands above the first of them
    let doors = ["doors", "drawers", "carcase"];
    let mut text = DEMO.to_owned();
    for which in doors {
        // `written` counts the lines with a comment
        text = line(&text, &List::Assembly, Some(which), &[("and", "take it out")]).0;
    }
    assert!(text.trim_end().ends_with(" glue-ups"), "{text}");
    assert_eq!(reads(&text).assemblies.len(), 0);
    // above the only joint of a part, under a heading of its own
    let joint = "# both ends\n[[part.joints]]\nkind = \"housing\"\ncount = 4\narea = 9200\n";
    let text = DEMO.replace("joints = [{ kind = \"housing\", count = 4, area = 9200 }]\n", joint);
    let list = List::Joints("side".to_owned());
    let (new, _) = line(&text, &list, Some("4 housing 9200"), &[("and", "take it out")]);
    assert!(new.contains("# both ends\n"), "{new}");
    reads(&new);
}

#[test]
fn glue_ups_in_one_list_of_values_follow_their_parts_too() {
    let at = DEMO.find("[[assembly]]").expect("it has glue-ups");
    let (before, _) = DEMO.split_at(at);
    let inline = "assembly = [{ name = \"doors\", made_of = [\"door stile\", \"door rail\", \"door panel\"], cure = \"9 h\" }]\n\n[room]";
    let text = before.replacen("[room]", inline, 1);
    reads(&text);
    let (new, _) = written(
        &text,
        |sheet| edits::part(sheet, Some("door rail")),
        &[("name", "rail")],
    );
    assert!(new.contains("[\"door stile\", \"rail\", \"door panel\"]"), "{new}");
    let more = [
        ("name", "drawer"),
        ("made of", "drawer front, drawer side"),
        ("cure", "12 h"),
    ];
    let (new, _) = line(&text, &List::Assembly, None, &more);
    assert_eq!(reads(&new).assemblies.len(), 2);
}
