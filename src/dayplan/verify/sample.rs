//! Sample boards: finished, dry hard and signed off before any film of their finish goes on the work.
//!
//! Invariant: a board is told from the job, its sign-off from the plan; one that the maker left out with a reason
//! was signed off earlier and holds nothing up.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet};
use crate::finish::schedule::trunk;
use crate::finish::{Stage, StepKind};

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for board in &sheet.benches {
        let Some(finish) = board.piece.sample.as_deref() else {
            continue;
        };
        if board.skipped.iter().any(|op| is_sign_off(board, op)) {
            continue;
        }
        let Some(signed) = board.ops.iter().find(|op| is_sign_off(board, op)) else {
            let text = format!("{}: nobody signs it off", board.piece.name);
            found.piece(Rule::SampleBoard, &board.piece.id, text);
            continue;
        };
        judged(sheet, board, signed, found);
        for bench in sheet.benches.iter().filter(|bench| bench.piece.sample.is_none()) {
            held_up(sheet, bench, (finish, signed), found);
        }
    }
}

/// Whether an operation is the sign-off of a board.
pub(super) fn is_sign_off(bench: &Bench<'_>, op: &Op<'_>) -> bool {
    bench.piece.sample.is_some() && op.step == StepKind::Check && op.id.ends_with("/sign-off")
}

/// The board is looked at when all else has been done to it and its films are dry hard.
fn judged(sheet: &Sheet<'_>, board: &Bench<'_>, signed: &Op<'_>, found: &mut Breaches) {
    for op in board.ops.iter().filter(|op| op.id != signed.id) {
        let over = if op.is_coating() {
            let covered = board.ops.iter().any(|later| later.is_coating() && later.from > op.from);
            // what lies beneath another film is judged through it
            if covered {
                op.until
            } else {
                sheet.surely(op, Stage::DryHard)
            }
        } else {
            op.until
        };
        if signed.from < over {
            let text = format!(
                "{} is signed off {}; {} is over, and dry, {}",
                board.piece.name,
                sheet.clock(signed.from),
                op.id,
                sheet.clock(over)
            );
            found.by(Rule::SampleBoard, &[signed, op], text);
        }
    }
}

/// No surface of the work gets its first film of this finish before the board is signed off.
fn held_up(sheet: &Sheet<'_>, bench: &Bench<'_>, (finish, signed): (&str, &Op<'_>), found: &mut Breaches) {
    for surface in &bench.piece.surfaces {
        if surface.schedule.as_deref().map(trunk) != Some(trunk(finish)) {
            continue;
        }
        let Some(first) = bench.films(&surface.id).next() else {
            continue;
        };
        if first.from < signed.until {
            let text = format!(
                "{} gets its first film {}; its sample board is signed off {}",
                bench.piece.name,
                sheet.clock(first.from),
                sheet.clock(signed.until)
            );
            found.by(Rule::SampleBoard, &[first, signed], text);
        }
    }
}
