//! Two days of a plan, written out.
//!
//! Invariant: the times are typed, not computed: no planner made them.

use super::job;
use crate::dayplan::Plan;
use crate::dayplan::document::{
    AssemblyAt, BalanceLine, Because, BecauseKind, Caution, Dry, DryWindow, HandShifts, KeepApart, Operation,
    PlanPiece, PlanProduct, PlanSurface, Round, SectionReady, Severity, StageName, Stamp, State, WaitFrom, WaitLine,
};
use crate::finish::{Mechanism, Phase, Prepare, StepKind};
use crate::job::Holding;

/// A time.
pub fn stamp(text: &str) -> Stamp {
    text.parse().unwrap()
}

/// `30 09:10`: day of the month (30 is November, others December) and clock time.
fn at(text: &str) -> Stamp {
    let (day, clock) = text.split_once(' ').unwrap();
    let month = if day == "30" { "11" } else { "12" };
    stamp(&format!("2026-{month}-{day}T{clock}:00Z"))
}

fn operation(id: &str, step: StepKind, from: &str, until: &str) -> Operation {
    let piece = id.split('/').next().unwrap();
    Operation {
        id: id.to_owned(),
        round: None,
        piece: Some(piece.to_owned()),
        assembly: None,
        surfaces: Vec::new(),
        step,
        coat: None,
        grit: None,
        product: None,
        family: None,
        mix: None,
        start: at(from),
        end: at(until),
        hands: vec!["Ines".to_owned()],
        hands_minutes: at(until).signed_duration_since(at(from)).num_minutes() as f64,
        dusty: false,
        holding: None,
        place: None,
        place_slots: 0,
        place_until: None,
        volume: None,
        solvent_g: None,
        film_from: None,
        phase: Phase::Loose,
        state: State::Planned,
        dry: None,
        because: Because {
            kind: BecauseKind::Hands,
            op: None,
            at: at(from),
            text: "Ines is on the piece before".to_owned(),
        },
    }
}

fn strings(list: &[&str]) -> Vec<String> {
    list.iter().map(|one| (*one).to_owned()).collect()
}

fn dry(touch: &str, sand: &str, hard: &str, windows: Vec<DryWindow>) -> Dry {
    Dry {
        dry_to_touch: Some(at(touch)),
        dry_to_turn: Some(at(touch)),
        dry_to_sand: Some(at(sand)),
        dry_to_handle: Some(at(sand)),
        dry_hard: Some(at(hard)),
        windows,
        ..Dry::default()
    }
}

fn window(from: &str, until: Option<&str>, prepare: Prepare) -> DryWindow {
    DryWindow {
        from: at(from),
        until: until.map(at),
        prepare,
    }
}

fn round(id: &str, operations: &mut [Operation]) -> Round {
    for operation in operations.iter_mut() {
        operation.round = Some(id.to_owned());
    }
    let first = operations.first().unwrap();
    Round {
        id: id.to_owned(),
        step: first.step,
        coat: first.coat,
        product: first.product.clone(),
        grit: first.grit.clone(),
        hands: first.hands.clone(),
        start: first.start,
        end: operations.last().unwrap().end,
        operations: operations.iter().map(|operation| operation.id.clone()).collect(),
    }
}

/// Two days of a plan for it.
pub fn plan() -> Plan {
    let mut sand = vec![
        operation("leg-1/sand-120", StepKind::Sand, "30 08:00", "30 08:10"),
        operation("leg-2/sand-120", StepKind::Sand, "30 08:10", "30 08:20"),
        operation("side-left/sand-120", StepKind::Sand, "30 08:20", "30 08:40"),
    ];
    for one in &mut sand {
        one.grit = Some("P120".to_owned());
        one.dusty = true;
    }
    let coat = |id: &str, surfaces: &[&str], holding, from: &str, until: &str| Operation {
        surfaces: strings(surfaces),
        coat: Some(1),
        product: Some("lacquer".to_owned()),
        family: Some("lacquer".to_owned()),
        holding: Some(holding),
        place: Some("bearers".to_owned()),
        place_slots: 1,
        ..operation(id, StepKind::Coat, from, until)
    };
    let early = || window("30 11:40", Some("30 15:00"), Prepare::None);
    let late = || window("01 09:00", None, Prepare::Scuff);
    let mut first = vec![
        coat("leg-1/coat-1", &["side-1"], Holding::Points, "30 09:30", "30 09:36"),
        coat("leg-2/coat-1", &["side-1"], Holding::Points, "30 09:36", "30 09:42"),
        coat(
            "side-left/coat-1/back",
            &["back"],
            Holding::Bearers,
            "30 09:42",
            "30 09:50",
        ),
    ];
    first[0].dry = Some(dry("30 10:06", "30 11:36", "01 09:36", vec![early(), late()]));
    first[1].dry = Some(dry("30 10:12", "30 11:42", "01 09:42", vec![early(), late()]));
    first[2].dry = Some(dry("30 10:20", "30 11:50", "01 09:50", vec![early(), late()]));
    first[0].because = Because {
        kind: BecauseKind::Dust,
        op: Some("side-left/sand-120".to_owned()),
        at: at("30 09:25"),
        text: "the dust of sanding has settled at 09:25".to_owned(),
    };
    let mut over = vec![coat(
        "side-left/coat-1/face",
        &["face", "edge-1", "edge-2", "end-1", "end-2"],
        Holding::Bearers,
        "30 10:25",
        "30 10:35",
    )];
    over[0].dry = Some(dry("30 11:05", "30 12:35", "01 10:35", vec![]));
    let mut denib = vec![operation("leg-1/denib-1", StepKind::Denib, "01 08:00", "01 08:04")];
    denib[0].grit = Some("P360 wet".to_owned());
    denib[0].film_from = Some("leg-1/coat-1".to_owned());
    let mut oiled = vec![Operation {
        surfaces: strings(&["face", "back", "edge-1", "edge-2", "end-1", "end-2"]),
        coat: Some(1),
        product: Some("danish".to_owned()),
        family: Some("oil".to_owned()),
        holding: Some(Holding::Points),
        dry: Some(dry("01 16:00", "02 08:00", "02 14:20", vec![])),
        because: Because {
            kind: BecauseKind::ChangeOver,
            op: None,
            at: at("01 08:14"),
            text: "the brushes are changed over to oil first".to_owned(),
        },
        ..operation("top/coat-1", StepKind::Coat, "01 08:14", "01 08:34")
    }];
    let mut unmask = vec![operation("leg-1/unmask", StepKind::Unmask, "01 08:34", "01 08:36")];
    let change = Operation {
        piece: None,
        family: Some("oil".to_owned()),
        ..operation("change-over-1", StepKind::ChangeOver, "01 08:04", "01 08:14")
    };
    let rounds = vec![
        round("r1", &mut sand),
        round("r2", &mut first),
        round("r3", &mut over),
        round("r4", &mut denib),
        round("r5", &mut oiled),
        round("r6", &mut unmask),
    ];
    let mut operations: Vec<Operation> = [sand, first, over, denib, vec![change], oiled, unmask].concat();
    operations.sort_by_key(|operation| operation.start);
    document(rounds, operations)
}

