//! What keys write: every key script is played through the real update and view.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{MemoryBench, at, played};
use denib::log::{Purpose, What};
use denib::tui::layer::{Layer, Question};
use denib::tui::msg::{Effect, Msg};
use denib::tui::{Bench, Key, Model, Sheet, update};
use denib::units::Moment;

/// What a script at an instant, on a desk with some rounds done, writes into the log.
fn written(done: &[&str], hour: u32, minute: u32, keys: &str) -> Vec<What> {
    let mut bench = MemoryBench::new().done(done);
    let before = bench.log().len();
    played(&mut bench, at(0, hour, minute), keys);
    bench.log().into_iter().skip(before).map(|record| record.what).collect()
}

/// Pieces of the operations of the only record, which must be a done one.
fn done_pieces(records: &[What]) -> Vec<&str> {
    let [What::Done { operations, .. }] = records else {
        panic!("one record of something done, not {records:?}")
    };
    operations.iter().filter_map(|id| id.split(':').nth(1)).collect()
}

fn text(done: &[&str], hour: u32, minute: u32, keys: &str) -> String {
    played(&mut MemoryBench::new().done(done), at(0, hour, minute), keys).text
}

const COATED: [&str; 3] = ["sand", "cover", "coat-1"];

// --- ticking -----------------------------------------------------------------------------------------

#[test]
fn one_key_and_a_look_tick_the_whole_round() {
    let records = written(&["sand", "cover"], 10, 45, "<enter><enter>");
    let all = [
        "top",
        "side-left",
        "side-right",
        "shelf",
        "drawer-front",
        "leg-1",
        "leg-2",
        "leg-3",
        "leg-4",
    ];
    assert_eq!(done_pieces(&records), all);
}

#[test]
fn the_look_alone_writes_nothing() {
    assert_eq!(written(&["sand", "cover"], 10, 45, "<enter>"), []);
    assert_eq!(written(&["sand", "cover"], 10, 45, "<enter><esc>"), []);
}

#[test]
fn a_round_is_ticked_but_for_what_is_left_out() {
    let records = written(&["sand", "cover"], 10, 45, " j <enter><enter>");
    assert_eq!(
        done_pieces(&records),
        ["side-left", "shelf", "drawer-front", "leg-1", "leg-2", "leg-3", "leg-4"]
    );
}

#[test]
fn what_is_left_out_can_be_taken_back_in() {
    let records = written(&["sand", "cover"], 10, 45, " k <enter><enter>");
    assert_eq!(done_pieces(&records).len(), 9);
}

#[test]
fn with_everything_left_out_there_is_nothing_to_tick() {
    let played = played(
        &mut MemoryBench::new().done(&["sand", "cover"]),
        at(0, 10, 45),
        "         <enter>",
    );
    assert!(played.model.layers.is_empty());
    assert!(played.text.contains("Every piece is left out"), "{}", played.text);
}

#[test]
fn what_was_left_out_stays_to_do() {
    let shown = text(&["sand", "cover"], 10, 45, " <enter><enter>");
    assert!(shown.contains("1 piece, 8 done already"), "{shown}");
}

#[test]
fn one_piece_can_be_ticked_alone() {
    let records = written(&["sand", "cover"], 10, 5, "jjo<enter>");
    assert_eq!(done_pieces(&records), ["side-right"]);
}

#[test]
fn a_round_just_done_is_taken_to_have_run_for_its_planned_minutes() {
    let [What::Done { start, end, .. }] = written(&["sand", "cover"], 10, 50, "<enter><enter>")[..] else {
        panic!()
    };
    // nine pieces at five minutes
    assert_eq!((start, end), (at(0, 10, 5), at(0, 10, 50)));
}

#[test]
fn done_at_takes_a_clock_time() {
    let [What::Done { start, end, .. }] = written(&["sand", "cover"], 11, 30, "<enter>w10:50<enter><enter>")[..] else {
        panic!()
    };
    assert_eq!((start, end), (at(0, 10, 5), at(0, 10, 50)));
}

