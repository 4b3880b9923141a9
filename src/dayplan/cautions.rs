//! Cautions that follow from the job and its plan: fire, vapour, dust, open time, hands, tape.
//!
//! Invariant: a caution states a figure and where it comes from, and never promises that anything is
//! without danger; every list of cautions ends with the standing line.

use super::document::{Caution, Plan, Severity};
use super::frame::Frame;
use super::history::{Accepted, History};
use crate::clock::required_stage;
use crate::finish::compat::Weight;
use crate::finish::{Figure, Product, StepKind};
use crate::job::SurfaceRole;
use std::collections::BTreeSet;

/// The line that stands with every list of cautions.
pub const STANDING_LINE: &str =
    "The label, the safety data sheet, local codes and a licensed practitioner come before anything said here.";

/// The cautions of a plan.
pub(super) fn of(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    let mut found = Vec::new();
    for (product, _) in &frame.clocks {
        let used: Vec<String> = uses(plan, &product.id);
        if used.is_empty() {
            continue;
        }
        rags(product, plan, &used, &mut found);
        flash(frame, product, &used, &mut found);
        vapour(frame, product, &used, &mut found);
        cold(product, &used, &mut found);
        open_time(frame, product, plan, &mut found);
    }
    dust(frame, plan, &mut found);
    heavy(frame, &mut found);
    tape(frame, plan, &mut found);
    unequal_products(frame, &mut found);
    together(frame, &mut found);
    late(plan, &mut found);
    weigh_accepted(frame.history, &mut found);
    if !found.is_empty() {
        found.push(Caution {
            code: "label-first".to_owned(),
            severity: Severity::Note,
            text: STANDING_LINE.to_owned(),
            figure: None,
            source: None,
            refers: Vec::new(),
        });
    }
    found
}

/// A caution that was accepted weighs one step less and says why; it is never hidden.
fn weigh_accepted(history: &History, found: &mut [Caution]) {
    for caution in found {
        let about = |one: &&Accepted| {
            one.code == caution.code
                && (one.refers == caution.refers || one.refers.iter().any(|id| caution.refers.contains(id)))
        };
        if let Some(accepted) = history.accepted.iter().rev().find(about) {
            caution.severity = match caution.severity {
                Severity::Stop => Severity::Warning,
                Severity::Warning | Severity::Note => Severity::Note,
            };
            caution.text = format!("{} Accepted: {}", caution.text, accepted.reason);
        }
    }
}

/// Operations that put a product on.
fn uses(plan: &Plan, product: &str) -> Vec<String> {
    let puts_on = |step: StepKind| {
        matches!(
            step,
            StepKind::Seal | StepKind::Coat | StepKind::Wax | StepKind::Colour | StepKind::Fill
        )
    };
    let on = plan.operations.iter().filter(|operation| puts_on(operation.step));
    on.filter(|operation| operation.product.as_deref() == Some(product))
        .map(|operation| operation.id.clone())
        .collect()
}

fn figure_text(figure: &Figure, unit: &str) -> String {
    if (figure.low - figure.high).abs() < f64::EPSILON {
        format!("{} {unit}", figure.low)
    } else {
        format!("{}–{} {unit}", figure.low, figure.high)
    }
}

fn rags(product: &Product, plan: &Plan, used: &[String], found: &mut Vec<Caution>) {
    if !product.self_heating {
        return;
    }
    let on: BTreeSet<chrono::NaiveDate> = plan
        .operations
        .iter()
        .filter(|operation| used.contains(&operation.id))
        .map(|operation| operation.end.date_naive())
        .collect();
    let days: Vec<String> = on.iter().map(|day| day.format("%a %-d %b").to_string()).collect();
    let days = days.join(", ");
    found.push(Caution::new(
        "oily-rags",
        Severity::Warning,
        format!("Rags and pads wet with {} heat themselves and can burn hours later. Before leaving on {days}: spread each one flat outdoors in a single layer, or keep it under water in a closed metal tin.", product.name),
        None,
        "fire service advice on oily rags (NFPA), read in secondary pages",
        used.to_vec(),
    ));
}

