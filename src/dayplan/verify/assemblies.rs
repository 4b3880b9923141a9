//! Glue-ups and the steps on assembled work.
//!
//! Invariant: an assembly is made only of pieces that are ready and of assemblies that have cured.

use super::drying::{judge_wait, waits_of};
use super::recoat::windows;
use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet, word};
use crate::dayplan::document::Operation;
use crate::finish::schedule::trunk;
use crate::finish::{Phase, Stage, Step, StepKind};
use crate::job::{Assembly, Show};
use crate::units::{Moment, Span};
use foldhash::HashMap;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for assembly in &sheet.job.assemblies {
        let own = sheet
            .assembled
            .iter()
            .filter(|op| op.assembly.as_deref() == Some(assembly.id.as_str()));
        let own: Vec<&Op<'_>> = own.collect();
        let glue = once(sheet, assembly, &own, found);
        if let Some(glue) = glue {
            crew(sheet, assembly, glue, found);
            pieces_ready(sheet, assembly, glue, found);
            inner(sheet, assembly, glue, found);
        }
        let steps: Vec<&Op<'_>> = own.iter().filter(|op| op.step != StepKind::GlueUp).copied().collect();
        after_glue(sheet, assembly, glue, &steps, found);
        assembled_films(sheet, assembly, &steps, found);
        for (index, one) in own.iter().enumerate() {
            for other in own.iter().skip(index + 1).filter(|other| one.overlaps(other)) {
                let text = format!(
                    "{} is in {} and in {} at the same time",
                    assembly.name, one.id, other.id
                );
                found.between(Rule::PieceBusy, &[one, other], text);
            }
        }
    }
    missing(sheet, found);
}

/// The one glue-up of an assembly, and its line.
fn once<'b, 'a>(
    sheet: &Sheet<'a>,
    assembly: &Assembly,
    own: &[&'b Op<'a>],
    found: &mut Breaches,
) -> Option<&'b Op<'a>> {
    let glues: Vec<&Op<'a>> = own.iter().filter(|op| op.step == StepKind::GlueUp).copied().collect();
    let given_up = sheet.plan.operations.iter().any(|line| {
        line.step == StepKind::GlueUp
            && line.assembly.as_deref() == Some(assembly.id.as_str())
            && sheet.op(&line.id).is_none()
    });
    let due = usize::from(assembly.minutes.is_some() && !given_up);
    if glues.len() != due {
        found.document(
            Rule::GlueUp,
            format!(
                "{} is glued up {} times in the plan, {due} in the job",
                assembly.name,
                glues.len()
            ),
        );
    }
    let line = sheet.plan.assemblies.iter().find(|line| line.id == assembly.id);
    let said = line.and_then(|line| line.at.as_ref()).map(Moment::of);
    if let (Some(glue), true) = (glues.first(), due == 1)
        && said != Some(glue.from)
    {
        let said = said.map_or("nothing".to_owned(), |said| sheet.clock(said));
        found.document(
            Rule::GlueUp,
            format!(
                "{} is glued up {}; its line says {said}",
                assembly.name,
                sheet.clock(glue.from)
            ),
        );
    }
    own.iter().find(|op| op.step == StepKind::GlueUp).copied()
}

fn crew(sheet: &Sheet<'_>, assembly: &Assembly, glue: &Op<'_>, found: &mut Breaches) {
    let needed = (assembly.hands as usize).min(sheet.job.hands.len());
    if glue.hands.len() < needed {
        let text = format!(
            "{}: {} for the glue-up; it takes {needed}",
            assembly.name,
            glue.hands.len()
        );
        found.by(Rule::GlueUp, &[glue], text);
    }
    let least = f64::from(assembly.minutes.unwrap_or(0));
    if glue.hands_minutes < least - 1.0 {
        let text = format!(
            "{}: {:.0} min of hands for the glue-up; the job says {least:.0}",
            assembly.name, glue.hands_minutes
        );
        found.by(Rule::GlueUp, &[glue], text);
    }
}

