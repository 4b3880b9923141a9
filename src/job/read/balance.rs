//! Equal coats on both faces of wide solid panels, and finishes that do not belong inside.
//!
//! Invariant: each part is reported once, whatever its count.

use super::accept::Accepted;
use super::part::{PartBody, PartDraft};
use super::room::RoomDraft;
use crate::finish::{Mechanism, Schedule};
use crate::job::{Build, Shape, Show, SurfaceRole};
use crate::source::{Code, Problem, Table};
use std::collections::BTreeMap;

/// Checks every part against the schedules its surfaces get.
pub(super) fn check(
    top: &Table<'_>,
    parts: &[PartDraft],
    schedules: &BTreeMap<String, Schedule>,
    room: Option<&RoomDraft>,
    accepted: &[Accepted],
) {
    let Some(room) = room else { return };
    let mut unequal_pieces: Vec<&str> = Vec::new();
    for draft in parts {
        let Some(body) = &draft.body else { continue };
        let wide =
            body.shape == Shape::Panel && body.build == Build::Solid && body.size.width.0 > room.room.wide_over.0;
        if wide
            && let Some((face, back)) = both_faces(body, schedules)
            && face != back
        {
            let pieces = draft.pieces.iter().map(|piece| piece.id.as_str());
            let open = |id: &str| {
                !accepted
                    .iter()
                    .any(|entry| entry.pieces.iter().any(|piece| piece == id))
            };
            unequal_pieces.extend(pieces.clone());
            if pieces.clone().any(open) {
                top.problems().push(if face.len() == back.len() {
                    unequal_products(draft, &face, &back)
                } else {
                    unequal_coats(draft, body, face.len(), back.len())
                });
            }
        }
        check_inside(top, draft, body, schedules);
    }
    check_needless(top, parts, accepted, &unequal_pieces);
}

/// The products due on the face and on the back, in order.
fn both_faces<'s>(body: &PartBody, schedules: &'s BTreeMap<String, Schedule>) -> Option<(Vec<&'s str>, Vec<&'s str>)> {
    let due = |role: SurfaceRole| {
        let surface = body.surfaces.iter().find(|surface| surface.role == role)?;
        match &surface.schedule {
            None => Some(Vec::new()),
            Some(id) => Some(schedules.get(id)?.coats_due().collect()),
        }
    };
    Some((due(SurfaceRole::Face)?, due(SurfaceRole::Back)?))
}

fn coats(number: usize) -> String {
    format!("{number} coat{}", if number == 1 { "" } else { "s" })
}

fn unequal_coats(draft: &PartDraft, body: &PartBody, face: usize, back: usize) -> Problem {
    let message = format!(
        "solid panel \"{}\" gets {} on its face and {} on its back",
        draft.part.name,
        coats(face),
        coats(back)
    );
    let (short, full) = if face > back {
        (SurfaceRole::Back, SurfaceRole::Face)
    } else {
        (SurfaceRole::Face, SurfaceRole::Back)
    };
    let surface = |role| body.surfaces.iter().find(|surface| surface.role == role);
    let mend = match (surface(short), surface(full).and_then(|full| full.schedule.as_ref())) {
        (Some(short), Some(schedule)) => format!("surfaces.{} = {{ finish = \"{schedule}\" }}", short.id),
        _ => "the same finish on both".to_owned(),
    };
    Problem::new(Code::UnequalCoats, message)
        .at(draft.at.clone(), format!("{:.0} mm wide across the grain: it may cup", body.size.width.0))
        .accepts(format!(
            "equal coats on both faces: {mend}; or the reason under [[accept]] with piece = \"{}\" and unequal = \"...\"",
            draft.part.id
        ))
}

fn unequal_products(draft: &PartDraft, face: &[&str], back: &[&str]) -> Problem {
    let message = format!(
        "solid panel \"{}\" gets different products on its two faces",
        draft.part.name
    );
    let distinct = |products: &[&str]| {
        let mut names: Vec<&str> = products.to_vec();
        names.dedup();
        names.join(", ")
    };
    let label = format!("face: {}; back: {}", distinct(face), distinct(back));
    Problem::new(Code::UnequalProducts, message)
        .at(draft.at.clone(), label)
        .accepts(format!(
            "the same products on both faces, which hold back moisture alike; or the reason under [[accept]] with piece = \"{}\" and unequal = \"...\"",
            draft.part.id
        ))
}

/// Oil and oil varnish in a closed drawer or case smell for months (common practice, no source).
fn check_inside(top: &Table<'_>, draft: &PartDraft, body: &PartBody, schedules: &BTreeMap<String, Schedule>) {
    let inside = body.surfaces.iter().filter(|surface| surface.show == Show::Inside);
    let oiled = inside.filter_map(|surface| Some((surface, schedules.get(surface.schedule.as_ref()?)?)));
    let oiled = oiled.into_iter().find_map(|(surface, schedule)| {
        let products = schedule.coats_due().filter_map(|id| schedule.product(id));
        let oil = products
            .into_iter()
            .find(|product| product.mechanism == Mechanism::Oxidation)?;
        Some((surface, oil))
    });
    if let Some((surface, oil)) = oiled {
        let message = format!("\"{}\" gets an oil inside", draft.part.name);
        let problem = Problem::new(Code::OilInside, message)
            .at(
                draft.at.clone(),
                format!("its {}: {} cures with the air's oxygen", surface.label, oil.name),
            )
            .accepts("inside drawers and closed cases a shellac, a wax or nothing: oil smells there for months");
        top.problems().push(problem);
    }
}

/// An acceptance that accepts nothing is a slip worth knowing of.
fn check_needless(top: &Table<'_>, parts: &[PartDraft], accepted: &[Accepted], unequal: &[&str]) {
    for entry in accepted {
        let known = |piece: &String| {
            let draft = parts
                .iter()
                .find(|draft| draft.pieces.iter().any(|named| named.id == *piece));
            draft.is_some_and(|draft| draft.body.is_some())
        };
        if entry
            .pieces
            .iter()
            .all(|piece| known(piece) && !unequal.contains(&piece.as_str()))
        {
            let problem = Problem::new(Code::NothingToAccept, "this piece has no unequal coats to accept")
                .at(entry.at.clone(), "needs no reason")
                .accepts("a wide solid panel with more coats on one face than on the other, or no entry");
            top.problems().push(problem);
        }
    }
}
