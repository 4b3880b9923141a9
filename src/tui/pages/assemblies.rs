//! Where every assembly stands: in parts, curing, wet, ready for its next step.
//!
//! Invariant: an assembly is glued only when the log says so; its films are dry by the plan's slow figures,
//! later by as much as they were laid later.

use super::super::bench::Sheet;
use crate::dayplan::document::Operation;
use crate::finish::StepKind;
use crate::units::{Moment, Span};

/// How an assembly is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// Not glued up yet; planned for.
    InParts(Option<Moment>),
    /// In the clamps, until.
    Curing(Moment),
    /// A film on it is wet, until.
    Wet(Moment),
    /// Its film may not be handled yet, until; `None`: the plan does not say.
    Drying(Option<Moment>),
    /// May be handled.
    Dry,
}

/// An assembly.
#[derive(Clone, Debug, PartialEq)]
pub struct AssemblyStanding {
    /// Index in the job's assemblies.
    pub assembly: usize,
    /// How it is.
    pub how: How,
    /// Coats put on since it was glued up.
    pub coats_on: usize,
    /// Coats the plan puts on it after the glue-up.
    pub coats_due: usize,
    /// The next operation of the plan on it, an index.
    pub next: Option<usize>,
}

/// Every assembly, in the job's order.
pub fn of(sheet: &Sheet) -> Vec<AssemblyStanding> {
    let operations = sheet.plan.as_ref().map_or(&[][..], |plan| plan.operations.as_slice());
    let one = |(index, assembly): (usize, &crate::job::Assembly)| {
        let on_it = |operation: &&Operation| operation.assembly.as_deref() == Some(assembly.id.as_str());
        let earlier = sheet.history.earlier.values();
        let all: Vec<&Operation> = operations.iter().chain(earlier).filter(on_it).collect();
        let is_coat = |operation: &&&Operation| matches!(operation.step, StepKind::Seal | StepKind::Coat);
        let done = |operation: &&&Operation| sheet.history.done(&operation.id).is_some();
        let next = operations.iter().enumerate().filter(|(_, operation)| on_it(operation));
        AssemblyStanding {
            assembly: index,
            how: how(sheet, &all, assembly.cure),
            coats_on: all.iter().filter(is_coat).filter(done).count(),
            coats_due: all.iter().filter(is_coat).count(),
            next: next
                .filter(|(_, operation)| !sheet.history.is_over(&operation.id))
                .min_by_key(|(_, operation)| operation.start)
                .map(|(index, _)| index),
        }
    };
    sheet.job.assemblies.iter().enumerate().map(one).collect()
}

fn how(sheet: &Sheet, all: &[&Operation], cure: i64) -> How {
    let now = sheet.standing.now;
    let glue = all.iter().find(|operation| operation.step == StepKind::GlueUp);
    let Some(glue) = glue else { return How::InParts(None) };
    let Some(glued) = sheet.history.done(&glue.id) else {
        return How::InParts(Some(Moment::of(&glue.start)));
    };
    let cured = glued.end + Span(cure);
    let films = all.iter().filter_map(|operation| {
        let done = sheet.history.done(&operation.id)?;
        Some((done.end, done.end - Moment::of(&operation.end), operation.dry.as_ref()?))
    });
    match films.max_by_key(|film| film.0) {
        _ if cured > now => How::Curing(cured),
        None => How::Dry,
        Some((_, late, dry)) => {
            let at = |stamp: Option<crate::dayplan::document::Stamp>| stamp.map(|at| Moment::of(&at) + late);
            let touch = at(dry.dry_to_touch.or(dry.dry_to_turn));
            match (touch, at(dry.dry_to_handle)) {
                (Some(touch), _) if touch > now => How::Wet(touch),
                (_, Some(handle)) if handle > now => How::Drying(Some(handle)),
                (_, None) => How::Drying(None),
                (_, Some(_)) => How::Dry,
            }
        }
    }
}
