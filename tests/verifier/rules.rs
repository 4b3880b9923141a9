//! Every rule with at least one plan that breaks it: the good plan with one thing done wrong.
//!
//! Invariant: a case says all the rules its mistake breaks, so that a rule that fires too easily is found as
//! surely as one that never fires.

use crate::draft::{Draft, Line, coat, line, paper, set_up, stamp};
use crate::shop::{at, cold_nights, figure, schedule, steady, step, tom};
use crate::table::{good, on};
use denib::dayplan::document::{BalanceLine, MixAt, Plan};
use denib::dayplan::verify::{Rule, verify};
use denib::finish::{Mechanism, Phase, Prepare, Product, Stage, StepKind};
use denib::job::{Holding, Occupied, PlaceKind};
use std::collections::BTreeSet;

/// One mistake.
struct Case {
    rule: Rule,
    mistake: &'static str,
    also: &'static [Rule],
    written: fn(&mut Draft),
    printed: fn(&mut Plan),
}

/// A mistake made while writing: in the job, in a figure, in a line.
fn written(rule: Rule, mistake: &'static str, written: fn(&mut Draft)) -> Case {
    Case {
        rule,
        mistake,
        also: &[],
        written,
        printed: |_| {},
    }
}

/// A mistake in the document alone.
fn printed(rule: Rule, mistake: &'static str, printed: fn(&mut Plan)) -> Case {
    Case {
        rule,
        mistake,
        also: &[],
        written: |_| {},
        printed,
    }
}

impl Case {
    fn also(self, also: &'static [Rule]) -> Self {
        Self { also, ..self }
    }
}

/// Another slow and fast time to a stage.
fn ladder(product: &mut Product, stage: Stage, low: f64, high: f64) {
    for rung in product.stages.iter_mut().filter(|rung| rung.stage == stage) {
        rung.minutes = figure(low, high);
    }
}

fn by_tom(line: Line) -> Line {
    Line {
        hands: vec!["Tom".to_owned()],
        round: line.round.map(|round| format!("{round}, Tom")),
        ..line
    }
}

/// A loose wax on the leg by Tom, with his setting up and cleaning out.
fn wax_the_leg(draft: &mut Draft, set_up_at: &str, wax_at: &str, clean_at: &str) {
    draft.job.hands.push(tom());
    let sides = ["side-1", "side-2", "side-3", "side-4", "ends"];
    let wax = Line {
        step: StepKind::Wax,
        coat: None,
        ..coat("leg/wax-1", ("wax", 1), wax_at, 5, Holding::Hung, &sides)
    };
    draft
        .lines
        .push(by_tom(set_up("tom-1", StepKind::ChangeOver, "wax", set_up_at, 10)));
    draft.lines.push(by_tom(on("leg/coat-1", wax)));
    draft
        .lines
        .push(by_tom(set_up("tom-2", StepKind::CleanUp, "wax", clean_at, 10)));
}

fn op<'a>(plan: &'a mut Plan, id: &str) -> &'a mut denib::dayplan::document::Operation {
    plan.operations
        .iter_mut()
        .find(|op| op.id == id)
        .expect("an operation with this id")
}

fn document() -> Vec<Case> {
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
            plan.pieces[0].thickness = 25.0
        }),
        printed(Rule::SameJob, "more bearers than the room has", |plan| {
            plan.places[0].capacity = Some(9)
        }),
        printed(Rule::SameJob, "a narrow tray called a wide panel", |plan| {
            plan.pieces[2].wide_panel = true
        }),
        printed(Rule::SameJob, "a piece left out of the list", |plan| {
            plan.pieces[0].surfaces[0].due.clear()
        }),
        printed(Rule::WrittenWait, "a wait that the times do not keep", |plan| {
            plan.waits[0].min_minutes = Some(200.0)
        }),
        printed(Rule::WrittenAir, "a room five degrees colder", |plan| {
            plan.climate = vec![(stamp(at("1 08:00")), 18.0, 50.0)];
        }),
        printed(Rule::Round, "a round that ends too late", |plan| {
            plan.rounds[0].end = stamp(at("1 09:00"))
        }),
        printed(Rule::Round, "an operation in no round", |plan| {
            plan.rounds[0].operations.remove(1);
        }),
    ]
}

