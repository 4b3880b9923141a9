//! The steps on bare wood: check, label, grits, arris, grain raise, mask, dust off.
//!
//! Invariant: masking comes after the last grit and grain raise and before dusting off; grits run coarse
//! to fine; a piece whose surfaces get different schedules goes through each grit once.

use super::groups::Group;
use super::minutes;
use super::operation::{Delay, WorkOperation};
use super::writer::{Writer, campaign, grit_id, makes_dust, on_piece};
use crate::finish::{Grit, Phase, Step, StepKind};
use crate::job::rates;

/// The order of the bench (trade order; the schedule says which of them are due).
const ORDER: [StepKind; 9] = [
    StepKind::Settle,
    StepKind::Check,
    StepKind::Label,
    StepKind::Sand,
    StepKind::Arris,
    StepKind::RaiseGrain,
    StepKind::CutBack,
    StepKind::Mask,
    StepKind::DustOff,
];

/// Whether a loose step belongs before the first film.
pub(super) fn is_preparation(step: &Step) -> bool {
    step.phase == Phase::Loose && ORDER.contains(&step.kind)
}

/// Writes the preparation of one piece.
pub(super) fn write(writer: &mut Writer, piece: usize, groups: &[Group]) {
    for kind in ORDER {
        if kind == StepKind::Sand {
            for (grit, surfaces) in grits(writer, piece, groups) {
                abrade(writer, piece, kind, Some(grit), &surfaces);
            }
            continue;
        }
        // where groups differ the step is done once, over the surfaces of every group that asks for it
        let mut surfaces = Vec::new();
        let mut asked: Option<&Step> = None;
        for group in groups {
            let bare = group.schedule.loose_after().filter(|(coats, _)| *coats == 0);
            let mut bare = bare.map(|(_, step)| step);
            if let Some(step) = bare.find(|step| is_preparation(step) && step.kind == kind) {
                surfaces.extend_from_slice(&group.surfaces);
                asked = asked.or(Some(step));
            }
        }
        let Some(step) = asked else { continue };
        write_one(writer, piece, step, &surfaces);
    }
}

fn write_one(writer: &mut Writer, piece: usize, step: &Step, surfaces: &[usize]) {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece) else { return };
    let kind = step.kind;
    let joints = of.joints.len() as f64;
    let area = minutes::area(of, surfaces);
    let (id, minutes) = match kind {
        StepKind::Settle => ("settle", 0.0),
        StepKind::Check => ("check", minutes::over(job, kind, area)),
        StepKind::Label => ("label", job.rate(rates::LABEL)),
        StepKind::Arris => (
            "arris",
            minutes::handling(job, 0) + f64::from(minutes::arrises(of)) * job.rate(rates::ARRIS),
        ),
        StepKind::RaiseGrain => (
            "raise-grain",
            minutes::handling(job, 1) + minutes::over(job, kind, area),
        ),
        StepKind::CutBack => return abrade(writer, piece, kind, step.grit, surfaces),
        StepKind::Mask if of.joints.is_empty() => return,
        StepKind::Mask => ("mask", minutes::handling(job, 0) + joints * job.rate(rates::MASK_JOINT)),
        _ => ("dust-off", minutes::handling(job, 0) + minutes::over(job, kind, area)),
    };
    if kind == StepKind::Arris && minutes::arrises(of) == 0 {
        return;
    }
    let operation = WorkOperation {
        surfaces: if kind == StepKind::Mask {
            Vec::new()
        } else {
            surfaces.to_vec()
        },
        minutes,
        crew: u32::from(kind != StepKind::Settle),
        dusty: kind == StepKind::Arris,
        campaign: campaign::prepare(kind, None),
        ..on_piece(piece, of, kind, id)
    };
    let at = writer.push(operation);
    if let Some(wait) = &step.wait {
        // the wait runs from this step to whatever comes next on the piece
        writer.hold_next(at, Delay::Minutes(wait.high.ceil() as i64), rule_of_wait(kind));
    }
}

fn rule_of_wait(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Settle => "glue water leaves the timber first",
        StepKind::RaiseGrain => "raised grain dries before it is cut back",
        _ => "the step has its own wait",
    }
}

fn abrade(writer: &mut Writer, piece: usize, kind: StepKind, grit: Option<Grit>, surfaces: &[usize]) {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece) else { return };
    let area = minutes::area(of, surfaces);
    let name = match kind {
        StepKind::CutBack => "cut-back".to_owned(),
        _ => grit.map_or_else(|| "sand".to_owned(), |grit| format!("sand-{}", grit_id(grit))),
    };
    let operation = WorkOperation {
        surfaces: surfaces.to_vec(),
        grit,
        minutes: minutes::handling(job, minutes::turns_all_round(of)) + minutes::over(job, kind, area),
        family: grit.map(|grit| grit.to_string()),
        dusty: makes_dust(grit),
        campaign: campaign::prepare(kind, grit),
        ..on_piece(piece, of, kind, &name)
    };
    writer.push(operation);
}

/// Every grit of the piece, coarse to fine, with the surfaces that get it.
fn grits(writer: &Writer, piece: usize, groups: &[Group]) -> Vec<(Grit, Vec<usize>)> {
    let own = writer
        .job
        .pieces
        .get(piece)
        .map(|piece| piece.grits.as_slice())
        .unwrap_or_default();
    let mut all: Vec<(Grit, Vec<usize>)> = Vec::new();
    for group in groups {
        let due: Vec<Grit> = if own.is_empty() {
            let sanding = |step: &&Step| step.kind == StepKind::Sand && step.phase == Phase::Loose;
            group
                .schedule
                .steps
                .iter()
                .filter(sanding)
                .filter_map(|step| step.grit)
                .collect()
        } else {
            own.to_vec()
        };
        for grit in due {
            match all.iter_mut().find(|(there, _)| *there == grit) {
                Some((_, surfaces)) => surfaces.extend_from_slice(&group.surfaces),
                None => all.push((grit, group.surfaces.clone())),
            }
        }
    }
    let coarseness = |grit: &Grit| grit.grade.grain_size().unwrap_or(0.0);
    all.sort_by(|(one, _), (other, _)| coarseness(other).total_cmp(&coarseness(one)));
    all
}
