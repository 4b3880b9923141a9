//! No line of the good plan is idle: each one left out, or put at another time, is noticed.
//!
//! Invariant: goes over every line of the plan, so a line added later is held to the same.

use crate::shop::at;
use crate::table::good;
use denib::dayplan::verify::verify;
use denib::units::Span;

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
        (1, &["tray/unmask", "clean-4"][..]),
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
