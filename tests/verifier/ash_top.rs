//! Scenario B: a wide ash top in brushed varnish, by hand, and its traps.
//!
//! Invariant: the good plan passes; each trap is refused for exactly the rules it names.

use crate::draft::{Draft, daily, stamp};
use crate::foreman::{Foreman, read, with_clocks};
use crate::good::passes;
use crate::line::{Line, coat, line};
use crate::scenario::{draft, refused, refused_plan};
use crate::shop::at;
use denib::dayplan::verify::Rule;
use denib::finish::StepKind::{Arris, ChangeOver, Check, CleanUp, DustOff, Label, Scuff};
use denib::job::Holding;
use denib::units::Span;

/// Wide ash top at 20 °C. By the slow cure law (a doubling for every 12 °F) a stated minute at 25 °C is at most
/// 2^(9/12) = 1.682 min. Dry to touch 3 h → 5 h 03; again after 12 h → 20 h 11.
fn ash_top() -> Draft {
    let job = read("scenario-b.toml", include_str!("../jobs/scenario-b.toml"));
    let mut by = Foreman::new(with_clocks(draft(job, "6 12:00", daily(1..=5, &[("09:00", "17:00")]))));
    let top = by.pieces(&[]);
    by.each(Check, "check", &top, 10);
    by.each(Label, "label", &top, 2);
    for grit in ["P120", "P150", "P180"] {
        by.sand(grit, &top, 20);
    }
    by.each(Arris, "arris", &top, 5);
    by.each(DustOff, "dust-off", &top, 5);
    let on = |id: &str, number: u8, from: &str, sides: &[&str]| {
        let minutes = if sides.len() == 1 { 15 } else { 20 };
        let film_from =
            (number > 1).then(|| format!("top/coat-{}/{}", number - 1, id.rsplit('/').next().unwrap_or_default()));
        Line {
            family: Some("varnish".to_owned()),
            film_from,
            ..coat(id, ("brushing-varnish", number), from, minutes, Holding::Bearers, sides)
        }
    };
    // Tuesday: set up 09:00, underside 09:05 to 09:20, dry to touch 14:23; turned at 14:30; the face ends 14:50
    // Wednesday: the face may be gone over from 11:01; scuffed dry, so 45 min to settle; underside 12:15, dry to
    // touch 17:33, after hours: the face on Thursday morning
    // Friday: that face may be gone over from 05:36; underside 10:10 to 10:25, dry to touch 15:28
    let days = [
        (1, "", "2 09:05", "2 14:30"),
        (2, "3 11:05", "3 12:15", "4 09:05"),
        (3, "5 09:00", "5 10:10", "5 15:35"),
    ];
    for (number, scuffed, back, face) in days {
        if number > 1 {
            by.go(scuffed);
            let scuff = Line {
                film_from: Some(format!("top/coat-{}/face", number - 1)),
                round: Some(format!("scuff {number}")),
                ..line(&format!("top/scuff-{}", number - 1), Scuff, "1 00:00", 20)
            };
            by.draft.lines.push(Line { from: by.now, ..scuff });
        }
        by.now = at(back) + Span(-5);
        by.set_up(ChangeOver, "varnish", 5);
        by.draft
            .lines
            .push(on(&format!("top/coat-{number}/back"), number, back, &["back"]));
        by.now = at(back) + Span(15);
        by.set_up(CleanUp, "varnish", 10);
        by.now = at(face) + Span(-5);
        by.set_up(ChangeOver, "varnish", 5);
        let sides: Vec<String> = by
            .piece("top")
            .surfaces
            .iter()
            .map(|side| side.id.clone())
            .filter(|id| id != "back")
            .collect();
        let sides: Vec<&str> = sides.iter().map(String::as_str).collect();
        let face_line = on(&format!("top/coat-{number}/face"), number, face, &sides);
        by.now = face_line.until();
        // back and face of one coat are two rounds of the day
        by.draft.lines.push(Line {
            round: Some(format!("varnish {number}, face")),
            ..face_line
        });
        by.set_up(CleanUp, "varnish", 10);
    }
    by.draft
}

#[test]
fn b_the_wide_top_turned_dry_to_touch() {
    let draft = ash_top();
    let plan = draft.plan();
    passes("scenario B", &plan, &draft.job);
    let first = plan
        .operations
        .iter()
        .find(|op| op.id == "top/coat-1/back")
        .expect("the first coat");
    let touch = first.dry.as_ref().and_then(|dry| dry.dry_to_touch).expect("stated");
    // 180 min · 1.6818 = 302.7 min after 09:20
    assert_eq!(touch, stamp(at("2 14:23")));
    // one side ahead of the other from 09:20 to 14:50, 12:30 to 09:25 the next day, 10:25 to 15:55
    assert!((plan.balance[0].hours_apart - (330.0 + 1255.0 + 330.0) / 60.0).abs() < 1e-9);
}

#[test]
fn b_its_traps() {
    let mut trap = ash_top();
    trap.lines
        .retain(|line| !(line.id.starts_with("top/coat") && line.id.ends_with("back")));
    refused("only the show face", &trap, &[Rule::Coats, Rule::Balance]);

    let mut trap = ash_top();
    trap.shift("top/coat-1/face", "2 12:00");
    trap.lines.retain(|line| line.from != at("2 14:25"));
    trap.lines.retain(|line| line.from != at("2 14:50"));
    let mut by = Foreman::new(trap);
    by.go("2 11:55");
    by.set_up(ChangeOver, "varnish", 5);
    by.go("2 12:20");
    by.set_up(CleanUp, "varnish", 10);
    refused("turned at noon while tacky", &by.draft, &[Rule::TurnWait]);

    let mut trap = ash_top();
    trap.remove("top/coat-2/back");
    trap.remove("top/coat-3/back");
    refused("three coats shown, one hidden", &trap, &[Rule::Coats, Rule::Balance]);

    let draft = ash_top();
    let mut plan = draft.plan();
    plan.balance[0].hours_apart = 0.0;
    refused_plan("the unequal hours not counted", &plan, &draft.job, &[Rule::BalanceLine]);

    let mut trap = ash_top();
    trap.lines.retain(|line| line.step != Scuff);
    refused("the late window without its scuff", &trap, &[Rule::WindowPreparation]);

    // the face scuffed, and so laid on a back that is dust-free but tacky
    let mut trap = ash_top();
    let face: Vec<String> = trap.job.pieces[0].surfaces.iter().map(|side| side.id.clone()).collect();
    let face: Vec<String> = face.into_iter().filter(|id| id != "back").collect();
    let again = Line {
        surfaces: face,
        film_from: Some("top/coat-1/face".to_owned()),
        round: Some("scuffed again".to_owned()),
        ..line("top/scuff-1/face", Scuff, "3 16:00", 10)
    };
    trap.lines.push(again);
    refused("scuffed lying on a tacky back", &trap, &[Rule::TurnWait]);

    // the same plan in a room at 15 °C, 2.8 times slower than the label: not one turn or coat in time
    let mut cold = ash_top();
    cold.job.room.climate.lines[0].day.0 = 15.0;
    let cold = with_clocks(cold);
    refused(
        "the heating forgotten",
        &cold,
        &[Rule::TurnWait, Rule::RecoatWindow, Rule::SandWait],
    );
}