/// Every piece in it is done with, hard dry, and left alone afterwards.
fn pieces_ready(sheet: &Sheet<'_>, assembly: &Assembly, glue: &Op<'_>, found: &mut Breaches) {
    for bench in sheet.pieces_of(&assembly.id) {
        for op in bench.loose() {
            if op.until > glue.from {
                let text = format!(
                    "{} is glued into {} at {}, before {} is over",
                    bench.piece.name,
                    assembly.name,
                    sheet.clock(glue.from),
                    op.id
                );
                found.by(Rule::GlueUp, &[glue, op], text);
            }
            let hard = if op.is_coating() {
                sheet.surely(op, Stage::DryHard)
            } else {
                op.until
            };
            if hard > glue.from && op.until <= glue.from {
                let text = format!(
                    "{}: glued up at {}; its film is hard dry {}",
                    bench.piece.name,
                    sheet.clock(glue.from),
                    sheet.clock(hard)
                );
                found.by(Rule::GlueWait, &[glue, op], text);
            }
        }
    }
}

/// Assemblies built into it are glued and cured.
fn inner(sheet: &Sheet<'_>, assembly: &Assembly, glue: &Op<'_>, found: &mut Breaches) {
    let built_in = sheet
        .job
        .assemblies
        .iter()
        .filter(|other| assembly.assemblies.contains(&other.id) && other.minutes.is_some());
    for other in built_in {
        let before = sheet
            .ops
            .iter()
            .find(|op| op.step == StepKind::GlueUp && op.assembly.as_deref() == Some(other.id.as_str()));
        match before.map(|op| op.until + Span(other.cure)) {
            Some(cured) if cured <= glue.from => {}
            Some(cured) => {
                let text = format!(
                    "{} is built into {} at {}; its glue has cured {}",
                    other.name,
                    assembly.name,
                    sheet.clock(glue.from),
                    sheet.clock(cured)
                );
                found.by(Rule::Cure, &[glue], text);
            }
            None => found.by(
                Rule::GlueUp,
                &[glue],
                format!("{} is built into {} and never glued", other.name, assembly.name),
            ),
        }
    }
}

/// Steps on the assembly come after its glue has cured.
fn after_glue(sheet: &Sheet<'_>, assembly: &Assembly, glue: Option<&Op<'_>>, steps: &[&Op<'_>], found: &mut Breaches) {
    for op in steps {
        let Some(glue) = glue else {
            found.by(
                Rule::GlueUp,
                &[op],
                format!("{} works on {}, which is never glued up", op.id, assembly.name),
            );
            continue;
        };
        let cured = glue.until + Span(assembly.cure);
        if op.from < cured {
            let text = format!(
                "{} starts {}; the glue of {} has cured {}",
                op.id,
                sheet.clock(op.from),
                assembly.name,
                sheet.clock(cured)
            );
            found.by(Rule::Cure, &[op, glue], text);
        }
    }
}

/// Films under assembled steps: dry through for rub-out and wax; wax on wax in its window; waits; order.
fn assembled_films(sheet: &Sheet<'_>, assembly: &Assembly, steps: &[&Op<'_>], found: &mut Breaches) {
    for op in steps
        .iter()
        .filter(|op| matches!(op.step, StepKind::RubOut | StepKind::Wax))
    {
        // where several finishes meet on an assembly, the operations of each carry its name
        let named = op.line().id.rsplit_once('/').map(|(_, tail)| tail);
        let named = named.filter(|tail| sheet.job.schedules.contains_key(*tail));
        for bench in sheet.pieces_of(&assembly.id) {
            let ours = bench
                .piece
                .surfaces
                .iter()
                .filter(|surface| named.is_none_or(|id| surface.schedule.as_deref().map(trunk) == Some(id)));
            let due = ours.filter(|surface| {
                let steps = sheet
                    .schedule(surface)
                    .map(|schedule| schedule.steps.as_slice())
                    .unwrap_or_default();
                steps.iter().any(|step| asks_for(step, op))
            });
            for film in due
                .filter_map(|surface| bench.film_under(&surface.id, op.from))
                .filter(|film| film.is_coating())
            {
                let through = sheet.surely(film, Stage::DryThrough);
                if op.from < through {
                    let text = format!(
                        "{}: {} at {}; the film of {} is dry through {}",
                        assembly.name,
                        word(op.step),
                        sheet.clock(op.from),
                        bench.piece.name,
                        sheet.clock(through)
                    );
                    found.by(Rule::RubWait, &[op, film], text);
                }
            }
        }
    }
    let waxes: Vec<&&Op<'_>> = steps.iter().filter(|op| op.step == StepKind::Wax).collect();
    for (one, next) in waxes.iter().zip(waxes.iter().skip(1)) {
        let spans = windows(sheet, one, next.line().product.as_deref().unwrap_or_default());
        if !spans
            .iter()
            .any(|span| span.opens <= next.from && next.from <= span.closes)
        {
            let opens = spans.iter().map(|span| span.opens).min().unwrap_or(next.from);
            let text = format!(
                "{}: waxed again at {}; the wax beneath may be gone over {}",
                assembly.name,
                sheet.clock(next.from),
                sheet.clock(opens)
            );
            found.by(Rule::RecoatWindow, &[next, one], text);
        }
    }
    let pieces = sheet.pieces_of(&assembly.id);
    let mut schedules: Vec<&str> = pieces
        .iter()
        .flat_map(|bench| &bench.piece.surfaces)
        .filter_map(|surface| surface.schedule.as_deref().map(trunk))
        .collect();
    schedules.sort_unstable();
    schedules.dedup();
    for schedule in schedules.into_iter().filter_map(|id| sheet.job.schedules.get(id)) {
        // where several finishes meet on an assembly, the operations of each carry its name
        let tail = format!("/{}", schedule.id);
        let named: Vec<&Op<'_>> = steps
            .iter()
            .copied()
            .filter(|op| op.line().id.ends_with(&tail))
            .collect();
        let own = if named.is_empty() { steps } else { named.as_slice() };
        for pair in waits_of(schedule, Phase::Assembled) {
            judge_wait(sheet, &assembly.name, own, pair, found);
        }
        in_order(sheet, assembly, &schedule.steps, own, found);
    }
}

