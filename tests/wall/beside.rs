//! What is dealt with beside the keys: writing, looking, figures, the plans of other screens; and a clock that
//! jumps. Messages are pushed one by one, so that what comes late comes late here.

#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{self, MemoryBench, at};
use denib::dayplan::document::Stamp;
use denib::job::DayShift;
use denib::log::What;
use denib::tui::layer::Layer;
use denib::tui::model::{Planning, Tone, Typed};
use denib::tui::pages::worked::WorkedOut;
use denib::tui::script::{paint, text_of};
use denib::tui::{Bench, Effect, Fresh, Key, Model, Msg, Page, Sheet, Write, update};
use denib::units::Moment;
use std::sync::Arc;

const COATED: [&str; 3] = ["sand", "cover", "coat-1"];

fn look(bench: &MemoryBench, now: Stamp) -> Box<Sheet> {
    Box::new(Sheet::of(bench, Moment::of(&now)))
}

fn wall(bench: &MemoryBench, now: Stamp) -> Model {
    Model::new(*look(bench, now), now, (80, 24))
}

fn press(model: &mut Model, keys: &[Key]) -> Vec<Effect> {
    keys.iter().flat_map(|key| update(model, Msg::Key(*key))).collect()
}

fn shown(model: &Model) -> String {
    text_of(&paint(model).0)
}

fn write_of(effects: &[Effect]) -> Write {
    match effects {
        [Effect::Write(write)] => write.clone(),
        other => panic!("{other:?}"),
    }
}

fn put_into_log(bench: &mut MemoryBench, now: Stamp, write: &Write) -> Msg {
    bench.append(now, write.what.clone()).expect("memory takes it");
    Msg::Written(write.clone(), look(bench, now))
}

#[test]
fn keys_that_only_look_do_not_wait_for_what_is_written() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = wall(&bench, now);
    let write = write_of(&press(&mut model, &[Key::Enter, Key::Enter]));
    assert!(model.layers.is_empty(), "the page is there to be looked at");
    press(&mut model, &[Key::Char('2'), Key::Down]);
    assert_eq!(model.page, Page::Pieces);
    assert!(model.pieces_page.cursor.is_some() && model.put_off.is_empty());
    assert_eq!(model.said, None, "nothing is said to be in the log yet");
    let msg = put_into_log(&mut bench, now, &write);
    update(&mut model, msg);
    assert!(matches!(&model.said, Some((Tone::Done, words)) if words.starts_with("In the log")));
    assert_eq!(model.page, Page::Pieces);
}

#[test]
fn keys_that_hang_on_what_is_written_come_after_it_in_their_order() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = wall(&bench, now);
    let write = write_of(&press(&mut model, &[Key::Enter, Key::Enter]));
    // a note typed on, and a page: all of it after the tick
    let typed = [
        Key::Char('n'),
        Key::Char('h'),
        Key::Char('i'),
        Key::Enter,
        Key::Char('2'),
    ];
    assert_eq!(press(&mut model, &typed), []);
    assert_eq!(model.put_off.len(), 5);
    assert_eq!(model.put_off.front(), Some(&Typed::Key(Key::Char('n'))));
    assert_eq!(model.page, Page::Now);
    let msg = put_into_log(&mut bench, now, &write);
    let effects = update(&mut model, msg);
    let notes: Vec<&Write> = effects
        .iter()
        .filter_map(|effect| match effect {
            Effect::Write(write) => Some(write),
            _ => None,
        })
        .collect();
    let [note] = notes.as_slice() else {
        panic!("{effects:?}")
    };
    assert!(matches!(note.what.as_slice(), [What::Note { text }] if text == "hi"));
    assert_eq!(model.page, Page::Pieces, "a page needs not wait for the note");
    assert!(model.writing && model.put_off.is_empty());
}

#[test]
fn a_look_that_could_not_be_written_comes_back_with_its_reason() {
    let bench = MemoryBench::new().done(&["sand", "cover"]);
    let mut model = wall(&bench, at(0, 10, 45));
    let write = write_of(&press(&mut model, &[Key::Enter, Key::Enter]));
    press(&mut model, &[Key::Char('?')]);
    update(&mut model, Msg::NotWritten(write, "The disk is full.".to_owned()));
    assert!(matches!(model.layers.as_slice(), [Layer::Tick(_)]));
    assert!(!model.writing && shown(&model).contains("NOT in the log"));
}

