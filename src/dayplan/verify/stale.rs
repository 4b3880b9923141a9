//! Staleness: bare wood prepared too long ago.
//!
//! Invariant: counts from the end of the last time a step was done to the start of the first coat there.

use super::abrading::last_sanding;
use super::hours;
use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet, loose_steps, word};
use crate::finish::StepKind;
use crate::units::Span;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        for surface in &bench.piece.surfaces {
            let Some(first) = bench.films(&surface.id).next() else {
                continue;
            };
            let Some(schedule) = sheet.schedule(surface) else {
                continue;
            };
            for step in loose_steps(schedule, surface) {
                let Some(limit) = step.stale_after.as_ref().map(|limit| Span(limit.low as i64)) else {
                    continue;
                };
                let done = match step.kind {
                    StepKind::Sand | StepKind::CutBack => last_sanding(bench, &surface.id, first.from),
                    kind => bench
                        .of_kind(kind)
                        .filter(|op| op.covers(&surface.id) && op.from < first.from)
                        .last(),
                };
                // over closed days nobody could have done it again: what counts is working time past the limit
                let late = |done: &&Op<'_>| {
                    let old = done.until + limit;
                    first.from > old && hours::worked(sheet, old, first.from) > hours::AGAIN_MINUTES
                };
                let Some(done) = done.filter(late) else {
                    continue;
                };
                // doing it again was decided away
                let again = |op: &&Op<'_>| op.step == step.kind && op.covers(&surface.id);
                if bench
                    .skipped
                    .iter()
                    .filter(again)
                    .any(|op| op.from >= done.until + limit)
                {
                    continue;
                }
                let text = format!(
                    "{}: {} is {} old at the first coat ({}); {limit} is the limit",
                    bench.piece.name,
                    word(step.kind),
                    first.from - done.until,
                    sheet.clock(first.from)
                );
                found.by(Rule::Stale, &[first, done], text);
            }
        }
    }
}
