//! Recoat windows: when the next coat may go on, and what the film needs first.
//!
//! Invariant: a window opens by the slow estimate and closes by the fast one; between two windows lies a gap.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, HAIR, NEVER, Op, Sheet, word};
use crate::finish::{Opening, Prepare, RecoatWindow, Stage, StepKind};
use crate::units::Moment;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        for surface in &bench.piece.surfaces {
            let films: Vec<&Op<'_>> = bench.films(&surface.id).collect();
            for (beneath, next) in films.iter().zip(films.iter().skip(1)) {
                // wax over a film waits until it is dry through, which is judged with the rubbing
                if next.step == StepKind::Wax && beneath.step != StepKind::Wax {
                    continue;
                }
                one(sheet, bench, &surface.id, (beneath, next), found);
            }
        }
        film_from(bench, found);
    }
}

/// A window in clock time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    pub opens: Moment,
    pub closes: Moment,
    pub prepare: Prepare,
}

/// The windows in which `next` (a product) may go over a film.
pub(super) fn windows(sheet: &Sheet<'_>, film: &Op<'_>, next: &str) -> Vec<Span> {
    let stamped = film.dry.as_ref().map(|dry| dry.windows.as_slice()).unwrap_or_default();
    if film.is_fact() && !stamped.is_empty() {
        let believe = |window: &crate::dayplan::document::DryWindow| Span {
            opens: Moment::of(&window.from),
            closes: window.until.as_ref().map_or(NEVER, Moment::of),
            prepare: window.prepare,
        };
        return stamped.iter().map(believe).collect();
    }
    let Some(product) = sheet.product(film) else {
        return Vec::new();
    };
    let fits = |window: &&RecoatWindow| window.next.as_deref().unwrap_or(&product.id) == next;
    let spans = product.windows.iter().filter(fits).map(|window| Span {
        opens: match &window.opens {
            Opening::Stage(stage) => sheet.surely(film, *stage),
            Opening::After(minutes) => sheet.later(film, minutes.high - HAIR),
        },
        closes: window
            .closes
            .as_ref()
            .map_or(NEVER, |minutes| sheet.sooner(film, minutes.low + HAIR)),
        prepare: window.prepare,
    });
    let spans: Vec<Span> = spans.collect();
    if spans.is_empty() {
        // no window names this pair: dry to recoat is the least there is to go by
        return vec![Span {
            opens: sheet.surely(film, Stage::DryToRecoat),
            closes: NEVER,
            prepare: Prepare::None,
        }];
    }
    spans
}

fn one(sheet: &Sheet<'_>, bench: &Bench<'_>, surface: &str, (beneath, next): (&Op<'_>, &Op<'_>), found: &mut Breaches) {
    let product = next.line().product.as_deref().unwrap_or_default();
    let spans = windows(sheet, beneath, product);
    let open: Vec<&Span> = spans
        .iter()
        .filter(|span| span.opens <= next.from && next.from <= span.closes)
        .collect();
    let at = || {
        format!(
            "{}, {surface}: {} goes on at {}",
            bench.piece.name,
            next.id,
            sheet.clock(next.from)
        )
    };
    if open.is_empty() {
        let closed = spans
            .iter()
            .filter(|span| span.closes < next.from)
            .map(|span| span.closes)
            .max();
        let opens = spans
            .iter()
            .filter(|span| span.opens > next.from)
            .map(|span| span.opens)
            .min();
        let opens = sheet.clock(opens.unwrap_or(NEVER));
        let text = match closed {
            Some(closed) => format!(
                "{}, in the gap: the window beneath closed {} and opens again {opens}",
                at(),
                sheet.clock(closed)
            ),
            None => format!("{}; the film beneath may be coated from {opens}", at()),
        };
        found.by(Rule::RecoatWindow, &[next, beneath], text);
    } else if !open
        .iter()
        .any(|span| prepared(bench, surface, beneath, next, span.prepare))
        && !given_up(bench, surface, beneath, next)
    {
        let needs = match open.first().map(|span| span.prepare) {
            Some(Prepare::Scuff) => word(StepKind::Scuff),
            _ => word(StepKind::Denib),
        };
        found.by(
            Rule::WindowPreparation,
            &[next, beneath],
            format!("{} without {needs}, which the film needs by then", at()),
        );
    }
}

fn prepared(bench: &Bench<'_>, surface: &str, beneath: &Op<'_>, next: &Op<'_>, prepare: Prepare) -> bool {
    let between = |op: &&Op<'_>| op.covers(surface) && beneath.until <= op.from && op.until <= next.from;
    let mut done = bench.loose().filter(between).map(|op| op.step);
    match prepare {
        Prepare::None => true,
        Prepare::Denib => done.any(|step| matches!(step, StepKind::Denib | StepKind::Scuff | StepKind::Flat)),
        Prepare::Scuff => done.any(|step| matches!(step, StepKind::Scuff | StepKind::Flat)),
    }
}

/// Whether the maker decided the preparation between two films away.
fn given_up(bench: &Bench<'_>, surface: &str, beneath: &Op<'_>, next: &Op<'_>) -> bool {
    let between = |op: &&Op<'_>| {
        let on_it = op.film_from.as_ref() == Some(&beneath.line().id);
        op.abrades_film() && op.covers(surface) && (on_it || op.coat.is_some_and(|coat| Some(coat) == next.coat))
    };
    bench.skipped.iter().any(|op| between(&op))
}

/// The film an operation names as the one it works on lies on top of one of its surfaces.
fn film_from(bench: &Bench<'_>, found: &mut Breaches) {
    for op in bench.loose() {
        let covered = bench.piece.surfaces.iter().filter(|surface| op.covers(&surface.id));
        // rubbing, wax and buffing may name the coat or the wax over it
        let any = matches!(op.step, StepKind::RubOut | StepKind::Wax | StepKind::Buff);
        let tops: Vec<&str> = covered
            .flat_map(|surface| {
                let top = bench.film_under(&surface.id, op.from);
                let films = bench.films(&surface.id).filter(|film| film.from < op.from);
                films.filter(move |film| any || top.is_some_and(|top| top.line().id == film.line().id))
            })
            .map(|film| film.line().id.as_str())
            .collect();
        let right = match op.film_from.as_deref() {
            Some(named) => tops.contains(&named) || bench.skipped.iter().any(|op| op.id == named),
            None => tops.is_empty() || !(op.lays_film() || op.abrades_film()),
        };
        if !right {
            let said = op.line().film_from.as_deref().unwrap_or("no film");
            let lies = tops.first().copied().unwrap_or("no film");
            found.by(
                Rule::FilmFrom,
                &[op],
                format!("{} says it works on {said}; on top lies {lies}", op.id),
            );
        }
    }
}
