//! The desk's plan, written by hand: sand, cover, two coats with a de-nib between, uncover.

use super::at;
use chrono::Duration;
use denib::dayplan::Plan;
use denib::dayplan::document::{Because, BecauseKind, Dry, Operation, Round, Stamp, State};
use denib::finish::{Phase, StepKind};
use denib::job::{Holding, Job, Piece};

/// Id, step, coat, grit, start (day, hour, minute), minutes a piece, which pieces.
type RoundSpec = (
    &'static str,
    StepKind,
    Option<u8>,
    Option<&'static str>,
    (i64, u32, u32),
    i64,
    fn(&Piece) -> bool,
);

const ROUNDS: [RoundSpec; 7] = [
    ("sand", StepKind::Sand, None, Some("P120"), (0, 8, 0), 6, |_| true),
    ("cover", StepKind::Mask, None, None, (0, 9, 0), 3, |piece| {
        !piece.joints.is_empty()
    }),
    ("coat-1", StepKind::Coat, Some(1), None, (0, 10, 0), 5, |_| true),
    ("denib", StepKind::Denib, None, Some("P360 wet"), (0, 13, 30), 4, |_| {
        true
    }),
    ("coat-2", StepKind::Coat, Some(2), None, (0, 14, 30), 5, |_| true),
    ("uncover", StepKind::Unmask, None, None, (0, 17, 0), 2, |piece| {
        !piece.joints.is_empty()
    }),
    ("rub", StepKind::RubOut, None, Some("0000 wool"), (13, 9, 0), 8, |_| {
        true
    }),
];

/// The plan; what starts after noon moves by so many minutes.
pub fn plan(job: &Job, afternoon_later_by: i64) -> Plan {
    let (mut rounds, mut operations) = (Vec::new(), Vec::new());
    for (id, step, coat, grit, (day, hour, minute), each, takes) in ROUNDS {
        let later = if (day, hour) > (0, 12) { afternoon_later_by } else { 0 };
        let begin = at(day, hour, minute) + Duration::minutes(later);
        let mut ids = Vec::new();
        for (index, piece) in job.pieces.iter().filter(|piece| takes(piece)).enumerate() {
            let start = begin + Duration::minutes(each * index as i64);
            let operation = operation(id, step, coat, grit, piece, start, start + Duration::minutes(each));
            ids.push(operation.id.clone());
            operations.push(operation);
        }
        let product = coat.map(|_| "lacquer".to_owned());
        rounds.push(Round {
            id: id.to_owned(),
            step,
            coat,
            product,
            grit: grit.map(str::to_owned),
            hands: vec!["Ines".to_owned()],
            start: begin,
            end: begin + Duration::minutes(each * ids.len() as i64),
            operations: ids,
        });
    }
    let (starts, ends) = (at(0, 8, 0), at(13, 10, 12));
    Plan {
        schema: 1,
        job: job.title.clone(),
        zone: "Europe/London".to_owned(),
        seed: 1,
        tries: 1,
        now: starts,
        starts,
        ready: at(1, 15, 15) + Duration::minutes(afternoon_later_by),
        ends,
        finished: None,
        bound: starts,
        gap_percent: 0.0,
        wide_over_mm: 200.0,
        hands: Vec::new(),
        climate: Vec::new(),
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

fn operation(
    round: &str,
    step: StepKind,
    coat: Option<u8>,
    grit: Option<&str>,
    piece: &Piece,
    start: Stamp,
    end: Stamp,
) -> Operation {
    let wet = coat.is_some();
    let after = |minutes| Some(end + Duration::minutes(minutes));
    // the slow figures of the desk's ladder
    let dry = wet.then(|| Dry {
        dry_to_touch: after(25),
        dry_to_turn: after(25),
        dry_to_sand: after(75),
        dry_to_recoat: after(75),
        dry_to_handle: after(180),
        dry_hard: after(1440),
        ..Dry::default()
    });
    let worked = |surface: &&denib::job::Surface| !(wet && piece.holding == Holding::Bearers && surface.id == "back");
    Operation {
        id: format!("{round}:{}", piece.id),
        round: Some(round.to_owned()),
        piece: Some(piece.id.clone()),
        assembly: None,
        surfaces: piece
            .surfaces
            .iter()
            .filter(worked)
            .map(|surface| surface.id.clone())
            .collect(),
        step,
        coat,
        grit: grit.map(str::to_owned),
        product: coat.map(|_| "lacquer".to_owned()),
        family: None,
        mix: None,
        start,
        end,
        hands: vec!["Ines".to_owned()],
        hands_minutes: (end - start).num_minutes() as f64,
        dusty: step == StepKind::Sand,
        holding: wet.then_some(piece.holding),
        place: None,
        place_slots: 1,
        place_until: None,
        volume: None,
        solvent_g: None,
        film_from: None,
        phase: Phase::Loose,
        state: State::Planned,
        dry,
        because: Because {
            kind: BecauseKind::Hands,
            op: None,
            at: start,
            text: "the hands are on it".to_owned(),
        },
    }
}
