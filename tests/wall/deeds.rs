//! What the forms of the wall write: into the log, and into the maker's file.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{self, FILE, MemoryBench, at, played};
use chrono::Duration;
use denib::dayplan::document::{Caution, Severity};
use denib::job::{Fault, Holding};
use denib::log::What;
use denib::tui::layer::Layer;
use denib::tui::msg::Effect;
use denib::tui::script::Played;
use denib::tui::{Key, Model, Msg, Sheet, update};
use denib::units::Moment;

/// What a script writes on the first coat's afternoon, and the screen at the end.
fn after_coat(keys: &str) -> (Vec<What>, Played) {
    let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let before = bench.log().len();
    let played = played(&mut bench, at(0, 13, 40), keys);
    let written = bench.log().into_iter().skip(before).map(|record| record.what).collect();
    (written, played)
}

#[track_caller]
fn one(keys: &str) -> What {
    let (mut written, played) = after_coat(keys);
    assert_eq!(written.len(), 1, "{written:?}\n{}", played.text);
    assert!(played.text.contains("In the log at"), "{}", played.text);
    written.remove(0)
}

#[track_caller]
fn refused(keys: &str, why: &str) {
    let (written, played) = after_coat(keys);
    assert_eq!(written, [], "{keys}");
    assert!(played.text.contains(why), "{why} is not said:\n{}", played.text);
}

#[test]
fn the_next_step_of_a_piece_is_left_undone_with_a_reason() {
    let What::Skipped { operations, reason } = one("2d1the film is clean<enter><enter>") else {
        panic!()
    };
    assert_eq!(
        (operations.as_slice(), reason.as_str()),
        (&["denib:top".to_owned()][..], "the film is clean")
    );
    refused("2d1<enter><enter>", "Say why.");
}

#[test]
fn the_whole_round_is_left_undone_by_choice() {
    let What::Skipped { operations, .. } = one("d1 <down>clean<enter><enter>") else {
        panic!()
    };
    assert_eq!(operations.len(), 9);
    let What::Skipped { operations, .. } = one("d1<down>clean<enter><enter>") else {
        panic!()
    };
    assert_eq!(operations, ["denib:top"]);
}

#[test]
fn a_fault_is_made_good_on_the_surface_the_cursor_is_on() {
    // unfolded, the second line of the first piece is its first surface
    let What::Mend {
        piece,
        surfaces,
        fault,
        coat,
        reason,
    } = one("2<enter>jd2r<down><down><down>under the lamp<enter><enter>")
    else {
        panic!()
    };
    assert_eq!((piece.as_str(), fault, coat), ("top", Fault::RubThrough, true));
    assert_eq!(surfaces.len(), 1);
    assert_eq!(reason, "under the lamp");
    let What::Mend { coat, fault, .. } = one("2d2n<pagedown><enter>") else {
        panic!()
    };
    assert_eq!((fault, coat), (Fault::Nib, false), "a nib takes no coat unless asked");
    let What::Mend { coat, .. } = one("2d2n<down><down> <pagedown><enter>") else {
        panic!()
    };
    assert!(coat);
}

#[test]
fn a_fault_needs_a_surface() {
    // every box emptied
    refused("2<enter>jd2<down> <pagedown><enter>", "Choose a surface");
}

#[test]
fn a_piece_is_stripped_back_with_a_reason() {
    let What::StripBack {
        piece,
        surfaces,
        reason,
    } = one("2d3<down>wrinkled<enter><enter>")
    else {
        panic!()
    };
    assert_eq!((piece.as_str(), reason.as_str()), ("top", "wrinkled"));
    assert!(surfaces.contains(&"face".to_owned()), "{surfaces:?}");
    refused("2d3<pagedown><enter>", "Say why.");
}

#[test]
fn a_coat_more_on_one_face_of_a_wide_panel_wants_a_reason() {
    let (_, played) = after_coat("2d4");
    assert!(played.text.contains("ONE COAT MORE: top"), "{}", played.text);
    assert!(played.text.contains("as many coats on both faces"), "{}", played.text);
    refused("2d4 <pagedown><enter>", "say why its faces may end unequal");
    let What::ExtraCoat {
        piece,
        surfaces,
        reason,
    } = one("2d4<down>it drank<enter><enter>")
    else {
        panic!()
    };
    assert_eq!((piece.as_str(), reason.as_str()), ("top", "it drank"));
    assert!(surfaces.contains(&"face".to_owned()) && surfaces.contains(&"back".to_owned()));
}

