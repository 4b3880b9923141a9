//! The invented writing desk.

use chrono_tz::Europe::London;
use denib::finish::{
    Conditions, Figure, Mechanism, Phase, Product, Schedule, Stage, StageTime, Status, Step, StepKind,
};
use denib::job::{
    Build, Climate, Hand, Holding, Job, Joint, JointKind, Part, Piece, Places, Room, Section, Shape, Show, ShownIn,
    Surface, SurfaceRole, WeekHours,
};
use denib::units::{Celsius, Millimetres, Moment, Percent, SquareMillimetres};
use std::collections::BTreeMap;

/// Ladder of the invented lacquer: stage, fast and slow minutes.
pub const LADDER: [(Stage, i64, i64); 7] = [
    (Stage::DryToTouch, 15, 25),
    (Stage::DryToSand, 45, 75),
    (Stage::DryToRecoat, 45, 75),
    (Stage::DryToHandle, 120, 180),
    (Stage::DryHard, 1200, 1440),
    (Stage::DryToStack, 1440, 1800),
    (Stage::DryThrough, 7 * 1440, 10 * 1440),
];

fn figure(low: f64, high: f64) -> Figure {
    Figure {
        low,
        high,
        status: Status::Memory,
        source: "invented for the tests".to_owned(),
    }
}

fn lacquer() -> Product {
    Product {
        id: "lacquer".to_owned(),
        name: "brushing lacquer".to_owned(),
        family: "cellulose".to_owned(),
        mechanism: Mechanism::Evaporation,
        leading_solvent: None,
        stated_at: Conditions {
            temperature: Celsius(23.0),
            humidity: Percent(50.0),
        },
        stages: LADDER
            .iter()
            .map(|(stage, low, high)| StageTime {
                stage: *stage,
                from_coat: 1,
                minutes: figure(*low as f64, *high as f64),
            })
            .collect(),
        windows: Vec::new(),
        terminal: false,
        wipe: None,
        open_time: None,
        start_floor: None,
        start_ceiling: None,
        start_humidity: None,
        drying_floor: None,
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

fn schedule() -> Schedule {
    let coat = |kind| Step {
        kind,
        grit: None,
        product: Some("lacquer".to_owned()),
        method: None,
        phase: Phase::Loose,
        show_only: false,
        stale_after: None,
        wait: None,
        note: None,
    };
    Schedule {
        id: "lacquer".to_owned(),
        name: "brushed lacquer".to_owned(),
        summary: "Invented for the tests.".to_owned(),
        products: vec![lacquer()],
        steps: vec![coat(StepKind::Coat), coat(StepKind::Coat)],
    }
}

fn surface(id: &str, role: SurfaceRole, area: f64) -> Surface {
    Surface {
        id: id.to_owned(),
        label: id.to_owned(),
        role,
        show: Show::Show,
        area: SquareMillimetres(area),
        schedule: Some("lacquer".to_owned()),
    }
}

fn piece(
    id: &str,
    name: &str,
    part: usize,
    shape: Shape,
    size: [f64; 3],
    holding: Holding,
    joint: Option<JointKind>,
) -> Piece {
    let [length, width, thickness] = size;
    let surfaces = match shape {
        Shape::Panel => vec![
            surface("face", SurfaceRole::Face, length * width),
            surface("back", SurfaceRole::Back, length * width),
            surface("edges", SurfaceRole::Edge, length * thickness * 2.0),
        ],
        _ => vec![surface("sides", SurfaceRole::Side, length * width * 4.0)],
    };
    let joints = joint
        .map(|kind| Joint {
            id: "joint-1".to_owned(),
            kind,
            area: SquareMillimetres(2_000.0),
            play: None,
        })
        .into_iter()
        .collect();
    Piece {
        id: id.to_owned(),
        name: name.to_owned(),
        part,
        section: 0,
        shape,
        build: Build::Solid,
        material: "ash".to_owned(),
        length: Millimetres(length),
        width: Millimetres(width),
        thickness: Millimetres(thickness),
        surfaces,
        joints,
        holding,
        or_on: Vec::new(),
        sample: None,
        slots: 1,
        heavy: false,
        grits: Vec::new(),
        available: Moment(0),
    }
}

/// The job: nine pieces, start on 1 December 2026 at eight.
pub fn job() -> Job {
    use Holding::{Bearers, Hung, Points};
    let panel = |id, name, part, size, holding, joint| piece(id, name, part, Shape::Panel, size, holding, joint);
    let mut pieces = vec![
        panel("top", "top", 0, [1200.0, 600.0, 22.0], Points, None),
        panel(
            "side-left",
            "side, left",
            1,
            [700.0, 480.0, 20.0],
            Bearers,
            Some(JointKind::Housing),
        ),
        panel(
            "side-right",
            "side, right",
            1,
            [700.0, 480.0, 20.0],
            Bearers,
            Some(JointKind::Housing),
        ),
        panel("shelf", "shelf", 2, [640.0, 300.0, 18.0], Points, None),
        panel(
            "drawer-front",
            "drawer front",
            3,
            [560.0, 120.0, 20.0],
            Points,
            Some(JointKind::Dovetail),
        ),
    ];
    for number in 1..=4 {
        let (id, name) = (format!("leg-{number}"), format!("leg {number} of 4"));
        pieces.push(piece(
            &id,
            &name,
            4,
            Shape::Square,
            [720.0, 45.0, 45.0],
            Hung,
            Some(JointKind::Mortise),
        ));
    }
    let part = |id: &str, count, handed| Part {
        id: id.to_owned(),
        name: id.to_owned(),
        count,
        handed,
    };
    Job {
        title: "writing desk".to_owned(),
        zone: London,
        start: Moment::of(&super::at(0, 8, 0)),
        shown_in: ShownIn {
            inches: false,
            fahrenheit: false,
            us_volume: false,
        },
        room: Room {
            size: None,
            air_changes: None,
            dust_separated: false,
            settle_minutes: 30,
            ignition: Vec::new(),
            wide_over: Millimetres(200.0),
            climate: Climate::default(),
            places: Places::default(),
            rules: denib::job::AirRules::default(),
            occupied: Vec::new(),
        },
        hours: WeekHours::default(),
        hands: vec![Hand {
            name: "Ines".to_owned(),
            hours: None,
        }],
        parts: vec![
            part("top", 1, false),
            part("side", 2, true),
            part("shelf", 1, false),
            part("drawer-front", 1, false),
            part("leg", 4, false),
        ],
        pieces,
        sections: vec![Section {
            id: "desk".to_owned(),
            name: "desk".to_owned(),
            weight: 1,
            due: None,
        }],
        assemblies: Vec::new(),
        schedules: BTreeMap::from([("lacquer".to_owned(), schedule())]),
        rates: BTreeMap::new(),
        accepted_imbalance: BTreeMap::new(),
        since_written: denib::job::SinceWritten::default(),
        tape_life: 1440,
        shelf: denib::job::Shelf::default(),
    }
}
