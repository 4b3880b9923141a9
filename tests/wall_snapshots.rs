//! Every page and state at three sizes, in colour, mono and ASCII, from one table: text and styles.
//!
//! Invariant: colour changes no letter (asserted, so the text is kept once), and ASCII holds nothing else.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

mod wall_bench;

use denib::log::What;
use denib::tui::script::{Played, Setting, play};
use std::fmt::Write as _;
use wall_bench::{MemoryBench, at};

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
        "now_no_plan" => bench.plan = None,
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
    play(&mut bench, at(day, hour, minute), setting, keys).expect("the script can be read")
}

#[test]
fn every_page_in_every_state_at_every_size() {
    let mut settings = insta::Settings::clone_current();
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        for state in STATES {
            for size in SIZES {
                let look = |colour, ascii| shown(state, Setting { size, colour, ascii });
                let (colour, mono, ascii) = (look(true, false), look(false, false), look(false, true));
                assert_eq!(colour.text, mono.text, "{}: colour changes no letter", state.0);
                assert!(ascii.text.is_ascii(), "{}: only ASCII\n{}", state.0, ascii.text);
                let mono_styles: Vec<&str> = mono.styles.lines().collect();
                let words = [
                    "red", "green", "yellow", "blue", "magenta", "cyan", "white", "black", "gray",
                ];
                assert!(
                    !mono_styles
                        .iter()
                        .any(|line| words.iter().any(|word| line.contains(word))),
                    "{}: no colour in mono\n{}",
                    state.0,
                    mono.styles
                );
                let mut all = String::new();
                for (title, part) in [
                    ("text", &colour.text),
                    ("ASCII", &ascii.text),
                    ("styles in colour", &colour.styles),
                    ("styles in mono", &mono.styles),
                ] {
                    let _ = writeln!(all, "=== {title} ===\n{part}");
                }
                insta::assert_snapshot!(format!("{}_{}x{}", state.0, size.0, size.1), all);
            }
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
