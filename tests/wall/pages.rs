//! What keys do on the pages: moving, finding, filtering, help, the clock, the bell and replans.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{MemoryBench, SMALL, at, played};
use denib::dayplan::document::{Caution, Severity};
use denib::log::What;
use denib::tui::model::{Better, Planning};
use denib::tui::msg::{Effect, Msg, Write};
use denib::tui::verdict::Filter;
use denib::tui::{Bench, Key, Model, Page, Sheet, Wake, update};
use denib::units::Moment;

fn text(done: &[&str], hour: u32, minute: u32, keys: &str) -> String {
    played(&mut MemoryBench::new().done(done), at(0, hour, minute), keys).text
}

fn model(done: &[&str], hour: u32, minute: u32, keys: &str) -> Model {
    played(&mut MemoryBench::new().done(done), at(0, hour, minute), keys).model
}

const COATED: [&str; 3] = ["sand", "cover", "coat-1"];

// --- pages, cursors, filters -------------------------------------------------------------------------

#[test]
fn pages_change_with_tab_and_digits() {
    assert_eq!(model(&[], 8, 0, "").page, Page::Now);
    assert_eq!(model(&[], 8, 0, "<tab>").page, Page::Pieces);
    assert_eq!(model(&[], 8, 0, "<tab><tab>").page, Page::Day);
    assert_eq!(model(&[], 8, 0, "<backtab>").page, Page::Record);
    assert_eq!(model(&[], 8, 0, "<backtab><tab>").page, Page::Now);
    for (digit, page) in ('1'..='8').zip(Page::ALL) {
        assert_eq!(model(&[], 8, 0, &digit.to_string()).page, page);
    }
    assert_eq!(model(&[], 8, 0, "2").page, Page::Pieces);
    assert_eq!(model(&[], 8, 0, "21").page, Page::Now);
}

#[test]
fn the_cursor_stays_in_the_round() {
    assert_eq!(model(&[], 8, 0, "<up>").now_page.cursor, 0);
    assert_eq!(model(&[], 8, 0, "<end><down>").now_page.cursor, 8);
    assert_eq!(model(&[], 8, 0, "jjk<home>").now_page.cursor, 0);
    assert_eq!(model(&["sand"], 9, 15, "<end>").now_page.cursor, 6);
    // the round shrinks under it
    assert_eq!(model(&["sand", "cover"], 10, 45, "<end>o<enter>").now_page.cursor, 7);
}

#[test]
fn a_piece_unfolds_to_its_surfaces_and_folds() {
    let lines = |keys: &str| model(&COATED, 11, 10, keys).lines().len();
    assert_eq!(lines("2"), 9);
    assert!(lines("2<enter>") > 12);
    assert_eq!(lines("2<enter><enter>"), 9);
    assert_eq!(lines("2<right>jj<left>"), 9);
    assert_eq!(lines("2aa"), 9);
    let model = model(&COATED, 11, 10, "2<right>jj<left>");
    assert_eq!(model.cursor_in(&model.lines()), 0);
}

#[test]
fn pieces_are_found_by_name() {
    assert_eq!(model(&COATED, 11, 10, "2/LEG").lines().len(), 4);
    assert_eq!(model(&COATED, 11, 10, "2/leg 3<enter>").lines().len(), 1);
    assert_eq!(model(&COATED, 11, 10, "2/leg<esc>").lines().len(), 9);
    assert_eq!(model(&COATED, 11, 10, "2/leg<enter><esc>").lines().len(), 9);
    let shown = text(&COATED, 11, 10, "2/spindle");
    assert!(shown.contains("No piece is like that"), "{shown}");
}

#[test]
fn filters_are_chosen_from_a_list() {
    assert_eq!(model(&COATED, 11, 10, "2fjj<enter>").pieces_page.filter, Filter::Turned);
    assert_eq!(model(&COATED, 11, 10, "2f5").pieces_page.filter, Filter::Leave);
    assert_eq!(model(&COATED, 11, 10, "2f5<esc>").pieces_page.filter, Filter::All);
    assert_eq!(model(&COATED, 11, 10, "2fj<esc>").pieces_page.filter, Filter::All);
}

