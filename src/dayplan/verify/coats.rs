//! Coats: all that are due, once, in order, and nothing over wax.
//!
//! Invariant: counted surface by surface from the operations, never from what the plan says of itself.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Op, Sheet, loose_steps, word};
use crate::finish::{Schedule, Stage, Step, StepKind};
use crate::job::Surface;
use crate::units::Moment;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        for surface in &bench.piece.surfaces {
            due(sheet, bench, surface, found);
            numbers(bench, surface, found);
            nothing_over_wax(sheet, bench, surface, found);
            if let Some(schedule) = sheet.schedule(surface) {
                between_coats(sheet, bench, surface, schedule, found);
                dry_fit(sheet, bench, surface, schedule, found);
                after_coats(bench, surface, schedule, found);
            }
        }
        over_assembled_wax(sheet, bench, found);
    }
}

/// The coats that go on are the coats due: their number, their products, their steps, in order.
fn due(sheet: &Sheet<'_>, bench: &Bench<'_>, surface: &Surface, found: &mut Breaches) {
    let steps: Vec<&Step> = sheet
        .schedule(surface)
        .map(|schedule| loose_steps(schedule, surface).collect())
        .unwrap_or_default();
    let due: Vec<&Step> = steps
        .into_iter()
        .filter(|step| matches!(step.kind, StepKind::Seal | StepKind::Coat))
        .collect();
    let coats: Vec<&Op<'_>> = bench.coats(&surface.id).collect();
    let given_up = bench
        .skipped
        .iter()
        .filter(|op| op.is_counted_coat() && op.covers(&surface.id))
        .count();
    let at = format!("{}, {}", bench.piece.name, surface.label);
    if coats.len() + given_up < due.len() {
        let text = format!("{at}: {} of {} coats", coats.len(), due.len());
        found.piece(Rule::Coats, &bench.piece.id, text);
    }
    for (index, op) in coats.iter().enumerate() {
        let Some(step) = due.get(index) else {
            let text = format!(
                "{at}: coat {} goes on at {}, and {} are due",
                index + 1,
                sheet.clock(op.from),
                due.len()
            );
            found.by(Rule::Coats, &[op], text);
            continue;
        };
        if given_up == 0 && (op.product != step.product || op.step != step.kind) {
            let name = |product: Option<&str>| product.unwrap_or("no product").to_owned();
            let text = format!(
                "{at}: coat {} is {}; due is {}",
                index + 1,
                name(op.line().product.as_deref()),
                name(step.product.as_deref())
            );
            found.by(Rule::Coats, &[op], text);
        }
    }
}

/// Coats are numbered one, two, three as they go on; where the maker left one out, its number is left out.
fn numbers(bench: &Bench<'_>, surface: &Surface, found: &mut Breaches) {
    let left_out = bench
        .skipped
        .iter()
        .filter(|op| op.is_counted_coat() && op.covers(&surface.id));
    let left_out: Vec<u8> = left_out.filter_map(|op| op.coat).collect();
    let mut numbers = (1..=u8::MAX).filter(|number| !left_out.contains(number));
    for op in bench.coats(&surface.id) {
        let number = numbers.next();
        if op.coat != number {
            let say = |number: Option<u8>| number.map_or("none".to_owned(), |number| number.to_string());
            let text = format!(
                "{}, {}: {} is coat {} there and has number {}",
                bench.piece.name,
                surface.label,
                op.id,
                say(number),
                say(op.coat)
            );
            found.by(Rule::CoatNumber, &[op], text);
        }
    }
}

/// Nothing but more of its kind goes over a product that nothing sticks to.
fn nothing_over_wax(sheet: &Sheet<'_>, bench: &Bench<'_>, surface: &Surface, found: &mut Breaches) {
    let terminal = |op: &Op<'_>| sheet.product(op).is_some_and(|product| product.terminal);
    let mut wax: Option<&Op<'_>> = None;
    for film in bench.films(&surface.id) {
        match wax {
            Some(wax) if !terminal(film) => {
                let text = format!(
                    "{}, {}: {} would go over the wax of {}; strip the wax first",
                    bench.piece.name,
                    surface.label,
                    film.id,
                    sheet.clock(wax.from)
                );
                found.by(Rule::Terminal, &[film, wax], text);
            }
            _ if terminal(film) => wax = Some(film),
            _ => {}
        }
    }
}

/// Once an assembly is waxed none of its pieces is coated.
fn over_assembled_wax(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    let waxed = |op: &&Op<'_>| op.lays_film() && sheet.product(op).is_some_and(|product| product.terminal);
    for wax in sheet.assembled_with(&bench.piece.id).filter(waxed) {
        for coat in bench.ops.iter().filter(|op| op.is_coating() && wax.from <= op.from) {
            let text = format!(
                "{}: {} would go over the wax of {}; strip the wax first",
                bench.piece.name,
                coat.id,
                sheet.clock(wax.from)
            );
            found.by(Rule::Terminal, &[coat, wax], text);
        }
    }
}

