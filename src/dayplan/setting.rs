//! What the document says besides the work: sections, pieces, products, places, hands, the foreseen air.
//!
//! Invariant: nothing is decided here; all of it follows from the job and from when the work is done.

use super::document::{
    AssemblyAt, ChangeOver, HandShifts, PlaceLine, PlanJoint, PlanPiece, PlanProduct, PlanSurface, SectionReady, Stamp,
    StatedWindow,
};
use super::dry;
use super::shifts;
use super::tell::{Told, place_id};
use crate::finish::{Opening, Product, StepKind};
use crate::job::PlaceKind;
use crate::units::{Moment, Span};

pub(super) fn sections(told: &Told) -> Vec<SectionReady> {
    let frame = told.frame;
    let sections = frame.job.sections.iter().enumerate();
    let line = |(index, section): (usize, &crate::job::Section)| {
        let pieces = frame
            .job
            .pieces
            .iter()
            .enumerate()
            .filter(|(_, piece)| piece.section == index);
        let ready = pieces
            .filter_map(|(piece, _)| frame.work.ready.get(piece))
            .flatten()
            .filter_map(|&(at, delay)| {
                let (_, end) = told.times(at)?;
                frame.over(at, delay, end)
            });
        SectionReady {
            id: section.id.clone(),
            ready: told.stamp(ready.max().unwrap_or(frame.now)),
            due: section.due.map(|due| told.stamp(due)),
            weight: section.weight,
        }
    };
    sections.map(line).collect()
}

pub(super) fn assemblies(told: &Told) -> Vec<AssemblyAt> {
    let frame = told.frame;
    let at = |index: usize| {
        let glue = |operation: &crate::work::WorkOperation| {
            operation.assembly == Some(index) && operation.step == StepKind::GlueUp
        };
        frame
            .work
            .operations
            .iter()
            .position(glue)
            .and_then(|at| told.times(at))
            .map(|(start, _)| told.stamp(start))
    };
    let assemblies = frame.job.assemblies.iter().enumerate();
    assemblies
        .map(|(index, assembly)| AssemblyAt {
            id: assembly.id.clone(),
            made_of: assembly.made_of.iter().chain(&assembly.assemblies).cloned().collect(),
            at: at(index),
        })
        .collect()
}

pub(super) fn pieces(told: &Told) -> Vec<PlanPiece> {
    let job = told.frame.job;
    let due = |schedule: &Option<String>| {
        let schedule = schedule.as_ref().and_then(|id| job.schedules.get(id));
        schedule.map_or_else(Vec::new, |schedule| schedule.coats_due().map(str::to_owned).collect())
    };
    let piece = |piece: &crate::job::Piece| PlanPiece {
        id: piece.id.clone(),
        part: job
            .parts
            .get(piece.part)
            .map_or_else(|| piece.id.clone(), |part| part.id.clone()),
        section: job
            .sections
            .get(piece.section)
            .map_or_else(String::new, |section| section.id.clone()),
        shape: piece.shape,
        build: piece.build,
        material: piece.material.clone(),
        length: piece.length.0,
        width: piece.width.0,
        thickness: piece.thickness.0,
        wide_panel: job.is_wide(piece),
        surfaces: piece
            .surfaces
            .iter()
            .map(|surface| PlanSurface {
                id: surface.id.clone(),
                label: surface.label.clone(),
                show: surface.show,
                area: surface.area.0,
                due: due(&surface.schedule),
            })
            .collect(),
        joints: piece
            .joints
            .iter()
            .map(|joint| PlanJoint {
                id: joint.id.clone(),
                kind: joint.kind,
                area: joint.area.0,
            })
            .collect(),
    };
    job.pieces.iter().map(piece).collect()
}

pub(super) fn job_products(told: &Told) -> Vec<PlanProduct> {
    let window = |product: &Product, window: &crate::finish::RecoatWindow| StatedWindow {
        next: window.next.clone(),
        from_minutes: match &window.opens {
            Opening::Stage(stage) => product.slow_minutes(*stage, 1).unwrap_or(0.0),
            Opening::After(figure) => figure.high,
        },
        until_minutes: window.closes.as_ref().map(|closes| closes.low),
        prepare: window.prepare,
    };
    let product = |(product, _): &(Product, crate::clock::DryingClock)| PlanProduct {
        id: product.id.clone(),
        mechanism: product.mechanism,
        stated_at: (product.stated_at.temperature.0, product.stated_at.humidity.0),
        start_floor_c: product.start_floor.as_ref().map(|floor| floor.high),
        drying_floor_c: product.drying_floor.as_ref().map(|floor| floor.high),
        must_reach: product.must_reach.map(dry::stage_name),
        windows: product.windows.iter().map(|line| window(product, line)).collect(),
    };
    let used = |product: &&(Product, crate::clock::DryingClock)| {
        told.frame
            .work
            .operations
            .iter()
            .any(|operation| operation.product.as_deref() == Some(&product.0.id))
    };
    told.frame.clocks().iter().filter(used).map(product).collect()
}

pub(super) fn changeovers(told: &Told) -> Vec<ChangeOver> {
    let families = &told.named.network.families;
    let mut lines = Vec::new();
    for (from, one) in families.iter().enumerate() {
        for (to, other) in families.iter().enumerate() {
            if from != to {
                let name = |at: usize| told.named.families.get(at).cloned().unwrap_or_default();
                lines.push(ChangeOver {
                    from: name(from),
                    to: name(to),
                    minutes: one.close + other.open,
                });
            }
        }
    }
    lines
}

pub(super) fn places(told: &Told) -> Vec<PlaceLine> {
    let all = [
        PlaceKind::Bearers,
        PlaceKind::Points,
        PlaceKind::Hooks,
        PlaceKind::Racks,
    ];
    let used = |kind: &PlaceKind| {
        told.frame.job.room.places.of(*kind).is_some()
            || told
                .frame
                .job
                .pieces
                .iter()
                .any(|piece| piece.holding.place() == *kind || piece.or_on.contains(kind))
    };
    let line = |kind| PlaceLine {
        id: place_id(kind).to_owned(),
        kind,
        capacity: told.frame.job.room.places.of(kind),
    };
    all.into_iter().filter(used).map(line).collect()
}

pub(super) fn hands(told: &Told, until: Stamp) -> Vec<HandShifts> {
    let frame = told.frame;
    let last = told.solution.starts.iter().flatten().max().copied().unwrap_or(0);
    // as far as the plan goes, to the end of that day's work
    let until = Moment::of(&until).max(frame.moment(last)) + Span::days(1);
    let hand = |hand: &crate::job::Hand| {
        let hours = hand.hours.as_ref().unwrap_or(&frame.job.hours);
        let stretches = shifts::stretches(frame.job, hours, frame.origin, until);
        HandShifts {
            name: hand.name.clone(),
            shifts: stretches
                .into_iter()
                .map(|(from, until)| (told.stamp(from), told.stamp(until)))
                .collect(),
        }
    };
    frame.job.hands.iter().map(hand).collect()
}

pub(super) fn climate(told: &Told) -> Vec<(Stamp, f64, f64)> {
    let last = told.solution.starts.iter().flatten().max().copied().unwrap_or(0);
    let until = told.frame.moment(last) + Span::days(1);
    let tenth = |value: f64| (value * 10.0).round() / 10.0;
    let points = told.frame.wound().points().iter().filter(|(at, _)| *at <= until);
    points
        .map(|&(at, air)| (told.stamp(at), tenth(air.temperature.0), tenth(air.humidity.0)))
        .collect()
}
