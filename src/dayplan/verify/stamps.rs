//! The stages and windows written down for each film agree with the drying clock.
//!
//! Invariant: within [`TOLERANCE`]; a stage may be left open only where it is not stated, or not in sight.

use super::recoat::{Span, windows};
use super::rule::{Breaches, Rule};
use super::sheet::{LADDER, NEVER, Op, Sheet, stamp};
use crate::dayplan::document::{Dry, DryWindow};
use crate::finish::Stage;
use crate::units::Moment;

/// Minutes a stamp may differ: both sides count in whole minutes.
const TOLERANCE: i64 = 2;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for op in sheet.ops.iter().filter(|op| !op.is_fact()) {
        if op.lays_film() {
            film(sheet, op, found);
        }
    }
}

fn film(sheet: &Sheet<'_>, op: &Op<'_>, found: &mut Breaches) {
    let Some(product) = sheet.product(op) else {
        found.by(
            Rule::DryStamp,
            &[op],
            format!("{} puts on no product known to the job", op.id),
        );
        return;
    };
    let Some(dry) = op.line().dry.as_ref() else {
        found.by(Rule::DryStamp, &[op], format!("{} does not say when it is dry", op.id));
        return;
    };
    for stage in LADDER {
        let stated = product.time_to(stage, op.coat.unwrap_or(1));
        let is = stated.map_or(NEVER, |minutes| sheet.later(op, minutes.high));
        let said = stamp(dry, stage).map(|stamp| Moment::of(&stamp));
        // a product that states the stage may reach it after the last air looked at here
        let far = stated.is_some() && is == NEVER && said.is_none_or(|said| said >= sheet.air.end());
        if !far {
            differs(sheet, op, stage, said, is, found);
        }
    }
    if dry.dry_to_turn.is_some() && dry.dry_to_turn != dry.dry_to_touch {
        found.by(
            Rule::DryStamp,
            &[op],
            format!(
                "{}: may be turned when dry to touch, and the plan says otherwise",
                op.id
            ),
        );
    }
    recoat(sheet, op, dry, found);
}

/// What is said, beside what is. What lies past the end of the plan need not be in sight.
fn differs(sheet: &Sheet<'_>, op: &Op<'_>, stage: Stage, said: Option<Moment>, is: Moment, found: &mut Breaches) {
    let last = sheet.last.unwrap_or(op.until);
    let agrees = said.map_or(is > last, |said| is != NEVER && (said - is).0.abs() <= TOLERANCE);
    if !agrees {
        let said = said.map_or("nothing".to_owned(), |said| sheet.clock(said));
        let stage = spoken(&format!("{stage:?}"));
        let text = format!(
            "{}: {stage} {said}, says the plan; the drying clock says {}",
            op.id,
            sheet.clock(is)
        );
        found.by(Rule::DryStamp, &[op], text);
    }
}

/// `DryToTouch` as `dry to touch`.
fn spoken(name: &str) -> String {
    let mut words = String::new();
    for letter in name.chars() {
        if letter.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

/// The windows for the next coat due, in order.
fn recoat(sheet: &Sheet<'_>, op: &Op<'_>, dry: &Dry, found: &mut Breaches) {
    let Some(bench) = op.line().piece.as_deref().and_then(|id| sheet.bench(id)) else {
        return;
    };
    let nexts = op
        .line()
        .surfaces
        .iter()
        .filter_map(|surface| bench.films(surface).find(|film| film.from > op.from));
    let Some(next) = nexts
        .filter(|film| film.is_coating())
        .find_map(|film| film.line().product.as_deref())
    else {
        return;
    };
    // the fallback for pairs no window names is not a window that could be written down
    let named = sheet.product(op).is_some_and(|product| {
        product
            .windows
            .iter()
            .any(|window| window.next.as_deref().unwrap_or(&product.id) == next)
    });
    if !named {
        return;
    }
    let spans = windows(sheet, op, next);
    let near = |said: Moment, is: Moment| (said - is).0.abs() <= TOLERANCE;
    let last = sheet.last.unwrap_or(op.until);
    // what lies past the end of the plan need not be in sight
    let alike = |said: &DryWindow, is: &Span| {
        let closes = said.until.as_ref().map(Moment::of);
        said.prepare == is.prepare
            && near(Moment::of(&said.from), is.opens)
            && closes.map_or(is.closes > last, |closes| {
                near(closes, is.closes) || (is.closes == NEVER && closes >= sheet.air.end())
            })
    };
    for said in &dry.windows {
        if !spans.iter().any(|span| alike(said, span)) {
            let from = sheet.clock(Moment::of(&said.from));
            let text = format!(
                "{}: the drying clock has no recoat window as the plan has one from {from}",
                op.id
            );
            found.by(Rule::DryStamp, &[op], text);
        }
    }
    for span in spans
        .iter()
        .filter(|span| span.opens <= last && span.opens < span.closes)
    {
        if !dry.windows.iter().any(|said| alike(said, span)) {
            let text = format!(
                "{}: the plan leaves out the recoat window from {}",
                op.id,
                sheet.clock(span.opens)
            );
            found.by(Rule::DryStamp, &[op], text);
        }
    }
}
