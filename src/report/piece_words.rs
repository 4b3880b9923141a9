//! How one piece stands, in a word or two.
//!
//! Invariant: a piece with a wet or spoiled surface is never said to bear anything.

use super::words;
use crate::job::Piece;
use crate::standing::{JointState, May, PieceStanding};

/// Wet: some surface carries a film that has not surely reached any stage.
pub(super) fn wet(standing: &PieceStanding) -> bool {
    standing
        .surfaces
        .iter()
        .any(|surface| surface.film.as_ref().is_some_and(|film| film.stage.is_none()))
}

pub(super) fn spoiled(standing: &PieceStanding) -> bool {
    standing
        .surfaces
        .iter()
        .any(|surface| surface.film.as_ref().is_some_and(|film| film.spoiled))
}

/// A plain yes, on a piece that is nowhere wet.
pub(super) fn may(standing: &PieceStanding, answer: May) -> bool {
    matches!(answer, May::Yes) && !wet(standing) && !spoiled(standing)
}

/// `2/3`; `1–2/3` where the surfaces of the piece differ.
pub(super) fn coats(standing: &PieceStanding) -> String {
    let due = || standing.surfaces.iter().filter(|surface| surface.coats_due > 0);
    let on = || due().map(|surface| surface.coats_on);
    let wanted = || due().map(|surface| surface.coats_due);
    match (on().min(), on().max(), wanted().min(), wanted().max()) {
        (Some(least), Some(most), Some(few), Some(many)) => format!("{}/{}", counted(least, most), counted(few, many)),
        _ => "bare".to_owned(),
    }
}

/// `2`, or `1–2` where surfaces differ.
fn counted(least: u32, most: u32) -> String {
    if least == most {
        least.to_string()
    } else {
        format!("{least}–{most}")
    }
}

/// The least advanced film of the piece.
pub(super) fn stage_now(standing: &PieceStanding) -> String {
    let films: Vec<_> = standing
        .surfaces
        .iter()
        .filter_map(|surface| surface.film.as_ref())
        .collect();
    if films.is_empty() {
        return "none".to_owned();
    }
    let least = films.iter().map(|film| film.stage).min().flatten();
    least.map_or_else(|| "WET".to_owned(), |stage| words::stage(stage).to_owned())
}

pub(super) fn joints(piece: &Piece, standing: &PieceStanding) -> &'static str {
    if piece.joints.is_empty() {
        return "none";
    }
    match standing.joints {
        JointState::Bare => "bare",
        JointState::Covered => "covered",
        JointState::TapeOld => "TAPE OLD",
        JointState::Uncovered => "free",
    }
}
