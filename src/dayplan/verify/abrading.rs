//! Abrasives: the grits on bare wood, the de-nib between coats, and what makes dust.
//!
//! Invariant: judged surface by surface, from the schedule's steps (or the piece's own grits).

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet, loose_steps, word};
use crate::finish::{Schedule, Step, StepKind};
use crate::job::Surface;
use crate::units::Moment;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        for surface in &bench.piece.surfaces {
            grits(sheet, bench, surface, found);
            if let Some(schedule) = sheet.schedule(surface) {
                between_coats(bench, surface, schedule, found);
            }
        }
    }
    dust_said(sheet, found);
}

/// The grits due on a surface, as written on the paper.
fn grits_due(sheet: &Sheet<'_>, bench: &Bench<'_>, surface: &Surface) -> Vec<String> {
    let Some(schedule) = sheet.schedule(surface) else {
        return Vec::new();
    };
    let sanding = loose_steps(schedule, surface).filter(|step| step.kind == StepKind::Sand);
    let of_schedule: Vec<String> = sanding
        .filter_map(|step| step.grit)
        .map(|grit| grit.to_string())
        .collect();
    if bench.piece.grits.is_empty() {
        of_schedule
    } else {
        bench.piece.grits.iter().map(ToString::to_string).collect()
    }
}

/// All grits due, from coarse to fine; what is sanded again is sanded with one of them, the finest last.
fn grits(sheet: &Sheet<'_>, bench: &Bench<'_>, surface: &Surface, found: &mut Breaches) {
    let due = grits_due(sheet, bench, surface);
    let sanded: Vec<&Op<'_>> = bench
        .of_kind(StepKind::Sand)
        .filter(|op| op.covers(&surface.id))
        .collect();
    let where_it_is = || format!("{}, {}", bench.piece.name, surface.label);
    let grit_of = |op: &Op<'_>| op.line().grit.clone().unwrap_or_default();
    let is_skipped = |grit: &String| {
        let sanding = |op: &&Op<'_>| op.step == StepKind::Sand && op.covers(&surface.id);
        bench.skipped.iter().filter(sanding).any(|op| grit_of(op) == *grit)
    };
    let mut over = None;
    for grit in &due {
        let skipped = is_skipped(grit);
        match sanded.iter().find(|op| grit_of(op) == *grit) {
            None if skipped => {}
            None => {
                let text = format!("{}: {grit} is left out of {}", where_it_is(), due.join(", "));
                found.piece(Rule::Grits, &bench.piece.id, text);
            }
            Some(op) => {
                if over.is_some_and(|over| op.from < over) {
                    let text = format!(
                        "{}: {grit} comes before a coarser grit; due are {}",
                        where_it_is(),
                        due.join(", ")
                    );
                    found.by(Rule::Grits, &[op], text);
                }
                over = Some(op.until);
            }
        }
    }
    for op in &sanded {
        if !due.contains(&grit_of(op)) {
            let text = format!(
                "{}: sanded with {}; due are {}",
                where_it_is(),
                grit_of(op),
                due.join(", ")
            );
            found.by(Rule::Grits, &[op], text);
        }
    }
    // a finest grit that was left out may still be the one a surface gone stale is sanded with again
    let finest = due.iter().enumerate().rfind(|(_, grit)| !is_skipped(grit));
    let place = |op: &Op<'_>| due.iter().position(|grit| *grit == grit_of(op));
    if let (Some(last), Some((at, finest))) = (sanded.last(), finest)
        && place(last).is_some_and(|last| last < at)
    {
        let text = format!(
            "{}: sanding ends with {}, not with {finest}",
            where_it_is(),
            grit_of(last)
        );
        found.by(Rule::Grits, &[last], text);
    }
}