#[test]
fn done_at_begins_with_a_minus_or_a_digit() {
    let [What::Done { end, .. }] = written(&["sand", "cover"], 11, 30, "<enter>-20<enter><enter>")[..] else {
        panic!()
    };
    assert_eq!(end, at(0, 11, 10));
    let [What::Done { end, .. }] = written(&["sand", "cover"], 11, 30, "<enter>11:00<enter><enter>")[..] else {
        panic!()
    };
    assert_eq!(end, at(0, 11, 0));
}

#[test]
fn a_time_after_now_is_yesterdays_and_shows_its_day() {
    let shown = text(&["sand", "cover"], 11, 30, "<enter>23:00<enter>");
    assert!(shown.contains("done Mon 23:00"), "{shown}");
}

#[test]
fn what_is_no_time_is_said_and_keeps_the_question() {
    let played = played(
        &mut MemoryBench::new().done(&["sand", "cover"]),
        at(0, 11, 30),
        "<enter>w10.75<enter>",
    );
    assert!(played.text.contains("\"10.75\" is not a time"), "{}", played.text);
    assert!(matches!(played.model.layers.last(), Some(Layer::Ask(ask)) if ask.question == Question::When));
}

#[test]
fn begun_is_written_with_its_start_only() {
    let [What::Begun { ref operations, start }] = written(&["sand", "cover"], 10, 5, "b<enter>")[..] else {
        panic!()
    };
    assert_eq!((operations.len(), start), (9, at(0, 10, 5)));
}

#[test]
fn what_was_begun_keeps_its_start() {
    let records = written(&["sand", "cover"], 10, 5, "b<enter><wait:50><enter><enter>");
    let [What::Begun { .. }, What::Done { start, end, .. }] = records[..] else {
        panic!("{records:?}")
    };
    assert_eq!((start, end), (at(0, 10, 5), at(0, 10, 55)));
}

#[test]
fn once_part_is_ticked_the_rest_is_taken_to_have_run_for_its_planned_minutes() {
    let records = written(
        &["sand", "cover"],
        10,
        0,
        "b<enter><wait:10>o<enter><wait:45><enter><enter>",
    );
    let [
        What::Begun { .. },
        What::Done { start: first, .. },
        What::Done { start, end, .. },
    ] = records[..]
    else {
        panic!("{records:?}")
    };
    assert_eq!(first, at(0, 10, 0));
    // eight pieces at five minutes, done 10:55
    assert_eq!((start, end), (at(0, 10, 15), at(0, 10, 55)));
}

#[test]
fn begun_at_another_time() {
    let seen = text(&["sand", "cover"], 10, 20, "bw");
    assert!(seen.contains("Begun when?"), "{seen}");
    let [What::Begun { start, .. }] = written(&["sand", "cover"], 10, 20, "b-15<enter><enter>")[..] else {
        panic!()
    };
    assert_eq!(start, at(0, 10, 5));
    let seen = text(&["sand", "cover"], 10, 20, "b-15<enter><enter>");
    // begun five minutes late, so it ends five minutes late
    assert!(seen.contains("on the bench until 10:50, 30 min to go"), "{seen}");
}

#[test]
fn what_is_begun_is_not_begun_again() {
    let seen = text(&["sand", "cover"], 10, 5, "b<enter>b");
    assert!(seen.contains("This round is begun already."), "{seen}");
}

#[test]
fn a_second_enter_while_writing_writes_nothing_more() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, (80, 24));
    update(&mut model, Msg::Key(Key::Enter));
    let first = update(&mut model, Msg::Key(Key::Enter));
    assert!(matches!(first[..], [Effect::Write(_)]));
    assert_eq!(update(&mut model, Msg::Key(Key::Enter)), []);
    assert_eq!(update(&mut model, Msg::Key(Key::Esc)), []);
    let [Effect::Write(write)] = &first[..] else { panic!() };
    bench.append(now, write.what.clone()).expect("memory takes it");
    update(
        &mut model,
        Msg::Written(write.clone(), Box::new(Sheet::of(&bench, Moment::of(&now)))),
    );
    assert!(model.layers.is_empty() && !model.writing);
}

#[test]
fn it_is_said_to_be_in_the_log_only_when_it_is() {
    let bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, (80, 24));
    update(&mut model, Msg::Key(Key::Enter));
    update(&mut model, Msg::Key(Key::Enter));
    assert_eq!(model.said, None);
    assert_eq!(model.card().map(|card| card.rows.len()), Some(9));
}

