//! The desk's standing from its records, by the plainest rules.

use super::desk::LADDER;
use denib::dayplan::Plan;
use denib::dayplan::document::Operation;
use denib::finish::{Prepare, Stage, StepKind};
use denib::job::{Job, Piece};
use denib::log::{Purpose, Record, What};
use denib::standing::{
    Closing, Film, JointState, May, PieceStanding, RoundStanding, RoundState, Standing, SurfaceStanding, When,
};
use denib::units::{Moment, Span};
use std::collections::{HashMap, HashSet};

/// When each operation ended, what is begun, and touch tests.
struct Facts {
    ended: HashMap<String, Moment>,
    begun: HashMap<String, Moment>,
    not_yet: Vec<(String, Purpose, Moment)>,
    already: Vec<(String, Purpose, Moment)>,
    air: (f64, f64),
}

fn facts(records: &[Record], now: Moment) -> Facts {
    let undone: HashSet<&str> = records
        .iter()
        .filter_map(|record| match &record.what {
            What::Undone { record } => Some(record.as_str()),
            _ => None,
        })
        .collect();
    let mut facts = Facts {
        ended: HashMap::new(),
        begun: HashMap::new(),
        not_yet: Vec::new(),
        already: Vec::new(),
        air: (19.0, 50.0),
    };
    for record in records.iter().filter(|record| !undone.contains(record.id.as_str())) {
        let at = Moment::of(&record.at);
        match &record.what {
            What::Done { operations, start, end } => {
                let (start, end) = (Moment::of(start), Moment::of(end));
                let each = (end - start).0 / operations.len().max(1) as i64;
                for (index, id) in operations.iter().enumerate() {
                    let ended = start + Span(each * (index as i64 + 1));
                    if ended <= now {
                        facts.ended.insert(id.clone(), ended);
                    }
                }
            }
            What::Begun { operations, start } => {
                facts
                    .begun
                    .extend(operations.iter().map(|id| (id.clone(), Moment::of(start))));
            }
            What::NotYetDry { operation, purpose } => facts.not_yet.push((operation.clone(), *purpose, at)),
            What::DryAlready { operation, purpose } => facts.already.push((operation.clone(), *purpose, at)),
            What::Reading { temperature, humidity } => facts.air = (*temperature, humidity.unwrap_or(facts.air.1)),
            _ => {}
        }
    }
    facts
}

/// What is begun and not over.
pub fn begun(records: &[Record]) -> Vec<(String, Moment)> {
    let facts = facts(records, Moment(i64::MAX));
    facts
        .begun
        .into_iter()
        .filter(|(id, _)| !facts.ended.contains_key(id))
        .collect()
}

/// One piece's operations, with their places in the plan.
type Own<'a> = Vec<(usize, &'a Operation)>;

/// The standing.
pub fn standing(job: &Job, plan: Option<&Plan>, records: &[Record], spoiled: &[usize], now: Moment) -> Standing {
    let facts = facts(records, now);
    let operations = plan.map_or(&[][..], |plan| plan.operations.as_slice());
    let one = |(index, piece): (usize, &Piece)| {
        let of_piece = |(_, operation): &(usize, &Operation)| operation.piece.as_deref() == Some(piece.id.as_str());
        let own: Own = operations.iter().enumerate().filter(of_piece).collect();
        piece_standing(job, index, &own, &facts, spoiled.contains(&index), now)
    };
    let pieces: Vec<PieceStanding> = job.pieces.iter().enumerate().map(one).collect();
    let rounds = rounds(plan, &facts, now);
    let now_round = rounds.iter().position(|round| round.state != RoundState::Over);
    let mut coming: Vec<(usize, Stage, When)> = pieces
        .iter()
        .filter_map(|piece| {
            let next = piece.surfaces.iter().filter_map(|surface| surface.film.as_ref()?.next);
            let (stage, when) = next.max_by_key(|(_, when)| when.late)?;
            Some((piece.piece, stage, when))
        })
        .filter(|(_, stage, _)| *stage < Stage::DryHard)
        .collect();
    coming.sort_by_key(|(piece, _, when)| (when.late, *piece));
    let covered = pieces
        .iter()
        .filter(|piece| piece.joints == JointState::Covered && !job.pieces[piece.piece].joints.is_empty());
    let closing = covered
        .take(2)
        .map(|piece| Closing {
            piece: piece.piece,
            what: "the tape must come off".to_owned(),
            at: job.start + Span(24 * 60),
        })
        .collect();
    Standing {
        now,
        pieces,
        rounds,
        now_round,
        coming,
        closing,
        air: facts.air,
    }
}

