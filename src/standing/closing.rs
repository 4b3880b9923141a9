//! What closes soon: recoat windows, wipes, tape, sanding, the warm hours.
//!
//! Invariant: every instant is the fast estimate, or a plain limit; soonest first.

use super::facts::{Facts, lays_film};
use super::joints;
use super::state::{Closing, PieceStanding, SurfaceStanding};
use crate::clock::spoiled_at;
use crate::finish::{Figure, Prepare, Product, StepKind};
use crate::job::Piece;
use crate::units::{Moment, Span};

/// Everything that closes.
pub(super) fn all(facts: &Facts, pieces: &[PieceStanding]) -> Vec<Closing> {
    let mut closing = Vec::new();
    for (standing, piece) in pieces.iter().zip(&facts.job.pieces) {
        let found = [
            window(facts, standing),
            wipe(facts, piece),
            tape(facts, piece),
            stale(facts, piece, standing),
            cold(facts, standing),
        ];
        let found = found.into_iter().flatten();
        closing.extend(found.map(|(what, at)| Closing {
            piece: standing.piece,
            what: what.to_owned(),
            at,
        }));
    }
    closing.sort_by(|a, b| (a.at, a.piece, &a.what).cmp(&(b.at, b.piece, &b.what)));
    closing
}

/// The next recoat window of the piece to close.
fn window(facts: &Facts, standing: &PieceStanding) -> Option<(&'static str, Moment)> {
    let each = standing
        .surfaces
        .iter()
        .filter_map(|surface| closes(surface, facts.now));
    let (at, prepare) = each.min()?;
    let what = match prepare {
        Some(Prepare::Scuff) => "next coat without a scuff",
        Some(Prepare::Denib) => "next coat without a de-nib",
        Some(Prepare::None) | None => "window for the next coat",
    };
    Some((what, at))
}

/// When the first window that is not over closes, and what the one after it asks for.
fn closes(surface: &SurfaceStanding, now: Moment) -> Option<(Moment, Option<Prepare>)> {
    let open = surface
        .windows
        .iter()
        .position(|(_, closes, _)| closes.is_none_or(|closes| now < closes))?;
    let (_, closes, _) = surface.windows.get(open)?;
    Some((
        (*closes)?,
        surface.windows.get(open + 1).map(|(_, _, prepare)| *prepare),
    ))
}

/// An oil that was flooded on: the excess comes off inside its limit, and again when it has bled back.
fn wipe(facts: &Facts, piece: &Piece) -> Option<(&'static str, Moment)> {
    let of = facts.piece(&piece.id)?;
    let done = of
        .done
        .iter()
        .map(|(operation, done)| (*operation, done.start, Some(done.end)));
    let begun = of.begun.iter().map(|(operation, start)| (*operation, *start, None));
    let after = |film: &str, step: StepKind| {
        facts
            .left(&piece.id)
            .any(|(_, operation)| operation.step == step && operation.film_from.as_deref() == Some(film))
    };
    let mut found: Option<(&'static str, Moment)> = None;
    for (operation, start, end) in done.chain(begun) {
        let product = operation.product.as_deref().and_then(|id| facts.job.product(id));
        let Some(limits) = product.and_then(|product| product.wipe.as_ref()) else {
            continue;
        };
        let film = operation.film_from.as_deref().unwrap_or_default();
        let limit = match operation.step {
            step if lays_film(step) && after(&operation.id, StepKind::WipeBack) => {
                Some(("excess to be wiped off", start + minutes(&limits.within)))
            }
            StepKind::WipeBack if after(film, StepKind::ReWipe) => {
                let limit = end.zip(limits.again_within.as_ref());
                limit.map(|(end, within)| ("second wipe", end + minutes(within)))
            }
            _ => None,
        };
        found = [found, limit].into_iter().flatten().min_by_key(|(_, at)| *at);
    }
    found
}

fn minutes(figure: &Figure) -> Span {
    Span(figure.low.floor() as i64)
}

/// The tape's life.
fn tape(facts: &Facts, piece: &Piece) -> Option<(&'static str, Moment)> {
    let until = joints::tape_until(facts, piece)?;
    (until > facts.now).then_some(("tape on its joints", until))
}

/// Sanding goes stale while no film is on.
fn stale(facts: &Facts, piece: &Piece, standing: &PieceStanding) -> Option<(&'static str, Moment)> {
    let bare = standing.surfaces.iter().all(|surface| surface.film.is_none());
    let due = standing.surfaces.iter().any(|surface| surface.coats_due > 0);
    let done = &facts.piece(&piece.id)?.done;
    let (last, done) = done
        .iter()
        .rfind(|(operation, _)| matches!(operation.step, StepKind::Sand | StepKind::CutBack))?;
    let schedules = piece.surfaces.iter().filter_map(|surface| surface.schedule.as_deref());
    let steps = schedules
        .filter_map(|id| facts.job.schedules.get(id))
        .flat_map(|schedule| &schedule.steps);
    let limits = steps
        .filter(|step| step.kind == last.step)
        .filter_map(|step| step.stale_after.as_ref());
    let at = done.end + limits.map(minutes).min_by_key(|span| span.0)?;
    let what = if at <= facts.now {
        "sanding is stale: go over it again"
    } else {
        "sanding goes stale"
    };
    (bare && due).then_some((what, at))
}

/// The room will fall below the floor of a film that cannot bear it yet.
fn cold(facts: &Facts, standing: &PieceStanding) -> Option<(&'static str, Moment)> {
    let falls = standing.surfaces.iter().filter_map(|surface| {
        let film = surface.film.as_ref().filter(|film| !film.spoiled)?;
        let laid = facts.film(&film.operation)?;
        let (product, clock): (&Product, _) = (laid.product.filter(|product| product.mechanism.spoils())?, laid.clock?);
        spoiled_at(product, laid.coat, clock, laid.done.end).filter(|at| *at > facts.now)
    });
    falls
        .min()
        .map(|at| ("the room gets too cold for this film: keep it warm", at))
}