fn asks_for(step: &Step, op: &Op<'_>) -> bool {
    step.phase == Phase::Assembled && step.kind == op.step && (step.product.is_none() || step.product == op.product)
}

/// Assembled steps that are there follow the schedule's order.
fn in_order(sheet: &Sheet<'_>, assembly: &Assembly, due: &[Step], steps: &[&Op<'_>], found: &mut Breaches) {
    let mut over: Option<Moment> = None;
    let mut used: Vec<&str> = Vec::new();
    for step in due.iter().filter(|step| step.phase == Phase::Assembled) {
        let fits = |op: &&&Op<'_>| asks_for(step, op) && !used.contains(&op.line().id.as_str());
        let Some(op) = steps.iter().find(fits) else { continue };
        used.push(op.line().id.as_str());
        if over.is_some_and(|over| op.from < over) {
            let text = format!(
                "{}: {} at {} comes before what it has to follow",
                assembly.name,
                word(step.kind),
                sheet.clock(op.from)
            );
            found.by(Rule::Order, &[op], text);
        }
        over = Some(op.until);
    }
}

/// Every assembled step of a piece's schedules is done: on an assembly the piece is in, or on the piece where
/// it goes into none. Where a glue-up is not to be planned, what follows it cannot be either.
fn missing(sheet: &Sheet<'_>, found: &mut Breaches) {
    let mut on_assembly: HashMap<&str, Vec<&Operation>> = HashMap::default();
    let mut on_piece: HashMap<&str, Vec<&Operation>> = HashMap::default();
    for line in &sheet.plan.operations {
        if let Some(assembly) = line.assembly.as_deref() {
            on_assembly.entry(assembly).or_default().push(line);
        } else if let Some(piece) = line.piece.as_deref() {
            on_piece.entry(piece).or_default().push(line);
        }
    }
    for bench in &sheet.benches {
        let holders = sheet.holders_of(&bench.piece.id);
        if holders.iter().any(|assembly| assembly.minutes.is_none()) {
            continue;
        }
        let on_holders = holders
            .iter()
            .filter_map(|assembly| on_assembly.get(assembly.id.as_str()));
        let on_it = on_holders.chain(on_piece.get(bench.piece.id.as_str())).flatten();
        let on_it: Vec<&Operation> = on_it.copied().collect();
        for surface in &bench.piece.surfaces {
            let steps = sheet
                .schedule(surface)
                .map(|schedule| schedule.steps.as_slice())
                .unwrap_or_default();
            let seen = surface.show == Show::Show;
            for step in steps
                .iter()
                .filter(|step| step.phase == Phase::Assembled && (seen || !step.show_only))
            {
                let asked = |line: &&Operation| {
                    step.kind == line.step && (step.product.is_none() || step.product == line.product)
                };
                if !on_it.iter().any(asked) {
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
}
