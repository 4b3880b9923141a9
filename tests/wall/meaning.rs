//! What the pages mean: what is wet is nowhere offered for handling.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{MemoryBench, at, played};
use denib::log::What;
use denib::standing::May;
use denib::tui::piece_rows::Content;
use denib::tui::script::{Setting, paint, play, text_of};
use denib::tui::verdict::{Filter, Hands, is_wet};
use denib::tui::{Bench, Effect, Fresh, Key, Model, Msg, Sheet, update};
use denib::units::Moment;

const ALL: [&str; 6] = ["sand", "cover", "coat-1", "denib", "coat-2", "uncover"];

/// Every ten minutes of the desk's first day and a half, with the rounds done as far as they are planned to be by then.
fn through_the_days() -> impl Iterator<Item = (MemoryBench, denib::dayplan::document::Stamp)> {
    (0..220).map(|step| {
        let now = at(0, 8, 0) + chrono::Duration::minutes(10 * step);
        let plan = MemoryBench::new().plan.expect("a plan");
        let over: Vec<&str> = ALL
            .into_iter()
            .filter(|id| plan.rounds.iter().any(|round| round.id == *id && round.start <= now))
            .collect();
        (MemoryBench::new().done(&over), now)
    })
}

#[test]
fn a_piece_with_a_wet_surface_is_never_listed_as_handleable() {
    let mut wet_seen = 0;
    for (bench, now) in through_the_days() {
        let sheet = Sheet::of(&bench, Moment::of(&now));
        for standing in &sheet.standing.pieces {
            if is_wet(standing) {
                wet_seen += 1;
                let piece = &sheet.job.pieces[standing.piece];
                for filter in [Filter::Handled, Filter::Turned, Filter::Coated, Filter::Glue] {
                    assert!(
                        !filter.lets_through(standing, piece),
                        "{} is wet at {now}, {filter:?}",
                        piece.name
                    );
                }
                assert!(Filter::Leave.lets_through(standing, piece));
            }
        }
    }
    assert!(wet_seen > 20, "the days have wet pieces in them: {wet_seen}");
}

#[test]
fn a_wet_piece_is_left_alone_even_when_the_standing_errs() {
    let bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let mut standing = bench.standing(Moment::of(&at(0, 10, 46)));
    let piece = &mut standing.pieces[8];
    assert!(is_wet(piece), "the last leg was coated a minute ago");
    (piece.handle, piece.turn, piece.glue, piece.recoat, piece.stack) =
        (May::Yes, May::Yes, May::Yes, May::Yes, May::Yes);
    assert_eq!(Hands::on(piece), Hands::Leave);
    for filter in [Filter::Handled, Filter::Turned, Filter::Coated, Filter::Glue] {
        assert!(!filter.lets_through(piece, &bench.job.pieces[8]), "{filter:?}");
    }
}

#[test]
fn on_the_screen_every_wet_piece_says_leave_alone() {
    for (mut bench, now) in through_the_days() {
        let wet: Vec<String> = {
            let standing = bench.standing(Moment::of(&now));
            let wet = standing.pieces.iter().filter(|piece| is_wet(piece));
            wet.map(|piece| bench.job.pieces[piece.piece].name.clone()).collect()
        };
        let screen = played(&mut bench, now, "2").text;
        for name in &wet {
            let line = screen
                .lines()
                .find(|line| line.contains(&format!(" {name} ")))
                .expect("the piece has a line");
            assert!(line.contains("≈ LEAVE ALONE"), "{now}: {line}");
        }
        let left_alone = screen.lines().filter(|line| line.contains("LEAVE ALONE")).count();
        assert!(left_alone >= wet.len());
        let handled = played(&mut bench, now, "2f2").text;
        for name in &wet {
            assert!(
                !handled.contains(&format!(" {name} ")),
                "{now}: {name} is wet\n{handled}"
            );
        }
    }
}

#[test]
fn an_unfolded_piece_shows_coats_stage_and_next_stage() {
    let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let seen = played(&mut bench, at(0, 10, 20), "2<enter>");
    // the top was coated until 10:05: dry to touch from 10:20 by the fast figure of 15 minutes, by the slow one
    // of 25 at 10:30; the records of later pieces are not over yet
    let line = seen
        .text
        .lines()
        .find(|line| line.contains("face"))
        .expect("the top has a face")
        .to_owned();
    for part in ["WET", "1/2", "dry to touch 10:20–10:30"] {
        assert!(line.contains(part), "{part} in {line}");
    }
}

