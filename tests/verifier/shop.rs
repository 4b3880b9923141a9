//! A small shop and its job, built by hand: a table (a wide top, a leg with a tenon) in a lacquer, a tray with
//! a mortise in an oil, wax on the assembled table.
//!
//! Invariant: the room stands at exactly the air every product's times were stated for, so a stated minute is
//! a minute, and every drying time below can be added up by hand. All figures are invented for these tests.

#![allow(clippy::expect_used, reason = "a plan by hand stops where it was written wrong")]

use chrono_tz::Tz;
use denib::finish::{
    Conditions, Figure, Grade, Grit, Mechanism, Opening, Phase, Prepare, Product, RecoatWindow, Scale, Schedule, Stage,
    StageTime, Status, Step, StepKind, Wipe,
};
use denib::job::{
    Assembly, Build, Climate, ClimateLine, DayShift, Hand, Holding, Job, Joint, JointKind, Part, Piece, Places, Room,
    Section, Shape, Show, ShownIn, Surface, SurfaceRole, WeekHours,
};
use denib::units::{Celsius, Millimetres, Moment, Percent, SquareMillimetres};
use std::collections::BTreeMap;

pub const ZONE: Tz = chrono_tz::Europe::London;

/// Minutes from the epoch to Monday 2026-11-30 00:00 UTC, which is day 1 here (London is on UTC then).
const DAY_ONE: i64 = 1_795_996_800 / 60;

/// `"1 08:30"` is 08:30 on day 1, Monday 30 November 2026.
pub fn at(text: &str) -> Moment {
    let (day, clock) = text.split_once(' ').expect("day, space, clock");
    let (hours, minutes) = clock.split_once(':').expect("hours, colon, minutes");
    let number = |text: &str| text.parse::<i64>().expect("a number");
    Moment(DAY_ONE + (number(day) - 1) * 1440 + number(hours) * 60 + number(minutes))
}

pub fn figure(low: f64, high: f64) -> Figure {
    Figure {
        low,
        high,
        status: Status::CommonPractice,
        source: "invented for a test".to_owned(),
    }
}

pub fn paper(number: u16) -> Grit {
    Grit {
        grade: Grade {
            scale: Scale::P,
            number,
        },
        wet: false,
    }
}