#[test]
fn another_holding_is_written_only_when_it_is_another() {
    refused("2d5<pagedown><enter>", "It is kept so already.");
    let What::HoldingChanged { piece, holding } = one("2d5h<pagedown><enter>") else {
        panic!()
    };
    assert_eq!((piece.as_str(), holding), ("top", Holding::Hung));
}

#[test]
fn a_pause_has_an_end() {
    refused("d6<pagedown><enter>", "Until when?");
    let What::Away {
        hands,
        from,
        until,
        reason,
    } = one("d6<down><down>15:10<down>delivery<enter><enter>")
    else {
        panic!()
    };
    assert_eq!(hands, [wall_bench::WHO]);
    assert_eq!((from, until), (at(0, 13, 40), at(0, 15, 10)));
    assert_eq!(reason, "delivery");
    let What::Away { until, .. } = one("d6<down><down>+45<pagedown><enter>") else {
        panic!()
    };
    assert_eq!(until, at(0, 13, 40) + Duration::minutes(45));
    let What::Away { until, .. } = one("d6<down><down>Thu 08:00<pagedown><enter>") else {
        panic!()
    };
    // 1 December 2026 is a Tuesday
    assert_eq!(until, at(2, 8, 0));
}

#[test]
fn a_lot_is_ticked_by_count_range_and_number() {
    let lot = |keys: &str| {
        let What::Done { operations, .. } = one(keys) else {
            panic!()
        };
        operations.len()
    };
    assert_eq!(lot("l4<enter><enter>"), 4);
    assert_eq!(lot("l2-4<enter><enter>"), 3);
    assert_eq!(lot("l1, 3, 7-9<enter><enter>"), 5);
    refused("l10<enter>", "there are 9");
    refused("l4-2<enter>", "\"4-2\" is no number");
    refused("l0<enter>", "\"0\" is no number");
}

#[test]
fn a_caution_is_accepted_with_a_reason() {
    let accepted = |keys: &str| {
        let mut bench = MemoryBench::new();
        let mut plan = (*bench.plan.clone().expect("the desk has a plan")).clone();
        plan.cautions = vec![Caution {
            code: "fire".to_owned(),
            severity: Severity::Stop,
            text: "A heater burns in the room.".to_owned(),
            figure: None,
            source: None,
            refers: vec!["heater".to_owned()],
        }];
        bench.plan = Some(std::sync::Arc::new(plan));
        let played = played(&mut bench, at(0, 8, 0), keys);
        let written: Vec<What> = bench.log().into_iter().map(|record| record.what).collect();
        (written, played.text)
    };
    let (written, _) = accepted("ca1it is out<enter><enter>");
    let [What::AcceptedCaution { code, refers, reason }] = written.as_slice() else {
        panic!("{written:?}")
    };
    assert_eq!((code.as_str(), reason.as_str()), ("fire", "it is out"));
    assert_eq!(refers.as_slice(), ["heater"]);
    let (written, text) = accepted("ca1<enter><enter>");
    assert_eq!(written, []);
    assert!(text.contains("Say why."), "{text}");
}

#[test]
fn every_deed_can_be_taken_back() {
    for keys in [
        "2d1clean<enter><enter>",
        "2d2n<pagedown><enter>",
        "2d3<down>wrinkled<enter><enter>",
        "2d4<down>it drank<enter><enter>",
        "2d5h<pagedown><enter>",
        "d6<down><down>+45<pagedown><enter>",
        "l3<enter><enter>",
    ] {
        let (written, played) = after_coat(&format!("{keys}u<enter>"));
        assert!(
            matches!(written.as_slice(), [_, What::Undone { record }] if record == "t4"),
            "{keys}: {written:?}\n{}",
            played.text
        );
        assert!(played.text.contains("taken back"), "{}", played.text);
    }
}

#[test]
fn nothing_is_written_by_leaving_a_form() {
    for keys in [
        "2d1clean<esc>",
        "2d2<esc>",
        "2d3<down>why<esc>",
        "d<esc>",
        "e2<esc>",
        "l4<esc>",
        "l4<enter><esc>",
    ] {
        let (written, played) = after_coat(keys);
        assert_eq!(written, [], "{keys}");
        assert!(
            !played.effects.iter().any(|effect| matches!(effect, Effect::Edit(..))),
            "{keys}"
        );
    }
}

// --- the maker's file ----------------------------------------------------------------------------------

