//! Random messages at every size: the view never faults, the model keeps its invariants, and what is asked to
//! be written is what is in the log.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use crate::wall_bench::{self, MemoryBench, at};
use chrono::Duration;
use denib::log::What;
use denib::tui::layer::Layer;
use denib::tui::msg::{Effect, Msg};
use denib::tui::script::paint;
use denib::tui::{Bench, Key, Model, Sheet, update};
use denib::units::Moment;
use proptest::prelude::*;
use std::collections::VecDeque;
use std::sync::atomic::AtomicBool;

/// Something that happens.
#[derive(Clone, Debug)]
enum Happens {
    Key(Key),
    Paste(String),
    Size(u16, u16),
    Minutes(i64),
    DiskFull(bool),
    /// Another screen ticks an operation of the plan.
    OtherTicks(usize),
    /// A replan answers late, for an older generation.
    OldPlan,
}

fn key() -> impl Strategy<Value = Key> {
    prop_oneof![
        8 => proptest::sample::select("jkgG obtrnuf/wa12345678?cqdelp!sx-+:09.FTB".chars().collect::<Vec<_>>()).prop_map(Key::Char),
        6 => Just(Key::Enter),
        3 => Just(Key::Esc),
        1 => any::<char>().prop_map(Key::Char),
        6 => proptest::sample::select(vec![
            Key::Tab, Key::BackTab, Key::Up, Key::Down, Key::Left, Key::Right, Key::PageUp, Key::PageDown, Key::Home,
            Key::End, Key::Backspace, Key::Delete, Key::Ctrl('l'), Key::Ctrl('z'), Key::Ctrl('u'),
        ]),
    ]
}

fn happens() -> impl Strategy<Value = Happens> {
    prop_oneof![
        20 => key().prop_map(Happens::Key),
        1 => "\\PC{0,30}".prop_map(Happens::Paste),
        1 => any::<String>().prop_map(Happens::Paste),
        2 => (1..=220_u16, 1..=70_u16).prop_map(|(columns, rows)| Happens::Size(columns, rows)),
        2 => Just(Happens::Size(80, 24)),
        3 => (-200..2000_i64).prop_map(Happens::Minutes),
        1 => any::<bool>().prop_map(Happens::DiskFull),
        1 => (0..70_usize).prop_map(Happens::OtherTicks),
        1 => Just(Happens::OldPlan),
    ]
}

