//! Scenario A: an oak table in an oil, by hand, and its traps.
//!
//! Invariant: the good plan passes; each trap is refused for exactly the rules it names.

use crate::draft::{Draft, daily, stamp};
use crate::foreman::{Foreman, read};
use crate::good::passes;
use crate::line::Line;
use crate::scenario::{draft, refused};
use crate::shop::at;
use denib::dayplan::verify::Rule;
use denib::finish::StepKind::{
    Arris, ChangeOver, Check, CleanUp, DustOff, GlueUp, Label, Mask, ReWipe, Unmask, WipeBack,
};
use denib::units::Span;

/// Oak table in oil, evenings. The room stands at the stated air: a day is a day.
fn oak_table() -> Draft {
    let job = read("scenario-a.toml", include_str!("../jobs/scenario-a.toml"));
    let mut by = Foreman::new(draft(job, "5 18:00", daily(1..=7, &[("18:00", "21:00")])));
    let all = by.pieces(&[]);
    let (top, legs, aprons) = (by.pieces(&["top"]), by.pieces(&["leg"]), by.pieces(&["long", "short"]));
    let jointed = by.jointed(&all);
    // Monday: 9 pieces; 1 + 1 + 4 + 4 + 4 + 2 min each, 8 of them masked in 2 min: 160 min of 180
    by.each(Check, "check", &all, 1);
    by.each(Label, "label", &all, 1);
    for grit in ["P120", "P180", "P220"] {
        by.sand(grit, &all, 4);
    }
    by.each(Arris, "arris", &all, 2);
    by.each(Mask, "mask", &jointed, 2);
    // Tuesday, Wednesday, Thursday: ten minutes later each evening, so that a day lies between coats
    for (number, evening) in ["2 18:20", "3 18:30", "4 18:40"].into_iter().enumerate() {
        let number = number as u8 + 1;
        if number == 1 {
            by.go("2 18:00");
            by.each(DustOff, "dust-off", &all, 1);
        }
        by.go(evening);
        by.now += Span(-5);
        by.set_up(ChangeOver, "oil", 5);
        // 18:20 the top, both faces in one go, then four legs: the first spot stands 18 min, soaking 15
        by.coat("oil-varnish-blend", number, &top, 10);
        by.coat("oil-varnish-blend", number, &legs, 2);
        by.wipe(WipeBack, "oil-varnish-blend", number, &top, 10);
        by.wipe(WipeBack, "oil-varnish-blend", number, &legs, 2);
        // 18:56 the aprons, which soak until 19:11
        by.coat("oil-varnish-blend", number, &aprons, 2);
        by.now += Span(7);
        by.wipe(WipeBack, "oil-varnish-blend", number, &aprons, 2);
        // an hour after 18:48, after 18:56 and after 19:19
        by.now += Span(29);
        by.wipe(ReWipe, "oil-varnish-blend", number, &top, 5);
        by.now += Span(3);
        by.wipe(ReWipe, "oil-varnish-blend", number, &legs, 1);
        by.now += Span(19);
        by.wipe(ReWipe, "oil-varnish-blend", number, &aprons, 1);
        by.set_up(CleanUp, "oil", 10);
    }
    // Friday: the last coat, of 19:24, is dry to touch after twelve hours
    by.go("5 18:00");
    by.each(Unmask, "unmask", &jointed, 2);
    // Sunday: hard dry three days after Thursday 19:24
    by.go("7 19:30");
    by.assembled("table-frame/glue-up", GlueUp, None, 60);
    by.draft
}

#[test]
fn a_the_oak_table_in_three_evenings() {
    let draft = oak_table();
    let plan = draft.plan();
    passes("scenario A", &plan, &draft.job);
    assert_eq!(
        plan.ready,
        stamp(at("7 19:24")),
        "three days after the last apron on Thursday"
    );
    assert!(
        plan.balance[0].hours_apart.abs() < 1e-9,
        "both faces of the top every time"
    );
}

#[test]
fn a_its_traps() {
    let mut trap = oak_table();
    trap.remove("short-apron-1/mask");
    refused("an unmasked tenon", &trap, &[Rule::Masked]);

    let mut trap = oak_table();
    trap.get("top/coat-3").surfaces.retain(|id| id != "back");
    refused("the underside left at two", &trap, &[Rule::Coats, Rule::Balance]);

    let mut trap = oak_table();
    trap.remove("leg-2/re-wipe-1");
    refused("a leg never wiped again", &trap, &[Rule::ReWipe]);

    // begun at 19:35: the aprons' re-wipe, an hour after 20:34, falls after closing
    let mut trap = oak_table();
    let late = |line: &&mut Line| line.from >= at("2 18:12") && line.from < at("2 23:00");
    for line in trap.lines.iter_mut().filter(late) {
        line.from += Span(75);
    }
    refused(
        "begun too late for its re-wipe",
        &trap,
        &[Rule::Hours, Rule::RecoatWindow],
    );

    let mut trap = oak_table();
    trap.shift("table-frame/glue-up", "5 19:00");
    refused("glued on Friday", &trap, &[Rule::GlueWait]);

    let mut trap = oak_table();
    trap.job.tape_life = 1440;
    refused("a day's tape left on for four", &trap, &[Rule::TapeLife]);
}