#[test]
fn a_minute_is_asked_for_once() {
    let bench = MemoryBench::new();
    let mut model = wall(&bench, at(0, 8, 0));
    let minute = at(0, 8, 1);
    assert_eq!(update(&mut model, Msg::Clock(minute)), [Effect::Recompute]);
    assert_eq!(update(&mut model, Msg::Clock(minute)), [], "it is on its way");
    assert_eq!(update(&mut model, Msg::Clock(at(0, 8, 2))), [Effect::Recompute]);
    // the first look comes late: the second is asked for again rather than lost
    update(&mut model, Msg::Sheet(look(&bench, minute)));
    assert_eq!(update(&mut model, Msg::Clock(at(0, 8, 2))), [Effect::Recompute]);
    update(&mut model, Msg::Sheet(look(&bench, at(0, 8, 2))));
    assert_eq!(update(&mut model, Msg::Clock(at(0, 8, 2))), []);
}

#[test]
fn figures_come_beside_and_the_last_stand_meanwhile() {
    let bench = MemoryBench::fitted().done(&["sand", "cover"]);
    let mut model = wall(&bench, at(0, 10, 45)).worked_beside();
    for (digit, page) in [
        ('3', Page::Day),
        ('4', Page::Balance),
        ('5', Page::Air),
        ('6', Page::Stores),
        ('7', Page::Places),
    ] {
        assert_eq!(
            press(&mut model, &[Key::Char(digit)]),
            [Effect::WorkOut(page)],
            "{page:?}"
        );
        assert!(shown(&model).contains("Being worked out."), "{}", shown(&model));
        assert_eq!(press(&mut model, &[Key::Down]), [], "asked for once");
        let sheet = model.sheet.clone();
        update(&mut model, Msg::WorkedOut(Box::new(WorkedOut::of(page, &sheet))));
        assert!(!shown(&model).contains("Being worked out."), "{}", shown(&model));
    }
    // a minute later the places of the last look stand until the new ones are there
    let effects = update(&mut model, Msg::Sheet(look(&bench, at(0, 10, 46))));
    // the bench in memory hands out the same plan
    assert_eq!(effects, [Effect::WorkOut(Page::Places)]);
    assert!(!shown(&model).contains("Being worked out."));
}

/// A file changed by somebody else, on two screens: both plan, one writes.
#[test]
fn one_plan_is_enough_for_a_file_two_screens_share() {
    let mut bench = MemoryBench::new();
    bench.replan_by = Some(30);
    let now = at(0, 8, 0);
    let mut one = wall(&bench, now);
    let mut other = wall(&bench, now);
    let changed = || Fresh {
        job: true,
        ..Fresh::default()
    };
    for model in [&mut one, &mut other] {
        let effects = update(model, Msg::Refreshed(changed(), look(&bench, now)));
        assert_eq!(effects, [Effect::Replan(model.generation)]);
    }
    let plan = bench.replan(Moment::of(&now))(&std::sync::atomic::AtomicBool::new(false), &mut |_| ());
    let plan = plan.expect("it can be planned").expect("another plan");
    let generation = one.generation;
    let write = write_of(&update(
        &mut one,
        Msg::Planned(generation, Ok(Some(Box::new(plan.clone())))),
    ));
    let msg = put_into_log(&mut bench, now, &write);
    update(&mut one, msg);
    let log = Fresh {
        log: true,
        ..Fresh::default()
    };
    let late = other.generation;
    assert_eq!(update(&mut other, Msg::Refreshed(log, look(&bench, now))), []);
    assert_eq!(other.planning, Planning::Still);
    let taken = other.sheet.plan.clone().expect("the plan of the other screen");
    assert_eq!(taken.rounds, plan.rounds);
    // its own comes too late, and nothing is written
    assert_eq!(update(&mut other, Msg::Planned(late, Ok(Some(Box::new(plan))))), []);
    assert_eq!(bench.log().len(), 1);
}

/// The other screen writes between this one's plan and its writing.
#[test]
fn a_plan_that_was_overtaken_is_not_written_and_one_for_a_tick_is_made_anew() {
    for for_files in [true, false] {
        let mut bench = MemoryBench::new();
        bench.replan_by = Some(30);
        let now = at(0, 8, 0);
        let mut model = wall(&bench, now);
        if for_files {
            let fresh = Fresh {
                job: true,
                ..Fresh::default()
            };
            update(&mut model, Msg::Refreshed(fresh, look(&bench, now)));
        } else {
            let write = write_of(&press(&mut model, &[Key::Enter, Key::Enter]));
            let msg = put_into_log(&mut bench, now, &write);
            update(&mut model, msg);
        }
        let plan = bench.replan(Moment::of(&now))(&std::sync::atomic::AtomicBool::new(false), &mut |_| ());
        let plan = plan.expect("it can be planned").expect("another plan");
        let found = Msg::Planned(model.generation, Ok(Some(Box::new(plan.clone()))));
        write_of(&update(&mut model, found));
        bench.record(now, What::AcceptedPlan { plan: Arc::new(plan) });
        let log = Fresh {
            log: true,
            ..Fresh::default()
        };
        let effects = update(&mut model, Msg::Overtaken(log, look(&bench, now)));
        assert!(!model.writing);
        let again: Vec<Effect> = if for_files {
            Vec::new()
        } else {
            vec![Effect::Replan(model.generation)]
        };
        assert_eq!(effects, again, "for the files: {for_files}");
    }
}