#[test]
fn filters_list_what_they_say() {
    let listed =
        |done: &[&str], hour, minute, filter: char| model(done, hour, minute, &format!("2f{filter}")).lines().len();
    assert_eq!(listed(&[], 8, 0, '2'), 9, "bare wood may be handled");
    assert_eq!(
        listed(&[], 8, 0, '6'),
        7,
        "all but the top and the shelf have joints, none covered"
    );
    assert_eq!(listed(&["sand", "cover"], 9, 30, '6'), 0);
    assert_eq!(
        listed(&COATED, 10, 46, '2'),
        0,
        "nothing to be handled right after the coat"
    );
    // by 10:46 what was coated until 10:20 is dry to touch by the slow figure of 25 minutes: four pieces
    assert_eq!(listed(&COATED, 10, 46, '3'), 4);
    assert_eq!(listed(&COATED, 14, 0, '2'), 9);
    assert_eq!(listed(&COATED, 14, 0, '4'), 9);
    let all_on = ["sand", "cover", "coat-1", "denib", "coat-2", "uncover"];
    assert_eq!(model(&all_on, 17, 20, "2f7").lines().len(), 0, "not hard the same day");
}

// --- help, leaving, small screens --------------------------------------------------------------------

#[test]
fn help_is_about_the_page_and_closes() {
    assert!(text(&[], 8, 0, "?").contains("WHAT DO HANDS DO NOW?"));
    assert!(text(&[], 8, 0, "2?").contains("WHERE IS EVERY PIECE?"));
    assert!(model(&[], 8, 0, "?<esc>").layers.is_empty());
    assert!(model(&[], 8, 0, "?q").layers.is_empty());
    assert!(text(&[], 8, 0, "?<pagedown><pagedown><pagedown><pagedown>").contains("rags"));
}

/// The desk with a plan that carries a caution to stop and one to note.
fn with_cautions() -> MemoryBench {
    let caution = |severity, text: &str, source: &str| Caution {
        code: "vapour".to_owned(),
        severity,
        text: text.to_owned(),
        figure: None,
        source: Some(source.to_owned()),
        refers: Vec::new(),
    };
    let mut bench = MemoryBench::new();
    let mut plan = (*bench.plan.clone().expect("a plan")).clone();
    let long = "Put out the stove before the tin is opened and leave it out until the room has cleared; ".repeat(3);
    plan.cautions = vec![
        caution(Severity::Note, "Stir the tin.", "common practice"),
        caution(Severity::Stop, &format!("{long}the end."), "the tin"),
    ];
    bench.plan = Some(std::sync::Arc::new(plan));
    bench
}

#[test]
fn a_caution_to_stop_stands_on_the_page_and_all_of_them_behind_a_key() {
    let page = played(&mut with_cautions(), at(0, 8, 0), "").text;
    assert!(page.contains(" STOP     Put out the stove"), "{page}");
    assert!(page.contains("(all: c)") && !page.contains("the end."), "{page}");
    assert!(page.contains("S A N D   P120"), "the round stays in sight\n{page}");
    let all = played(&mut with_cautions(), at(0, 8, 0), "c").text;
    for part in [
        "the end.",
        "the tin",
        "Stir the tin.",
        "common practice",
        "safety data sheet",
    ] {
        assert!(all.contains(part), "{part} in\n{all}");
    }
    assert!(all.find("STOP") < all.find("note"), "the gravest first\n{all}");
    assert!(text(&[], 8, 0, "c").contains("carries none"));
    assert!(model(&[], 8, 0, "c<esc>").layers.is_empty());
}

#[test]
fn keys_that_leave() {
    let effects = |keys: &str| played(&mut MemoryBench::new(), at(0, 8, 0), keys).effects;
    assert_eq!(effects("q"), [Effect::Quit]);
    assert_eq!(effects("<enter>q"), [], "not from a look");
    assert_eq!(effects("<ctrl-c>"), [Effect::Interrupt]);
    assert_eq!(
        effects("<enter><ctrl-c>"),
        [Effect::Interrupt],
        "an interrupt from anywhere"
    );
    assert_eq!(effects("<ctrl-z>"), [Effect::Suspend]);
    assert_eq!(effects("<ctrl-l>"), [Effect::Repaint]);
    assert_eq!(effects("nq"), [], "a letter in a note");
}

#[test]
fn on_a_screen_too_small_to_see_nothing_is_ticked() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    let played = played(&mut bench, at(0, 10, 45), "<size:40x10><enter><enter> u<enter>");
    assert_eq!(bench.log().len(), 2);
    assert!(played.text.contains("80 columns"), "{}", played.text);
    assert_eq!(played.model.wake(), Wake::Never);
}

