//! A small job made by hand, and a plan for it, for the tests of this room.
//!
//! Invariant: nothing here comes from a file or a planner, so that the tests check the words alone.

mod two_days;

pub use two_days::{plan, stamp};

use crate::finish::{
    Conditions, Figure, Grade, Grit, Mechanism, Method, Opening, Phase, Prepare, Product, RecoatWindow, Scale,
    Schedule, Stage, StageTime, Status, Step, StepKind, Wipe,
};
use crate::job::{
    Assembly, Build, Climate, Hand, Holding, Job, Joint, JointKind, Part, Piece, Places, Room, Section, Shape, Show,
    ShownIn, Surface, SurfaceRole, WeekHours,
};
use crate::units::{Celsius, Millimetres, Moment, Percent, SquareMillimetres};
use std::collections::BTreeMap;

/// A figure from common practice.
pub fn figure(low: f64, high: f64) -> Figure {
    Figure {
        low,
        high,
        status: Status::CommonPractice,
        source: "bench notes".to_owned(),
    }
}

fn product(id: &str, name: &str, family: &str, mechanism: Mechanism) -> Product {
    Product {
        id: id.to_owned(),
        name: name.to_owned(),
        family: family.to_owned(),
        mechanism,
        leading_solvent: None,
        stated_at: Conditions {
            temperature: Celsius(23.0),
            humidity: Percent(50.0),
        },
        stages: Vec::new(),
        windows: Vec::new(),
        terminal: false,
        wipe: None,
        open_time: None,
        start_floor: Some(figure(15.0, 15.0)),
        start_ceiling: None,
        start_humidity: None,
        drying_floor: Some(figure(10.0, 10.0)),
        must_reach: None,
        volume_solids: None,
        density: None,
        wet_film: BTreeMap::new(),
        first_coat_extra: None,
        solvents: Vec::new(),
        flash_point: None,
        self_heating: false,
        pot_life: None,
    }
}

fn step(kind: StepKind) -> Step {
    Step {
        kind,
        grit: None,
        product: None,
        method: None,
        phase: Phase::Loose,
        show_only: false,
        stale_after: None,
        wait: None,
        note: None,
    }
}

/// Brushed lacquer in two coats, waxed once assembled.
pub fn lacquer() -> Schedule {
    let mut tin = product("lacquer", "brushing lacquer", "lacquer", Mechanism::Evaporation);
    let rung = |stage, from_coat, low, high| StageTime {
        stage,
        from_coat,
        minutes: figure(low, high),
    };
    tin.stages = vec![
        rung(Stage::DustFree, 1, 10.0, 20.0),
        rung(Stage::DryToTouch, 1, 20.0, 30.0),
        rung(Stage::DryToSand, 1, 60.0, 120.0),
        rung(Stage::DryToSand, 3, 120.0, 240.0),
        rung(Stage::DryHard, 1, 720.0, 1440.0),
    ];
    tin.windows = vec![RecoatWindow {
        next: None,
        opens: Opening::Stage(Stage::DryToSand),
        closes: None,
        prepare: Prepare::Denib,
    }];
    tin.wet_film.insert(Method::Brush, figure(100.0, 120.0));
    tin.flash_point = Some(figure(24.0, 26.0));
    let mut wax = product("paste-wax", "paste wax", "wax", Mechanism::Evaporation);
    wax.terminal = true;
    let coat = |note: Option<&str>| Step {
        product: Some("lacquer".to_owned()),
        method: Some(Method::Brush),
        note: note.map(str::to_owned),
        ..step(StepKind::Coat)
    };
    let grit = |number, wet| {
        Some(Grit {
            grade: Grade {
                scale: Scale::P,
                number,
            },
            wet,
        })
    };
    Schedule {
        id: "brushed-lacquer".to_owned(),
        name: "brushed lacquer, waxed".to_owned(),
        summary: "A thin clear film, rubbed and waxed.".to_owned(),
        products: vec![tin, wax],
        steps: vec![
            step(StepKind::Check),
            Step {
                grit: grit(120, false),
                stale_after: Some(figure(2880.0, 4320.0)),
                ..step(StepKind::Sand)
            },
            step(StepKind::Mask),
            coat(Some("thin it for the first coat as the tin says")),
            Step {
                grit: grit(360, true),
                ..step(StepKind::Denib)
            },
            coat(None),
            step(StepKind::Unmask),
            Step {
                product: Some("paste-wax".to_owned()),
                phase: Phase::Assembled,
                wait: Some(figure(60.0, 120.0)),
                ..step(StepKind::Wax)
            },
        ],
    }
}

