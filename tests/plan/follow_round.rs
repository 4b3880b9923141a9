//! A fast product with a short window, then a gap in which a coat spoils the film, and a lunch break in between:
//! the second coat follows round in the order of the first, or it is left for the long way, never in the gap.
//!
//! Figures are those of the shipped conversion varnish, with their sources there; the rails are invented.

#![allow(clippy::panic, clippy::expect_used)] // a check that fails says why

use crate::planned::from_text;
use denib::dayplan::document::Operation;
use denib::dayplan::{History, Plan, Rule, Settings, plan, verify};
use denib::finish::{Prepare, StepKind};
use denib::job::Job;

fn job(rails: u32, start: &str, hours: &str) -> Job {
    let week: String = ["mon", "tue", "wed", "thu", "fri"]
        .map(|day| format!("{day} = {hours}\n"))
        .concat();
    let text = format!(
        r#"format = 1
title = "Rails"
zone = "Europe/London"
start = "2026-11-30 {start}"
units = {{ length = "mm", temperature = "C", volume = "L" }}
finish = "conversion-varnish"
tape_life = "30 d"
[room]
dust = "separated"
places = {{ hooks = 80 }}
[[room.air]]
day = {{ temperature = 22, humidity = 50 }}
[hours]
{week}
[[hands]]
name = "Wren"
[[section]]
id = "rails"
[[part]]
name = "rail"
count = {rails}
shape = "square"
size = [900, 60, 22]
build = "solid"
material = "oak"
section = "rails"
holding = "hung"
"#
    );
    from_text("rails.toml", &text)
}

fn planned(job: &Job, tries: u32) -> Plan {
    let made = plan(job, &History::none(job.start), Settings { seed: 1, tries }, &mut || {
        true
    });
    let made = made.unwrap_or_else(|no| panic!("{no}"));
    assert!(verify(&made, job).is_empty());
    made
}

fn coats(plan: &Plan, piece: &str) -> Vec<Operation> {
    let own = plan.operations.iter().filter(|one| one.piece.as_deref() == Some(piece));
    own.filter(|one| matches!(one.step, StepKind::Coat | StepKind::Seal))
        .cloned()
        .collect()
}

/// Pairs of coats that went early, and that went the long way; none may stand in the gap.
fn ways(plan: &Plan) -> (usize, usize) {
    let (mut early, mut late) = (0, 0);
    for piece in &plan.pieces {
        for pair in coats(plan, &piece.id).windows(2) {
            let windows = &pair[0].dry.as_ref().expect("a film").windows;
            let at = pair[1].start;
            let inside = windows
                .iter()
                .find(|window| window.from <= at && window.until.is_none_or(|until| at < until));
            let inside = inside.unwrap_or_else(|| panic!("{} at {at} is in the gap: {windows:?}", pair[1].id));
            if inside.prepare == Prepare::Scuff {
                let scuffed = plan.operations.iter().any(|one| {
                    one.step == StepKind::Scuff
                        && one.piece == pair[1].piece
                        && one.start >= pair[0].end
                        && one.end <= at
                });
                assert!(scuffed, "{} over a film that was not scuffed", pair[1].id);
                late += 1;
            } else {
                early += 1;
            }
        }
    }
    (early, late)
}

/// The pieces of one coat in the order in which they are done.
fn order(plan: &Plan, coat: u8) -> Vec<String> {
    let own = plan.operations.iter().filter(|one| one.coat == Some(coat));
    let own = own.filter(|one| matches!(one.step, StepKind::Coat | StepKind::Seal));
    own.filter_map(|one| one.piece.clone()).collect()
}

#[test]
fn coats_never_stand_in_the_gap_over_a_lunch_break() {
    for (rails, start, hours) in [
        (12, "08:00", "[\"08:00-12:00\", \"13:00-17:00\"]"),
        (40, "08:00", "[\"08:00-12:00\", \"13:00-17:00\"]"),
        // a lunch as long as the window, and a short afternoon
        (40, "08:00", "[\"08:00-12:00\", \"16:00-18:00\"]"),
        (30, "10:00", "[\"10:00-12:00\", \"13:00-14:00\"]"),
    ] {
        let job = job(rails, start, hours);
        for tries in [0, 20] {
            let plan = planned(&job, tries);
            let (early, late) = ways(&plan);
            assert_eq!(early + late, plan.pieces.len(), "two coats on each of {rails} rails");
        }
    }
}

#[test]
fn a_round_that_fits_its_window_is_followed_in_the_same_order() {
    let job = job(40, "08:00", "[\"08:00-12:00\", \"13:00-17:00\"]");
    let plan = planned(&job, 20);
    let (early, _) = ways(&plan);
    assert!(early > 0, "nothing went the short way");
    // a shorter piece may go before a longer one where only it still fits before a break
    let (first, second) = (order(&plan, 1), order(&plan, 2));
    let kept = second.windows(2).filter(|pair| {
        let place = |piece: &String| first.iter().position(|other| other == piece);
        place(&pair[0]) < place(&pair[1])
    });
    let kept = kept.count();
    assert!(kept * 10 >= (second.len() - 1) * 9, "{first:?}\n{second:?}");
}

#[test]
fn a_coat_moved_into_the_gap_is_rejected() {
    let job = job(12, "08:00", "[\"08:00-12:00\", \"13:00-17:00\"]");
    let mut plan = planned(&job, 20);
    let piece = plan.pieces[0].id.clone();
    let first = coats(&plan, &piece)[0].clone();
    let windows = &first.dry.as_ref().expect("a film").windows;
    let closes = windows[0].until.expect("the short window closes");
    assert!(
        windows.len() > 1 && windows[1].from > closes,
        "there is a gap: {windows:?}"
    );
    let second = coats(&plan, &piece)[1].id.clone();
    let moved = plan
        .operations
        .iter_mut()
        .find(|one| one.id == second)
        .expect("a second coat");
    let minutes = moved.end - moved.start;
    moved.start = closes + chrono::TimeDelta::minutes(30);
    moved.end = moved.start + minutes;
    let breaches = verify(&plan, &job);
    assert!(
        breaches
            .iter()
            .any(|breach| breach.operations.contains(&second) && breach.rule == Rule::RecoatWindow),
        "{breaches:?}"
    );
}