// --- clock, bell, replan -----------------------------------------------------------------------------

#[test]
fn the_standing_follows_the_clock_by_the_minute() {
    let mut bench = MemoryBench::new().done(&COATED);
    let seen = played(&mut bench, at(0, 11, 10), "2<wait:120>");
    assert!(seen.text.contains("13:10"), "{}", seen.text);
    assert_eq!(seen.effects, [Effect::Recompute]);
    assert!(
        seen.text
            .lines()
            .any(|line| line.contains("● carry") && line.contains("top")),
        "{}",
        seen.text
    );
}

#[test]
fn midnight_brings_the_days_in() {
    let shown = text(&COATED, 23, 59, "<wait:1>");
    assert!(
        shown.contains("Wed 2 Dec ─") && shown.contains("8 Record   00:00"),
        "{shown}"
    );
    assert!(shown.contains("planned at Tue 13:30"), "{shown}");
}

#[test]
fn a_clock_put_back_is_said_until_a_key() {
    let mut bench = MemoryBench::new().done(&COATED);
    let back = played(&mut bench, at(0, 11, 10), "<wait:-60>");
    assert!(back.text.contains("The clock went back by 1 h"), "{}", back.text);
    let still = played(&mut bench, at(0, 11, 10), "<wait:-60><wait:1>");
    assert!(still.text.contains("The clock went back by 1 h"), "{}", still.text);
    let seen = played(&mut bench, at(0, 11, 10), "<wait:-60>j");
    assert!(!seen.text.contains("The clock went back"), "{}", seen.text);
}

#[test]
fn hands_are_called_once_when_a_round_is_due() {
    let bells = |keys: &str| {
        let effects = played(&mut MemoryBench::new().done(&COATED), at(0, 13, 28), keys).effects;
        effects.iter().filter(|effect| matches!(effect, Effect::Bell)).count()
    };
    assert_eq!(bells("<wait:1>"), 0);
    assert_eq!(bells("<wait:2>"), 1);
    assert_eq!(bells("<wait:2><wait:1><wait:30>"), 1);
}

#[test]
fn seconds_are_counted_in_the_last_ten_minutes_only() {
    let wake = |hour, minute, keys: &str| model(&COATED, hour, minute, keys).wake();
    assert_eq!(wake(11, 10, ""), Wake::Minute);
    assert_eq!(wake(13, 22, ""), Wake::Second);
    assert_eq!(wake(13, 22, "2"), Wake::Minute);
    assert!(text(&COATED, 13, 22, "").contains("13:30: 8:00 to go"));
    assert!(text(&COATED, 11, 10, "").contains("13:30: 2 h 20 to go"));
}

#[test]
fn ticks_ask_for_a_plan_and_notes_do_not() {
    let asked = |keys: &str| {
        let effects = played(&mut MemoryBench::new().done(&["sand", "cover"]), at(0, 10, 45), keys).effects;
        effects
            .iter()
            .filter(|effect| matches!(effect, Effect::Replan(_)))
            .count()
    };
    assert_eq!(asked("<enter><enter>"), 1);
    assert_eq!(asked("nstirred<enter>"), 0);
    assert_eq!(asked("r19<enter>"), 1);
    assert_eq!(asked("u<enter>"), 1);
}

#[test]
fn a_plan_that_changed_goes_into_the_log_and_is_in_force() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    bench.replan_by = Some(30);
    let played = played(&mut bench, at(0, 10, 45), "<enter><enter>");
    assert!(matches!(
        bench.log().last().map(|record| &record.what),
        Some(What::AcceptedPlan { .. })
    ));
    assert!(
        played.text.contains("In the log at 10:45: coat 1 done, 9 pieces."),
        "{}",
        played.text
    );
    assert!(
        played.text.contains("The plan is brought up to date."),
        "{}",
        played.text
    );
    assert!(played.text.contains("from 14:00 until"), "{}", played.text);
}

#[test]
fn a_plan_that_did_not_change_is_not_written() {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    bench.replan_by = Some(0);
    played(&mut bench, at(0, 10, 45), "<enter><enter>");
    assert_eq!(bench.log().len(), 3);
}

