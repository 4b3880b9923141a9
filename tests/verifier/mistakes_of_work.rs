//! Bad plans: the order of the work, the coats, the drying, the joints, the wipes.
//!
//! Invariant: every case is the good plan with one thing done wrong.

#![allow(clippy::expect_used, reason = "a plan by hand stops where it was written wrong")]

use crate::draft::stamp;
use crate::line::{Line, coat, line, paper};
use crate::mistakes::{Case, ladder, op, printed, wax_the_leg, written};
use crate::shop::{at, figure, schedule, tom};
use crate::table::on;
use denib::dayplan::document::BalanceLine;
use denib::dayplan::verify::Rule;
use denib::finish::{Prepare, Stage, StepKind};
use denib::job::Holding;

pub fn order() -> Vec<Case> {
    vec![
        written(Rule::MissingStep, "the leg is never labelled", |draft| {
            draft.remove("leg/label");
        }),
        written(Rule::MissingStep, "the table is never waxed", |draft| {
            draft
                .lines
                .retain(|line| line.from < at("3 00:00") || line.step == StepKind::Buff);
        }),
        written(
            Rule::StrangeStep,
            "buffed loose, which the schedule does not have",
            |draft| {
                draft.lines.push(line("leg/buff-1", StepKind::Buff, "1 17:20", 5));
            },
        ),
        written(Rule::Order, "masked before sanding", |draft| {
            draft.get("leg/mask").minutes = 3;
            draft.shift("leg/mask", "1 08:17");
        }),
        written(Rule::Grits, "P120 left out on the tray", |draft| {
            draft.remove("tray/sand-p120");
        }),
        written(Rule::Grits, "P180 before P120 on the tray", |draft| {
            draft.shift("tray/sand-p120", "1 09:30");
            draft.shift("tray/sand-p180", "1 08:50");
        }),
        written(Rule::Grits, "the piece's own grits ignored", |draft| {
            draft.job.pieces[2].grits = vec![crate::shop::paper(120), crate::shop::paper(220)];
        }),
        written(Rule::DustOff, "sanded once more after dusting off", |draft| {
            draft.job.room.dust_separated = true;
            let again = paper("leg/sand-again", StepKind::Sand, "P180", "1 10:14", 5);
            draft.lines.push(Line {
                round: Some("again".to_owned()),
                ..again
            });
        }),
        written(Rule::PieceBusy, "labelled by Tom while Ines checks it", |draft| {
            draft.job.hands.push(tom());
            draft.shift("leg/label", "1 08:06");
            draft.get("leg/label").hands = vec!["Tom".to_owned()];
        }),
        written(Rule::Coats, "the leg's second coat forgotten", |draft| {
            draft.remove("leg/coat-2");
        }),
        written(Rule::Coats, "a third coat", |draft| {
            let third = coat("leg/coat-3", ("lacquer", 3), "1 15:30", 5, Holding::Hung, &["ends"]);
            draft.lines.push(Line {
                round: Some("third".to_owned()),
                ..on("leg/coat-2", third)
            });
            draft.shift("clean-2", "1 15:35");
            draft.remove("leg/unmask");
            draft.lines.push(line("leg/unmask", StepKind::Unmask, "2 08:35", 5));
            draft.shift("table/glue-up", "2 08:40");
            draft.shift("set-up-3", "1 15:45");
            draft.shift("tray/coat-1", "1 15:55");
            draft.shift("tray/wipe-back-1", "1 16:10");
            draft.shift("tray/re-wipe-1", "1 17:15");
            draft.shift("clean-3", "1 17:20");
        })
        .also(&[Rule::Score, Rule::RubWait]),
        written(Rule::CoatNumber, "the second coat called the third", |draft| {
            let leg = draft.get("leg/coat-2");
            leg.coat = Some(3);
            leg.round = Some("lacquer 3".to_owned());
        }),
        written(Rule::Denib, "not de-nibbed between the coats", |draft| {
            draft.remove("leg/denib-1");
        }),
        written(Rule::Terminal, "a coat over wax", |draft| {
            wax_the_leg(draft, "1 11:50", "1 12:00", "1 12:05");
            draft.get("leg/denib-1").film_from = Some("leg/wax-1".to_owned());
            draft.get("leg/coat-2").film_from = Some("leg/wax-1".to_owned());
        })
        .also(&[Rule::StrangeStep, Rule::RubWait]),
        written(Rule::FilmFrom, "a coat said to lie on another piece's film", |draft| {
            draft.get("leg/coat-2").film_from = Some("top/coat-1/back".to_owned());
        }),
    ]
}

