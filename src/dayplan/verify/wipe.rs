//! Flood and wipe: the excess off in time, and off again when it has bled back.
//!
//! Invariant: a spot is wet from the moment the flood passes it to the moment the wipe passes it. A surface by
//! itself whose coat takes longer than it may stand can only be worked in bands, each wiped before the next is
//! flooded: then the last spot speaks for all.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet};
use crate::finish::{StepKind, Wipe};
use crate::units::{Moment, Span};

/// Operations lie on whole minutes.
const ROUNDING: f64 = 1.0;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        for coat in bench.loose().filter(|op| op.is_coating()) {
            if let Some(wipe) = sheet.product(coat).and_then(|product| product.wipe.as_ref()) {
                one(sheet, bench, coat, wipe, found);
            }
        }
    }
}

fn one(sheet: &Sheet<'_>, bench: &Bench<'_>, coat: &Op<'_>, wipe: &Wipe, found: &mut Breaches) {
    let name = &bench.piece.name;
    for surface in &coat.line().surfaces {
        let next = bench
            .films(surface)
            .find(|film| film.from > coat.from)
            .map(|film| film.from);
        let wiped = after(bench, StepKind::WipeBack, surface, coat.until, next);
        let limit = coat.from + Span(wipe.within.low as i64);
        let Some(wiped) = wiped else {
            if !bench.is_skipped(StepKind::WipeBack, surface) {
                let limit = sheet.clock(limit);
                let text = format!(
                    "{name}: the excess of {} is not wiped off; the limit is {limit}",
                    coat.id
                );
                found.piece(Rule::WipeBack, &bench.piece.id, text);
            }
            continue;
        };
        // flood and wipe go over the piece in the same order, so the first and the last spot bound all others
        let stood = [(wiped.from - coat.from).0, (wiped.until - coat.until).0];
        let in_bands = coat.line().surfaces.len() == 1 && (coat.until - coat.from).0 as f64 > wipe.within.low;
        let (shortest, longest) = if in_bands {
            (stood[1], stood[1])
        } else {
            (stood[0].min(stood[1]), stood[0].max(stood[1]))
        };
        if longest as f64 > wipe.within.low + ROUNDING && !sheet.is_past(coat, limit) {
            let text = format!(
                "{name}: {} stands {} before it is wiped; the limit is {}",
                coat.id,
                Span(longest),
                Span(wipe.within.low as i64)
            );
            found.by(Rule::WipeBack, &[wiped, coat], text);
        }
        if (shortest as f64) < wipe.soak.low - ROUNDING {
            let text = format!(
                "{name}: {} is wiped after {}; it soaks for {}",
                coat.id,
                Span(shortest),
                Span(wipe.soak.low.ceil() as i64)
            );
            found.by(Rule::WipeBack, &[wiped, coat], text);
        }
        again(sheet, bench, (surface, coat, wiped), wipe, next, found);
    }
}

fn again(
    sheet: &Sheet<'_>,
    bench: &Bench<'_>,
    (surface, coat, wiped): (&str, &Op<'_>, &Op<'_>),
    wipe: &Wipe,
    next: Option<Moment>,
    found: &mut Breaches,
) {
    let Some(least) = &wipe.again_after else { return };
    let name = &bench.piece.name;
    let from = wiped.until + Span(least.low as i64);
    let Some(rewiped) = after(bench, StepKind::ReWipe, surface, wiped.until, next) else {
        if !bench.is_skipped(StepKind::ReWipe, surface) {
            let from = sheet.clock(from);
            let text = format!("{name}: {} bleeds back and is not wiped again from {from}", coat.id);
            found.piece(Rule::ReWipe, &bench.piece.id, text);
        }
        return;
    };
    let until = wipe
        .again_within
        .as_ref()
        .map(|most| wiped.until + Span(most.low as i64));
    let early = rewiped.from < from;
    if early || until.is_some_and(|until| rewiped.from > until && !sheet.is_past(wiped, until)) {
        let until = until.map_or("any time".to_owned(), |until| sheet.clock(until));
        let text = format!(
            "{name}: wiped again at {}; due from {} to {until}",
            sheet.clock(rewiped.from),
            sheet.clock(from)
        );
        found.by(Rule::ReWipe, &[rewiped, coat], text);
    }
}

/// The first operation of a kind on a surface after an instant, and before the next coat.
fn after<'b, 'a>(
    bench: &'b Bench<'a>,
    kind: StepKind,
    surface: &str,
    from: Moment,
    until: Option<Moment>,
) -> Option<&'b Op<'a>> {
    bench
        .of_kind(kind)
        .find(|op| op.covers(surface) && op.from >= from && until.is_none_or(|until| op.until <= until))
}