/// One flood coat of oil.
pub fn oil() -> Schedule {
    let mut tin = product("danish", "oil-varnish blend", "oil", Mechanism::Oxidation);
    tin.self_heating = true;
    tin.wipe = Some(Wipe {
        soak: figure(10.0, 15.0),
        within: figure(20.0, 30.0),
        again_after: Some(figure(60.0, 60.0)),
        again_within: Some(figure(90.0, 120.0)),
    });
    Schedule {
        id: "oil".to_owned(),
        name: "oiled".to_owned(),
        summary: "In the wood, not on it.".to_owned(),
        products: vec![tin],
        steps: vec![Step {
            product: Some("danish".to_owned()),
            method: Some(Method::Wipe),
            ..step(StepKind::Coat)
        }],
    }
}

fn surface(id: &str, role: SurfaceRole, schedule: &str) -> Surface {
    Surface {
        id: id.to_owned(),
        label: id.replace('-', " "),
        role,
        show: Show::Show,
        area: SquareMillimetres(100_000.0),
        schedule: Some(schedule.to_owned()),
    }
}

fn panel_surfaces(schedule: &str) -> Vec<Surface> {
    vec![
        surface("face", SurfaceRole::Face, schedule),
        surface("back", SurfaceRole::Back, schedule),
        surface("edge-1", SurfaceRole::Edge, schedule),
        surface("edge-2", SurfaceRole::Edge, schedule),
        surface("end-1", SurfaceRole::End, schedule),
        surface("end-2", SurfaceRole::End, schedule),
    ]
}

fn piece(id: &str, name: &str, part: usize, shape: Shape, surfaces: Vec<Surface>) -> Piece {
    Piece {
        id: id.to_owned(),
        name: name.to_owned(),
        part,
        section: 0,
        shape,
        build: Build::Solid,
        material: "ash".to_owned(),
        length: Millimetres(1200.0),
        width: Millimetres(if shape == Shape::Panel { 450.0 } else { 60.0 }),
        thickness: Millimetres(22.0),
        surfaces,
        joints: vec![Joint {
            id: "tenon-1".to_owned(),
            kind: JointKind::Tenon,
            area: SquareMillimetres(0.0),
            play: None,
        }],
        holding: if shape == Shape::Panel {
            Holding::Bearers
        } else {
            Holding::Points
        },
        or_on: Vec::new(),
        sample: None,
        slots: 1,
        heavy: false,
        grits: Vec::new(),
        available: Moment(0),
    }
}

/// Four legs, a handed pair of sides, a top that is oiled.
pub fn job() -> Job {
    let part = |id: &str, name: &str, count, handed| Part {
        id: id.to_owned(),
        name: name.to_owned(),
        count,
        handed,
    };
    let sides = vec![surface("side-1", SurfaceRole::Side, "brushed-lacquer")];
    let mut pieces: Vec<Piece> = (1..=4)
        .map(|n| {
            piece(
                &format!("leg-{n}"),
                &format!("leg {n} of 4"),
                0,
                Shape::Square,
                sides.clone(),
            )
        })
        .collect();
    pieces.push(piece(
        "side-left",
        "side, left",
        1,
        Shape::Panel,
        panel_surfaces("brushed-lacquer"),
    ));
    pieces.push(piece(
        "side-right",
        "side, right",
        1,
        Shape::Panel,
        panel_surfaces("brushed-lacquer"),
    ));
    pieces.push(piece("top", "top", 2, Shape::Panel, panel_surfaces("oil")));
    Job {
        title: "Hall table".to_owned(),
        zone: chrono_tz::Europe::London,
        start: Moment::of(&stamp("2026-11-30T08:00:00Z")),
        shown_in: ShownIn {
            inches: false,
            fahrenheit: false,
            us_volume: false,
        },
        room: Room {
            size: None,
            air_changes: None,
            dust_separated: false,
            settle_minutes: 45,
            ignition: Vec::new(),
            wide_over: Millimetres(200.0),
            climate: Climate::default(),
            places: Places::default(),
            rules: crate::job::AirRules::default(),
            occupied: Vec::new(),
        },
        hours: WeekHours::default(),
        hands: vec![Hand {
            name: "Ines".to_owned(),
            hours: None,
        }],
        parts: vec![
            part("leg", "leg", 4, false),
            part("side", "side", 2, true),
            part("top", "top", 1, false),
        ],
        pieces,
        sections: vec![Section {
            id: "table".to_owned(),
            name: "table".to_owned(),
            weight: 1,
            due: Some(Moment::of(&stamp("2026-12-03T12:00:00Z"))),
        }],
        assemblies: vec![Assembly {
            id: "table".to_owned(),
            name: "table".to_owned(),
            made_of: vec!["leg-1".to_owned()],
            assemblies: Vec::new(),
            minutes: Some(60),
            cure: 720,
            hands: 1,
        }],
        schedules: BTreeMap::from([("brushed-lacquer".to_owned(), lacquer()), ("oil".to_owned(), oil())]),
        rates: BTreeMap::new(),
        accepted_imbalance: BTreeMap::new(),
        since_written: crate::job::SinceWritten::default(),
        tape_life: 1440,
        shelf: crate::job::Shelf::default(),
    }
}