#[test]
fn a_failure_to_write_is_said_and_changes_nothing() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    bench.refuse = Some("The disk is full.".to_owned());
    let played = played(&mut bench, at(0, 10, 45), " <enter><enter>");
    assert_eq!(bench.log().len(), 2);
    assert!(
        played
            .text
            .contains("NOT in the log: coat 1 done, 8 pieces. The disk is full."),
        "{}",
        played.text
    );
    assert!(matches!(played.model.layers[..], [Layer::Tick(_)]));
    assert_eq!(played.model.now_page.left_out.len(), 1);
    assert!(!played.effects.iter().any(|effect| matches!(effect, Effect::Replan(_))));
}

#[test]
fn a_look_leaves_out_what_another_screen_ticked_meanwhile() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, (80, 24));
    update(&mut model, Msg::Key(Key::Enter));
    let other = What::Done {
        operations: vec!["coat-1:top".to_owned()],
        start: at(0, 10, 0),
        end: at(0, 10, 5),
    };
    bench.append(now, vec![other]).expect("memory takes it");
    update(&mut model, Msg::Sheet(Box::new(Sheet::of(&bench, Moment::of(&now)))));
    let [Layer::Tick(tick)] = &model.layers[..] else {
        panic!("the look stays open")
    };
    assert_eq!((tick.operations.len(), tick.names.len()), (8, 8));
    assert!(!tick.names.contains(&"top".to_owned()));
}

#[test]
fn a_look_closes_when_nothing_of_it_is_left() {
    let bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, (80, 24));
    update(&mut model, Msg::Key(Key::Enter));
    let bench = bench.done(&["coat-1"]);
    update(&mut model, Msg::Sheet(Box::new(Sheet::of(&bench, Moment::of(&now)))));
    assert!(model.layers.is_empty());
    assert!(model.said.is_some());
}

#[test]
fn a_look_says_what_is_not_dry_enough() {
    let shown = text(&COATED, 11, 10, "<enter>");
    assert!(shown.contains("by what is known not dry enough for this"), "{shown}");
    let shown = text(&COATED, 13, 30, "<enter>");
    assert!(!shown.contains("not dry enough"), "{shown}");
}

// --- taking back -------------------------------------------------------------------------------------

#[test]
fn the_last_of_ones_own_is_taken_back() {
    let records = written(&COATED, 11, 10, "u<enter>");
    assert_eq!(
        records,
        [What::Undone {
            record: "t3".to_owned()
        }]
    );
}

#[test]
fn taking_back_twice_takes_back_the_one_before() {
    let records = written(&COATED, 11, 10, "u<enter>u<enter>");
    assert_eq!(
        records,
        [
            What::Undone {
                record: "t3".to_owned()
            },
            What::Undone {
                record: "t2".to_owned()
            }
        ]
    );
}

#[test]
fn taking_back_looks_first_and_leaves_on_esc() {
    let shown = text(&COATED, 11, 10, "u");
    assert!(shown.contains("done: coat 1, 9 pieces"), "{shown}");
    assert_eq!(written(&COATED, 11, 10, "u<esc>"), []);
}

#[test]
fn with_nothing_of_ones_own_there_is_nothing_to_take_back() {
    let shown = text(&[], 8, 0, "u");
    assert!(shown.contains("Nothing of yours to take back"), "{shown}");
}

// --- touch tests, readings, notes --------------------------------------------------------------------

#[test]
fn a_touch_test_says_not_yet_for_a_purpose() {
    let records = written(&COATED, 11, 10, "t<enter>");
    assert_eq!(
        records,
        [What::NotYetDry {
            operation: "coat-1:top".to_owned(),
            purpose: Purpose::Turn
        }]
    );
    let records = written(&COATED, 11, 10, "jtjj<enter>");
    assert_eq!(
        records,
        [What::NotYetDry {
            operation: "coat-1:side-left".to_owned(),
            purpose: Purpose::Recoat
        }]
    );
}

#[test]
fn a_touch_test_says_already() {
    let records = written(&COATED, 11, 10, "tj<right><enter>");
    assert_eq!(
        records,
        [What::DryAlready {
            operation: "coat-1:top".to_owned(),
            purpose: Purpose::Sand
        }]
    );
}

