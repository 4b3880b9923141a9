//! What the plan repeats from the job is what the job says.
//!
//! Invariant: compares, never corrects; lengths to a tenth of a millimetre, areas to a square millimetre.

use super::rule::{Breaches, Rule};
use super::sheet::Sheet;
use crate::dayplan::document::{PlanPiece, PlanProduct, StageName};
use crate::finish::Stage;
use crate::job::{Piece, PlaceKind};
use crate::units::Moment;
use std::collections::BTreeSet;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    let (plan, job) = (sheet.plan, sheet.job);
    let mut differ = Vec::new();
    if plan.zone != job.zone.name() {
        differ.push(format!(
            "the plan's zone is {}, the job's {}",
            plan.zone,
            job.zone.name()
        ));
    }
    if apart(plan.wide_over_mm, job.room.wide_over.0, 0.1) {
        differ.push(format!(
            "the plan calls panels wide over {} mm, the job over {} mm",
            plan.wide_over_mm, job.room.wide_over.0
        ));
    }
    differ.extend(groups(sheet));
    differ.extend(pieces(sheet));
    differ.extend(plan.products.iter().filter_map(|line| product(sheet, line)));
    differ.extend(places(sheet));
    differ.extend(dust(sheet));
    for text in differ {
        found.document(Rule::SameJob, text);
    }
    air(sheet, found);
}

/// Further apart than rounding explains.
fn apart(one: f64, other: f64, by: f64) -> bool {
    (one - other).abs() > by
}

/// Says which ids only one side has.
fn ids(what: &str, plan: &BTreeSet<&str>, job: &BTreeSet<&str>) -> Vec<String> {
    let strange = plan.difference(job).map(|id| format!("the job has no {what} {id}"));
    let lost = job
        .difference(plan)
        .map(|id| format!("the plan leaves out {what} {id}"));
    strange.chain(lost).collect()
}

fn groups(sheet: &Sheet<'_>) -> Vec<String> {
    let (plan, job) = (sheet.plan, sheet.job);
    let mut differ = ids(
        "section",
        &plan.sections.iter().map(|line| line.id.as_str()).collect(),
        &job.sections.iter().map(|section| section.id.as_str()).collect(),
    );
    for section in &job.sections {
        let Some(line) = plan.sections.iter().find(|line| line.id == section.id) else {
            continue;
        };
        if line.weight != section.weight || line.due.as_ref().map(Moment::of) != section.due {
            differ.push(format!(
                "section {} has another weight or due time than in the job",
                section.id
            ));
        }
    }
    differ.extend(ids(
        "assembly",
        &plan.assemblies.iter().map(|line| line.id.as_str()).collect(),
        &job.assemblies.iter().map(|assembly| assembly.id.as_str()).collect(),
    ));
    for assembly in &job.assemblies {
        let Some(line) = plan.assemblies.iter().find(|line| line.id == assembly.id) else {
            continue;
        };
        let said: BTreeSet<&str> = line.made_of.iter().map(String::as_str).collect();
        let parts = assembly
            .made_of
            .iter()
            .chain(&assembly.assemblies)
            .map(String::as_str)
            .collect();
        if said != parts {
            differ.push(format!(
                "assembly {} is made of other pieces than in the job",
                assembly.id
            ));
        }
    }
    differ.extend(ids(
        "person",
        &plan.hands.iter().map(|line| line.name.as_str()).collect(),
        &job.hands.iter().map(|hand| hand.name.as_str()).collect(),
    ));
    differ
}

fn pieces(sheet: &Sheet<'_>) -> Vec<String> {
    let (plan, job) = (sheet.plan, sheet.job);
    let mut differ = ids(
        "piece",
        &plan.pieces.iter().map(|line| line.id.as_str()).collect(),
        &job.pieces.iter().map(|piece| piece.id.as_str()).collect(),
    );
    for piece in &job.pieces {
        if let Some(line) = plan.pieces.iter().find(|line| line.id == piece.id) {
            differ.extend(one_piece(sheet, piece, line));
        }
    }
    differ
}

fn one_piece(sheet: &Sheet<'_>, piece: &Piece, line: &PlanPiece) -> Vec<String> {
    let job = sheet.job;
    let mut differ = Vec::new();
    let part = job.parts.get(piece.part).map(|part| part.id.as_str());
    let section = job.sections.get(piece.section).map(|section| section.id.as_str());
    let sizes = [
        (line.length, piece.length.0),
        (line.width, piece.width.0),
        (line.thickness, piece.thickness.0),
    ];
    let same = part == Some(line.part.as_str())
        && section == Some(line.section.as_str())
        && line.shape == piece.shape
        && line.build == piece.build
        && line.material == piece.material
        && !sizes.iter().any(|(said, is)| apart(*said, *is, 0.1));
    if !same {
        differ.push(format!(
            "{} has another part, section, shape, build, material or size than in the job",
            piece.name
        ));
    }
    if line.wide_panel != job.is_wide(piece) {
        let is = if job.is_wide(piece) { "is" } else { "is not" };
        differ.push(format!(
            "{} {is} a wide solid panel ({} mm across); the plan says otherwise",
            piece.name, piece.width.0
        ));
    }
    differ.extend(ids(
        &format!("surface of {}", piece.name),
        &line.surfaces.iter().map(|surface| surface.id.as_str()).collect(),
        &piece.surfaces.iter().map(|surface| surface.id.as_str()).collect(),
    ));
    for surface in &piece.surfaces {
        let Some(said) = line.surfaces.iter().find(|said| said.id == surface.id) else {
            continue;
        };
        let due: Vec<&str> = sheet
            .schedule(surface)
            .map(|schedule| schedule.coats_due().collect())
            .unwrap_or_default();
        let same = said.show == surface.show && !apart(said.area, surface.area.0, 1.0);
        if !same || said.due.iter().map(String::as_str).ne(due.iter().copied()) {
            differ.push(format!(
                "{} of {} has another area, show class or coats due than in the job",
                surface.label, piece.name
            ));
        }
    }
    let said: Vec<_> = line
        .joints
        .iter()
        .map(|joint| (joint.id.as_str(), joint.kind))
        .collect();
    let joints: Vec<_> = piece
        .joints
        .iter()
        .map(|joint| (joint.id.as_str(), joint.kind))
        .collect();
    if said != joints {
        differ.push(format!(
            "{} has other joints in the plan ({}) than in the job ({})",
            piece.name,
            said.len(),
            joints.len()
        ));
    }
    differ
}