fn piece_standing(job: &Job, index: usize, own: &Own, facts: &Facts, spoiled: bool, now: Moment) -> PieceStanding {
    let piece = &job.pieces[index];
    let ended = |operation: &Operation| facts.ended.contains_key(&operation.id);
    let done = |kind| {
        own.iter()
            .any(|(_, operation)| operation.step == kind && ended(operation))
    };
    let surfaces: Vec<SurfaceStanding> = piece
        .surfaces
        .iter()
        .enumerate()
        .map(|(number, surface)| surface_standing(number, &surface.id, own, facts, spoiled, now))
        .collect();
    // a coat is being put on
    let being_coated = own
        .iter()
        .any(|(_, one)| one.step == StepKind::Coat && !ended(one) && facts.begun.contains_key(&one.id));
    let may = |stage: Stage, purpose| {
        if being_coated {
            May::Held
        } else {
            rung(&surfaces, stage, purpose, facts, now)
        }
    };
    let all_on = surfaces.iter().all(|surface| surface.coats_on >= surface.coats_due);
    let joints = match (done(StepKind::Mask), done(StepKind::Unmask)) {
        (_, true) => JointState::Uncovered,
        (true, false) => JointState::Covered,
        _ => JointState::Bare,
    };
    let open = piece.joints.is_empty() || joints == JointState::Uncovered;
    let coats = |id: &str| {
        surfaces
            .iter()
            .find(|here| piece.surfaces[here.surface].id == id)
            .map(|here| here.coats_on)
    };
    let unequal = coats("face") != coats("back") && job.is_wide(piece);
    let youngest = surfaces
        .iter()
        .filter_map(|surface| Some(surface.film.as_ref()?.at))
        .max();
    PieceStanding {
        piece: index,
        joints,
        next: own
            .iter()
            .find(|(_, operation)| !ended(operation))
            .map(|(place, _)| *place),
        handle: may(Stage::DryToHandle, Purpose::Handle),
        turn: may(Stage::DryToTouch, Purpose::Turn),
        sand: may(Stage::DryToSand, Purpose::Sand),
        recoat: may(Stage::DryToRecoat, Purpose::Recoat),
        stack: may(Stage::DryToStack, Purpose::Stack),
        rub: may(Stage::DryThrough, Purpose::Rub),
        glue: if all_on && open {
            may(Stage::DryHard, Purpose::Glue)
        } else {
            May::Held
        },
        loose_done: own.iter().all(|(_, operation)| ended(operation)),
        unequal_since: youngest.filter(|_| unequal),
        surfaces,
    }
}

