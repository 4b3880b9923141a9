//! What the pages beyond *Now* and *Pieces* mean.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{MemoryBench, at, played};
use chrono_tz::Europe::London;
use denib::dayplan::Plan;
use denib::dayplan::document::{BecauseKind, Dry, DryWindow, Stamp};
use denib::finish::{Prepare, StepKind};
use denib::tui::pages::chain::WaitsFor;
use denib::tui::pages::day::{Days, Zoom, legend};
use denib::tui::pages::places;
use denib::tui::pages::sticks::{self, FilmOf, FilmsIn, Stick, film_at};
use denib::tui::script::{Played, Setting, play};
use denib::tui::verdict::is_wet;
use denib::tui::{Bench, Page, Sheet};
use denib::units::{Moment, Span};
use std::sync::Arc;

const COATED: [&str; 3] = ["sand", "cover", "coat-1"];
const ALL: [&str; 6] = ["sand", "cover", "coat-1", "denib", "coat-2", "uncover"];

fn shown(done: &[&str], now: Stamp, keys: &str) -> Played {
    let setting = Setting {
        size: (120, 40),
        colour: false,
        ascii: false,
    };
    play(&mut MemoryBench::fitted().done(done), now, setting, keys).expect("the script can be read")
}

fn days() -> Days {
    Days::of(MemoryBench::fitted().plan().as_ref().expect("a plan"))
}

fn moment(day: i64, hour: u32, minute: u32) -> Moment {
    Moment::of(&at(day, hour, minute))
}

// --- Day -----------------------------------------------------------------------------------------------

#[test]
fn every_round_of_the_plan_has_its_place_on_the_sticks_of_every_zoom() {
    let days = days();
    for zoom in Zoom::ALL {
        let all = sticks::sticks(&days, zoom, London);
        for pair in all.windows(2) {
            assert_eq!(
                pair[0].span().1,
                pair[1].span().0,
                "{zoom:?}: no minute between sticks is lost"
            );
        }
        for mark in &days.marks {
            let on = all.iter().find(|stick| stick.holds(mark.start)).expect("a stick");
            assert!(matches!(on, Stick::Marked { .. }), "{zoom:?} {}", mark.round);
        }
    }
}

/// As many coats as are drawn are told, and the seal beside them.
#[test]
fn every_sign_on_the_sticks_is_told_with_its_own_step() {
    let mut plan = Plan::clone(MemoryBench::fitted().plan().as_ref().expect("a plan"));
    let mut days = Days::of(&plan);
    let coats: Vec<usize> = (0..days.marks.len())
        .filter(|&mark| plan.rounds[days.marks[mark].round].step == StepKind::Coat)
        .collect();
    let (first, second) = (coats[0], coats[1]);
    days.marks[first].sign = '0';
    plan.rounds[days.marks[first].round].step = StepKind::Seal;
    days.marks[second].sign = '5';
    let marks: Vec<_> = days.marks.iter().collect();
    let told = legend(&plan, &marks);
    assert!(told.contains(&("0".to_owned(), "seal")), "{told:?}");
    let of_coats: Vec<_> = told.iter().filter(|(_, step)| *step == "coat").collect();
    assert_eq!(of_coats.len(), 1, "{told:?}");
    for mark in &days.marks {
        let sign = mark.sign.to_string();
        let known = told.iter().filter(|(signs, _)| signs.split(' ').any(|one| one == sign));
        assert_eq!(known.count(), 1, "{sign} in {told:?}");
    }
    let all: usize = told.iter().map(|(signs, _)| signs.split(' ').count()).sum();
    let mut drawn: Vec<char> = days.marks.iter().map(|mark| mark.sign).collect();
    drawn.sort_unstable();
    drawn.dedup();
    assert_eq!(all, drawn.len(), "no sign is told that is not there");
}