fn product(sheet: &Sheet<'_>, line: &PlanProduct) -> Option<String> {
    let Some(product) = sheet.job.product(&line.id) else {
        return Some(format!("no schedule of the job has a product {}", line.id));
    };
    let stated = (product.stated_at.temperature.0, product.stated_at.humidity.0);
    let floors = [
        (line.start_floor_c, product.start_floor.as_ref().map(|floor| floor.high)),
        (
            line.drying_floor_c,
            product.drying_floor.as_ref().map(|floor| floor.high),
        ),
    ];
    let same_floors = floors.iter().all(|(said, is)| match (said, is) {
        (Some(said), Some(is)) => !apart(*said, *is, 0.01),
        (None, None) => true,
        _ => false,
    });
    let same = line.mechanism == product.mechanism
        && !apart(line.stated_at.0, stated.0, 0.01)
        && !apart(line.stated_at.1, stated.1, 0.01)
        && same_floors
        && line
            .must_reach
            .is_none_or(|stage| product.must_reach.is_none_or(|is| name_of(is) == stage));
    (!same).then(|| {
        format!(
            "{} dries otherwise, or has other floors, than in its schedule",
            product.name
        )
    })
}

/// The document's name of a stage.
pub(super) fn name_of(stage: Stage) -> StageName {
    match stage {
        Stage::SetToTouch => StageName::SetToTouch,
        Stage::DustFree => StageName::DustFree,
        Stage::TackFree => StageName::TackFree,
        Stage::DryToTouch => StageName::DryToTouch,
        Stage::DryToSand => StageName::DryToSand,
        Stage::DryToRecoat => StageName::DryToRecoat,
        Stage::DryToHandle => StageName::DryToHandle,
        Stage::DryHard => StageName::DryHard,
        Stage::DryToStack => StageName::DryToStack,
        Stage::DryThrough => StageName::DryThrough,
        Stage::Cured => StageName::Cured,
    }
}

fn places(sheet: &Sheet<'_>) -> Vec<String> {
    let places = &sheet.job.room.places;
    let lines = sheet.plan.places.iter();
    let differ = lines.filter_map(|line| {
        let capacity = match line.kind {
            PlaceKind::Bearers => places.bearers,
            PlaceKind::Points => places.points,
            PlaceKind::Hooks => places.hooks,
            PlaceKind::Racks => places.racks,
        };
        let count = |capacity: Option<u32>| capacity.map_or("no limit".to_owned(), |count| count.to_string());
        (line.capacity != capacity).then(|| {
            format!(
                "{}: {} in the plan, {} in the room",
                line.id,
                count(line.capacity),
                count(capacity)
            )
        })
    });
    let mut differ: Vec<String> = differ.collect();
    let mut kinds = BTreeSet::new();
    for line in &sheet.plan.places {
        if !kinds.insert(line.kind) {
            differ.push(format!("{} counts places a second time", line.id));
        }
    }
    differ
}

fn dust(sheet: &Sheet<'_>) -> Option<String> {
    let room = &sheet.job.room;
    let lines: Vec<_> = sheet
        .plan
        .keep_apart
        .iter()
        .filter(|line| line.rule == "dust-wet")
        .collect();
    let agrees = |line: &&crate::dayplan::document::KeepApart| {
        line.separated == room.dust_separated
            && (room.dust_separated || !apart(line.settle_minutes, room.settle_minutes as f64, 0.5))
    };
    let same = match lines.as_slice() {
        [] => room.dust_separated,
        lines => lines.iter().all(agrees),
    };
    (!same).then(|| {
        format!(
            "the plan keeps dust from wet work otherwise than the room needs ({} min to settle)",
            room.settle_minutes
        )
    })
}

/// The air written down is the air of the room at those instants, to 0.1 K and 1 %.
fn air(sheet: &Sheet<'_>, found: &mut Breaches) {
    let mut before: Option<Moment> = None;
    for (stamp, temperature, humidity) in &sheet.plan.climate {
        let at = Moment::of(stamp);
        if before.is_some_and(|before| at <= before) {
            found.document(
                Rule::WrittenAir,
                format!("the air of {} comes out of order", sheet.clock(at)),
            );
        }
        before = Some(at);
        let Some(air) = sheet.air.at(at) else { continue };
        if apart(*temperature, air.temperature.0, 0.1) || apart(*humidity, air.humidity.0, 1.0) {
            let text = format!(
                "the plan writes {temperature:.1} °C and {humidity:.0} % for {}; the room has {:.1} °C and {:.0} %",
                sheet.clock(at),
                air.temperature.0,
                air.humidity.0
            );
            found.document(Rule::WrittenAir, text);
        }
    }
}
