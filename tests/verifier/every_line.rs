//! No line of the good plan is idle: each one left out, or put at another time, is noticed.
//!
//! Invariant: goes over every line of the plan, so a line added later is held to the same.

use crate::draft::stamp;
use crate::shop::at;
use crate::table::good;
use denib::dayplan::document::Operation;
use denib::dayplan::verify::verify;
use denib::units::{Moment, Span};

#[test]
fn no_line_can_be_left_out() {
    let ids: Vec<String> = good().lines.iter().map(|line| line.id.clone()).collect();
    assert!(ids.len() > 40);
    let unnoticed: Vec<&String> = ids
        .iter()
        .filter(|id| {
            let mut draft = good();
            draft.remove(id);
            verify(&draft.plan(), &draft.job).is_empty()
        })
        .collect();
    assert!(unnoticed.is_empty(), "left out and not noticed: {unnoticed:?}");
}

/// A day earlier is a Sunday, or before what has to come first; a day later is after what follows.
#[test]
fn no_line_can_stand_a_day_off() {
    let ids: Vec<String> = good().lines.iter().map(|line| line.id.clone()).collect();
    for (days, may_move) in [
        // tools may lie set up overnight while nothing is in them
        (-1, &["set-up-4"][..]),
        // what nothing waits for in time may as well be done on a later day
        (1, &["tray/unmask", "table/glue-up", "table/buff-1"][..]),
    ] {
        let unnoticed: Vec<&String> = ids
            .iter()
            .filter(|id| {
                let mut draft = good();
                draft.get(id).from += Span::days(days);
                verify(&draft.plan(), &draft.job).is_empty()
            })
            .filter(|id| !may_move.contains(&id.as_str()))
            .collect();
        assert!(unnoticed.is_empty(), "{days} day and not noticed: {unnoticed:?}");
    }
}

/// Everything a week later, as a whole, is as good a plan.
#[test]
fn the_whole_plan_can_be_moved() {
    let mut draft = good();
    let week = Span::days(7);
    draft.job.start += week;
    for piece in &mut draft.job.pieces {
        piece.available += week;
    }
    for line in &mut draft.lines {
        line.from += week;
    }
    draft.bound += week;
    draft.shifts = crate::draft::daily(8..=12, &[("08:00", "12:30"), ("13:15", "17:30")]);
    assert_eq!(draft.job.start, at("8 08:00"));
    crate::good::passes("a week later", &draft.plan(), &draft.job);
}

type Mangle = fn(&mut Operation);

/// Whatever is written on a line, the plan is judged; and what makes no sense is refused.
#[test]
fn a_mangled_line_is_refused() {
    let ways: [(&str, Mangle); 8] = [
        ("of no piece", |op| op.piece = Some("shelf".to_owned())),
        ("on no surface", |op| op.surfaces = vec!["top-side".to_owned()]),
        ("by nobody known", |op| op.hands = vec!["Bo".to_owned()]),
        ("of no product", |op| op.product = Some("tar".to_owned())),
        ("on no place", |op| op.place = Some("loft".to_owned())),
        ("backwards", |op| op.end = stamp(Moment::of(&op.start) + Span(-30))),
        ("in another century", |op| {
            op.end = stamp(Moment::of(&op.start) + Span::days(365 * 200));
        }),
        ("long ago", |op| {
            op.start = stamp(Moment::of(&op.start) + Span::days(-365 * 200));
        }),
    ];
    let draft = good();
    let plan = draft.plan();
    // one of each kind: bare wood, a coat, tape, a wipe, the glue, the wax
    let lines = [
        "top/check",
        "top/coat-1/back",
        "leg/unmask",
        "tray/wipe-back-1",
        "table/glue-up",
        "table/wax-1",
    ];
    for (how, mangle) in ways {
        for id in lines {
            let mut copy = plan.clone();
            for op in copy.operations.iter_mut().filter(|op| op.id == id) {
                mangle(op);
            }
            // an assembled step names no surface of a piece to be wrong about
            let free = how == "on no surface" && id.starts_with("table");
            assert!(free || !verify(&copy, &draft.job).is_empty(), "{id} {how}");
        }
    }
}
