//! The joints tried once more after the last coat, and the grooves in which films will be felt.
//!
//! Invariant: a dry fit is told from the step and the id alone, which the plan as a document carries; a groove is
//! cautioned only where the films of what slides in add up to more than the play it has.

use super::document::{Caution, Operation, Round, Severity};
use crate::finish::{Schedule, StepKind};
use crate::job::{Job, JointKind, Piece, Shape, SurfaceRole};

/// Play of a panel that slides by hand, both faces together, mm: common practice, no source.
const USUAL_PLAY: f64 = 0.2;

/// A groove takes at most about half the timber it is cut in: a thicker board does not go in whole (common practice,
/// no source).
const DEEPEST: f64 = 0.5;

/// Panels whose films take up the play of the grooves they slide into.
pub(super) fn tight(job: &Job) -> Vec<Caution> {
    let mut found = Vec::new();
    for assembly in &job.assemblies {
        let own = |piece: &&Piece| assembly.made_of.contains(&piece.id);
        let pieces: Vec<&Piece> = job.pieces.iter().filter(own).collect();
        let (grooved, plain): (Vec<&Piece>, Vec<&Piece>) =
            pieces.into_iter().partition(|piece| grooves(piece).next().is_some());
        let Some(play) = grooved.iter().flat_map(|piece| grooves(piece)).reduce(f64::min) else {
            continue;
        };
        let panels = plain.into_iter().filter(|piece| slides(piece, &grooved));
        let tight = panels.filter_map(|panel| Some((panel, built(job, panel)?)));
        let tight: Vec<(&Piece, f64)> = tight.filter(|(_, built)| *built > play).collect();
        if let Some(built) = tight.iter().map(|(_, built)| *built).reduce(f64::max) {
            let panels: Vec<&Piece> = tight.into_iter().map(|(panel, _)| panel).collect();
            found.push(caution(job, &panels, (built, play), &grooved));
        }
    }
    found
}

/// The play of each groove of a piece, mm.
fn grooves(piece: &Piece) -> impl Iterator<Item = f64> + '_ {
    let grooves = piece.joints.iter().filter(|joint| joint.kind == JointKind::Groove);
    grooves.map(|joint| joint.play.map_or(USUAL_PLAY, |play| play.0))
}

/// Whether a panel goes into one of these grooves: thin enough for it, or a panel among stiles and rails.
fn slides(panel: &Piece, grooved: &[&Piece]) -> bool {
    let framed = grooved.iter().filter(|piece| piece.shape == Shape::Square).count() > 1;
    let thin = |piece: &&Piece| panel.thickness.0 <= piece.thickness.0 * DEEPEST;
    panel.shape == Shape::Panel && panel.sample.is_none() && (framed || grooved.iter().any(thin))
}

/// What the coats on face and back add to the thickness, mm: wet film times volume solids, as far as both are known.
fn built(job: &Job, panel: &Piece) -> Option<f64> {
    let faces = panel
        .surfaces
        .iter()
        .filter(|surface| matches!(surface.role, SurfaceRole::Face | SurfaceRole::Back));
    let schedules = faces.filter_map(|surface| job.schedules.get(surface.schedule.as_deref()?));
    let coats = schedules.flat_map(|schedule| schedule.steps.iter().map(move |step| (schedule, step)));
    let dry = coats
        .filter(|(_, step)| Schedule::is_coat(step.kind))
        .filter_map(|(schedule, step)| {
            let product = schedule.product(step.product.as_deref()?)?;
            // what is wiped off again leaves next to nothing on the surface
            if product.wipe.is_some() {
                return None;
            }
            let wet = product.wet_film.get(&step.method?)?;
            Some(wet.middle() * product.volume_solids.as_ref()?.middle() / 100.0)
        });
    let microns: f64 = dry.sum();
    (microns > 0.0).then_some(microns / 1000.0)
}

/// One caution for an assembly: its panels, and the parts they slide into.
fn caution(job: &Job, panels: &[&Piece], (built, play): (f64, f64), grooved: &[&Piece]) -> Caution {
    let parts = |pieces: &[&Piece]| {
        let mut names: Vec<&str> = Vec::new();
        for part in pieces.iter().filter_map(|piece| job.parts.get(piece.part)) {
            if !names.contains(&part.name.as_str()) {
                names.push(&part.name);
            }
        }
        names.join(", ")
    };
    let refers = panels.iter().chain(grooved).map(|piece| piece.id.clone());
    Caution::new(
        "groove-tight",
        Severity::Warning,
        format!(
            "The films on both faces take up the play of {} in the groove ({}): what went in bare sticks coated. Leave the edge that goes in bare, or ease it, and try it dry before the glue-up.",
            parts(panels),
            parts(grooved)
        ),
        Some(format!(
            "{:.0} µm of film, {:.0} µm of play",
            built * 1000.0,
            play * 1000.0
        )),
        "wet film times volume solids, both faces; the play as the job gives it, else common practice, no source",
        refers.collect(),
    )
}

/// Whether an operation is the dry fit.
pub fn is_dry_fit(operation: &Operation) -> bool {
    is_fit(operation.step, &operation.id)
}

/// Whether a round is.
pub fn is_round_of_dry_fits(round: &Round) -> bool {
    round.operations.first().is_some_and(|id| is_fit(round.step, id))
}

fn is_fit(step: StepKind, id: &str) -> bool {
    step == StepKind::Check && id.rsplit('/').next() == Some("dry-fit")
}