fn check(model: &Model) -> Result<(), TestCaseError> {
    let (buffer, cursor) = paint(model);
    prop_assert_eq!((buffer.area.width, buffer.area.height), model.size);
    if let Some((x, y)) = cursor {
        prop_assert!(x < model.size.0 && y < model.size.1, "cursor at {} {}", x, y);
    }
    let card = model.card();
    let rows = card.as_ref().map_or(&[][..], |card| card.rows.as_slice());
    prop_assert!(model.now_page.cursor < rows.len().max(1));
    prop_assert!(
        model
            .now_page
            .left_out
            .iter()
            .all(|out| rows.iter().any(|row| row.operation == *out))
    );
    let lines = model.lines();
    prop_assert!(model.cursor_in(&lines) < lines.len().max(1));
    let pages = &model.pages;
    // kept while the page is up; worked out anew for every message it would take minutes
    if model.page == denib::tui::Page::Balance {
        let panels = model.balance().map_or(0, |balance| balance.panels.len());
        prop_assert!(pages.balance < panels.max(1));
    }
    let records = denib::tui::pages::record::listed(model).len();
    prop_assert!(pages.record < records.max(1));
    if let (Some(days), Some(plan)) = (model.days(), &model.sheet.plan) {
        let picked = model.picked_mark(&days);
        prop_assert_eq!(picked.is_some(), !plan.rounds.is_empty());
        prop_assert!(picked.is_none_or(|picked| picked < days.marks.len()));
    }
    let standing = &model.sheet.standing;
    for layer in &model.layers {
        if let Layer::Tick(tick) = layer {
            prop_assert_eq!(tick.operations.len(), tick.names.len());
            prop_assert!(!tick.operations.is_empty());
            for id in &tick.operations {
                let index = model.sheet.operation(id);
                prop_assert!(index.is_some(), "{} is in the plan in force", id);
                prop_assert!(
                    standing
                        .rounds
                        .iter()
                        .any(|round| round.left.iter().any(|left| Some(*left) == index)),
                    "{id} is still to do"
                );
            }
            prop_assert!(tick.start <= tick.end.unwrap_or(tick.start));
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_happens(happenings in proptest::collection::vec(happens(), 1..80), moves in proptest::option::of(-60..60_i64)) {
        let mut bench = MemoryBench::fitted();
        bench.replan_by = moves;
        let mut now = at(0, 8, 0);
        let mut model = Model::new(Sheet::of(&bench, Moment::of(&now)), now, (80, 24));
        let mut asked: Vec<What> = Vec::new();
        for happens in happenings {
            let msg = match happens {
                Happens::Key(key) => Msg::Key(key),
                Happens::Paste(text) => Msg::Paste(text),
                Happens::Size(columns, rows) => Msg::Size(columns, rows),
                Happens::Minutes(minutes) => {
                    now += Duration::minutes(minutes);
                    Msg::Clock(now)
                }
                Happens::DiskFull(full) => {
                    bench.refuse = full.then(|| "The disk is full.".to_owned());
                    continue;
                }
                Happens::OtherTicks(index) => {
                    let plan = bench.plan().expect("the desk has one");
                    let operation = &plan.operations[index % plan.operations.len()];
                    bench.record(now, What::Done { operations: vec![operation.id.clone()], start: now, end: now });
                    asked.push(bench.log().pop().expect("just recorded").what);
                    Msg::Sheet(Box::new(Sheet::of(&bench, Moment::of(&now))))
                }
                Happens::OldPlan => {
                    let plan = bench.plan().expect("the desk has one");
                    let mut other = (*plan).clone();
                    other.rounds.clear();
                    Msg::Planned(model.generation.wrapping_sub(1), Ok(Some(Box::new(other))))
                }
            };
            let mut waiting = VecDeque::from([msg]);
            while let Some(msg) = waiting.pop_front() {
                for effect in update(&mut model, msg) {
                    match effect {
                        Effect::Write(write) => {
                            prop_assert!(model.writing);
                            let moment = Moment::of(&now);
                            match bench.append(now, write.what.clone()) {
                                Ok(_) => {
                                    asked.extend(write.what.clone());
                                    waiting.push_back(Msg::Written(write, Box::new(Sheet::of(&bench, moment))));
                                }
                                Err(why) => waiting.push_back(Msg::NotWritten(write, why)),
                            }
                        }
                        Effect::Recompute => {
                            waiting.push_back(Msg::Sheet(Box::new(Sheet::of(&bench, Moment::of(&now)))));
                        }
                        Effect::Replan(generation) => {
                            prop_assert_eq!(generation, model.generation);
                            let plan = bench.replan(Moment::of(&now))(&AtomicBool::new(false), &mut |_| ());
                            waiting.push_back(Msg::Planned(generation, plan.map(|plan| plan.map(Box::new))));
                        }
                        Effect::Check(check) => waiting.push_back(Msg::Checked(check.wrong(&bench))),
                        Effect::Edit(edits, words) => {
                            prop_assert!(model.writing);
                            waiting.push_back(match bench.edit(&edits, now) {
                                Ok(()) => Msg::Edited(words, Box::new(Sheet::of(&bench, Moment::of(&now)))),
                                Err(wrong) => Msg::NotEdited(wrong),
                            });
                        }
                        Effect::Editor => {
                            let sheet = Box::new(Sheet::of(&bench, Moment::of(&now)));
                            waiting.push_back(Msg::EditorEnded(None, bench.refresh(), sheet));
                        }
                        Effect::WorkOut(_) | Effect::Bell | Effect::Quit | Effect::Interrupt | Effect::Suspend | Effect::Repaint => {}
                    }
                }
                check(&model)?;
            }
            prop_assert!(!model.writing, "every write is answered");
        }
        let in_log: Vec<What> = bench.log().into_iter().map(|record| record.what).collect();
        prop_assert_eq!(in_log, asked);
    }
}

/// The states that are drawn at every size.
const STATES: [&str; 28] = [
    "", "<enter>", "t", "2a", "2f", "?", "n", "<enter>w", "c", "3", "3+", "3++", "3-", "3w", "4", "5", "6", "7", "8",
    "F", "d", "e", "d1", "d2", "e1", "e5", "2e4", "l",
];

#[test]
fn every_size_from_one_by_one() {
    for keys in STATES {
        let mut bench = MemoryBench::fitted().done(&["sand", "cover", "coat-1"]);
        let mut model = wall_bench::played(&mut bench, at(0, 11, 10), keys).model;
        for columns in (1..=12).chain([40, 79, 80, 81, 100, 109, 110, 111, 150, 300]) {
            for rows in (1..=8).chain([23, 24, 25, 30, 40, 100]) {
                update(&mut model, Msg::Size(columns, rows));
                let (buffer, _) = paint(&model);
                assert_eq!((buffer.area.width, buffer.area.height), (columns, rows));
                let text = denib::tui::script::text_of(&buffer);
                assert!(!text.trim().is_empty(), "{columns} by {rows} shows nothing");
            }
        }
    }
}