/// The file after a script, line by line what went and what came.
fn edited(keys: &str) -> Vec<String> {
    let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let played = played(&mut bench, at(0, 13, 40), keys);
    let text = bench.text.to_string();
    let gone = FILE.lines().filter(|line| !text.lines().any(|other| other == *line));
    let come = text.lines().filter(|line| !FILE.lines().any(|other| other == *line));
    let lines: Vec<String> = gone
        .map(|line| format!("-{line}"))
        .chain(come.map(|line| format!("+{line}")))
        .collect();
    assert!(
        lines.is_empty() || played.text.contains("In the job file"),
        "{}",
        played.text
    );
    lines
}

#[test]
fn a_part_is_changed_in_its_one_line() {
    // the cursor is on the top
    let keys = "2e1<down><down><down><end><backspace><backspace><backspace><backspace>1250<pagedown><enter>";
    assert_eq!(edited(keys), ["-size = [1200, 600, 22]", "+size = [1250, 600, 22]"]);
}

#[test]
fn joints_are_typed_in_words() {
    let down = "<down>".repeat(11);
    let keys = format!("2e1{down}<ctrl-u>4 dowel holes, 1 groove<pagedown><enter>");
    assert_eq!(
        edited(&keys),
        [
            "-joints = [{ kind = \"dowel-hole\", count = 8 }]",
            "+joints = [{ kind = \"dowel-hole\", count = 4 }, { kind = \"groove\", count = 1 }]",
        ]
    );
    let none = format!("2e1{down}<ctrl-u><pagedown><enter>");
    assert_eq!(edited(&none), ["-joints = [{ kind = \"dowel-hole\", count = 8 }]"]);
}

#[test]
fn a_part_is_added_like_the_last_one() {
    let keys = "2e5stretcher<down><ctrl-u>2<down><down>520<down>40<down>20<pagedown><enter>";
    let lines = edited(keys);
    for line in ["+name = \"stretcher\"", "+count = 2", "+size = [520, 40, 20]"] {
        assert!(lines.contains(&line.to_owned()), "{line} is not in {lines:#?}");
    }
    assert!(lines.iter().all(|line| line.starts_with('+')), "{lines:#?}");
}

#[test]
fn a_part_is_copied_and_removed() {
    assert!(edited("2e2<ctrl-u>leaf<enter><enter>").contains(&"+name = \"leaf\"".to_owned()));
    let lines = edited("2e4<enter>");
    assert!(lines.contains(&"-name = \"top\"".to_owned()), "{lines:#?}");
    // the comment above it is somebody's thought: it stays
    assert!(!lines.contains(&"-# the top, from one board".to_owned()), "{lines:#?}");
}

#[test]
fn room_and_hours_keep_their_comments() {
    let keys = format!(
        "2e6{}<end><backspace><backspace>22<pagedown><enter>",
        "<down>".repeat(5)
    );
    assert_eq!(
        edited(&keys),
        [
            "-day = { temperature = 20, humidity = 50 }   # by the thermometer at the door",
            "+day = { temperature = 22, humidity = 50 }   # by the thermometer at the door",
        ]
    );
    let keys = "2e709:00-12:00<pagedown><enter>";
    assert_eq!(edited(keys), ["+mon = [\"09:00-12:00\"]"]);
}

#[test]
fn the_readers_own_words_say_what_is_wrong_and_nothing_is_written() {
    let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let keys = "2e1<down><down><down><ctrl-u>wide<down>";
    let shown = played(&mut bench, at(0, 13, 40), keys);
    let Some(Layer::Form(filling)) = shown.model.layers.last() else {
        panic!()
    };
    assert!(!filling.form.wrong.is_empty(), "said before anybody writes");
    assert!(shown.text.contains("wide"), "{}", shown.text);
    let handed_in = played(&mut bench, at(0, 13, 40), &format!("{keys}<pagedown><enter>"));
    assert_eq!(*bench.text, *FILE);
    assert!(
        matches!(handed_in.model.layers.last(), Some(Layer::Form(_))),
        "the form stays"
    );
}

#[test]
fn a_form_that_changes_nothing_writes_nothing() {
    let mut bench = MemoryBench::new();
    let played = played(&mut bench, at(0, 8, 0), "2e1<pagedown><enter>");
    assert_eq!(*bench.text, *FILE);
    assert!(played.text.contains("Nothing was changed."), "{}", played.text);
}

/// What the open form says is wrong.
fn wrong(keys: &str) -> Vec<String> {
    let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let shown = played(&mut bench, at(0, 13, 40), keys);
    assert_eq!(*bench.text, *FILE, "nothing is written");
    match shown.model.layers.last() {
        Some(Layer::Form(filling)) => {
            // two lengths left empty are one thing wrong, as on the screen
            let mut wrong = filling.form.wrong.clone();
            wrong.dedup();
            wrong
        }
        _ => panic!("no form is open:\n{}", shown.text),
    }
}