#[test]
fn a_spoiled_film_is_said_on_both_pages_and_cannot_be_handled() {
    let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    bench.spoiled = vec![3];
    let now = at(0, 14, 0);
    let first = played(&mut bench, now, "").text;
    assert!(first.contains("SPOILED") && first.contains("shelf"), "{first}");
    let pieces = played(&mut bench, now, "2").text;
    assert!(
        pieces
            .lines()
            .any(|line| line.contains("× SAND OFF") && line.contains("shelf")),
        "{pieces}"
    );
    let handled = played(&mut bench, now, "2f2").text;
    assert!(!handled.contains("shelf"), "{handled}");
}

#[test]
fn an_uneven_wide_panel_is_said_when_unfolded() {
    let mut bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let seen = played(&mut bench, at(0, 11, 10), "2j<enter>").text;
    assert!(seen.contains("unequal coats since 10:10"), "{seen}");
}

#[test]
fn a_late_round_is_said_plainly() {
    let seen = played(&mut MemoryBench::new().done(&["sand", "cover"]), at(0, 10, 25), "").text;
    assert!(seen.contains("LATE by 25 min: planned at 10:00"), "{seen}");
    // an earlier round left lying is late too, beside the one hands are on
    let seen = played(&mut MemoryBench::new(), at(0, 10, 25), "").text;
    assert!(
        seen.contains("LATE     cover the joints, 7 pieces, planned at 09:00"),
        "{seen}"
    );
}

#[test]
fn a_round_ahead_is_not_said_to_be_now() {
    let seen = played(
        &mut MemoryBench::new().done(&["sand", "cover", "coat-1"]),
        at(0, 11, 10),
        "",
    )
    .text;
    assert!(seen.contains(" NEXT     D E - N I B   P360"), "{seen}");
    assert!(
        seen.contains(" NOW      hands are free until 13:30: 2 h 20 to go"),
        "{seen}"
    );
}

#[test]
fn pieces_of_a_round_not_dry_in_time_are_marked() {
    // the coats went on late: the top at 12:08, leg 4 at 13:12, eight minutes each
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    let plan = bench.plan.clone().expect("a plan");
    let round = plan.rounds.iter().find(|round| round.id == "coat-1").expect("a coat");
    let done = What::Done {
        operations: round.operations.clone(),
        start: at(0, 12, 0),
        end: at(0, 13, 15),
    };
    bench.record(at(0, 13, 15), done);
    let setting = Setting {
        size: (120, 40),
        colour: false,
        ascii: false,
    };
    let seen = play(&mut bench, at(0, 13, 20), setting, "")
        .expect("the script can be read")
        .text;
    let row = |name: &str| seen.lines().find(|line| line.contains(name)).expect("a row").to_owned();
    // dry to sand by the slow figure of 75 minutes: the top at 13:23, before 13:30 when its turn comes; leg 4 at
    // 14:27, after 14:02
    assert!(!row(" 1  top").contains("not dry"), "{seen}");
    assert!(row("leg 4 of 4").contains("! not dry: 13:57–14:27"), "{seen}");
}

#[test]
fn what_a_tick_writes_are_the_rows_shown() {
    for (mut bench, now) in through_the_days() {
        let before = bench.log().len();
        let card = played(&mut bench, now, "").model.card();
        played(&mut bench, now, "<enter><enter>");
        let written = bench.log().into_iter().nth(before).map(|record| record.what);
        match (card, written) {
            (Some(card), Some(What::Done { operations, start, end })) => {
                let rows: Vec<String> = card.rows.iter().map(|row| row.operation.clone()).collect();
                assert_eq!(operations, rows);
                assert!(start <= end && end <= now);
            }
            (None, None) => {}
            (card, written) => panic!("{now}: {card:?} but {written:?}"),
        }
    }
}

#[test]
fn lines_of_pieces_come_in_the_jobs_order() {
    for (mut bench, now) in through_the_days() {
        let lines = played(&mut bench, now, "2a").model.lines();
        assert!(lines.windows(2).all(|pair| pair[0].key < pair[1].key));
        let pieces = lines
            .iter()
            .filter(|line| matches!(line.content, Content::Piece { .. }))
            .count();
        assert_eq!(pieces, bench.job.pieces.len());
    }
}

#[test]
fn a_piece_being_coated_is_left_alone() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    let seen = played(&mut bench, at(0, 10, 2), "b<enter><wait:20>2").text;
    assert!(seen.contains(" 9 leave alone"), "{seen}");
    assert_eq!(seen.matches("LEAVE ALONE").count(), 9, "{seen}");
    assert!(!seen.contains("carry  "), "{seen}");
}

