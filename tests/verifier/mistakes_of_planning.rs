//! Bad plans: the document, the room, the hands, the places, the milestones.
//!
//! Invariant: every case is the good plan with one thing done wrong.

#![allow(clippy::expect_used, reason = "a plan by hand stops where it was written wrong")]

use crate::draft::stamp;
use crate::mistakes::{Case, ladder, op, printed, written};
use crate::shop::{at, cold_nights, steady, tom};
use denib::dayplan::document::MixAt;
use denib::dayplan::verify::Rule;
use denib::finish::{Mechanism, Stage};
use denib::job::{Occupied, PlaceKind};

pub fn document() -> Vec<Case> {
    vec![
        printed(Rule::Schema, "another schema", |plan| plan.schema = 2),
        printed(Rule::Reference, "a reason that names nothing", |plan| {
            op(plan, "leg/check").because.op = Some("shelf/check".to_owned());
        }),
        printed(Rule::Reference, "two operations with one id", |plan| {
            plan.mixes = Vec::new();
            let twin = plan.sections[0].clone();
            plan.sections.push(twin);
        }),
        printed(Rule::SameJob, "another thickness", |plan| {
            plan.pieces[0].thickness = 25.0;
        }),
        printed(Rule::SameJob, "more bearers than the room has", |plan| {
            plan.places[0].capacity = Some(9);
        }),
        printed(Rule::SameJob, "a narrow tray called a wide panel", |plan| {
            plan.pieces[2].wide_panel = true;
        }),
        printed(Rule::SameJob, "a piece left out of the list", |plan| {
            plan.pieces[0].surfaces[0].due.clear();
        }),
        printed(Rule::WrittenWait, "a wait that the times do not keep", |plan| {
            plan.waits[0].min_minutes = Some(200.0);
        }),
        printed(Rule::WrittenAir, "a room five degrees colder", |plan| {
            plan.climate = vec![(stamp(at("1 08:00")), 18.0, 50.0)];
        }),
        written(Rule::SampleBoard, "a board nobody signs off", |draft| {
            for piece in draft.job.pieces.iter_mut().filter(|piece| piece.id == "leg") {
                piece.sample = Some("painted".to_owned());
            }
        }),
        printed(Rule::Round, "a round that ends too late", |plan| {
            plan.rounds[0].end = stamp(at("1 09:00"));
        }),
        printed(Rule::Round, "an operation in no round", |plan| {
            plan.rounds[0].operations.remove(1);
        }),
    ]
}

pub fn room() -> Vec<Case> {
    vec![
        written(Rule::RoomLimits, "too damp to start a coat", |draft| {
            draft.job.room.climate = steady(23.0, 80.0);
        }),
        written(Rule::RoomSpoils, "the heating goes off on Thursday", |draft| {
            let mut cold = draft.job.room.climate.lines[0].clone();
            cold.from = chrono::NaiveDate::from_ymd_opt(2026, 12, 3);
            cold.day.0 = 5.0;
            cold.night.0 = 5.0;
            draft.job.room.climate.lines.push(cold);
            draft.product("oil").must_reach = Some(Stage::DryToHandle);
            ladder(draft.product("oil"), Stage::DryToHandle, 720.0, 3600.0);
        })
        .also(&[Rule::DryStamp, Rule::SectionReady, Rule::PlaceHeld]),
        written(Rule::DryStamp, "a plan made for a room that stays warm", |draft| {
            draft.job.room.climate = cold_nights(420, 1080, 23.0, 5.0);
        })
        .also(&[
            Rule::PlaceHeld,
            Rule::SectionReady,
            Rule::GlueWait,
            Rule::RubWait,
            Rule::UnmaskWait,
        ]),
        written(Rule::Hours, "before work begins", |draft| {
            draft.shift("tray/unmask", "2 07:30");
        }),
        written(Rule::Hours, "a day off", |draft| {
            let date = chrono::NaiveDate::from_ymd_opt(2026, 12, 2).expect("a date");
            draft.job.hours.exceptions.push(denib::job::HoursException {
                date,
                shifts: Vec::new(),
                note: None,
            });
        }),
        written(Rule::HandBusy, "unmasking while cleaning out", |draft| {
            draft.shift("leg/unmask", "1 15:25");
        }),
        written(Rule::Crew, "nobody checks the leg", |draft| {
            draft.get("leg/check").hands.clear();
        }),
        written(Rule::Crew, "a heavy top turned by one of two", |draft| {
            draft.job.hands.push(tom());
            draft.job.pieces[0].heavy = true;
        }),
        written(Rule::ChangeOver, "from lacquer to oil with no setting up", |draft| {
            draft.remove("set-up-3");
        }),
        written(Rule::ChangeOver, "brushes left uncleaned over lunch", |draft| {
            draft.remove("clean-1");
            draft.remove("set-up-2");
        }),
        printed(Rule::ChangeOver, "change-overs of one minute", |plan| {
            for line in &mut plan.changeovers {
                line.minutes = 1;
            }
        }),
        written(Rule::DustOnWet, "de-nibbed while a coat still takes dust", |draft| {
            ladder(draft.product("lacquer"), Stage::DustFree, 100.0, 160.0);
        }),
        written(Rule::DustSettle, "dust that settles in 50 minutes", |draft| {
            draft.job.room.settle_minutes = 50;
        }),
        printed(Rule::DustSaid, "dry paper said to make no dust", |plan| {
            op(plan, "leg/denib-1").dusty = false;
        }),
        written(Rule::PlaceCapacity, "other work on every bearer", |draft| {
            draft.job.room.occupied.push(Occupied {
                kind: PlaceKind::Bearers,
                count: 4,
                from: at("1 12:00"),
                until: at("1 13:00"),
                by: "a door".to_owned(),
            });
        }),
        written(Rule::PlaceCapacity, "one rack for three dry pieces", |draft| {
            draft.job.room.places.racks = Some(1);
        }),
        printed(Rule::PlaceHeld, "stacked wet", |plan| {
            for id in [
                "top/coat-1/back",
                "top/coat-1/face",
                "top/coat-2/back",
                "top/coat-2/face",
            ] {
                op(plan, id).place_until = Some(stamp(at("1 16:00")));
            }
        }),
        printed(Rule::PlaceHeld, "put back on a rack while wet", |plan| {
            op(plan, "leg/coat-2").place = Some("racks".to_owned());
        }),
    ]
}