/// Filler and colour of the schedule are there: over as many coats as the schedule has beneath them, and under the
/// next. A glaze or a toner lies between two coats.
fn between_coats(sheet: &Sheet<'_>, bench: &Bench<'_>, surface: &Surface, schedule: &Schedule, found: &mut Breaches) {
    let coats: Vec<&Op<'_>> = bench.coats(&surface.id).collect();
    let left_out = bench
        .skipped
        .iter()
        .any(|op| op.is_counted_coat() && op.covers(&surface.id));
    let mut used: Vec<&str> = Vec::new();
    for (beneath, step) in schedule.loose_after() {
        let seen = surface.show == crate::job::Show::Show || !step.show_only;
        if !matches!(step.kind, StepKind::Fill | StepKind::Colour) || !seen {
            continue;
        }
        let fits = |op: &&Op<'_>| {
            op.covers(&surface.id) && op.product == step.product && !used.contains(&op.line().id.as_str())
        };
        let Some(op) = bench.of_kind(step.kind).find(fits) else {
            if !bench.is_skipped(step.kind, &surface.id) {
                missing(bench, surface, step, found);
            }
            continue;
        };
        used.push(op.line().id.as_str());
        // a coat the maker left out moves the others up: then only the first is held to
        let under = coats.get(beneath).filter(|_| beneath == 0 || !left_out);
        let over = beneath
            .checked_sub(1)
            .filter(|_| !left_out)
            .and_then(|at| coats.get(at));
        if under.is_some_and(|coat| coat.from < op.until) || over.is_some_and(|coat| op.from < coat.until) {
            let text = format!(
                "{}, {}: {} at {} is out of its place: {beneath} coats go beneath it, the rest over it",
                bench.piece.name,
                surface.label,
                word(step.kind),
                sheet.clock(op.from)
            );
            found.by(Rule::Order, &[op], text);
        }
    }
}

/// Where a schedule checks once more after its coats, a piece with joints is tried dry: over its last coat, with
/// the joints bare and the films fit to be handled.
fn dry_fit(sheet: &Sheet<'_>, bench: &Bench<'_>, surface: &Surface, schedule: &Schedule, found: &mut Breaches) {
    let mut checks = schedule.loose_after();
    let asked = checks.any(|(coats, step)| coats > 0 && step.kind == StepKind::Check);
    let Some(last) = bench
        .coats(&surface.id)
        .last()
        .filter(|_| asked && !bench.piece.joints.is_empty())
    else {
        return;
    };
    let tried = bench
        .of_kind(StepKind::Check)
        .find(|op| op.covers(&surface.id) && op.from >= last.until);
    let Some(tried) = tried else {
        if !bench.is_skipped(StepKind::Check, &surface.id) {
            let text = format!(
                "{}, {}: not tried in its joints again after the last coat",
                bench.piece.name, surface.label
            );
            found.piece(Rule::MissingStep, &bench.piece.id, text);
        }
        return;
    };
    let handled = sheet.surely(last, Stage::DryToHandle);
    let taped = bench.of_kind(StepKind::Unmask).any(|op| op.until > tried.from);
    if tried.from < handled || taped {
        let text = format!(
            "{}, {}: tried in its joints at {}; its film may be handled {}{}",
            bench.piece.name,
            surface.label,
            sheet.clock(tried.from),
            sheet.clock(handled),
            if taped {
                ", and its joints are still covered"
            } else {
                ""
            }
        );
        found.by(Rule::Order, &[tried, last], text);
    }
}

/// Rubbing out, wax and buffing of loose pieces follow the last coat, in the schedule's order.
fn after_coats(bench: &Bench<'_>, surface: &Surface, schedule: &Schedule, found: &mut Breaches) {
    let last_coat = bench.coats(&surface.id).last().map(|coat| coat.until);
    let mut over = last_coat.unwrap_or(Moment(i64::MIN));
    let mut used: Vec<&str> = Vec::new();
    for step in loose_steps(schedule, surface) {
        if !matches!(step.kind, StepKind::RubOut | StepKind::Wax | StepKind::Buff)
            || bench.is_skipped(step.kind, &surface.id)
        {
            continue;
        }
        let fits = |op: &&Op<'_>| {
            op.covers(&surface.id) && op.product == step.product && !used.contains(&op.line().id.as_str())
        };
        let Some(op) = bench.of_kind(step.kind).find(fits) else {
            missing(bench, surface, step, found);
            continue;
        };
        used.push(op.line().id.as_str());
        if op.from < over {
            let text = format!(
                "{}, {}: {} comes before what it has to follow",
                bench.piece.name,
                surface.label,
                word(step.kind)
            );
            found.by(Rule::Order, &[op], text);
        }
        over = op.until;
    }
}

fn missing(bench: &Bench<'_>, surface: &Surface, step: &Step, found: &mut Breaches) {
    let text = format!(
        "{}, {}: {} is left out, and the schedule has it",
        bench.piece.name,
        surface.label,
        word(step.kind)
    );
    found.piece(Rule::MissingStep, &bench.piece.id, text);
}
