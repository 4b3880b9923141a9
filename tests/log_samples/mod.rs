//! Invented records and plans for the tests of the log and the standing.
#![allow(dead_code)] // each test file uses a part of it
#![allow(clippy::expect_used)] // a test that cannot go on has failed

use denib::dayplan::Plan;
use denib::dayplan::document::{Because, BecauseKind, Operation, Round, Stamp, State};
use denib::finish::{Phase, StepKind};
use denib::log::{Purpose, Record, What};

/// An instant on 2026-11-25, at an offset of one hour.
pub fn at(clock: &str) -> Stamp {
    on(25, clock)
}

/// An instant in November 2026, at an offset of one hour.
pub fn on(day: u32, clock: &str) -> Stamp {
    let text = format!("2026-11-{day:02}T{clock}:00+01:00");
    text.parse().expect("an instant")
}

/// A record.
pub fn record(id: &str, clock: &str, what: What) -> Record {
    Record {
        id: id.into(),
        at: at(clock),
        who: "Ada".into(),
        what,
    }
}

/// A tick.
pub fn done(operations: &[&str], start: &str, end: &str) -> What {
    What::Done {
        operations: names(operations),
        start: at(start),
        end: at(end),
    }
}

/// Owned names.
pub fn names(all: &[&str]) -> Vec<String> {
    all.iter().map(|one| (*one).to_owned()).collect()
}

/// An operation on a piece.
pub fn operation(id: &str, piece: &str, surfaces: &[&str], step: StepKind, start: Stamp, end: Stamp) -> Operation {
    Operation {
        id: id.into(),
        round: None,
        piece: Some(piece.into()),
        assembly: None,
        surfaces: names(surfaces),
        step,
        coat: None,
        grit: None,
        product: None,
        family: None,
        mix: None,
        start,
        end,
        hands: vec!["Ada".into()],
        hands_minutes: (end - start).num_minutes() as f64,
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
            kind: BecauseKind::Wait,
            op: None,
            at: start,
            text: "after sanding".into(),
        },
    }
}

/// A plan with these operations; a round for every round name they carry, in the order met.
pub fn plan(operations: Vec<Operation>) -> Plan {
    let mut rounds: Vec<Round> = Vec::new();
    for one in &operations {
        let Some(name) = &one.round else { continue };
        match rounds.iter_mut().find(|round| round.id == *name) {
            Some(round) => {
                round.end = round.end.max(one.end);
                round.operations.push(one.id.clone());
            }
            None => rounds.push(Round {
                id: name.clone(),
                step: one.step,
                coat: one.coat,
                product: one.product.clone(),
                grit: one.grit.clone(),
                hands: one.hands.clone(),
                start: one.start,
                end: one.end,
                operations: vec![one.id.clone()],
            }),
        }
    }
    let last = operations
        .iter()
        .map(|one| one.end)
        .max()
        .unwrap_or_else(|| at("18:00"));
    Plan {
        schema: 1,
        job: "box".into(),
        zone: "Europe/Berlin".into(),
        seed: u64::MAX,
        tries: 3,
        now: at("07:00"),
        starts: at("08:00"),
        ready: last,
        ends: last,
        finished: None,
        bound: at("09:00"),
        gap_percent: 0.1 + 0.2,
        wide_over_mm: 200.0,
        hands: Vec::new(),
        climate: vec![(at("07:00"), 20.1, 1.0 / 3.0)],
        sections: Vec::new(),
        assemblies: Vec::new(),
        pieces: Vec::new(),
        products: Vec::new(),
        mixes: Vec::new(),
        changeovers: Vec::new(),
        places: Vec::new(),
        rounds,
        operations,
        waits: Vec::new(),
        keep_apart: Vec::new(),
        air: None,
        balance: Vec::new(),
        stores: None,
        cautions: Vec::new(),
    }
}

/// One record of every kind.
pub fn one_of_each() -> Vec<Record> {
    let sand = operation("leg/sand", "leg", &["side"], StepKind::Sand, at("08:00"), at("08:07"));
    let kinds = vec![
        What::AcceptedPlan {
            plan: std::sync::Arc::new(plan(vec![sand])),
        },
        What::Begun {
            operations: names(&["leg/sand"]),
            start: at("08:00"),
        },
        done(&["leg/sand", "rail/sand"], "08:00", "08:20"),
        What::Undone { record: "r-2".into() },
        What::Skipped {
            operations: names(&["leg/buff"]),
            reason: "not seen: behind the plinth".into(),
        },
        What::NotYetDry {
            operation: "leg/coat-1".into(),
            purpose: Purpose::Sand,
        },
        What::DryAlready {
            operation: "leg/coat-1".into(),
            purpose: Purpose::Recoat,
        },
        What::Reading {
            temperature: 18.3,
            humidity: Some(55.5),
        },
        What::StripBack {
            piece: "leg".into(),
            surfaces: names(&["side"]),
            reason: "dropped\ton the \"floor\"\n".into(),
        },
        What::AcceptedCaution {
            code: "unequal".into(),
            refers: names(&["top"]),
            reason: "back is hidden".into(),
        },
        What::Event {
            text: "Heizung aus – bis Montag".into(),
        },
        What::Note { text: String::new() },
    ];
    let mut records = Vec::new();
    for (index, what) in kinds.into_iter().enumerate() {
        let clock = format!("08:{:02}", index + 30);
        records.push(record(&format!("r-{index:02}"), &clock, what));
    }
    records
}