pub fn milestones() -> Vec<Case> {
    vec![
        printed(Rule::SectionReady, "a section ready an hour early", |plan| {
            plan.sections[0].ready = stamp(at("2 02:20"));
        }),
        printed(Rule::PlanTimes, "never finished", |plan| plan.finished = None),
        printed(Rule::PlanTimes, "ends before its last operation", |plan| {
            plan.ends = stamp(at("1 17:10"));
        }),
        printed(Rule::PlanTimes, "ready before the tray is", |plan| {
            plan.ready = stamp(at("4 12:00"));
            plan.gap_percent = 0.0;
        }),
        printed(Rule::Bound, "a gap of nothing", |plan| plan.gap_percent = 0.0),
        printed(Rule::Bound, "a bound after ready", |plan| {
            plan.bound = stamp(at("5 12:00"));
        }),
        printed(Rule::GlueUp, "the assembly does not say when", |plan| {
            plan.assemblies[0].at = None;
        }),
        written(Rule::GlueUp, "a glue-up for two done by one", |draft| {
            draft.job.hands.push(tom());
            draft.job.assemblies[0].hands = 2;
        }),
        written(Rule::GlueUp, "never glued, and waxed", |draft| {
            draft.remove("table/glue-up");
        }),
        written(Rule::GlueUp, "glued before the tray in it is unmasked", |draft| {
            draft.job.assemblies[0].made_of.push("tray".to_owned());
            draft.shift("tray/unmask", "2 09:00");
        })
        .also(&[Rule::GlueWait, Rule::BareAtGlue]),
        written(Rule::Cure, "waxed before the glue has cured", |draft| {
            draft.job.assemblies[0].cure = 3 * 1440;
        }),
        written(Rule::NotThere, "the leg is made at half past eight", |draft| {
            draft.job.pieces[1].available = at("1 08:30");
        }),
        printed(Rule::NotThere, "planned for a morning that has gone", |plan| {
            plan.now = stamp(at("1 09:00"));
        }),
        written(
            Rule::Mixed,
            "what is mixed for the day set out without mixing it",
            |draft| {
                draft.product("oil").pot_life = Some(crate::shop::figure(480.0, 600.0));
            },
        ),
        written(Rule::PotLife, "a two-part product and no mix", |draft| {
            draft.product("oil").mechanism = Mechanism::TwoPack;
        }),
        printed(Rule::PotLife, "a mix used after its life", |plan| {
            let (at, until) = (stamp(at("1 08:00")), stamp(at("1 12:00")));
            plan.mixes = vec![MixAt {
                id: "m1".to_owned(),
                product: "oil".to_owned(),
                at,
                until,
                volume: 100.0,
            }];
            op(plan, "tray/coat-1").mix = Some("m1".to_owned());
        }),
    ]
}