fn flash(frame: &Frame, product: &Product, used: &[String], found: &mut Vec<Caution>) {
    let Some(flash) = &product.flash_point else { return };
    let warmest = frame
        .job
        .room
        .climate
        .lines
        .iter()
        .map(|line| line.day.0.max(line.night.0))
        .fold(f64::MIN, f64::max);
    let gives_off = flash.low <= warmest;
    let sources = &frame.job.room.ignition;
    if !gives_off && sources.is_empty() {
        return;
    }
    let severity = if gives_off && !sources.is_empty() {
        Severity::Stop
    } else {
        Severity::Warning
    };
    let near = if gives_off {
        format!(
            "{} gives off vapour that can catch fire at the room's {warmest:.0} °C.",
            product.name
        )
    } else {
        format!("{} is flammable.", product.name)
    };
    let mend = if sources.is_empty() {
        "Keep flames, sparks, heaters and switches away and the air moving.".to_owned()
    } else {
        format!(
            "The room has {}: put out or switched off before the tin is opened, until the room has cleared.",
            sources.join(", ")
        )
    };
    let figure = Some(format!("flash point {}", figure_text(flash, "°C")));
    found.push(Caution::new(
        "flash-point",
        severity,
        format!("{near} {mend}"),
        figure,
        &flash.source,
        used.to_vec(),
    ));
}

fn vapour(frame: &Frame, product: &Product, used: &[String], found: &mut Vec<Caution>) {
    if product.solvents.is_empty() && product.flash_point.is_none() {
        return;
    }
    let air = match frame.job.room.air_changes {
        Some(changes) => format!("The room is said to change its air {changes} times an hour"),
        None => "How often the room changes its air is not given".to_owned(),
    };
    found.push(Caution::new(
        "ventilation",
        Severity::Warning,
        format!("Solvent leaves {} while it is put on and for hours after. {air}; ventilate while coating and drying, and wear the respirator the safety data sheet asks for. The concentration has not been computed here.", product.name),
        None,
        "common practice, no source",
        used.to_vec(),
    ));
}

fn cold(product: &Product, used: &[String], found: &mut Vec<Caution>) {
    let Some(floor) = &product.drying_floor else { return };
    let text = match required_stage(product) {
        Some(stage) => format!(
            "{} must be {stage} before the room falls below its floor, or the film is spoiled.",
            product.name
        ),
        None => format!(
            "{} stands still below its floor; hours colder than that do not count.",
            product.name
        ),
    };
    let figure = Some(format!("drying floor {}", figure_text(floor, "°C")));
    found.push(Caution::new(
        "drying-floor",
        Severity::Note,
        text,
        figure,
        &floor.source,
        used.to_vec(),
    ));
}

fn open_time(frame: &Frame, product: &Product, plan: &Plan, found: &mut Vec<Caution>) {
    let Some(open) = &product.open_time else { return };
    let mut slow: Vec<String> = Vec::new();
    let mut longest = 0.0_f64;
    for operation in plan
        .operations
        .iter()
        .filter(|operation| operation.product.as_deref() == Some(&product.id))
    {
        let Some(piece) = operation
            .piece
            .as_ref()
            .and_then(|id| frame.job.pieces.iter().find(|piece| piece.id == *id))
        else {
            continue;
        };
        if !matches!(operation.step, StepKind::Seal | StepKind::Coat)
            || product.wipe.is_some()
            || operation.hands.len() > 1
        {
            continue;
        }
        let whole: f64 = operation
            .surfaces
            .iter()
            .filter_map(|id| piece.surfaces.iter().find(|at| at.id == *id))
            .map(|at| at.area.0)
            .sum();
        let largest = operation
            .surfaces
            .iter()
            .filter_map(|id| piece.surfaces.iter().find(|at| at.id == *id))
            .map(|at| at.area.0)
            .fold(0.0, f64::max);
        let minutes = (operation.end - operation.start).num_minutes() as f64 * largest / whole.max(1.0);
        if minutes > open.low {
            longest = longest.max(minutes);
            slow.push(operation.id.clone());
        }
    }
    if !slow.is_empty() {
        let figure = Some(format!(
            "open time {}, longest surface {longest:.0} min",
            figure_text(open, "min")
        ));
        found.push(Caution::new(
            "open-time",
            Severity::Warning,
            format!("One pair of hands is slower over the largest surfaces than {} stays open: a second pair of hands, a pad, a retarder or a cooler hour keeps a wet edge.", product.name),
            figure,
            &open.source,
            slow,
        ));
    }
}

