//! Signing off sample boards: what it waits for, and what waits for it.
//!
//! Invariant: a board is looked at when everything has been done to it and its last films are dry hard; the first
//! film of its finish on every piece of the work waits for that, bare-wood work does not.

use super::minutes;
use super::operation::{Delay, WorkOperation};
use super::writer::{Writer, on_piece};
use crate::finish::StepKind;
use crate::finish::schedule::trunk;
use crate::job::rates;

/// The work goes after its boards, campaign by campaign.
const AFTER_THE_BOARDS: u64 = 1_000_000_000;

/// Writes the sign-off of every board, after all other work has been written.
pub(super) fn write(writer: &mut Writer) {
    let job = writer.job;
    let boards = job.pieces.iter().enumerate();
    let boards: Vec<(usize, &str)> = boards
        .filter_map(|(at, piece)| Some((at, piece.sample.as_deref()?)))
        .collect();
    if boards.is_empty() {
        return;
    }
    for operation in &mut writer.work.operations {
        let board = operation.piece.is_some_and(|piece| is_board(job, piece));
        if !board {
            operation.campaign += AFTER_THE_BOARDS;
        }
    }
    let firsts: Vec<Vec<usize>> = boards.iter().map(|(_, finish)| first_films(writer, finish)).collect();
    for ((board, _), firsts) in boards.into_iter().zip(firsts) {
        sign_off(writer, board, &firsts);
    }
}

fn is_board(job: &crate::job::Job, piece: usize) -> bool {
    job.pieces.get(piece).is_some_and(|piece| piece.sample.is_some())
}

/// The first film of a finish on every piece of the work that gets it.
fn first_films(writer: &Writer, finish: &str) -> Vec<usize> {
    let job = writer.job;
    let mut begun = vec![false; job.pieces.len()];
    let mut firsts = Vec::new();
    for (at, operation) in writer.work.operations.iter().enumerate() {
        let piece = operation.piece.filter(|&piece| !is_board(job, piece));
        let Some((piece, of)) = piece.and_then(|piece| Some((piece, job.pieces.get(piece)?))) else {
            continue;
        };
        let mut surfaces = operation
            .surfaces
            .iter()
            .filter_map(|&surface| of.surfaces.get(surface));
        let gets = surfaces.any(|surface| surface.schedule.as_deref().map(trunk) == Some(trunk(finish)));
        if gets && operation.lays_film() && !begun[piece] {
            begun[piece] = true;
            firsts.push(at);
        }
    }
    firsts
}

fn sign_off(writer: &mut Writer, board: usize, firsts: &[usize]) {
    let job = writer.job;
    let Some(of) = job.pieces.get(board) else { return };
    let own = |operation: &WorkOperation| operation.piece == Some(board) && !operation.optional;
    let last = writer.work.operations.iter().rposition(own);
    let campaign = last.and_then(|last| writer.work.operations.get(last));
    let at = writer.push_aside(WorkOperation {
        surfaces: (0..of.surfaces.len()).collect(),
        minutes: minutes::handling(job, 0) + job.rate(rates::SIGN_OFF),
        campaign: campaign.map_or(0, |last| last.campaign + 1),
        ..on_piece(board, of, StepKind::Check, "sign-off")
    });
    if let Some(last) = last {
        writer.wait(last, at, Delay::Minutes(0), "the board is finished before it is judged");
    }
    // nobody waits for a board to be glued: what it is ready for is the eye
    let ready = writer.work.ready.get_mut(board).map(std::mem::take).unwrap_or_default();
    for (film, delay) in ready {
        writer.wait(
            film,
            at,
            delay,
            "sheen and colour are judged on films that are dry hard",
        );
    }
    for &first in firsts {
        writer.wait(
            at,
            first,
            Delay::Minutes(0),
            "waits for the sample board to be signed off",
        );
    }
}