#[test]
fn a_day_the_clocks_change_has_its_hours_and_no_more() {
    // 29 March 2026: London loses an hour; 25 October 2026: it gains one (directive 2000/84/EC)
    let day = |month, date| {
        let from = chrono::NaiveDate::from_ymd_opt(2026, month, date).and_then(|date| date.and_hms_opt(10, 0, 0));
        let at = denib::units::resolve(from.expect("a day"), London, denib::units::Edge::Start);
        let mut days = days();
        (days.from, days.until) = (at, at + Span(60));
        days.marks.truncate(1);
        (days.marks[0].start, days.marks[0].end) = (at, at + Span(60));
        let all = sticks::sticks(&days, Zoom::Day, London);
        assert_eq!(all.len(), 1);
        let (from, until) = all[0].span();
        (until - from).0
    };
    assert_eq!(day(3, 29), 23 * 60);
    assert_eq!(day(10, 25), 25 * 60);
    assert_eq!(day(6, 1), 24 * 60);
}

#[test]
fn as_many_films_are_wet_as_one_counts() {
    let days = days();
    for (from, until) in sticks::cells(moment(0, 0, 0), moment(4, 0, 0), 360) {
        let minutes = (from.0..until.0).map(Moment);
        let wet = |at: Moment| {
            days.films
                .iter()
                .filter(|film| film.from <= at && at < film.touch)
                .count()
        };
        assert_eq!(
            days.wet_at_most(from, until),
            minutes.map(wet).max().unwrap_or(0),
            "{from:?}"
        );
    }
}

#[test]
fn where_a_film_of_the_plan_is_wet_the_stick_says_so() {
    let days = days();
    let plan = MemoryBench::fitted().plan().expect("a plan");
    let mut seen = 0;
    for (from, until) in sticks::cells(moment(0, 8, 0), moment(1, 8, 0), 15) {
        let wet = plan.operations.iter().any(|operation| {
            let touch = operation.dry.as_ref().and_then(|dry| dry.dry_to_touch);
            touch.is_some_and(|touch| Moment::of(&operation.start) < until && Moment::of(&touch) > from)
        });
        let said = sticks::films_in(&days, (from, until)) == FilmsIn::Wet;
        assert_eq!(said, wet, "{from:?}");
        seen += usize::from(wet);
    }
    assert!(seen > 4);
}

/// A hand-made film: laid at ten, dry to touch at 10:25, a window from 11:15 to 15:00, a gap, from 20:00 on
/// after a scuff.
#[test]
fn windows_and_gaps_are_where_the_plan_has_them() {
    let dry = Dry {
        dry_to_touch: Some(at(0, 10, 25)),
        windows: vec![
            DryWindow {
                from: at(0, 11, 15),
                until: Some(at(0, 15, 0)),
                prepare: Prepare::None,
            },
            DryWindow {
                from: at(0, 20, 0),
                until: None,
                prepare: Prepare::Scuff,
            },
        ],
        ..Dry::default()
    };
    let film = |hour, minute| film_at(moment(0, 10, 0), &dry, moment(0, hour, minute));
    assert_eq!(film(9, 59), None);
    assert_eq!(film(10, 0), Some(FilmOf::Wet));
    assert_eq!(film(10, 24), Some(FilmOf::Wet));
    assert_eq!(film(10, 25), Some(FilmOf::Dry));
    assert_eq!(film(11, 14), Some(FilmOf::Dry));
    assert_eq!(film(11, 15), Some(FilmOf::Open(Prepare::None)));
    assert_eq!(film(15, 0), Some(FilmOf::Gap));
    assert_eq!(film(19, 59), Some(FilmOf::Gap));
    assert_eq!(film(20, 0), Some(FilmOf::Open(Prepare::Scuff)));
}

#[test]
fn the_chain_runs_without_a_hole_to_when_all_is_ready() {
    let plan = MemoryBench::fitted().plan().expect("a plan");
    let days = Days::of(&plan);
    assert!(!days.chain.is_empty());
    assert_eq!(days.chain.last().expect("a last link").until, days.ready);
    for pair in days.chain.windows(2) {
        assert!(pair[0].from <= pair[1].from, "{pair:?}");
        assert!(pair[0].until >= pair[1].from, "a hole: {pair:?}");
    }
    // the desk's hand-written reasons: each step waits for the hands on the one before on the same piece
    assert!(days.marks.iter().any(|mark| mark.in_chain));
}