#[test]
fn a_touch_test_on_a_surface_tests_its_film() {
    let bench = || MemoryBench::new().done(&COATED);
    let on_face = played(&mut bench(), at(0, 11, 10), "2<enter>jt");
    assert!(on_face.text.contains("brushing lacquer on face"), "{}", on_face.text);
    // the back of a side laid on bearers has no film yet
    let on_back = played(&mut bench(), at(0, 11, 10), "2j<enter>jjt");
    assert!(on_back.text.contains("No film here to test"), "{}", on_back.text);
}

#[test]
fn bare_wood_has_no_film_to_test() {
    let shown = text(&[], 8, 0, "t");
    assert!(shown.contains("No film on this piece to test"), "{shown}");
}

#[test]
fn after_not_yet_dry_the_piece_is_held_back() {
    let done = ["sand", "cover", "coat-1"];
    let before = text(&done, 13, 10, "2");
    assert!(
        before
            .lines()
            .any(|line| line.contains("carry ") && line.contains(" top ")),
        "{before}"
    );
    let after = text(&done, 13, 10, "tjjj<enter>2");
    assert!(
        after
            .lines()
            .any(|line| line.contains("turn only") && line.contains(" top ")),
        "{after}"
    );
}

#[test]
fn readings_are_written_in_degrees_celsius() {
    let reading = |keys: &str| written(&[], 8, 0, keys);
    assert_eq!(
        reading("r19.5 55<enter>"),
        [What::Reading {
            temperature: 19.5,
            humidity: Some(55.0)
        }]
    );
    assert_eq!(
        reading("r19,5<enter>"),
        [What::Reading {
            temperature: 19.5,
            humidity: None
        }]
    );
    let mut bench = MemoryBench::new();
    let mut job = (*bench.job).clone();
    job.shown_in.fahrenheit = true;
    bench.job = std::sync::Arc::new(job);
    played(&mut bench, at(0, 8, 0), "r68 50<enter>");
    // 68 °F is 20 °C by definition of the scales
    let read: Vec<What> = bench.log().into_iter().map(|record| record.what).collect();
    assert_eq!(
        read,
        [What::Reading {
            temperature: 20.0,
            humidity: Some(50.0)
        }]
    );
}

#[test]
fn readings_that_cannot_be_are_said_and_not_written() {
    for keys in [
        "r<enter>",
        "rwarm<enter>",
        "r19 55 3<enter>",
        "r119<enter>",
        "r19 0<enter>",
        "r19 101<enter>",
    ] {
        let mut bench = MemoryBench::new();
        let played = played(&mut bench, at(0, 8, 0), keys);
        assert_eq!(bench.log(), [], "{keys}");
        assert!(
            matches!(played.model.layers.last(), Some(Layer::Ask(ask)) if ask.wrong.is_some()),
            "{keys} says what is wrong"
        );
    }
}

#[test]
fn notes_take_what_is_typed_and_pasted() {
    assert_eq!(
        written(&[], 8, 0, "nnew tin<paste:, batch 7\nstirred><enter>"),
        [What::Note {
            text: "new tin, batch 7 stirred".to_owned()
        }]
    );
    assert_eq!(written(&[], 8, 0, "n  <enter>"), []);
}

#[test]
fn a_field_is_edited_where_its_cursor_is() {
    assert_eq!(
        written(&[], 8, 0, "nabd<left>c<home>_<delete><end>e<backspace>f<enter>"),
        [What::Note {
            text: "_bcdf".to_owned()
        }]
    );
}

#[test]
fn pasted_text_outside_a_field_does_nothing() {
    let bench = &mut MemoryBench::new().done(&["sand", "cover"]);
    let played = played(bench, at(0, 10, 45), "<paste:q\n\nu\n><enter><paste:q\n>");
    assert_eq!(bench.log().len(), 2);
    assert_eq!(played.effects, []);
    assert!(matches!(played.model.layers[..], [Layer::Tick(_)]));
}

#[test]
fn the_next_step_of_a_piece_is_ticked_from_its_line() {
    let records = written(&COATED, 13, 40, "2jo<enter>");
    assert_eq!(done_pieces(&records), ["side-left"]);
    let [What::Done { operations, .. }] = &records[..] else {
        panic!()
    };
    assert_eq!(operations, &["denib:side-left"]);
}
