//! A small invented job for the tests of the standing: round figures, worked out by hand.
//!
//! The room stands at 20 °C and 50 %, where every product's times are stated, so one minute counts one.

use crate::log_samples::{names, on};
use chrono_tz::Europe::Berlin;
use denib::clock::Air;
use denib::dayplan::Plan;
use denib::dayplan::document::{Operation, Stamp};
use denib::finish::{
    Conditions, Figure, Mechanism, Opening, Phase, Prepare, Product, RecoatWindow, Schedule, Stage, StageTime, Status,
    Step, StepKind, Wipe,
};
use denib::job::{
    Build, Climate, ClimateLine, Holding, Job, Joint, JointKind, Piece, Places, Room, Section, Shape, Show, ShownIn,
    Surface, SurfaceRole, WeekHours,
};
use denib::log::{Record, history};
use denib::standing::{self, PieceStanding, Standing, SurfaceStanding};
use denib::units::{Celsius, Millimetres, Moment, Percent, SquareMillimetres};
use std::collections::BTreeMap;

/// An invented figure.
pub fn figure(low: f64, high: f64) -> Figure {
    Figure {
        low,
        high,
        status: Status::CommonPractice,
        source: "invented for the test".into(),
    }
}

/// A product that dries as stated at 20 °C and 50 %, and not below 10 °C.
pub fn product(id: &str, mechanism: Mechanism, stages: &[(Stage, f64, f64)], windows: Vec<RecoatWindow>) -> Product {
    let rung = |(stage, low, high): &(Stage, f64, f64)| StageTime {
        stage: *stage,
        from_coat: 1,
        minutes: figure(*low, *high),
    };
    Product {
        id: id.into(),
        name: id.into(),
        family: id.into(),
        mechanism,
        leading_solvent: None,
        stated_at: Conditions {
            temperature: Celsius(20.0),
            humidity: Percent(50.0),
        },
        stages: stages.iter().map(rung).collect(),
        windows,
        terminal: false,
        wipe: None,
        open_time: None,
        start_floor: None,
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

/// The ladder of the varnish, minutes.
pub const VARNISH: [(Stage, f64, f64); 8] = [
    (Stage::DustFree, 60.0, 120.0),
    (Stage::DryToTouch, 120.0, 240.0),
    (Stage::DryToSand, 360.0, 600.0),
    (Stage::DryToRecoat, 360.0, 720.0),
    (Stage::DryToHandle, 480.0, 960.0),
    (Stage::DryHard, 1440.0, 2880.0),
    (Stage::DryToStack, 2880.0, 4320.0),
    (Stage::DryThrough, 4320.0, 7200.0),
];

/// The ladder of the water-borne lacquer, minutes.
pub const WATER: [(Stage, f64, f64); 4] = [
    (Stage::DustFree, 10.0, 20.0),
    (Stage::DryToTouch, 30.0, 60.0),
    (Stage::DryToHandle, 60.0, 120.0),
    (Stage::DryHard, 120.0, 240.0),
];

fn window(opens: Opening, closes: Option<Figure>, prepare: Prepare) -> RecoatWindow {
    RecoatWindow {
        next: None,
        opens,
        closes,
        prepare,
    }
}

fn step(kind: StepKind, product: Option<&str>) -> Step {
    Step {
        kind,
        grit: None,
        product: product.map(str::to_owned),
        method: None,
        phase: Phase::Loose,
        show_only: false,
        stale_after: (kind == StepKind::Sand).then(|| figure(2880.0, 2880.0)),
        wait: None,
        note: None,
    }
}

/// Varnish (early window, gap, then a scuff), water-borne lacquer (spoiled by cold), flooded oil, wax.
pub fn schedules() -> BTreeMap<String, Schedule> {
    let early = window(
        Opening::Stage(Stage::DryToRecoat),
        Some(figure(1200.0, 1440.0)),
        Prepare::None,
    );
    let scuffed = window(Opening::After(figure(2880.0, 3600.0)), None, Prepare::Scuff);
    let varnish = product("varnish", Mechanism::Oxidation, &VARNISH, vec![early, scuffed]);
    let water = product(
        "water",
        Mechanism::Coalescence,
        &WATER,
        vec![window(Opening::Stage(Stage::DryHard), None, Prepare::None)],
    );
    let mut oil = product("oil", Mechanism::Oxidation, &VARNISH, Vec::new());
    oil.wipe = Some(Wipe {
        soak: figure(10.0, 15.0),
        within: figure(20.0, 30.0),
        again_after: Some(figure(50.0, 60.0)),
        again_within: Some(figure(80.0, 90.0)),
    });
    let mut wax = product("wax", Mechanism::Oxidation, &WATER, Vec::new());
    wax.terminal = true;
    let made = [("varnish", varnish), ("water", water), ("oil", oil)].map(|(id, product)| {
        let steps = vec![
            step(StepKind::Sand, None),
            step(StepKind::Mask, None),
            step(StepKind::Coat, Some(id)),
            step(StepKind::Coat, Some(id)),
            step(StepKind::Unmask, None),
        ];
        let products = vec![product, wax.clone()];
        (
            id.to_owned(),
            Schedule {
                id: id.into(),
                name: id.into(),
                summary: id.into(),
                products,
                steps,
            },
        )
    });
    made.into_iter().collect()
}

/// A piece with these surfaces, all in one schedule.
pub fn piece(id: &str, schedule: &str, surfaces: &[(&str, SurfaceRole)], width: f64, joints: usize) -> Piece {
    let surface = |(id, role): &(&str, SurfaceRole)| Surface {
        id: (*id).to_owned(),
        label: (*id).to_owned(),
        role: *role,
        show: Show::Show,
        area: SquareMillimetres(1e5),
        schedule: Some(schedule.to_owned()),
    };
    let joint = |n: usize| Joint {
        id: format!("tenon-{n}"),
        kind: JointKind::Tenon,
        area: SquareMillimetres(0.0),
        play: None,
    };
    Piece {
        id: id.into(),
        name: id.into(),
        part: 0,
        section: 0,
        shape: Shape::Panel,
        build: Build::Solid,
        material: "oak".into(),
        length: Millimetres(900.0),
        width: Millimetres(width),
        thickness: Millimetres(20.0),
        surfaces: surfaces.iter().map(surface).collect(),
        joints: (0..joints).map(joint).collect(),
        holding: Holding::Bearers,
        or_on: Vec::new(),
        sample: None,
        slots: 1,
        heavy: false,
        grits: Vec::new(),
        available: Moment::of(&on(24, "00:00")),
    }
}

/// A wide panel with a face and a back.
pub fn panel(id: &str, schedule: &str) -> Piece {
    piece(
        id,
        schedule,
        &[("face", SurfaceRole::Face), ("back", SurfaceRole::Back)],
        400.0,
        0,
    )
}

/// A rail with one side and two tenons.
pub fn rail(id: &str, schedule: &str) -> Piece {
    piece(id, schedule, &[("side", SurfaceRole::Side)], 60.0, 2)
}

/// A job of these pieces in a room at 20 °C and 50 % by day and night.
pub fn job(pieces: Vec<Piece>) -> Job {
    let line = ClimateLine {
        from: None,
        heating: None,
        heated_days: [true; 7],
        day: Celsius(20.0),
        day_humidity: Percent(50.0),
        night: Celsius(20.0),
        night_humidity: Percent(50.0),
    };
    Job {
        title: "box".into(),
        zone: Berlin,
        start: Moment::of(&on(24, "00:00")),
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
            climate: Climate {
                lines: vec![line],
                time_constant_hours: 0.0,
                ..Climate::default()
            },
            places: Places::default(),
            rules: denib::job::AirRules::default(),
            occupied: Vec::new(),
        },
        hours: WeekHours::default(),
        hands: Vec::new(),
        parts: Vec::new(),
        pieces,
        sections: vec![Section {
            id: "all".into(),
            name: "all".into(),
            weight: 1,
            due: None,
        }],
        assemblies: Vec::new(),
        schedules: schedules(),
        rates: BTreeMap::new(),
        accepted_imbalance: BTreeMap::new(),
        since_written: denib::job::SinceWritten::default(),
        tape_life: 4320,
        shelf: denib::job::Shelf::default(),
    }
}

/// The same job with the heating off from 18:00 to 06:00, and so many degrees then, at once.
pub fn with_nights(mut job: Job, night: f64) -> Job {
    if let Some(line) = job.room.climate.lines.first_mut() {
        line.heating = Some((360, 1080));
        line.night = Celsius(night);
    }
    job
}

/// A coat on surfaces of a piece; ids as `top/coat-1/face`.
pub fn coat(piece: &str, surface: &str, number: u8, product: &str, start: Stamp, end: Stamp) -> Operation {
    let id = format!("{piece}/coat-{number}/{surface}");
    Operation {
        coat: Some(number),
        product: Some(product.into()),
        ..crate::log_samples::operation(&id, piece, &[surface], StepKind::Coat, start, end)
    }
}

/// The operation as one of a round.
pub fn in_round(round: &str, operation: Operation) -> Operation {
    Operation {
        round: Some(round.into()),
        ..operation
    }
}

/// Another step on all of a piece.
pub fn other(piece: &str, name: &str, step: StepKind, start: Stamp, end: Stamp) -> Operation {
    crate::log_samples::operation(&format!("{piece}/{name}"), piece, &[], step, start, end)
}

/// The log of a job: the plan taken on, then what happened.
pub fn log(plan: &Plan, records: Vec<Record>) -> Vec<Record> {
    let what = denib::log::What::AcceptedPlan {
        plan: std::sync::Arc::new(plan.clone()),
    };
    let mut all = vec![Record {
        id: "0-plan".into(),
        at: on(24, "06:00"),
        who: "Ada".into(),
        what,
    }];
    all.extend(records);
    all
}

/// A tick between two instants, said at the second.
pub fn tick(id: &str, operations: &[&str], start: Stamp, end: Stamp) -> Record {
    let what = denib::log::What::Done {
        operations: names(operations),
        start,
        end,
    };
    Record {
        id: id.into(),
        at: end,
        who: "Ada".into(),
        what,
    }
}

/// Something said at an instant.
pub fn said(id: &str, at: Stamp, what: denib::log::What) -> Record {
    Record {
        id: id.into(),
        at,
        who: "Ada".into(),
        what,
    }
}

/// The standing of a job with this log at an instant, in air known for three weeks.
pub fn standing(job: &Job, records: &[Record], now: Stamp) -> Standing {
    let now = Moment::of(&now);
    let history = history(records, now, &|_| None);
    let (from, until) = (
        Moment::of(&on(24, "00:00")),
        Moment::of(&on(24, "00:00")) + denib::units::Span::days(21),
    );
    let air = Air::of(job, &history.readings, from, until);
    let clocks = standing::clocks(job, &air);
    standing::at(job, &history, history.plan.as_deref(), &air, &clocks, now)
}

/// The first piece.
pub fn first(standing: &Standing) -> &PieceStanding {
    &standing.pieces[0]
}

/// A surface of the first piece.
pub fn surface(standing: &Standing, at: usize) -> &SurfaceStanding {
    &first(standing).surfaces[at]
}

/// The stage a surface of the first piece has surely reached.
pub fn stage(standing: &Standing, at: usize) -> Option<Stage> {
    surface(standing, at).film.as_ref().and_then(|film| film.stage)
}

/// An instant as the standing gives it.
pub fn moment(day: u32, clock: &str) -> Moment {
    Moment::of(&on(day, clock))
}