#[test]
fn what_could_have_been_earlier_does_not_set_the_end() {
    let mut plan = (*MemoryBench::fitted().plan().expect("a plan")).clone();
    for operation in plan.operations.iter_mut().filter(|one| one.id.starts_with("coat-2:")) {
        operation.because.kind = BecauseKind::Choice;
        operation.because.op = None;
        operation.because.at = at(0, 14, 0);
    }
    let days = Days::of(&plan);
    let first = days.chain.first().expect("a chain");
    assert_eq!(first.waits_for, WaitsFor::Choice);
    assert_eq!(first.from, moment(0, 14, 0));
    let sand = days.marks.first().expect("the sanding");
    assert!(!sand.in_chain, "what stands before the choice may be later");
}

#[test]
fn the_round_under_the_cursor_says_why_it_is_not_earlier() {
    let seen = shown(&["sand", "cover"], at(0, 10, 2), "3");
    assert_eq!(seen.model.page, Page::Day);
    for part in [
        "ROUND    coat 1, brushing lacquer, 9 pieces, 10:00–10:45",
        "WHY THEN dust has to settle first (leg 4 of 4, sand P120)",
        "next coat as it is 12:00–15:45",
        "not between; next coat\n          after a scuff 20:45",
    ] {
        assert!(seen.text.contains(part), "{part} in\n{}", seen.text);
    }
}

#[test]
fn keys_go_from_round_to_round_and_from_stick_to_stick() {
    let picked = |keys: &str| shown(&COATED, at(0, 11, 10), keys).model.pages.day.picked;
    let is = |id: &str| Some(id.to_owned());
    assert_eq!(picked("3"), None, "the round of now");
    assert_eq!(picked("3<left>"), is("coat-1"));
    assert_eq!(picked("3<right>"), is("coat-2"));
    assert_eq!(picked("3<home>"), is("sand"));
    assert_eq!(picked("3<home><left>"), is("sand"));
    assert_eq!(picked("3<end>"), is("rub"));
    assert_eq!(picked("3<down>"), is("glue"), "the next day with a round in it");
    assert_eq!(picked("3<down><up>"), is("cover"), "nearest in the day to nine");
    assert_eq!(picked("3<end><space>"), None);
    let zoom = |keys: &str| shown(&COATED, at(0, 11, 10), keys).model.pages.day.zoom;
    assert_eq!(zoom("3++"), Zoom::Hour);
    assert_eq!(zoom("3+++"), Zoom::Hour);
    assert_eq!(zoom("3---"), Zoom::Days);
}

// --- Places --------------------------------------------------------------------------------------------

/// Every ten minutes of two days, with the rounds done as far as they are planned to be by then.
fn through_the_days() -> impl Iterator<Item = (MemoryBench, Stamp)> {
    (0..220).map(|step| {
        let now = at(0, 8, 0) + chrono::Duration::minutes(10 * step);
        let plan = MemoryBench::fitted().plan.expect("a plan");
        let over: Vec<&str> = ALL
            .into_iter()
            .filter(|id| plan.rounds.iter().any(|round| round.id == *id && round.start <= now))
            .collect();
        (MemoryBench::fitted().done(&over), now)
    })
}

#[test]
fn what_is_wet_is_nowhere_offered_for_handling() {
    let mut wet_seen = 0;
    for (bench, now) in through_the_days().step_by(3) {
        let wet: Vec<String> = {
            let standing = bench.standing(Moment::of(&now));
            let wet = standing.pieces.iter().filter(|piece| is_wet(piece));
            wet.map(|piece| bench.job.pieces[piece.piece].name.clone()).collect()
        };
        if wet.is_empty() {
            continue;
        }
        wet_seen += wet.len();
        let mut bench = bench;
        for page in ["2", "7"] {
            let screen = played(&mut bench, now, page).text;
            for line in screen
                .lines()
                .filter(|line| wet.iter().any(|name| line.contains(&format!(" {name} "))))
            {
                for word in ["● carry", "■ glue", "◔ turn only", "◌ coat only"] {
                    assert!(!line.contains(word), "{now}: {line}");
                }
            }
        }
    }
    assert!(wet_seen > 10, "{wet_seen}");
}