#[allow(clippy::too_many_lines)] // one document, written out
fn document(rounds: Vec<Round>, operations: Vec<Operation>) -> Plan {
    let job = job();
    let pieces = job.pieces.iter().map(|piece| PlanPiece {
        id: piece.id.clone(),
        part: job.parts[piece.part].id.clone(),
        section: "table".to_owned(),
        shape: piece.shape,
        build: piece.build,
        material: piece.material.clone(),
        length: piece.length.0,
        width: piece.width.0,
        thickness: piece.thickness.0,
        wide_panel: job.is_wide(piece),
        surfaces: piece
            .surfaces
            .iter()
            .map(|surface| PlanSurface {
                id: surface.id.clone(),
                label: surface.label.clone(),
                show: surface.show,
                area: surface.area.0,
                due: match surface.schedule.as_deref() {
                    Some("oil") => strings(&["danish"]),
                    _ => strings(&["lacquer", "lacquer"]),
                },
            })
            .collect(),
        joints: Vec::new(),
    });
    Plan {
        schema: 1,
        job: "Hall table".to_owned(),
        zone: "Europe/London".to_owned(),
        seed: 1,
        tries: 200,
        now: at("30 08:00"),
        starts: at("30 08:00"),
        ready: at("02 14:20"),
        ends: at("02 14:20"),
        finished: None,
        bound: at("02 11:20"),
        gap_percent: 5.8,
        wide_over_mm: 200.0,
        hands: vec![HandShifts {
            name: "Ines".to_owned(),
            shifts: ["30", "01", "02"]
                .iter()
                .flat_map(|day| {
                    [
                        (at(&format!("{day} 08:00")), at(&format!("{day} 12:30"))),
                        (at(&format!("{day} 13:15")), at(&format!("{day} 17:30"))),
                    ]
                })
                .collect(),
        }],
        climate: vec![
            (at("30 00:00"), 18.0, 50.0),
            (at("30 10:00"), 19.0, 50.0),
            (at("30 20:00"), 9.0, 70.0),
            (at("01 07:00"), 19.0, 50.0),
        ],
        sections: vec![SectionReady {
            id: "table".to_owned(),
            ready: at("02 14:20"),
            due: Some(at("03 12:00")),
            weight: 1,
        }],
        assemblies: vec![AssemblyAt {
            id: "table".to_owned(),
            made_of: strings(&["leg-1"]),
            at: None,
        }],
        pieces: pieces.collect(),
        products: vec![PlanProduct {
            id: "lacquer".to_owned(),
            mechanism: Mechanism::Evaporation,
            stated_at: (23.0, 50.0),
            start_floor_c: Some(15.0),
            drying_floor_c: Some(10.0),
            must_reach: Some(StageName::DryToTouch),
            windows: Vec::new(),
        }],
        mixes: Vec::new(),
        changeovers: Vec::new(),
        places: Vec::new(),
        rounds,
        operations,
        waits: vec![WaitLine {
            before: "leg-1/sand-120".to_owned(),
            from: WaitFrom::End,
            after: "leg-1/coat-1".to_owned(),
            min_minutes: Some(45.0),
            max_minutes: None,
            rule: "dust settles".to_owned(),
        }],
        keep_apart: vec![KeepApart {
            rule: "dust-wet".to_owned(),
            settle_minutes: 45.0,
            separated: false,
        }],
        air: None,
        balance: vec![
            BalanceLine {
                piece: "side-left".to_owned(),
                coats_face: 2,
                coats_back: 2,
                hours_apart: 0.75,
                ok: true,
                accepted: None,
            },
            BalanceLine {
                piece: "side-right".to_owned(),
                coats_face: 2,
                coats_back: 2,
                hours_apart: 0.75,
                ok: true,
                accepted: None,
            },
        ],
        stores: None,
        cautions: vec![Caution {
            code: "vapour".to_owned(),
            severity: Severity::Warning,
            text: "lacquer vapour burns: no flame, no sparks, windows open".to_owned(),
            figure: Some("flash point 24 °C".to_owned()),
            source: Some("bench notes".to_owned()),
            refers: Vec::new(),
        }],
    }
}