pub fn drying() -> Vec<Case> {
    vec![
        written(
            Rule::RecoatWindow,
            "in the gap: the early window closes after three hours",
            |draft| {
                draft.product("lacquer").windows[0].closes = Some(figure(180.0, 180.0));
            },
        ),
        written(
            Rule::RecoatWindow,
            "too early: recoat only after 220 minutes",
            |draft| {
                ladder(draft.product("lacquer"), Stage::DryToRecoat, 200.0, 220.0);
            },
        ),
        written(
            Rule::WindowPreparation,
            "de-nibbed where the film needs a scuff",
            |draft| {
                let window = &mut draft.product("lacquer").windows[0];
                window.prepare = Prepare::Scuff;
            },
        ),
        written(Rule::SandWait, "de-nibbed while soft", |draft| {
            ladder(draft.product("lacquer"), Stage::DryToSand, 100.0, 160.0);
        })
        .also(&[Rule::WrittenWait]),
        written(Rule::TurnWait, "turned while tacky", |draft| {
            draft.shift("top/coat-2/face", "1 14:50");
        }),
        written(Rule::ShowFaceLast, "the show face laid on the points", |draft| {
            draft.get("tray/coat-1").surfaces.reverse();
        }),
        written(Rule::UnmaskWait, "tape pulled out of a wet film", |draft| {
            draft.shift("leg/unmask", "1 14:45");
        }),
        written(Rule::GlueWait, "clamped before it is hard", |draft| {
            ladder(draft.product("lacquer"), Stage::DryHard, 600.0, 1800.0);
        }),
        written(Rule::RubWait, "waxed before it is dry through", |draft| {
            ladder(draft.product("lacquer"), Stage::DryThrough, 2880.0, 3000.0);
        }),
        written(Rule::StepWait, "buffed before the wax has hazed", |draft| {
            draft.shift("table/buff-1", "3 15:50");
        }),
        printed(Rule::DryStamp, "hard eight hours early", |plan| {
            let dry = op(plan, "leg/coat-2").dry.as_mut().expect("a coat dries");
            dry.dry_hard = Some(stamp(at("1 18:25")));
        }),
        printed(Rule::DryStamp, "a recoat window left out", |plan| {
            op(plan, "leg/coat-1")
                .dry
                .as_mut()
                .expect("a coat dries")
                .windows
                .clear();
        }),
    ]
}

pub fn joints() -> Vec<Case> {
    vec![
        written(Rule::Masked, "a tenon nobody taped", |draft| draft.remove("leg/mask")),
        written(Rule::Masked, "unmasked before the last coat", |draft| {
            draft.shift("leg/unmask", "1 13:30");
        }),
        written(Rule::TapeLife, "tape that lasts until twenty past one", |draft| {
            draft.job.tape_life = 200;
        }),
        written(Rule::Score, "a film gone hard over the tape", |draft| {
            ladder(draft.product("lacquer"), Stage::DryHard, 30.0, 720.0);
        }),
        written(Rule::WaxNearJoints, "waxed loose beside an open tenon", |draft| {
            wax_the_leg(draft, "1 16:20", "1 16:30", "1 16:35");
        })
        .also(&[Rule::StrangeStep, Rule::RubWait]),
        written(Rule::BareAtGlue, "glued with its tape on", |draft| {
            draft.remove("leg/unmask");
        }),
        written(Rule::Stale, "sanding stale after an hour", |draft| {
            for step in draft
                .job
                .schedules
                .values_mut()
                .flat_map(|schedule| &mut schedule.steps)
            {
                step.stale_after = step.stale_after.as_ref().map(|_| figure(60.0, 60.0));
            }
        }),
        written(Rule::WipeBack, "an oil that may stand 12 minutes", |draft| {
            draft.product("oil").wipe.as_mut().expect("flooded").within = figure(12.0, 14.0);
        }),
        written(Rule::WipeBack, "an oil that soaks for 20 minutes", |draft| {
            draft.product("oil").wipe.as_mut().expect("flooded").soak = figure(20.0, 20.0);
        }),
        written(
            Rule::WipeBack,
            "the excess never wiped off, the rags left lying",
            |draft| {
                draft.remove("tray/wipe-back-1");
            },
        )
        .also(&[Rule::ChangeOver]),
        written(Rule::ReWipe, "never wiped again", |draft| {
            draft.remove("tray/re-wipe-1");
        }),
        written(Rule::ReWipe, "wiped again too soon", |draft| {
            draft.shift("tray/re-wipe-1", "1 16:30");
        }),
        written(Rule::Balance, "one coat on the back, two on the face", |draft| {
            let mut once = crate::shop::lacquer_schedule();
            once.steps.truncate(8);
            draft
                .job
                .schedules
                .insert("once".to_owned(), schedule("once", once.products, once.steps));
            draft.job.pieces[0].surfaces[1].schedule = Some("once".to_owned());
            draft.remove("top/coat-2/back");
        }),
        printed(Rule::BalanceLine, "hours apart not told", |plan| {
            plan.balance[0].hours_apart = 0.0;
        }),
        printed(Rule::BalanceLine, "a wide panel without its line", |plan| {
            plan.balance.clear();
        }),
        printed(Rule::BalanceLine, "a line for a narrow tray", |plan| {
            let line = BalanceLine {
                piece: "tray".to_owned(),
                ..plan.balance[0].clone()
            };
            plan.balance.push(line);
        }),
    ]
}