fn order() -> Vec<Case> {
    vec![
        written(Rule::MissingStep, "the leg is never labelled", |draft| {
            draft.remove("leg/label")
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
            draft.remove("tray/sand-p120")
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
            draft.remove("leg/coat-2")
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
            draft.remove("leg/denib-1")
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

fn drying() -> Vec<Case> {
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
            draft.shift("top/coat-2/face", "1 14:50")
        }),
        written(Rule::ShowFaceLast, "the show face laid on the points", |draft| {
            draft.get("tray/coat-1").surfaces.reverse();
        }),
        written(Rule::UnmaskWait, "tape pulled out of a wet film", |draft| {
            draft.shift("leg/unmask", "1 14:45")
        }),
        written(Rule::GlueWait, "clamped before it is hard", |draft| {
            ladder(draft.product("lacquer"), Stage::DryHard, 600.0, 1800.0);
        }),
        written(Rule::RubWait, "waxed before it is dry through", |draft| {
            ladder(draft.product("lacquer"), Stage::DryThrough, 2880.0, 3000.0);
        }),
        written(Rule::StepWait, "buffed before the wax has hazed", |draft| {
            draft.shift("table/buff-1", "3 15:50")
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

fn room() -> Vec<Case> {
    vec![
        written(Rule::RoomLimits, "too damp to start a coat", |draft| {
            draft.job.room.climate = steady(23.0, 80.0)
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
            draft.shift("tray/unmask", "2 07:30")
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
            draft.shift("leg/unmask", "1 15:25")
        }),
        written(Rule::Crew, "nobody checks the leg", |draft| {
            draft.get("leg/check").hands.clear()
        }),
        written(Rule::Crew, "a heavy top turned by one of two", |draft| {
            draft.job.hands.push(tom());
            draft.job.pieces[0].heavy = true;
        }),
        written(Rule::ChangeOver, "from lacquer to oil with no setting up", |draft| {
            draft.remove("set-up-3")
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
            draft.job.room.settle_minutes = 50
        }),
        printed(Rule::DustSaid, "dry paper said to make no dust", |plan| {
            op(plan, "leg/denib-1").dusty = false
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
            op(plan, "leg/coat-2").place = Some("racks".to_owned())
        }),
    ]
}

fn joints() -> Vec<Case> {
    vec![
        written(Rule::Masked, "a tenon nobody taped", |draft| draft.remove("leg/mask")),
        written(Rule::Masked, "unmasked before the last coat", |draft| {
            draft.shift("leg/unmask", "1 13:30")
        }),
        written(Rule::TapeLife, "tape that lasts five hours", |draft| {
            draft.job.tape_life = 300
        }),
        written(Rule::Score, "a film gone hard over the tape", |draft| {
            ladder(draft.product("lacquer"), Stage::DryHard, 30.0, 720.0);
        }),
        written(Rule::WaxNearJoints, "waxed loose beside an open tenon", |draft| {
            wax_the_leg(draft, "1 16:20", "1 16:30", "1 16:35");
        })
        .also(&[Rule::StrangeStep, Rule::RubWait]),
        written(Rule::BareAtGlue, "glued with its tape on", |draft| {
            draft.remove("leg/unmask")
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
            draft.remove("tray/re-wipe-1")
        }),
        written(Rule::ReWipe, "wiped again too soon", |draft| {
            draft.shift("tray/re-wipe-1", "1 16:30")
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
            plan.balance[0].hours_apart = 0.0
        }),
        printed(Rule::BalanceLine, "a wide panel without its line", |plan| {
            plan.balance.clear()
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

fn milestones() -> Vec<Case> {
    vec![
        printed(Rule::SectionReady, "a section ready an hour early", |plan| {
            plan.sections[0].ready = stamp(at("2 02:20"))
        }),
        printed(Rule::PlanTimes, "never finished", |plan| plan.finished = None),
        printed(Rule::PlanTimes, "ends before its last operation", |plan| {
            plan.ends = stamp(at("1 17:10"))
        }),
        printed(Rule::PlanTimes, "ready before the tray is", |plan| {
            plan.ready = stamp(at("4 12:00"));
            plan.gap_percent = 0.0;
        }),
        printed(Rule::Bound, "a gap of nothing", |plan| plan.gap_percent = 0.0),
        printed(Rule::Bound, "a bound after ready", |plan| {
            plan.bound = stamp(at("5 12:00"))
        }),
        printed(Rule::GlueUp, "the assembly does not say when", |plan| {
            plan.assemblies[0].at = None
        }),
        written(Rule::GlueUp, "a glue-up for two done by one", |draft| {
            draft.job.hands.push(tom());
            draft.job.assemblies[0].hands = 2;
        }),
        written(Rule::GlueUp, "never glued, and waxed", |draft| {
            draft.remove("table/glue-up")
        }),
        written(Rule::GlueUp, "glued before the tray in it is unmasked", |draft| {
            draft.job.assemblies[0].made_of.push("tray".to_owned());
            draft.shift("tray/unmask", "2 09:00");
        })
        .also(&[Rule::GlueWait, Rule::BareAtGlue]),
        written(Rule::Cure, "waxed before the glue has cured", |draft| {
            draft.job.assemblies[0].cure = 3 * 1440
        }),
        written(Rule::NotThere, "the leg is made at half past eight", |draft| {
            draft.job.pieces[1].available = at("1 08:30");
        }),
        printed(Rule::NotThere, "planned for a morning that has gone", |plan| {
            plan.now = stamp(at("1 09:00"))
        }),
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

fn cases() -> Vec<Case> {
    [document(), order(), drying(), room(), joints(), milestones()]
        .into_iter()
        .flatten()
        .collect()
}

#[test]
fn every_mistake_is_rejected_for_what_it_is() {
    let mut wrong = Vec::new();
    for case in cases() {
        let mut draft = good();
        (case.written)(&mut draft);
        let mut plan = draft.plan();
        (case.printed)(&mut plan);
        let found = verify(&plan, &draft.job);
        let broken: BTreeSet<Rule> = found.iter().map(|breach| breach.rule).collect();
        let expected: BTreeSet<Rule> = case.also.iter().copied().chain([case.rule]).collect();
        if broken != expected {
            let lines: Vec<String> = found.iter().map(|breach| format!("    {breach}")).collect();
            wrong.push(format!(
                "{} ({}): expected {expected:?}, found\n{}",
                case.mistake,
                case.rule,
                lines.join("\n")
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_rule_is_without_a_bad_plan() {
    let covered: BTreeSet<Rule> = cases().iter().map(|case| case.rule).collect();
    let bare: Vec<&Rule> = Rule::ALL.iter().filter(|rule| !covered.contains(rule)).collect();
    assert!(bare.is_empty(), "no bad plan for {bare:?}");
}

#[test]
fn names_of_rules_are_kebab_case_and_unique() {
    let names: BTreeSet<&str> = Rule::ALL.iter().map(|rule| rule.name()).collect();
    assert_eq!(names.len(), Rule::ALL.len());
    for name in names {
        assert!(
            name.chars().all(|letter| letter.is_ascii_lowercase() || letter == '-'),
            "{name}"
        );
    }
}

/// A breach names what it is about and gives its figure.
#[test]
fn a_breach_is_a_line_for_a_finisher() {
    let mut draft = good();
    draft.shift("top/coat-2/face", "1 14:50");
    let found = verify(&draft.plan(), &draft.job);
    let [breach] = found.as_slice() else {
        panic!("one breach, not {found:?}")
    };
    assert_eq!(breach.rule, Rule::TurnWait);
    assert_eq!(breach.operations, ["top/coat-2/face", "top/coat-2/back"]);
    assert_eq!(breach.pieces, ["top"]);
    assert_eq!(
        breach.text,
        "top: laid over at Mon 30 Nov 14:50 on its back, which is dry to touch Mon 30 Nov 15:05"
    );
}

/// What has happened is not reproached: the same early turn, done already, is a fact.
#[test]
fn facts_are_not_reproached() {
    let mut draft = good();
    draft.shift("top/coat-2/face", "1 14:50");
    let mut plan = draft.plan();
    plan.now = stamp(at("1 15:25"));
    for op in &mut plan.operations {
        if op.end <= plan.now {
            op.state = denib::dayplan::document::State::Done;
        }
    }
    let found = verify(&plan, &draft.job);
    let rules: Vec<Rule> = found.iter().map(|breach| breach.rule).collect();
    // the clean-out that runs across "now" is the one thing left to say
    assert!(rules.iter().all(|rule| *rule == Rule::NotThere), "{found:?}");
}

#[test]
fn phases_and_steps_of_the_small_schedules_are_what_the_cases_take_them_for() {
    let steps = crate::shop::lacquer_schedule().steps;
    assert_eq!(
        steps[7].kind,
        StepKind::Coat,
        "the first eight steps end with the first coat"
    );
    assert_eq!(step(StepKind::Coat).phase, Phase::Loose);
}