fn product(id: &str, family: &str, mechanism: Mechanism, ladder: &[(Stage, f64, f64)]) -> Product {
    let rung = |&(stage, low, high): &(Stage, f64, f64)| StageTime {
        stage,
        from_coat: 1,
        minutes: figure(low, high),
    };
    Product {
        id: id.to_owned(),
        name: id.to_owned(),
        family: family.to_owned(),
        mechanism,
        leading_solvent: (mechanism == Mechanism::Evaporation).then(|| "n-butyl acetate".to_owned()),
        stated_at: Conditions {
            temperature: Celsius(23.0),
            humidity: Percent(50.0),
        },
        stages: ladder.iter().map(rung).collect(),
        windows: Vec::new(),
        terminal: false,
        wipe: None,
        open_time: None,
        start_floor: Some(figure(12.0, 15.0)),
        start_ceiling: Some(figure(30.0, 32.0)),
        start_humidity: Some(figure(70.0, 75.0)),
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

/// Brushed: an early window of four hours, then a gap until the next day, then only after a scuff.
pub fn lacquer() -> Product {
    let ladder = [
        (Stage::SetToTouch, 5.0, 5.0),
        (Stage::DustFree, 10.0, 20.0),
        (Stage::DryToTouch, 20.0, 30.0),
        (Stage::DryToSand, 45.0, 60.0),
        (Stage::DryToRecoat, 45.0, 60.0),
        (Stage::DryToHandle, 120.0, 180.0),
        (Stage::DryHard, 600.0, 720.0),
        (Stage::DryToStack, 1440.0, 1440.0),
        (Stage::DryThrough, 2880.0, 2880.0),
        (Stage::Cured, 43_200.0, 43_200.0),
    ];
    let window = |opens, closes: Option<f64>, prepare| RecoatWindow {
        next: None,
        opens,
        closes: closes.map(|minutes| figure(minutes, minutes)),
        prepare,
    };
    Product {
        windows: vec![
            window(Opening::Stage(Stage::DryToRecoat), Some(240.0), Prepare::None),
            window(Opening::After(figure(1200.0, 1440.0)), None, Prepare::Scuff),
        ],
        ..product("lacquer", "lacquer", Mechanism::Evaporation, &ladder)
    }
}

/// Flooded: off within 30 minutes, again after an hour, not later than an hour and a half.
pub fn oil() -> Product {
    let ladder = [
        (Stage::DustFree, 60.0, 60.0),
        (Stage::DryToTouch, 360.0, 480.0),
        (Stage::DryToSand, 1440.0, 1440.0),
        (Stage::DryToRecoat, 1440.0, 1440.0),
        (Stage::DryToHandle, 720.0, 720.0),
        (Stage::DryHard, 2880.0, 4320.0),
        (Stage::DryToStack, 4320.0, 4320.0),
        (Stage::DryThrough, 10_080.0, 10_080.0),
        (Stage::Cured, 43_200.0, 43_200.0),
    ];
    let wipe = Wipe {
        soak: figure(10.0, 15.0),
        within: figure(30.0, 30.0),
        again_after: Some(figure(60.0, 60.0)),
        again_within: Some(figure(90.0, 90.0)),
    };
    let window = RecoatWindow {
        next: None,
        opens: Opening::Stage(Stage::DryToRecoat),
        closes: None,
        prepare: Prepare::None,
    };
    Product {
        wipe: Some(wipe),
        windows: vec![window],
        ..product("oil", "oil", Mechanism::Oxidation, &ladder)
    }
}

pub fn wax() -> Product {
    let ladder = [(Stage::DryToRecoat, 60.0, 120.0), (Stage::DryThrough, 120.0, 240.0)];
    Product {
        terminal: true,
        ..product("wax", "wax", Mechanism::Evaporation, &ladder)
    }
}

pub fn step(kind: StepKind) -> Step {
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

pub fn sand(number: u16) -> Step {
    Step {
        grit: Some(paper(number)),
        stale_after: Some(figure(1440.0, 2880.0)),
        ..step(StepKind::Sand)
    }
}

pub fn coat(product: &str) -> Step {
    Step {
        product: Some(product.to_owned()),
        ..step(StepKind::Coat)
    }
}

fn preparation() -> Vec<Step> {
    vec![
        step(StepKind::Check),
        step(StepKind::Label),
        sand(120),
        sand(180),
        step(StepKind::Arris),
        step(StepKind::Mask),
        step(StepKind::DustOff),
    ]
}

pub fn lacquer_schedule() -> Schedule {
    let mut steps = preparation();
    let waxed = Step {
        product: Some("wax".to_owned()),
        phase: Phase::Assembled,
        wait: Some(figure(10.0, 15.0)),
        ..step(StepKind::Wax)
    };
    steps.extend([
        coat("lacquer"),
        Step {
            grit: Some(paper(360)),
            ..step(StepKind::Denib)
        },
        coat("lacquer"),
        step(StepKind::Unmask),
        waxed,
        Step {
            phase: Phase::Assembled,
            ..step(StepKind::Buff)
        },
    ]);
    schedule("lacquered", vec![lacquer(), wax()], steps)
}

pub fn oil_schedule() -> Schedule {
    let mut steps = preparation();
    steps.extend([coat("oil"), step(StepKind::Unmask)]);
    schedule("oiled", vec![oil()], steps)
}

pub fn schedule(id: &str, products: Vec<Product>, steps: Vec<Step>) -> Schedule {
    Schedule {
        id: id.to_owned(),
        name: id.to_owned(),
        summary: "Invented for a test.".to_owned(),
        products,
        steps,
    }
}

fn surface(id: &str, role: SurfaceRole, show: Show, schedule: &str) -> Surface {
    Surface {
        id: id.to_owned(),
        label: id.to_owned(),
        role,
        show,
        area: SquareMillimetres(10_000.0),
        schedule: Some(schedule.to_owned()),
    }
}

pub fn panel(id: &str, part: usize, section: usize, across: f64, schedule: &str, holding: Holding) -> Piece {
    let surfaces = vec![
        surface("face", SurfaceRole::Face, Show::Show, schedule),
        surface("back", SurfaceRole::Back, Show::Hidden, schedule),
        surface("edges", SurfaceRole::Edge, Show::Show, schedule),
        surface("ends", SurfaceRole::End, Show::Show, schedule),
    ];
    Piece {
        id: id.to_owned(),
        name: id.to_owned(),
        part,
        section,
        shape: Shape::Panel,
        build: Build::Solid,
        material: "ash".to_owned(),
        length: Millimetres(600.0),
        width: Millimetres(across),
        thickness: Millimetres(22.0),
        surfaces,
        joints: Vec::new(),
        holding,
        or_on: Vec::new(),
        sample: None,
        slots: 1,
        heavy: false,
        grits: Vec::new(),
        available: at("1 08:00"),
    }
}

fn leg() -> Piece {
    let side = |number: u8| surface(&format!("side-{number}"), SurfaceRole::Side, Show::Show, "lacquered");
    let mut surfaces: Vec<Surface> = (1..=4).map(side).collect();
    surfaces.push(surface("ends", SurfaceRole::End, Show::Hidden, "lacquered"));
    Piece {
        shape: Shape::Square,
        width: Millimetres(40.0),
        thickness: Millimetres(40.0),
        surfaces,
        joints: vec![joint("tenon-1", JointKind::Tenon)],
        ..panel("leg", 1, 0, 40.0, "lacquered", Holding::Hung)
    }
}

fn joint(id: &str, kind: JointKind) -> Joint {
    Joint {
        id: id.to_owned(),
        kind,
        area: SquareMillimetres(0.0),
        play: None,
    }
}

pub fn week(from: u32, noon: u32, again: u32, until: u32) -> WeekHours {
    let day = vec![DayShift { from, until: noon }, DayShift { from: again, until }];
    let mut week: [Vec<DayShift>; 7] = std::array::from_fn(|_| day.clone());
    // Saturday and Sunday off
    week[5] = Vec::new();
    week[6] = Vec::new();
    WeekHours {
        week,
        exceptions: Vec::new(),
        quiet: Vec::new(),
    }
}

pub fn steady(temperature: f64, humidity: f64) -> Climate {
    let line = ClimateLine {
        from: None,
        heating: None,
        heated_days: [true; 7],
        day: Celsius(temperature),
        day_humidity: Percent(humidity),
        night: Celsius(temperature),
        night_humidity: Percent(humidity),
    };
    Climate {
        lines: vec![line],
        time_constant_hours: 0.0,
        ..Climate::default()
    }
}

/// Warm by day, cold by night, in a step.
pub fn cold_nights(on: u32, off: u32, day: f64, night: f64) -> Climate {
    let mut climate = steady(day, 50.0);
    for line in &mut climate.lines {
        line.heating = Some((on, off));
        line.night = Celsius(night);
    }
    climate
}

pub fn ines() -> Hand {
    Hand {
        name: "Ines".to_owned(),
        hours: None,
    }
}

pub fn tom() -> Hand {
    Hand {
        name: "Tom".to_owned(),
        hours: None,
    }
}

/// The job: Monday to Friday, 08:00 to 12:30 and 13:15 to 17:30, one pair of hands.
pub fn job() -> Job {
    let part = |id: &str| Part {
        id: id.to_owned(),
        name: id.to_owned(),
        count: 1,
        handed: false,
    };
    let section = |id: &str| Section {
        id: id.to_owned(),
        name: id.to_owned(),
        weight: 1,
        due: None,
    };
    let tray = Piece {
        joints: vec![joint("mortise-1", JointKind::Mortise)],
        ..panel("tray", 2, 1, 150.0, "oiled", Holding::Points)
    };
    let table = Assembly {
        id: "table".to_owned(),
        name: "table".to_owned(),
        made_of: vec!["top".to_owned(), "leg".to_owned()],
        assemblies: Vec::new(),
        minutes: Some(30),
        cure: 60,
        hands: 1,
    };
    Job {
        title: "small table".to_owned(),
        zone: ZONE,
        start: at("1 08:00"),
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
            climate: steady(23.0, 50.0),
            places: Places {
                bearers: Some(4),
                points: Some(2),
                hooks: Some(10),
                racks: Some(6),
            },
            rules: denib::job::AirRules::default(),
            occupied: Vec::new(),
        },
        hours: week(480, 750, 795, 1050),
        hands: vec![ines()],
        parts: vec![part("top"), part("leg"), part("tray")],
        pieces: vec![panel("top", 0, 0, 400.0, "lacquered", Holding::Bearers), leg(), tray],
        sections: vec![section("table"), section("tray")],
        assemblies: vec![table],
        schedules: [lacquer_schedule(), oil_schedule()]
            .map(|schedule| (schedule.id.clone(), schedule))
            .into(),
        rates: [("open".to_owned(), 10.0), ("close".to_owned(), 10.0)].into(),
        accepted_imbalance: BTreeMap::new(),
        since_written: denib::job::SinceWritten::default(),
        tape_life: 1440,
        shelf: denib::job::Shelf::default(),
    }
}
