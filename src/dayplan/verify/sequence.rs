//! The bench order of one piece, and one thing at a time.
//!
//! Invariant: order is judged by the first time each step is done; doing one again (because it went stale, or
//! because tape was changed) is nobody's fault.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet, loose_steps, word};
use crate::dayplan::document::State;
use crate::finish::{Phase, StepKind};
use crate::job::Shape;
use crate::units::Moment;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        missing(sheet, bench, found);
        strange(sheet, bench, found);
        bench_order(sheet, bench, found);
        dust_off(sheet, bench, found);
        one_at_a_time(bench, found);
    }
    not_there(sheet, found);
}

/// The place of a step in the bench order; steps without one may stand anywhere.
fn rank(step: StepKind) -> Option<u8> {
    Some(match step {
        StepKind::Settle | StepKind::Check | StepKind::Label => 0,
        StepKind::Sand => 1,
        StepKind::Arris => 2,
        StepKind::RaiseGrain => 3,
        StepKind::CutBack => 4,
        StepKind::Mask => 5,
        StepKind::DustOff => 6,
        StepKind::Fill | StepKind::Colour | StepKind::Seal | StepKind::Coat => 7,
        _ => return None,
    })
}

/// Steps done on bare wood. Settling is a wait, judged with the waits.
const PREPARATION: [StepKind; 6] = [
    StepKind::Check,
    StepKind::Label,
    StepKind::Arris,
    StepKind::RaiseGrain,
    StepKind::CutBack,
    StepKind::DustOff,
];

/// Every step of preparation a surface's schedule has is done. Grits, masks and coats are judged elsewhere.
fn missing(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for surface in &bench.piece.surfaces {
        let Some(schedule) = sheet.schedule(surface) else {
            continue;
        };
        for step in loose_steps(schedule, surface) {
            let due =
                PREPARATION.contains(&step.kind) && (step.kind != StepKind::Arris || has_arrises(bench.piece.shape));
            let done = bench
                .of_kind(step.kind)
                .any(|op| op.covers(&surface.id) && !super::sample::is_sign_off(bench, op))
                || bench.is_skipped(step.kind, &surface.id);
            if due && !done {
                let text = format!(
                    "{}: {} is left out, and the schedule has it",
                    bench.piece.name,
                    word(step.kind)
                );
                found.piece(Rule::MissingStep, &bench.piece.id, text);
            }
        }
    }
}

/// Turned work has no arris to break; of free shapes nobody knows.
fn has_arrises(shape: Shape) -> bool {
    matches!(shape, Shape::Panel | Shape::Square | Shape::Frame)
}

/// Nothing is done that no schedule of the piece asks for, but for what a piece may always need.
fn strange(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for op in bench.loose() {
        let judged_elsewhere = super::sample::is_sign_off(bench, op)
            || op.step == StepKind::Sand
            || op.is_counted_coat()
            || sheet.makes_good(bench.piece, op);
        let always = matches!(
            op.step,
            StepKind::Mask
                | StepKind::Unmask
                | StepKind::Turn
                | StepKind::DustOff
                | StepKind::Settle
                | StepKind::Scuff
                | StepKind::WipeBack
                | StepKind::ReWipe
                | StepKind::ChangeOver
                | StepKind::CleanUp
                | StepKind::Mix
        );
        let asked = bench.piece.surfaces.iter().any(|surface| {
            let steps = sheet
                .schedule(surface)
                .map(|schedule| schedule.steps.as_slice())
                .unwrap_or_default();
            op.covers(&surface.id)
                && steps.iter().any(|step| {
                    step.kind == op.step
                        && step.phase == Phase::Loose
                        && (step.product.is_none() || step.product == op.product)
                })
        });
        if !judged_elsewhere && !always && !asked {
            let text = format!(
                "{}: no schedule of its surfaces has {} ({})",
                bench.piece.name,
                word(op.step),
                op.id
            );
            found.by(Rule::StrangeStep, &[op], text);
        }
    }
}

