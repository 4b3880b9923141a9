//! Every page and state at three sizes, in colour, mono and ASCII, from one table: text and styles.
//!
//! Invariant: colour changes no letter (asserted, so the text is kept once), and ASCII holds nothing else.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{MemoryBench, at};
use denib::dayplan::document::Stamp;
use denib::log::What;
use denib::tui::bench::Fresh;
use denib::tui::key::{ScriptStep, parse_script};
use denib::tui::script::{Played, Setting, paint, play, styles_of, text_of};
use denib::tui::{Model, Msg, Sheet, update};
use denib::units::Moment;
use std::fmt::Write as _;

/// A state: its name, the rounds done, day, hour and minute, keys.
type State = (&'static str, &'static [&'static str], (i64, u32, u32), &'static str);

const COATED: &[&str] = &["sand", "cover", "coat-1"];
const TWICE: &[&str] = &["sand", "cover", "coat-1", "denib", "coat-2"];
const ALL: &[&str] = &["sand", "cover", "coat-1", "denib", "coat-2", "uncover"];
const EVERYTHING: &[&str] = &["sand", "cover", "coat-1", "denib", "coat-2", "uncover", "rub"];

const STATES: [State; 46] = [
    ("now_first_round", &[], (0, 8, 0), ""),
    ("now_coat_left_out", &["sand", "cover"], (0, 10, 0), "jj  "),
    ("now_late", &["sand", "cover"], (0, 10, 25), "<end>"),
    ("now_behind", &[], (0, 10, 25), ""),
    ("now_on_the_bench", &["sand", "cover"], (0, 10, 2), "b<enter><wait:20>"),
    ("now_ahead", COATED, (0, 11, 10), ""),
    ("now_ahead_seconds", COATED, (0, 13, 25), ""),
    ("now_ticked", &["sand", "cover"], (0, 10, 45), " <enter><enter>"),
    ("now_not_in_the_log", &["sand", "cover"], (0, 10, 45), "<enter><enter>"),
    ("now_spoiled", COATED, (0, 13, 30), ""),
    ("now_over", EVERYTHING, (15, 9, 30), ""),
    ("now_no_plan", &[], (0, 8, 0), ""),
    ("now_clock_went_back", COATED, (0, 11, 10), "<wait:-60>"),
    ("now_after_midnight", COATED, (0, 23, 59), "<wait:1>"),
    ("look", &["sand", "cover"], (0, 10, 45), "  <enter>"),
    ("look_not_dry", COATED, (0, 11, 10), "<enter>"),
    ("look_done_at", &["sand", "cover"], (0, 11, 30), "<enter>w10.75<enter>"),
    ("take_back", COATED, (0, 11, 10), "u"),
    ("touch_test", COATED, (0, 11, 10), "tjj<right>"),
    ("reading", COATED, (0, 11, 10), "r19.5 55"),
    ("note", COATED, (0, 11, 10), "nnew tin, stirred<left><left>"),
    ("cautions_none", COATED, (0, 11, 10), "c"),
    ("help_now", COATED, (0, 11, 10), "?"),
    (
        "help_pieces_end",
        COATED,
        (0, 11, 10),
        "2?<pagedown><pagedown><pagedown><pagedown>",
    ),
    ("pieces_wet", COATED, (0, 10, 50), "2jj"),
    ("pieces_unfolded", TWICE, (0, 15, 25), "2<enter>jj"),
    ("pieces_leave_alone", TWICE, (0, 15, 25), "2f5j"),
    ("pieces_found", ALL, (1, 16, 0), "2/leg"),
    ("fitted_pieces_assembly", ALL, (1, 16, 0), "2<end>"),
    ("fitted_day", COATED, (0, 11, 10), "3"),
    ("fitted_day_end", COATED, (0, 11, 10), "3ww"),
    ("fitted_day_six_hours", COATED, (0, 11, 10), "3+<left>"),
    ("fitted_day_hour", COATED, (0, 11, 10), "3++<right><right>"),
    ("fitted_days", COATED, (0, 11, 10), "3-"),
    ("fitted_balance", COATED, (0, 11, 10), "4j"),
    ("balance_no_film_known", COATED, (0, 11, 10), "4"),
    ("fitted_air", COATED, (0, 11, 10), "5"),
    ("fitted_air_caution", COATED, (0, 11, 10), "5j"),
    ("air_not_computed", COATED, (0, 11, 10), "5"),
    ("fitted_stores", COATED, (0, 11, 10), "6"),
    ("fitted_places", COATED, (0, 11, 10), "7"),
    ("fitted_record", TWICE, (0, 15, 25), "8j"),
    ("record_empty", &[], (0, 8, 0), "8"),
    ("fitted_far_ahead", COATED, (0, 11, 10), "F"),
    ("fitted_far_late", &["sand", "cover"], (0, 10, 25), "F"),
    ("help_day", COATED, (0, 11, 10), "3?"),
];

/// What lies over the pages, the forms, and what the wall itself is in; kept in one file for all sizes.
const OVER: [State; 72] = [
    ("now_before_start", &[], (-1, 20, 0), ""),
    ("pieces_before_start", &[], (-1, 20, 0), "2"),
    ("pieces_running", &["sand", "cover"], (0, 10, 2), "b<enter><wait:20>2"),
    ("pieces_over", EVERYTHING, (15, 9, 30), "2"),
    ("fitted_balance_over", EVERYTHING, (15, 9, 30), "4"),
    ("fitted_places_over", EVERYTHING, (15, 9, 30), "7"),
    ("fitted_far_drying", TWICE, (0, 15, 25), "F"),
    ("far_before_start", &[], (-1, 20, 0), "F"),
    ("far_running", &["sand", "cover"], (0, 10, 2), "b<enter><wait:20>F"),
    ("far_over", EVERYTHING, (15, 9, 30), "F"),
    ("far_no_plan", &[], (0, 8, 0), "F"),
    ("day_no_plan", &[], (0, 8, 0), "3"),
    ("help_pieces", COATED, (0, 11, 10), "2?"),
    ("help_balance", COATED, (0, 11, 10), "4?"),
    ("help_air", COATED, (0, 11, 10), "5?"),
    ("help_stores", COATED, (0, 11, 10), "6?"),
    ("help_places", COATED, (0, 11, 10), "7?"),
    ("help_record", COATED, (0, 11, 10), "8?"),
    ("help_far", COATED, (0, 11, 10), "F?"),
    ("menu_deeds", COATED, (0, 13, 40), "d"),
    ("menu_deeds_of_a_piece", COATED, (0, 13, 40), "2<enter>jd"),
    ("menu_deeds_over", EVERYTHING, (15, 9, 30), "d"),
    ("menu_changes", COATED, (0, 13, 40), "ej"),
    ("fitted_menu_cautions", COATED, (0, 11, 10), "ca"),
    ("fitted_accept", COATED, (0, 11, 10), "ca1"),
    ("fitted_cautions", COATED, (0, 11, 10), "c"),
    ("filter_open", COATED, (0, 13, 40), "2fjj"),
    ("filter_none_left", COATED, (0, 10, 50), "2f2"),
    ("find_none", COATED, (0, 13, 40), "2/spindle"),
    ("find_kept", COATED, (0, 13, 40), "2/side<enter>j"),
    ("lot", COATED, (0, 13, 40), "l2-4"),
    ("lot_wrong", COATED, (0, 13, 40), "l4-2<enter>"),
    ("form_skip", COATED, (0, 13, 40), "d1"),
    ("form_mend", COATED, (0, 13, 40), "2<enter>jd2"),
    ("form_strip_no_reason", COATED, (0, 13, 40), "2d3<pagedown><enter>"),
    ("form_extra_coat", COATED, (0, 13, 40), "2d4"),
    ("form_holding", COATED, (0, 13, 40), "2d5"),
    ("form_pause", COATED, (0, 13, 40), "d6<down><down>15:10"),
    ("form_part", COATED, (0, 13, 40), "2e1"),
    (
        "form_part_wrong",
        COATED,
        (0, 13, 40),
        "2e1<down><down><down><ctrl-u>wide<pagedown><enter>",
    ),
    ("form_part_copy", COATED, (0, 13, 40), "2e2"),
    ("form_part_more", COATED, (0, 13, 40), "2e3"),
    ("form_part_remove", COATED, (0, 13, 40), "2e4"),
    ("form_part_new", COATED, (0, 13, 40), "2e5stretcher"),
    ("form_room", COATED, (0, 13, 40), "2e6"),
    ("form_hours", COATED, (0, 13, 40), "2e7"),
    ("form_job_hands_finish", COATED, (0, 13, 40), "2e8"),
    ("menu_changes_end", COATED, (0, 13, 40), "2e<end>"),
    ("menu_changes_of_the_shelf", COATED, (0, 13, 40), "6e"),
    ("menu_joints", COATED, (0, 13, 40), "2ea"),
    ("form_joint", COATED, (0, 13, 40), "2ea2<down><down><down><down>face"),
    ("form_glue_up", COATED, (0, 13, 40), "2ec1desk<down>top, leg"),
    ("form_glue_up_passed", COATED, (0, 13, 40), "2ec1desk<pagedown>"),
    ("form_tin", COATED, (0, 13, 40), "6e11<down>1 L"),
    ("form_tin_to_buy", COATED, (0, 13, 40), "6e21<down>1 L<down>26.50"),
    ("form_shelf", COATED, (0, 13, 40), "6e3GBP"),
    ("form_air_line", COATED, (0, 13, 40), "2eh1"),
    ("form_air_line_first", COATED, (0, 13, 40), "2eh2"),
    ("form_fan", COATED, (0, 13, 40), "2ei109:00-17:00"),
    ("form_figure", COATED, (0, 13, 40), "2em1"),
    ("form_laid", COATED, (0, 13, 40), "2en1"),
    ("form_rates", COATED, (0, 13, 40), "2er8"),
    ("read_only_help", COATED, (0, 13, 40), "?"),
    ("read_only_now", COATED, (0, 13, 40), "<enter>"),
    ("read_only_pieces", COATED, (0, 10, 50), "2"),
    ("bad_file_now", COATED, (0, 11, 10), ""),
    ("bad_file_far", COATED, (0, 11, 10), "F"),
    ("bad_file_problems", COATED, (0, 11, 10), "!"),
    ("beside_day", COATED, (0, 11, 10), "3"),
    ("beside_balance", COATED, (0, 11, 10), "4"),
    ("beside_air", COATED, (0, 11, 10), "5"),
    ("beside_places", COATED, (0, 11, 10), "7"),
];

const SIZES: [(u16, u16); 3] = [(80, 24), (120, 40), (200, 60)];

fn shown((name, done, (day, hour, minute), keys): State, setting: Setting) -> Played {
    let bench = if name.starts_with("fitted") {
        MemoryBench::fitted()
    } else {
        MemoryBench::new()
    };
    let mut bench = bench.done(done);
    match name {
        "now_not_in_the_log" => bench.refuse = Some("No space is left on the disk.".to_owned()),
        "now_spoiled" => bench.spoiled = vec![3, 5],
        name if name.ends_with("no_plan") => bench.plan = None,
        // a line that was taken back
        "fitted_record" => {
            let note = What::Note {
                text: "the second tin is thinner".to_owned(),
            };
            bench.record(at(0, 15, 20), note);
            let record = format!("t{}", bench.log().len());
            bench.record(at(0, 15, 21), What::Undone { record });
        }
        // one touch test behind it
        "pieces_unfolded" => bench.record(
            at(0, 14, 40),
            What::NotYetDry {
                operation: "coat-2:top".to_owned(),
                purpose: denib::log::Purpose::Turn,
            },
        ),
        _ => {}
    }
    let now = at(day, hour, minute);
    let own_wall = ["read_only", "bad_file", "beside"];
    if own_wall.iter().any(|prefix| name.starts_with(prefix)) {
        return on_a_wall(name, &bench, now, setting, keys);
    }
    play(&mut bench, now, setting, keys).expect("the script can be read")
}

/// The same on a wall that only shows, whose job file has faults, or whose figures have not come yet.
fn on_a_wall(name: &str, bench: &MemoryBench, now: Stamp, setting: Setting, keys: &str) -> Played {
    let sheet = Sheet::of(bench, Moment::of(&now));
    let mut model = Model::new(sheet.clone(), now, setting.size);
    if !setting.colour {
        model = model.mono();
    }
    if setting.ascii {
        model = model.ascii();
    }
    if name.starts_with("read_only") {
        model = model.read_only();
    }
    if name.starts_with("beside") {
        model = model.worked_beside();
    }
    let mut effects = Vec::new();
    if name.starts_with("bad_file") {
        let problems = [
            "desk.toml:31:8: \"lenght\" is no key of a part: did you mean \"length\"?",
            "desk.toml:44: the part \"leg\" has no size: give length, width and thickness, as size = [700, 40, 40].",
        ];
        let fresh = Fresh {
            problems: Some(problems.map(str::to_owned).to_vec()),
            ..Fresh::default()
        };
        effects.extend(update(&mut model, Msg::Refreshed(fresh, Box::new(sheet))));
    }
    for step in parse_script(keys).expect("the script can be read") {
        let ScriptStep::Key(key) = step else {
            panic!("{name}: only keys")
        };
        effects.extend(update(&mut model, Msg::Key(key)));
    }
    let (buffer, cursor) = paint(&model);
    Played {
        text: text_of(&buffer),
        styles: styles_of(&buffer, cursor),
        model,
        effects,
    }
}

/// A state at a size in every look, which differ as they may.
fn in_every_look(state: State, size: (u16, u16)) -> [(&'static str, String); 4] {
    let look = |colour, ascii| shown(state, Setting { size, colour, ascii });
    let (colour, mono, ascii) = (look(true, false), look(false, false), look(false, true));
    assert_eq!(colour.text, mono.text, "{}: colour changes no letter", state.0);
    assert!(ascii.text.is_ascii(), "{}: only ASCII\n{}", state.0, ascii.text);
    let words = [
        "red", "green", "yellow", "blue", "magenta", "cyan", "white", "black", "gray",
    ];
    assert!(
        !mono
            .styles
            .lines()
            .any(|line| words.iter().any(|word| line.contains(word))),
        "{}: no colour in mono\n{}",
        state.0,
        mono.styles
    );
    [
        ("text", colour.text),
        ("ASCII", ascii.text),
        ("styles in colour", colour.styles),
        ("styles in mono", mono.styles),
    ]
}

fn settings() -> insta::Settings {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings
}

#[test]
fn every_page_in_every_state_at_every_size() {
    settings().bind(|| {
        for state in STATES {
            for size in SIZES {
                let mut all = String::new();
                for (title, part) in in_every_look(state, size) {
                    let _ = writeln!(all, "=== {title} ===\n{part}");
                }
                insta::assert_snapshot!(format!("{}_{}x{}", state.0, size.0, size.1), all);
            }
        }
    });
}

/// ASCII is kept where it differs, and styles of the smallest screen, where the most is cut.
#[test]
fn what_lies_over_the_pages_at_every_size() {
    settings().bind(|| {
        for state in OVER {
            let mut all = String::new();
            for size in SIZES {
                let [(_, text), (_, ascii), styles @ ..] = in_every_look(state, size);
                let _ = writeln!(all, "=== {}x{} ===\n{}", size.0, size.1, text.trim_end());
                if size != SIZES[0] {
                    continue;
                }
                let _ = writeln!(all, "=== ASCII where it differs ===");
                for (row, (plain, other)) in text.lines().zip(ascii.lines()).enumerate() {
                    if plain != other {
                        let _ = writeln!(all, "{row}: {other}");
                    }
                }
                for (title, part) in styles {
                    let _ = writeln!(all, "=== {title} ===\n{}", part.trim_end());
                }
            }
            insta::assert_snapshot!(state.0, all);
        }
    });
}

/// The line the cursor is on is reversed from edge to edge, and the cursor is on it, in every look.
#[test]
fn the_line_with_the_cursor_stands_out_without_colour() {
    for state in STATES
        .iter()
        .filter(|state| state.0.starts_with("pieces") && state.0 != "pieces_found")
    {
        for (size, ascii) in [((80, 24), false), ((120, 40), true), ((200, 60), false)] {
            let seen = shown(
                *state,
                Setting {
                    size,
                    colour: false,
                    ascii,
                },
            );
            let cursor = seen.styles.lines().last().expect("it says where the cursor is");
            let (row, _) = cursor
                .trim_start_matches("cursor ")
                .split_once(':')
                .expect("row and column");
            let reversed = seen.styles.lines().filter(|line| line.contains("REVERSED"));
            let rows: Vec<&str> = reversed.filter_map(|line| line.split(':').next()).collect();
            assert!(
                !rows.is_empty() && rows.iter().all(|reversed| *reversed == row),
                "{}: {cursor}",
                state.0
            );
        }
    }
}