/// A laptop that slept over the end of a round, over midnight, over a clock change: one look, of the time it is.
#[test]
fn a_clock_that_jumps_is_looked_at_once_and_what_is_late_is_said() {
    let bench = MemoryBench::new();
    let mut model = wall(&bench, at(0, 8, 0));
    let slept = at(1, 9, 30);
    assert_eq!(update(&mut model, Msg::Clock(slept)), [Effect::Recompute]);
    let effects = update(&mut model, Msg::Sheet(look(&bench, slept)));
    assert!(
        effects.iter().all(|effect| matches!(effect, Effect::Bell)),
        "{effects:?}"
    );
    assert!(effects.len() <= 1, "whatever was missed, it rings once");
    let text = shown(&model);
    assert!(text.contains("Wed 2 Dec") && text.contains("09:30"), "{text}");
    assert!(text.contains("LATE") || text.contains("late"), "{text}");
    assert_eq!(model.went_back, None);
}

#[test]
fn a_clock_put_forward_and_back_shows_what_it_showed() {
    let bench = MemoryBench::new().done(&["sand", "cover"]);
    let now = at(0, 10, 45);
    let mut model = wall(&bench, now);
    let before = shown(&model);
    for minute in [at(0, 14, 0), now] {
        update(&mut model, Msg::Clock(minute));
        update(&mut model, Msg::Sheet(look(&bench, minute)));
    }
    assert!(
        shown(&model).contains("The clock went back by 3 h 15"),
        "{}",
        shown(&model)
    );
    press(&mut model, &[Key::Esc]);
    assert_eq!(shown(&model), before);
}

/// London put its clocks back on 25 October 2026 at 02:00 BST (EU directive 2000/84, kept by the IANA time zone
/// data): the hour from one to two came twice, and the wall went through it without the clock going back.
#[test]
fn the_hour_that_comes_twice_is_no_clock_put_back() {
    let bench = MemoryBench::new();
    let stamp = |text: &str| Stamp::parse_from_rfc3339(text).expect("a time");
    let mut model = wall(&bench, stamp("2026-10-25T01:59:00+01:00"));
    for (time, hour) in [
        ("2026-10-25T01:00:00+00:00", "01:00"),
        ("2026-10-25T02:00:00+00:00", "02:00"),
    ] {
        update(&mut model, Msg::Clock(stamp(time)));
        update(&mut model, Msg::Sheet(look(&bench, stamp(time))));
        assert_eq!(model.went_back, None, "{time}");
        assert!(shown(&model).contains(hour), "{}", shown(&model));
    }
}

#[test]
fn quiet_hours_of_the_job_keep_the_bell_silent_and_nothing_else() {
    for (quiet, rings) in [(None, 1), (Some((805, 815)), 0), (Some((815, 900)), 1)] {
        let mut bench = MemoryBench::new().done(&COATED);
        let mut job = (*bench.job).clone();
        job.hours.quiet = quiet
            .into_iter()
            .map(|(from, until)| DayShift { from, until })
            .collect();
        bench.job = Arc::new(job);
        let mut model = wall(&bench, at(0, 13, 28));
        let due = at(0, 13, 30);
        update(&mut model, Msg::Clock(due));
        let effects = update(&mut model, Msg::Sheet(look(&bench, due)));
        let rung = effects.iter().filter(|effect| matches!(effect, Effect::Bell)).count();
        assert_eq!(rung, rings, "{quiet:?}");
    }
}

#[test]
fn an_accepted_caution_is_taken_back_at_the_wall() {
    let mut bench = MemoryBench::fitted();
    let now = at(0, 8, 0);
    let played = wall_bench::played(&mut bench, now, "ca1it is out<enter><enter>");
    assert!(matches!(
        bench.log().last().map(|last| last.what.clone()),
        Some(What::AcceptedCaution { .. })
    ));
    assert_eq!(played.model.sheet.history.accepted.len(), 1);
    let played = wall_bench::played(&mut bench, now, "u");
    assert!(played.text.contains("caution accepted"), "{}", played.text);
    let played = wall_bench::played(&mut bench, now, "u<enter>");
    assert!(played.text.contains("taken back"), "{}", played.text);
    assert_eq!(played.model.sheet.history.accepted, [], "it stands again");
}
