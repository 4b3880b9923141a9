//! Jobs read from text and plans drawn by hand, so that every figure can be reckoned again.
#![allow(dead_code, reason = "each check uses its part of it")]
#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use chrono::{DateTime, TimeDelta};
use denib::dayplan::Plan;
use denib::dayplan::document::{Because, BecauseKind, Caution, Operation, Stamp, State};
use denib::finish::{Phase, StepKind, shipped};
use denib::job::{Job, read};
use denib::source::{Look, SourceFile, render};

/// A job of one room, one pair of hands and the parts given.
pub fn job(room: &str, parts: &str) -> Job {
    let text = format!(
        r#"
format = 1
title = "A check"
zone = "Europe/London"
start = "2026-11-30 08:00"
units = {{ length = "mm", temperature = "C", volume = "L" }}
finish = "dewaxed-shellac"

[room]
{room}
dust = "together"
settle = "30 min"
wide_over = 200
places = {{ bearers = 50, points = 50, hooks = 50, racks = 50 }}

[[room.air]]
day = {{ temperature = 20, humidity = 45 }}

[hours]
mon = ["08:00-18:00"]
tue = ["08:00-18:00"]
wed = ["08:00-18:00"]
thu = ["08:00-18:00"]
fri = ["08:00-18:00"]

[[hands]]
name = "Ada"

[[section]]
id = "all"
name = "all"
{parts}
"#
    );
    let mut job = from_text("check.toml", &text);
    // a job carries the schedules it uses; the checks draw plans with any of them
    for (id, schedule) in shipped() {
        job.schedules.entry(id).or_insert(schedule);
    }
    job
}

pub fn from_text(name: &str, text: &str) -> Job {
    let file = SourceFile::new(name, text);
    let (job, problems) = read(&file, &shipped());
    job.unwrap_or_else(|| panic!("{}", render(&problems, &[&file], Look::default())))
}

/// A panel of the section, `extra` its further keys.
pub fn panel(name: &str, size: [u32; 3], material: &str, build: &str, extra: &str) -> String {
    format!(
        "\n[[part]]\nname = \"{name}\"\nshape = \"panel\"\nsize = [{}, {}, {}]\nbuild = \"{build}\"\nmaterial = \"{material}\"\nsection = \"all\"\nholding = \"points\"\n{extra}\n",
        size[0], size[1], size[2]
    )
}

pub const ROOM: &str = "size = [5000, 4000, 2500]\nair_changes = 3.0";

/// An instant on 30 November 2026 (`"09:00"`) or on another day (`"2 09:00"`: two days later).
pub fn at(clock: &str) -> Stamp {
    let (days, clock) = clock.split_once(' ').unwrap_or(("0", clock));
    let stamp = DateTime::parse_from_rfc3339(&format!("2026-11-30T{clock}:00+00:00")).expect("a time");
    stamp + TimeDelta::days(days.parse().expect("days"))
}

/// An empty plan of a job in air of 20 °C and 45 %.
pub fn plan(job: &Job, operations: Vec<Operation>) -> Plan {
    let starts = at("08:00");
    let ends = operations.iter().map(|operation| operation.end).max().unwrap_or(starts);
    Plan {
        schema: 1,
        job: job.title.clone(),
        zone: job.zone.name().to_owned(),
        seed: 1,
        tries: 0,
        now: starts,
        starts,
        ready: ends,
        ends,
        finished: None,
        bound: starts,
        gap_percent: 0.0,
        wide_over_mm: job.room.wide_over.0,
        hands: Vec::new(),
        climate: vec![(starts, 20.0, 45.0)],
        sections: Vec::new(),
        assemblies: Vec::new(),
        pieces: Vec::new(),
        products: Vec::new(),
        mixes: Vec::new(),
        changeovers: Vec::new(),
        places: Vec::new(),
        rounds: Vec::new(),
        operations,
        waits: Vec::new(),
        keep_apart: Vec::new(),
        air: None,
        balance: Vec::new(),
        stores: None,
        cautions: Vec::new(),
    }
}

/// An operation on a piece.
pub fn operation(piece: &str, step: StepKind, surfaces: &[&str], start: &str, minutes: i64) -> Operation {
    let start = at(start);
    let id = format!("{piece}/{step:?}/{}/{}", surfaces.join("+"), start.format("%d-%H%M"));
    Operation {
        id,
        round: None,
        piece: Some(piece.to_owned()),
        assembly: None,
        surfaces: surfaces.iter().map(|surface| (*surface).to_owned()).collect(),
        step,
        coat: None,
        grit: None,
        product: None,
        family: None,
        mix: None,
        start,
        end: start + TimeDelta::minutes(minutes),
        hands: vec!["Ada".to_owned()],
        hands_minutes: minutes as f64,
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
            kind: BecauseKind::NotThere,
            op: None,
            at: start,
            text: "drawn by hand".to_owned(),
        },
    }
}

/// A coat of so many millilitres on the work.
pub fn coat(
    piece: &str,
    surfaces: &[&str],
    product: &str,
    number: u8,
    start: &str,
    minutes: i64,
    volume: f64,
) -> Operation {
    Operation {
        coat: Some(number),
        product: Some(product.to_owned()),
        volume: Some(volume),
        ..operation(piece, StepKind::Coat, surfaces, start, minutes)
    }
}

/// The caution of a code.
pub fn find<'a>(cautions: &'a [Caution], code: &str) -> Option<&'a Caution> {
    cautions.iter().find(|caution| caution.code == code)
}