#[test]
fn where_it_stands_to_dry_a_wet_piece_says_leave_alone() {
    let mut seen = 0;
    for minute in [46, 55, 5, 15]
        .into_iter()
        .enumerate()
        .map(|(at, minute)| (10 + at / 2, minute))
    {
        let now = at(0, minute.0 as u32, minute.1);
        let mut bench = MemoryBench::fitted().done(&["sand", "cover", "coat-1"]);
        let standing = bench.standing(Moment::of(&now));
        let setting = Setting {
            size: (120, 60),
            colour: false,
            ascii: false,
        };
        let screen = play(&mut bench, now, setting, "7")
            .expect("the script can be read")
            .text;
        for piece in standing.pieces.iter().filter(|piece| is_wet(piece)) {
            let name = &bench.job.pieces[piece.piece].name;
            for line in screen.lines().filter(|line| line.contains(&format!(" {name} "))) {
                seen += 1;
                assert!(line.contains("LEAVE ALONE"), "{now}: {line}");
            }
        }
    }
    assert!(seen > 4, "wet pieces stand at places: {seen}");
}

/// Words of the foot that stand for a deed.
const DEEDS: [&str; 13] = [
    "tick",
    "leave out",
    "only this one",
    "touch test",
    "more to do",
    "undo",
    "change",
    "begin",
    "lot",
    "reading",
    "note",
    "accept",
    "editor",
];

#[test]
fn a_screen_that_only_shows_offers_no_deed_and_opens_none() {
    let bench = MemoryBench::fitted().done(&["sand", "cover", "coat-1"]);
    let now = at(0, 13, 40);
    for size in [(80, 24), (200, 60)] {
        for keys in ["1", "2", "3", "4", "5", "6", "7", "8", "F", "c", "!"] {
            let fresh = Fresh {
                problems: Some(vec!["desk.toml:3: no such unit".to_owned()]),
                ..Fresh::default()
            };
            let sheet = Sheet::of(&bench, Moment::of(&now));
            let mut shows = Model::new(sheet.clone(), now, size).read_only();
            let mut writes = Model::new(sheet.clone(), now, size);
            for model in [&mut shows, &mut writes] {
                update(model, Msg::Refreshed(fresh.clone(), Box::new(sheet.clone())));
                for key in keys.chars() {
                    update(model, Msg::Key(Key::Char(key)));
                }
            }
            let foot = |model: &Model| {
                let text = text_of(&paint(model).0);
                text.lines().last().expect("a screen has lines").to_owned()
            };
            let offered = |foot: &str| {
                DEEDS
                    .into_iter()
                    .filter(|deed| foot.contains(&format!(" {deed}")))
                    .collect::<Vec<_>>()
            };
            assert_eq!(offered(&foot(&shows)), Vec::<&str>::new(), "{keys}: {}", foot(&shows));
            if ["1", "2", "8", "F", "c", "!"].contains(&keys) {
                assert!(!offered(&foot(&writes)).is_empty(), "{keys}: {}", foot(&writes));
            }
            let before = shows.layers.len();
            for key in "rnudeptobla\r ".chars() {
                let mut model = shows.clone();
                let key = if key == '\r' { Key::Enter } else { Key::Char(key) };
                let asked = update(&mut model, Msg::Key(key));
                assert!(
                    !asked
                        .iter()
                        .any(|effect| matches!(effect, Effect::Write(_) | Effect::Edit(..) | Effect::Editor)),
                    "{keys}, {key:?}: {asked:?}"
                );
                assert!(model.layers.len() <= before, "{keys}, {key:?}: {:?}", model.layers);
            }
        }
    }
}

#[test]
fn faults_of_the_job_file_stay_on_the_screen_until_they_are_mended() {
    let bench = MemoryBench::new().done(&["sand", "cover", "coat-1"]);
    let now = at(0, 11, 10);
    let sheet = Sheet::of(&bench, Moment::of(&now));
    let mut model = Model::new(sheet.clone(), now, (80, 24));
    let long = format!("desk.toml:3: {}the end", "a long tale of what is wrong, ".repeat(60));
    let fresh = |problems| Fresh {
        problems: Some(problems),
        ..Fresh::default()
    };
    update(&mut model, Msg::Refreshed(fresh(vec![long]), Box::new(sheet.clone())));
    let seen = |model: &Model| text_of(&paint(model).0);
    for key in "234j1jj".chars() {
        update(&mut model, Msg::Key(Key::Char(key)));
        assert!(seen(&model).contains("The job file has faults"), "{}", seen(&model));
    }
    // all of it can be read: nothing is cut, and its end can be reached
    update(&mut model, Msg::Key(Key::Char('!')));
    assert!(!seen(&model).contains("the end"), "{}", seen(&model));
    update(&mut model, Msg::Key(Key::End));
    assert!(seen(&model).contains("the end"), "{}", seen(&model));
    update(&mut model, Msg::Refreshed(fresh(Vec::new()), Box::new(sheet)));
    update(&mut model, Msg::Key(Key::Char('j')));
    assert!(!seen(&model).contains("faults"), "{}", seen(&model));
}