/// A model with a replan under way, and a plan that would come of it.
fn planning() -> (Model, Box<denib::dayplan::Plan>) {
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    bench.replan_by = Some(30);
    let now = at(0, 10, 45);
    let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, SMALL.size);
    update(&mut model, Msg::Key(Key::Enter));
    let effects = update(&mut model, Msg::Key(Key::Enter));
    let [Effect::Write(write)] = &effects[..] else { panic!() };
    bench.append(now, write.what.clone()).expect("memory takes it");
    let effects = update(
        &mut model,
        Msg::Written(write.clone(), Box::new(Sheet::of(&bench, Moment::of(&now)))),
    );
    assert_eq!(effects, [Effect::Replan(1)]);
    let plan = bench.replan(Moment::of(&now))(&std::sync::atomic::AtomicBool::new(false), &mut |_| ());
    (
        model,
        Box::new(plan.expect("it can be worked out").expect("it differs")),
    )
}

#[test]
fn a_plan_of_an_older_generation_is_dropped() {
    let (mut model, plan) = planning();
    model.generation = 2;
    assert_eq!(update(&mut model, Msg::Planned(1, Ok(Some(plan)))), []);
    assert_eq!(model.planning, Planning::Working);
}

#[test]
fn a_plan_never_changes_under_an_open_look() {
    let (mut model, plan) = planning();
    update(&mut model, Msg::Key(Key::Enter));
    assert_eq!(update(&mut model, Msg::Planned(1, Ok(Some(plan)))), []);
    assert!(matches!(model.planning, Planning::Found(_)));
    let effects = update(&mut model, Msg::Key(Key::Esc));
    assert!(
        matches!(&effects[..], [Effect::Write(Write { what, .. })] if matches!(what[..], [What::AcceptedPlan { .. }]))
    );
}

#[test]
fn a_plan_that_is_there_at_once_is_taken_on_and_a_better_one_after_it() {
    let (mut model, plan) = planning();
    let mut better = plan.clone();
    better.ready -= chrono::TimeDelta::minutes(5);
    // of an older generation: nothing
    let mut other = model.clone();
    other.generation = 2;
    assert_eq!(update(&mut other, Msg::AtOnce(1, plan.clone())), []);
    assert_eq!(
        (other.planning, other.better),
        (Planning::Working, Better::NotLookedFor)
    );

    let effects = update(&mut model, Msg::AtOnce(1, plan.clone()));
    let [Effect::Write(write)] = &effects[..] else {
        panic!("{effects:?}")
    };
    assert!(matches!(&write.what[..], [What::AcceptedPlan { plan: taken }] if **taken == *plan));
    assert_eq!(model.better, Better::LookedFor);
    assert!(write.words.ends_with("a better one is looked for."), "{}", write.words);
    let mut sheet = model.sheet.clone();
    sheet.plan = Some(std::sync::Arc::from(plan.clone()));
    update(&mut model, Msg::Written(write.clone(), Box::new(sheet)));
    // the search finds the very same: nothing is written
    let mut same = model.clone();
    assert_eq!(update(&mut same, Msg::Planned(1, Ok(Some(plan.clone())))), []);
    assert_eq!((&same.planning, same.better), (&Planning::Still, Better::NotLookedFor));
    let said = |model: &Model| model.said.clone().map(|said| said.1).unwrap_or_default();
    assert!(said(&same).ends_with("brought up to date."), "{}", said(&same));
    // it finds none: the plan that was there stands, and nobody is alarmed
    let mut none = model.clone();
    assert_eq!(update(&mut none, Msg::Planned(1, Err("given up".to_owned()))), []);
    assert_eq!(none.said, same.said);
    // or a better one
    let effects = update(&mut model, Msg::Planned(1, Ok(Some(better.clone()))));
    let [Effect::Write(write)] = &effects[..] else {
        panic!("{effects:?}")
    };
    assert!(matches!(&write.what[..], [What::AcceptedPlan { plan: taken }] if **taken == *better));
    assert_eq!(model.better, Better::NotLookedFor);
}

#[test]
fn a_replan_that_fails_is_said_and_the_plan_stands() {
    let (mut model, _) = planning();
    update(&mut model, Msg::Planned(1, Err("no plan keeps its rules".to_owned())));
    assert_eq!(model.planning, Planning::Still);
    assert!(matches!(&model.said, Some((_, said)) if said.contains("no plan keeps its rules")));
}
