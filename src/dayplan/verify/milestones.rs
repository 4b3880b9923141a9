//! Milestones: ready, ends, finished, bound and gap, as the operations have them.
//!
//! Invariant: worked out from the operations and the drying clock; the plan's own lines are only compared.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet};
use crate::finish::{Phase, Stage, StepKind};
use crate::units::Moment;

/// Minutes two milestones may differ: both sides count in whole minutes.
const TOLERANCE: i64 = 2;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    sections(sheet, found);
    times(sheet, found);
    bound(sheet, found);
}

/// A loose piece is ready when its work is over, its films are hard dry, and it is there at all.
fn ready(sheet: &Sheet<'_>, bench: &Bench<'_>) -> Moment {
    let mut ready = bench.piece.available;
    for op in bench.loose() {
        ready = ready.max(op.until);
        if op.is_coating() {
            ready = ready.max(sheet.surely(op, Stage::DryHard));
        }
    }
    ready
}

fn near(one: Moment, other: Moment) -> bool {
    (one - other).0.abs() <= TOLERANCE
}

fn sections(sheet: &Sheet<'_>, found: &mut Breaches) {
    let starts = Moment::of(&sheet.plan.starts);
    for (index, section) in sheet.job.sections.iter().enumerate() {
        let Some(line) = sheet.plan.sections.iter().find(|line| line.id == section.id) else {
            continue;
        };
        let own = sheet
            .benches
            .iter()
            .filter(|bench| bench.piece.section == index && bench.piece.sample.is_none());
        let is = own.map(|bench| ready(sheet, bench)).max().unwrap_or(starts);
        let said = Moment::of(&line.ready);
        // a section that was ready before this plan starts may say so, or say the start
        let before_the_plan = is < starts && said == starts;
        if !near(said, is) && !before_the_plan {
            let text = format!(
                "{} is ready {}; the plan says {}",
                section.name,
                sheet.clock(is),
                sheet.clock(said)
            );
            found.document(Rule::SectionReady, text);
        }
    }
}

fn times(sheet: &Sheet<'_>, found: &mut Breaches) {
    let plan = sheet.plan;
    let ready = plan.sections.iter().map(|line| Moment::of(&line.ready)).max();
    if let Some(ready) = ready.filter(|ready| !near(*ready, Moment::of(&plan.ready))) {
        let text = format!(
            "all is ready {}; the plan says {}",
            sheet.clock(ready),
            sheet.clock(Moment::of(&plan.ready))
        );
        found.document(Rule::PlanTimes, text);
    }
    let loose = |with_set_up: bool| {
        let ops = sheet
            .ops
            .iter()
            .filter(|op| op.phase == Phase::Loose && (with_set_up || op.piece.is_some()));
        ops.map(|op| op.until).max()
    };
    let said = Moment::of(&plan.ends);
    let ends = [loose(false), loose(true)];
    if ends.iter().flatten().next().is_some() && !ends.contains(&Some(said)) {
        let text = format!(
            "the last work on a loose part ends {}; the plan says {}",
            sheet.clock(ends.into_iter().flatten().min().unwrap_or(said)),
            sheet.clock(said)
        );
        found.document(Rule::PlanTimes, text);
    }
    finished(sheet, found);
}

/// Finished is when the assembled steps end, with or without the cleaning out after them; with glue-ups only,
/// nothing need be said.
fn finished(sheet: &Sheet<'_>, found: &mut Breaches) {
    let said = sheet.plan.finished.as_ref().map(Moment::of);
    let assembled = || {
        sheet
            .ops
            .iter()
            .filter(|op| op.phase == Phase::Assembled || op.assembly.is_some())
    };
    let is_set_up = |op: &Op<'_>| matches!(op.step, StepKind::ChangeOver | StepKind::CleanUp | StepKind::Mix);
    let steps = assembled()
        .filter(|op| op.step != StepKind::GlueUp && !is_set_up(op))
        .map(|op| op.until)
        .max();
    let with_glue = assembled().filter(|op| !is_set_up(op)).map(|op| op.until).max();
    let with_all = assembled().map(|op| op.until).max();
    if ![steps, with_glue, with_all].contains(&said) {
        let clock = |at: Option<Moment>| at.map_or("nothing".to_owned(), |at| sheet.clock(at));
        found.document(
            Rule::PlanTimes,
            format!(
                "the assembled steps end: {}; the plan says {}",
                clock(steps),
                clock(said)
            ),
        );
    }
}

fn bound(sheet: &Sheet<'_>, found: &mut Breaches) {
    let plan = sheet.plan;
    let (starts, bound, ready) = (
        Moment::of(&plan.starts),
        Moment::of(&plan.bound),
        Moment::of(&plan.ready),
    );
    // all may have been ready before this plan begins
    if bound > ready || bound < starts.min(ready) {
        let text = format!(
            "no plan can be ready before {}, says a plan that starts {} and is ready {}",
            sheet.clock(bound),
            sheet.clock(starts),
            sheet.clock(ready)
        );
        found.document(Rule::Bound, text);
        return;
    }
    let room = (bound - starts).0;
    let gap = if room > 0 {
        100.0 * (ready - bound).0 as f64 / room as f64
    } else {
        0.0
    };
    if !plan.gap_percent.is_finite() || (plan.gap_percent - gap).abs() > 0.06 {
        found.document(
            Rule::Bound,
            format!(
                "the gap to the bound is {gap:.1} %; the plan says {:.1} %",
                plan.gap_percent
            ),
        );
    }
}