/// Each de-nib, scuff or flatting of the schedule is done after the coat it follows and before the next, with
/// the paper the schedule names. A scuff or a flatting does for a de-nib.
fn between_coats(bench: &Bench<'_>, surface: &Surface, schedule: &Schedule, found: &mut Breaches) {
    let coat = |number: u8| bench.coats(&surface.id).find(move |op| op.coat == Some(number));
    let mut level = 0_u8;
    for step in loose_steps(schedule, surface) {
        match step.kind {
            StepKind::Seal | StepKind::Coat => level = level.saturating_add(1),
            StepKind::Denib | StepKind::Scuff | StepKind::Flat if level > 0 => {
                let Some(beneath) = coat(level) else { continue };
                let next = coat(level.saturating_add(1));
                let until = next.map(|next| next.from);
                let ops = bench.loose().filter(|op| op.abrades_film() && op.covers(&surface.id));
                let done = ops.filter(|op| beneath.until <= op.from && until.is_none_or(|until| op.until <= until));
                if !done.into_iter().any(|op| serves(op, step)) && !skipped_at(bench, surface, step, level) {
                    let grit = step.grit.map(|grit| format!(" with {grit}")).unwrap_or_default();
                    let text = format!(
                        "{}, {}: {}{grit} after coat {level} is left out",
                        bench.piece.name,
                        surface.label,
                        word(step.kind)
                    );
                    match next {
                        Some(next) => found.by(Rule::Denib, &[next, beneath], text),
                        None => found.piece(Rule::Denib, &bench.piece.id, text),
                    }
                }
            }
            _ => {}
        }
    }
}

/// Whether what was done is what the step asks for, or more.
fn serves(op: &Op<'_>, step: &Step) -> bool {
    let grit = step
        .grit
        .is_none_or(|grit| op.grit.as_deref() == Some(grit.to_string().as_str()));
    (op.step == step.kind && grit) || (op.step != step.kind && step.kind == StepKind::Denib)
}

fn skipped_at(bench: &Bench<'_>, surface: &Surface, step: &Step, level: u8) -> bool {
    let at_level = |op: &&Op<'_>| {
        op.coat
            .is_none_or(|coat| coat == level || coat == level.saturating_add(1))
    };
    bench
        .skipped
        .iter()
        .filter(at_level)
        .any(|op| op.step == step.kind && op.covers(&surface.id))
}

/// Dry paper on wood or film makes dust; with water it makes slurry. Wool and an arris are as the plan says.
fn dust_said(sheet: &Sheet<'_>, found: &mut Breaches) {
    for op in &sheet.ops {
        let abrades = op.abrades_film() || matches!(op.step, StepKind::Sand | StepKind::CutBack);
        let Some(grit) = op.line().grit.as_deref().filter(|_| abrades) else {
            continue;
        };
        let wet = is_wet(grit);
        if grit.ends_with("wool") || op.dusty != wet {
            continue;
        }
        let does = if wet { "makes slurry, not dust" } else { "makes dust" };
        found.by(
            Rule::DustSaid,
            &[op],
            format!(
                "{}: {} with {grit} {does}; the plan says otherwise",
                op.id,
                word(op.step)
            ),
        );
    }
}

/// A grit as it is printed says whether it is used wet.
fn is_wet(grit: &str) -> bool {
    grit.ends_with(" wet")
}

/// Makes dust: by what it is where that is known, else by what the plan says.
pub(super) fn makes_dust(op: &Op<'_>) -> bool {
    let abrades = op.abrades_film() || matches!(op.step, StepKind::Sand | StepKind::CutBack);
    match op.line().grit.as_deref() {
        Some(grit) if abrades && !grit.ends_with("wool") => !is_wet(grit),
        _ => op.dusty,
    }
}

/// The last time a surface was abraded on bare wood before an instant.
pub(super) fn last_sanding<'b, 'a>(bench: &'b Bench<'a>, surface: &'b str, before: Moment) -> Option<&'b Op<'a>> {
    let sanding = |op: &&Op<'a>| matches!(op.step, StepKind::Sand | StepKind::CutBack) && op.covers(surface);
    bench
        .loose()
        .filter(sanding)
        .filter(|op| op.from < before)
        .max_by_key(|op| op.until)
}