#[test]
fn no_place_holds_more_than_it_has_and_every_wet_piece_stands_somewhere() {
    for (bench, now) in through_the_days() {
        let sheet = Sheet::of(&bench, Moment::of(&now));
        let (places, at_none) = places::of(&sheet);
        let standing: usize = places
            .iter()
            .flat_map(|place| &place.stands)
            .filter(|one| one.piece.is_some())
            .count();
        assert_eq!(standing + at_none, sheet.job.pieces.len());
        for place in &places {
            for stands in &place.stands {
                assert!(stands.since <= sheet.standing.now);
                assert!(stands.until.is_none_or(|until| until > sheet.standing.now));
            }
            assert!(place.stands.is_sorted_by_key(|one| one.until));
        }
        for piece in sheet.standing.pieces.iter().filter(|piece| is_wet(piece)) {
            let there = places
                .iter()
                .flat_map(|place| &place.stands)
                .any(|one| one.piece == Some(piece.piece));
            assert!(there, "{now}: piece {} is wet and stands nowhere", piece.piece);
        }
    }
}

#[test]
fn other_work_takes_its_places_until_it_goes() {
    let taken = |day, hour| {
        let bench = MemoryBench::fitted();
        let (places, _) = places::of(&Sheet::of(&bench, moment(day, hour, 0)));
        places
            .iter()
            .map(denib::tui::pages::places::PlaceNow::taken)
            .sum::<u32>()
    };
    assert_eq!(taken(0, 8), 1);
    assert_eq!(taken(2, 0), 0);
}

// --- Pieces: assemblies --------------------------------------------------------------------------------

#[test]
fn an_assembly_is_in_parts_curing_wet_and_then_may_be_carried() {
    let line = |done: &[&str], day, hour, minute| {
        let text = shown(done, at(day, hour, minute), "2<end>").text;
        let found = text
            .lines()
            .find(|line| line.contains("carcase, assembled"))
            .map(str::to_owned);
        found.expect("the carcase has a line")
    };
    let glued = [&ALL[..], &["glue"]].concat();
    let coated = [&glued[..], &["coat-after"]].concat();
    let before = line(&ALL, 1, 16, 0);
    assert!(before.contains("in parts") && before.contains("0/1"), "{before}");
    assert!(before.contains("09:00  glue up"), "{before}");
    // glued until ten, twelve hours in the clamps
    let clamped = line(&glued, 2, 12, 0);
    assert!(
        clamped.contains("≈ LEAVE ALONE") && clamped.contains("in the clamps to 22:00"),
        "{clamped}"
    );
    let free = line(&glued, 2, 22, 0);
    assert!(free.contains("● carry"), "{free}");
    let wet = line(&coated, 3, 9, 40);
    assert!(wet.contains("≈ LEAVE ALONE") && wet.contains("1/1"), "{wet}");
    let touch = line(&coated, 3, 10, 0);
    assert!(touch.contains("◔ turn only"), "{touch}");
    let dry = line(&coated, 3, 12, 30);
    assert!(dry.contains("● carry"), "{dry}");
}

// --- Balance, Air, Stores, Record ----------------------------------------------------------------------

#[test]
fn an_uneven_panel_is_said_and_drawn() {
    let seen = shown(&COATED, at(0, 11, 10), "4j").text;
    assert!(seen.contains("stand unequal now"), "{seen}");
    assert!(seen.contains("face: 1 of 2 coats on"), "{seen}");
    assert!(seen.contains("back: 0 of 2 coats on"), "{seen}");
}

#[test]
fn air_that_is_not_computed_is_not_said_to_be_clean() {
    let seen = played(&mut MemoryBench::new().done(&COATED), at(0, 11, 10), "5").text;
    assert!(seen.contains("is not computed"), "{seen}");
    assert!(seen.contains("no sign that there is none"), "{seen}");
}

#[test]
fn the_air_has_its_peak_its_cap_and_its_cautions_with_figure_and_source() {
    let seen = shown(&COATED, at(0, 11, 10), "5").text;
    for part in [
        "PEAK",
        "the cap is 10 %, the rule 25 %",
        "STOP     Put out the stove",
        "flash point 12 to 14 °C",
        "source: the tin",
        "source: common practice, no source",
    ] {
        assert!(seen.contains(part), "{part} in\n{seen}");
    }
}