fn surface_standing(
    number: usize,
    id: &String,
    own: &Own,
    facts: &Facts,
    spoiled: bool,
    now: Moment,
) -> SurfaceStanding {
    let coats: Vec<(&Operation, Moment)> = own
        .iter()
        .filter(|(_, operation)| operation.step == StepKind::Coat && operation.surfaces.contains(id))
        .filter_map(|(_, operation)| Some((*operation, *facts.ended.get(&operation.id)?)))
        .collect();
    let film = coats.iter().max_by_key(|(_, at)| *at).map(|(operation, at)| {
        let reached = LADDER.iter().rev().find(|(_, _, slow)| *at + Span(*slow) <= now);
        let next = LADDER.iter().find(|(_, _, slow)| *at + Span(*slow) > now);
        let when = |fast: i64, slow: i64| When {
            early: *at + Span(fast),
            late: *at + Span(slow),
        };
        Film {
            counted: None,
            operation: operation.id.clone(),
            product: "lacquer".to_owned(),
            at: *at,
            stage: reached.map(|(stage, ..)| *stage),
            next: next.map(|(stage, fast, slow)| (*stage, when(*fast, *slow))),
            spoiled,
        }
    });
    let being_coated = own.iter().find(|(_, one)| {
        let here = one.step == StepKind::Coat && one.surfaces.contains(id);
        here && facts.begun.contains_key(&one.id) && !facts.ended.contains_key(&one.id)
    });
    let film = being_coated.map_or(film, |(_, one)| {
        Some(Film {
            counted: None,
            operation: one.id.clone(),
            product: "lacquer".to_owned(),
            at: now,
            stage: None,
            next: None,
            spoiled: false,
        })
    });
    let windows = film
        .iter()
        .map(|film| (film.at + Span(75), None, Prepare::Denib))
        .collect();
    SurfaceStanding {
        surface: number,
        coats_on: coats.len() as u32,
        coats_due: 2,
        film,
        windows,
    }
}

fn rung(surfaces: &[SurfaceStanding], stage: Stage, purpose: Purpose, facts: &Facts, now: Moment) -> May {
    let (_, fast, slow) = LADDER
        .iter()
        .find(|(rung, ..)| *rung == stage)
        .expect("a rung of the ladder");
    let mut all = May::Yes;
    for film in surfaces.iter().filter_map(|surface| surface.film.as_ref()) {
        let here = |found: &&(String, Purpose, Moment)| found.0 == film.operation && found.1 == purpose;
        let (mut early, mut late) = (film.at + Span(*fast), film.at + Span(*slow));
        if let Some((.., at)) = facts.not_yet.iter().filter(here).max_by_key(|(.., at)| *at) {
            early = early.max(*at + Span(1));
            late = late.max(*at + Span(30));
        }
        if let Some((.., at)) = facts.already.iter().filter(here).min_by_key(|(.., at)| *at) {
            (early, late) = (early.min(*at), late.min(*at));
        }
        let may = if late <= now {
            May::Yes
        } else if early <= now {
            May::Test { late }
        } else {
            May::NotYet {
                when: When { early, late },
            }
        };
        all = later(all, may);
    }
    all
}

fn later(a: May, b: May) -> May {
    let rank = |may: &May| match may {
        May::Yes => (0, 0),
        May::Test { late } => (1, late.0),
        May::NotYet { when } => (2, when.late.0),
        May::Held => (3, 0),
    };
    if rank(&b) > rank(&a) { b } else { a }
}

fn rounds(plan: Option<&Plan>, facts: &Facts, now: Moment) -> Vec<RoundStanding> {
    let Some(plan) = plan else { return Vec::new() };
    let index = |id: &String| plan.operations.iter().position(|operation| operation.id == *id);
    let mut first = true;
    plan.rounds
        .iter()
        .enumerate()
        .map(|(number, round)| {
            let left: Vec<usize> = round
                .operations
                .iter()
                .filter(|id| !facts.ended.contains_key(*id))
                .filter_map(index)
                .collect();
            let start = Moment::of(&round.start);
            let state = if left.is_empty() {
                RoundState::Over
            } else if round.operations.iter().any(|id| facts.begun.contains_key(id)) {
                RoundState::Running
            } else if start + Span(5) < now {
                RoundState::Late
            } else if std::mem::take(&mut first) || start <= now {
                RoundState::Due
            } else {
                RoundState::Coming
            };
            first &= state == RoundState::Over;
            RoundStanding {
                round: number,
                state,
                done: round.operations.len() - left.len(),
                left,
            }
        })
        .collect()
}