/// Whatever comes first at the bench is over before what comes after it begins.
fn bench_order(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    let firsts = first_times(bench);
    for (index, earlier) in firsts.iter().enumerate() {
        for later in firsts.iter().skip(index + 1).chain(firsts.iter().take(index)) {
            let (Some(before), Some(after)) = (rank(earlier.step), rank(later.step)) else {
                continue;
            };
            if before < after && later.from < earlier.until {
                let text = format!(
                    "{}: {} starts {}, before {} is over ({})",
                    bench.piece.name,
                    word(later.step),
                    sheet.clock(later.from),
                    word(earlier.step),
                    sheet.clock(earlier.until)
                );
                found.by(Rule::Order, &[later, earlier], text);
            }
        }
    }
}

/// The first operation of each step (of sanding: of each grit).
fn first_times<'b, 'a>(bench: &'b Bench<'a>) -> Vec<&'b Op<'a>> {
    let mut firsts: Vec<&Op<'a>> = Vec::new();
    // where the first time was decided away, what is left of its kind comes when it comes
    let given_up = |op: &Op<'a>| {
        bench
            .skipped
            .iter()
            .any(|one| one.step == op.step && one.grit == op.grit)
    };
    let ranked = bench.loose().filter(|op| rank(op.step).is_some() && !given_up(op));
    for op in ranked.filter(|op| !super::sample::is_sign_off(bench, op)) {
        if !firsts
            .iter()
            .any(|first| first.step == op.step && first.grit == op.grit)
        {
            firsts.push(op);
        }
    }
    firsts
}

/// The last dust before the first coat is taken off before it.
fn dust_off(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    let Some(first) = bench.first_coating() else { return };
    let asked = bench
        .piece
        .surfaces
        .iter()
        .filter_map(|surface| sheet.schedule(surface));
    if !asked
        .flat_map(|schedule| &schedule.steps)
        .any(|step| step.kind == StepKind::DustOff)
    {
        return;
    }
    let makes_dust = |op: &&Op<'_>| {
        matches!(
            op.step,
            StepKind::Sand | StepKind::Arris | StepKind::CutBack | StepKind::Mask
        ) && !op.id.contains("/mask-again")
    };
    let last_dust = bench
        .loose()
        .filter(makes_dust)
        .filter(|op| op.from < first.from)
        .map(|op| op.until)
        .max();
    let clean = bench
        .of_kind(StepKind::DustOff)
        .any(|op| op.until <= first.from && last_dust.is_none_or(|dust| dust <= op.from));
    if !clean && !bench.gave_up(StepKind::DustOff) {
        let text = format!(
            "{}: not dusted off between the last preparation and its first coat at {}",
            bench.piece.name,
            sheet.clock(first.from)
        );
        found.by(Rule::DustOff, &[first], text);
    }
}

fn one_at_a_time(bench: &Bench<'_>, found: &mut Breaches) {
    for (index, one) in bench.ops.iter().enumerate() {
        for other in bench.ops.iter().skip(index + 1).filter(|other| one.overlaps(other)) {
            let text = format!(
                "{} is in {} and in {} at the same time",
                bench.piece.name, one.id, other.id
            );
            found.between(Rule::PieceBusy, &[one, other], text);
        }
    }
}

/// Nothing before the start of the plan, before now, or before the piece is made; nothing done in the future.
fn not_there(sheet: &Sheet<'_>, found: &mut Breaches) {
    let (starts, now) = (Moment::of(&sheet.plan.starts), Moment::of(&sheet.plan.now));
    for op in &sheet.ops {
        if op.state == State::Planned {
            let there = op
                .piece
                .as_deref()
                .and_then(|id| sheet.bench(id))
                .map(|bench| bench.piece.available);
            let pieces = op.assembly.as_deref().map(|id| sheet.pieces_of(id)).unwrap_or_default();
            let made = pieces.iter().map(|bench| bench.piece.available).chain(there).max();
            let earliest = starts.max(now).max(sheet.job.start).max(made.unwrap_or(starts));
            if op.from < earliest {
                let text = format!(
                    "{} starts {}; not possible before {}",
                    op.id,
                    sheet.clock(op.from),
                    sheet.clock(earliest)
                );
                found.by(Rule::NotThere, &[op], text);
            }
        } else if op.from > now || (op.state == State::Done && op.until > now) {
            let text = format!(
                "{} is said to be done at {}, and now is {}",
                op.id,
                sheet.clock(op.until),
                sheet.clock(now)
            );
            found.document(Rule::NotThere, text);
        }
    }
}