#[test]
fn what_was_done_is_used_and_what_is_not_known_is_a_question_mark() {
    let row = |done: &[&str], hour| {
        let text = shown(done, at(0, hour, 0), "6").text;
        let found = text
            .lines()
            .find(|line| line.contains("brushing lacquer"))
            .map(str::to_owned);
        found.expect("the lacquer has a line")
    };
    let number = |row: &str, at: usize| -> f64 {
        let words: Vec<&str> = row.split_whitespace().collect();
        words[at].parse().expect("a number")
    };
    let (fresh, coated) = (row(&[], 8), row(&COATED, 11));
    assert!((number(&fresh, 2)).abs() < 0.5, "nothing used yet: {fresh}");
    assert!(number(&coated, 2) > 50.0, "{coated}");
    let whole = number(&fresh, 4);
    let sum = number(&coated, 2) + number(&coated, 4);
    assert!(
        (whole - sum).abs() <= 2.0,
        "used and to go are the whole: {fresh} / {coated}"
    );
    assert!(fresh.contains('?'), "the shelf is not known: {fresh}");
}

#[test]
fn the_newest_line_of_the_record_stands_on_top() {
    let seen = shown(&COATED, at(0, 11, 10), "8");
    let place = |text: &str| {
        seen.text
            .find(text)
            .unwrap_or_else(|| panic!("{text} in\n{}", seen.text))
    };
    assert!(place("done: coat 1, 9 pieces") < place("done: cover the joints, 7 pieces"));
    assert!(place("done: cover the joints") < place("done: sand P120"));
    let plan = MemoryBench::fitted().plan().expect("a plan");
    let mut bench = MemoryBench::fitted();
    bench
        .append(
            at(0, 8, 0),
            vec![denib::log::What::AcceptedPlan {
                plan: std::sync::Arc::clone(&plan),
            }],
        )
        .expect("memory takes it");
    let without = played(&mut bench, at(0, 8, 1), "8").text;
    assert!(without.contains("Nothing has been written down yet"), "{without}");
    let with = played(&mut bench, at(0, 8, 1), "8a").text;
    assert!(with.contains("a plan taken on"), "{with}");
}

// --- the far wall --------------------------------------------------------------------------------------

#[test]
fn the_far_wall_says_what_now_says() {
    let seen = shown(&COATED, at(0, 11, 10), "F");
    let card = seen.model.card().expect("a round");
    assert!(seen.text.contains("9 pieces"), "{}", seen.text);
    assert!(
        seen.text.contains("to go before it begins; hands are free until 13:30"),
        "{}",
        seen.text
    );
    let large = denib::tui::view::large::large(&card.step, 116, 30, '█').expect("it fits");
    let first = large.first().expect("a row").trim_end();
    assert!(
        seen.text.lines().any(|line| line.trim() == first.trim()),
        "{first}\n{}",
        seen.text
    );
    let late = shown(&["sand", "cover"], at(0, 10, 25), "F").text;
    assert!(late.contains("LATE, planned at 10:00"), "{late}");
    assert!(
        late.contains("Put out the stove"),
        "what stops the work is said there too\n{late}"
    );
}

#[test]
fn keys_of_the_far_wall() {
    let model = |keys: &str| shown(&["sand", "cover"], at(0, 10, 25), keys).model;
    assert!(model("F").far);
    assert!(!model("FF").far && !model("F<esc>").far);
    let model_of = model("F7");
    assert!(!model_of.far && model_of.page == Page::Places);
    assert_eq!(model("F<enter>").layers.len(), 1, "a look at the tick");
    let mut bench = MemoryBench::fitted().done(&["sand", "cover"]);
    let before = bench.log().len();
    played(&mut bench, at(0, 10, 50), "F<enter><enter>");
    assert_eq!(bench.log().len(), before + 1, "one round ticked from afar");
}

#[test]
fn a_page_is_worked_out_once_for_a_look_at_the_bench() {
    let model = played(&mut MemoryBench::fitted().done(&COATED), at(0, 11, 10), "3").model;
    let (one, other) = (model.days().expect("days"), model.days().expect("days"));
    assert!(Arc::ptr_eq(&one, &other));
    let model = played(&mut MemoryBench::fitted().done(&COATED), at(0, 11, 10), "4").model;
    assert!(Arc::ptr_eq(
        &model.balance().expect("a balance"),
        &model.balance().expect("a balance")
    ));
}