fn dust(frame: &Frame, plan: &Plan, found: &mut Vec<Caution>) {
    let dusty: Vec<String> = plan
        .operations
        .iter()
        .filter(|operation| operation.dusty)
        .map(|operation| operation.id.clone())
        .collect();
    if dusty.is_empty() {
        return;
    }
    let room = if frame.job.room.dust_separated {
        "in its own room"
    } else {
        "in the room that is coated in"
    };
    found.push(Caution::new(
        "wood-dust",
        Severity::Warning,
        format!("Sanding makes fine wood dust {room}: extraction at the tool, a mask for fine dust, and sweep up wet or with a vacuum, never dry."),
        None,
        "common practice, no source; limits for wood dust differ by country",
        Vec::new(),
    ));
}

fn heavy(frame: &Frame, found: &mut Vec<Caution>) {
    let heavy: Vec<String> = frame
        .job
        .pieces
        .iter()
        .filter(|piece| piece.heavy)
        .map(|piece| piece.id.clone())
        .collect();
    if !heavy.is_empty() && frame.job.hands.len() < 2 {
        let text =
            "Marked as heavy, with one pair of hands in the job: get help to lay them over, or hang them.".to_owned();
        found.push(Caution::new(
            "heavy",
            Severity::Warning,
            text,
            None,
            "common practice, no source",
            heavy,
        ));
    }
}

/// Tape that stays on longer than it lasts.
fn tape(frame: &Frame, plan: &Plan, found: &mut Vec<Caution>) {
    let mut old: Vec<String> = Vec::new();
    let mut longest = 0;
    for mask in plan
        .operations
        .iter()
        .filter(|operation| operation.step == StepKind::Mask)
    {
        let off = plan
            .operations
            .iter()
            .find(|other| other.step == StepKind::Unmask && other.piece == mask.piece && other.start >= mask.end);
        let Some(off) = off else { continue };
        let minutes = (off.start - mask.end).num_minutes();
        if minutes > frame.job.tape_life {
            longest = longest.max(minutes);
            old.extend(mask.piece.clone());
        }
    }
    if !old.is_empty() {
        let figure = format!(
            "{} on, tape lasts {}",
            crate::units::Span(longest),
            crate::units::Span(frame.job.tape_life)
        );
        found.push(Caution::new(
            "tape-life",
            Severity::Warning,
            "The tape on these joints is older than its life when it comes off: use long-life tape, or change it between coats.".to_owned(),
            Some(figure),
            "tape life from the job; common practice, no source",
            old,
        ));
    }
}

fn unequal_products(frame: &Frame, found: &mut Vec<Caution>) {
    let unequal = frame
        .job
        .pieces
        .iter()
        .filter(|piece| frame.job.is_wide(piece))
        .filter(|piece| {
            let side = |role| {
                piece
                    .surfaces
                    .iter()
                    .find(|surface| surface.role == role)
                    .and_then(|surface| surface.schedule.clone())
            };
            side(SurfaceRole::Face) != side(SurfaceRole::Back)
        });
    let refers: Vec<String> = unequal.map(|piece| piece.id.clone()).collect();
    if !refers.is_empty() {
        found.push(Caution::new(
            "unequal-products",
            Severity::Warning,
            "Wide solid panels with a different finish on each face: equal coats of different films do not slow moisture alike, and the panel may cup.".to_owned(),
            Some(format!("wider than {} mm across the grain", frame.job.room.wide_over.0)),
            "common practice, no source; how much finish matters is disputed in the trade",
            refers,
        ));
    }
}

/// What does not go together: finish over finish, wool under waterborne, oil in a closed drawer.
fn together(frame: &Frame, found: &mut Vec<Caution>) {
    for finding in crate::work::compat::problems(frame.job) {
        found.push(Caution {
            code: finding.code.to_string(),
            severity: match finding.weight {
                Weight::Note => Severity::Note,
                Weight::Warning => Severity::Warning,
                Weight::Stop => Severity::Stop,
            },
            text: finding.text,
            figure: finding.figure,
            source: Some(finding.source.to_string()),
            refers: finding.refers,
        });
    }
}

fn late(plan: &Plan, found: &mut Vec<Caution>) {
    for section in plan
        .sections
        .iter()
        .filter(|section| section.due.is_some_and(|due| section.ready > due))
    {
        let over = section.due.map_or(0, |due| (section.ready - due).num_minutes());
        found.push(Caution::new(
            "late",
            Severity::Warning,
            format!(
                "{} is ready to glue {} after it is wanted.",
                section.id,
                crate::units::Span(over)
            ),
            None,
            "this plan",
            vec![section.id.clone()],
        ));
    }
}
