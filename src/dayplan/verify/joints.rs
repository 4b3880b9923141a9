//! Joints: covered while anything wet is about, bare for the glue.
//!
//! Invariant: a joint is covered from the end of its last masking to the start of the next unmasking.

use super::hours;
use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet};
use crate::finish::{Stage, StepKind};
use crate::units::{Moment, Span};

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in sheet.benches.iter().filter(|bench| !bench.piece.joints.is_empty()) {
        covered(sheet, bench, found);
        tape(sheet, bench, found);
        scored(sheet, bench, found);
        bare(sheet, bench, found);
    }
}

/// Scoring the film along the tape, before the tape is pulled.
fn is_scoring(op: &Op<'_>) -> bool {
    op.step == StepKind::Unmask && op.id.ends_with("/score")
}

/// Masking and unmasking, in order.
fn tape_work<'b, 'a>(bench: &'b Bench<'a>) -> impl Iterator<Item = &'b Op<'a>> {
    let tape = |op: &&Op<'a>| matches!(op.step, StepKind::Mask | StepKind::Unmask) && !is_scoring(op);
    bench.loose().filter(tape)
}

/// Whether the joints are covered from one instant to another.
fn is_covered(bench: &Bench<'_>, from: Moment, until: Moment) -> bool {
    let mut covered = false;
    for op in tape_work(bench) {
        match op.step {
            StepKind::Mask if op.until <= from => covered = true,
            StepKind::Unmask if op.from < until => covered = false,
            _ => {}
        }
    }
    covered
}

fn covered(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    let count = bench.piece.joints.len();
    for op in bench.loose().filter(|op| op.lays_film()) {
        if is_covered(bench, op.from, op.until) || bench.gave_up(StepKind::Mask) {
            continue;
        }
        let (rule, what) = if op.step == StepKind::Wax {
            (Rule::WaxNearJoints, "waxed")
        } else {
            (Rule::Masked, "coated")
        };
        let text = format!(
            "{}: {what} at {} with its joints ({count}) not covered",
            bench.piece.name,
            sheet.clock(op.from)
        );
        found.by(rule, &[op], text);
    }
}

/// No coat goes over tape past its life; tape pulled late is a caution of the plan.
fn tape(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    let work: Vec<&Op<'_>> = tape_work(bench).collect();
    for (index, mask) in work.iter().enumerate().filter(|(_, op)| op.step == StepKind::Mask) {
        let old = mask.until + Span(sheet.job.tape_life);
        let changed = work.get(index + 1).map(|next| next.from);
        // tape pulled late is a caution of the plan; a coat over tape past its life is a breach
        let late = bench.ops.iter().filter(|op| op.is_coating() && op.from > old);
        // over a closed weekend nobody could have changed it: that too is a caution
        let late = late.filter(|op| hours::worked(sheet, old, op.from) > hours::AGAIN_MINUTES);
        for coat in late.filter(|op| changed.is_none_or(|changed| op.from < changed)) {
            let text = format!(
                "{}: coated at {} over tape of {}; its life ended {}",
                bench.piece.name,
                sheet.clock(coat.from),
                sheet.clock(mask.until),
                sheet.clock(old)
            );
            found.by(Rule::TapeLife, &[coat, mask], text);
        }
    }
}

/// Once the last film may have gone hard, it is scored along the tape first. Wiped oil builds no film over it.
fn scored(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for unmask in tape_work(bench).filter(|op| op.step == StepKind::Unmask) {
        for surface in &bench.piece.surfaces {
            let film = bench
                .film_under(&surface.id, unmask.from)
                .filter(|film| film.is_coating());
            let builds = |film: &&Op<'_>| sheet.product(film).is_none_or(|product| product.wipe.is_none());
            let Some(film) = film.filter(builds) else { continue };
            let hard = sheet.perhaps(film, Stage::DryHard);
            let mut scoring = bench.loose().filter(|op| is_scoring(op));
            let scored = scoring.any(|op| film.until <= op.from && op.until <= unmask.from);
            if unmask.from > hard && !scored {
                let text = format!(
                    "{}: unmasked at {}, and the film may be hard from {}; score it first",
                    bench.piece.name,
                    sheet.clock(unmask.from),
                    sheet.clock(hard)
                );
                found.by(Rule::Score, &[unmask, film], text);
            }
        }
    }
}

/// Whatever was masked is bare again, and before it is glued.
fn bare(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    let work: Vec<&Op<'_>> = tape_work(bench).collect();
    if bench.gave_up(StepKind::Unmask) {
        return;
    }
    if let Some(last) = work.last().filter(|op| op.step == StepKind::Mask) {
        let text = format!(
            "{}: masked at {} and never unmasked",
            bench.piece.name,
            sheet.clock(last.from)
        );
        found.by(Rule::BareAtGlue, &[last], text);
    }
    let on_it = sheet.assembled_with(&bench.piece.id);
    for glue in on_it.filter(|op| op.step == StepKind::GlueUp) {
        let late = work
            .iter()
            .find(|op| op.until > glue.from || (op.from == glue.from && op.step == StepKind::Unmask));
        let masked = is_covered(bench, glue.from, glue.from);
        if masked || late.is_some() {
            let text = format!(
                "{}: its joints ({}) are still covered at the glue-up of {}",
                bench.piece.name,
                bench.piece.joints.len(),
                sheet.clock(glue.from)
            );
            found.by(Rule::BareAtGlue, &[glue], text);
        }
    }
}