#[test]
fn an_empty_line_is_wrong_once_it_was_passed() {
    // the length of a new part is its fourth line
    let named = "2e5stretcher";
    assert_eq!(wrong(named), [""; 0]);
    let at_length = format!("{named}<down><down><down>");
    assert_eq!(wrong(&at_length), [""; 0], "nobody has come past it");
    let passed = wrong(&format!("{at_length}<down>"));
    assert!(!passed.is_empty(), "the length was left empty");
    assert_eq!(wrong(&format!("{at_length}<down>40")), passed);
    assert_eq!(wrong(&format!("{at_length}<down><up>")), [""; 0], "it is being typed");
    assert_eq!(wrong(&format!("{at_length}520<down>40<down>20<down>")), [""; 0]);
    assert!(
        !wrong(&format!("{named}<pagedown><enter>")).is_empty(),
        "it was to be written"
    );
    // what was typed wrongly is said at once, passed or not
    assert!(!wrong(&format!("{at_length}wide")).is_empty());
    // the same where a line of what is there is emptied
    let emptied = "2e1<down><down><down><ctrl-u>";
    assert_eq!(wrong(emptied), [""; 0]);
    assert!(!wrong(&format!("{emptied}<down>")).is_empty());
}

#[test]
fn lines_of_a_list_past_the_ninth_have_a_letter() {
    let text = |keys: &str| {
        let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
        played(&mut bench, at(0, 13, 40), keys).text
    };
    assert!(text("2e").contains("a  joints of top"), "{}", text("2e"));
    assert!(text("2ea").contains("JOINTS OF TOP"), "{}", text("2ea"));
    assert!(text("2ea2").contains("CHANGE: 8 dowel-hole"), "{}", text("2ea2"));
    assert!(text("2eb1").contains("sections: due and weight"), "{}", text("2eb1"));
    // j and k move, as everywhere
    assert!(text("2ejk").contains("joints of top"), "{}", text("2ejk"));
    // on the page of the stores its own come first
    assert!(text("6e").contains("1  tins on the shelf"), "{}", text("6e"));
    assert!(text("6e3").contains("THE SHELF"), "{}", text("6e3"));
}

#[test]
fn a_joint_is_changed_in_its_own_form() {
    assert_eq!(
        edited("2ea2<down><down><down><down>face<down>0.3<pagedown><enter>"),
        [
            "-joints = [{ kind = \"dowel-hole\", count = 8 }]",
            "+joints = [{ kind = \"dowel-hole\", count = 8, on = \"face\", play = 0.3 }]",
        ]
    );
}

// --- a screen that only shows --------------------------------------------------------------------------

#[test]
fn a_screen_that_only_shows_writes_nothing_whatever_is_pressed() {
    let bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, (80, 24)).read_only();
    let keys = " \robtrndelpu2\rotde1\r?c!a\r19\r";
    for c in keys.chars() {
        let key = if c == '\r' { Key::Enter } else { Key::Char(c) };
        for effect in update(&mut model, Msg::Key(key)) {
            assert!(
                !matches!(
                    effect,
                    Effect::Write(_) | Effect::Edit(..) | Effect::Editor | Effect::Replan(_)
                ),
                "{c} asks for {effect:?}"
            );
        }
    }
}

#[test]
fn help_of_a_screen_that_only_shows_lists_only_what_works_there() {
    let help = |page: char, read_only: bool| {
        let bench = MemoryBench::new().done(&["sand", "cover"]);
        let now = at(0, 10, 45);
        let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, (120, 100));
        if read_only {
            model = model.read_only();
        }
        let _ = update(&mut model, Msg::Key(Key::Char(page)));
        let _ = update(&mut model, Msg::Key(Key::Char('?')));
        denib::tui::script::text_of(&denib::tui::script::paint(&model).0)
    };
    let deeds = [
        ('1', "tick the round"),
        ('1', "done at another time"),
        ('1', "change the job"),
        ('2', "touch test on this film"),
        ('2', "take back the last"),
        ('5', "accept the caution"),
        ('5', "accept one of them"),
        ('8', "room reading"),
        ('F', "tick the round"),
    ];
    for (page, deed) in deeds {
        assert!(
            help(page, false).contains(deed),
            "{page}: {deed}\n{}",
            help(page, false)
        );
        assert!(!help(page, true).contains(deed), "{page}: {deed}");
    }
    for (page, look) in [
        ('1', "the plan's cautions in full"),
        ('2', "unfold a piece"),
        ('3', "what the end waits for"),
    ] {
        assert!(help(page, true).contains(look), "{page}: {look}");
    }
}
