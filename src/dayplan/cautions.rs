//! Cautions that follow from the work itself: cold, open time, heavy pieces, tape, what goes over what, lateness.
//!
//! Invariant: a caution states a figure and where it comes from, and never promises that anything is
//! without danger. Those of air and fire, of panels and of the shelf are said by their own rooms; the standing
//! line is put at the head where all are gathered.

use super::document::{Caution, Operation, Plan, Severity};
use super::frame::Frame;
use crate::clock::required_stage;
use crate::finish::compat::Weight;
use crate::finish::{Figure, Product, StepKind};
use crate::job::Piece;
use foldhash::HashMap;

/// The line that stands with every list of cautions.
pub const STANDING_LINE: &str =
    "The label, the safety data sheet, local codes and a licensed practitioner come before anything said here.";

/// That line as the caution every full list begins with.
pub fn standing_line() -> Caution {
    Caution {
        code: "label-first".to_owned(),
        severity: Severity::Note,
        text: STANDING_LINE.to_owned(),
        figure: None,
        source: None,
        refers: Vec::new(),
    }
}

/// The cautions of a plan.
pub(super) fn of(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    let mut found = Vec::new();
    let pieces = frame.job.pieces.iter();
    let pieces: HashMap<&str, &Piece> = pieces.map(|piece| (piece.id.as_str(), piece)).collect();
    let mut by_product: HashMap<&str, Vec<&Operation>> = HashMap::default();
    for operation in &plan.operations {
        if let Some(product) = operation.product.as_deref() {
            by_product.entry(product).or_default().push(operation);
        }
    }
    for (product, _) in frame.clocks() {
        let Some(with_it) = by_product.get(product.id.as_str()) else {
            continue;
        };
        let used = uses(with_it);
        if used.is_empty() {
            continue;
        }
        cold(product, &used, &mut found);
        open_time(&pieces, product, with_it, &mut found);
    }
    heavy(frame, &mut found);
    tape(frame, plan, &mut found);
    together(frame, &mut found);
    late(plan, &mut found);
    found.extend(super::bands::cautions(frame, plan));
    found.extend(super::colour::cautions(frame, plan));
    found.extend(super::sample::notes(frame, plan));
    found.extend(super::dry_fit::tight(frame.job));
    found.extend(super::counted::notes(frame, plan));
    found
}

/// Those of a product's operations that put it on.
fn uses(with_it: &[&Operation]) -> Vec<String> {
    let puts_on = |step: StepKind| {
        matches!(
            step,
            StepKind::Seal | StepKind::Coat | StepKind::Wax | StepKind::Colour | StepKind::Fill
        )
    };
    let on = with_it.iter().filter(|operation| puts_on(operation.step));
    on.map(|operation| operation.id.clone()).collect()
}

fn figure_text(figure: &Figure, unit: &str) -> String {
    if (figure.low - figure.high).abs() < f64::EPSILON {
        format!("{} {unit}", figure.low)
    } else {
        format!("{}–{} {unit}", figure.low, figure.high)
    }
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

fn open_time(pieces: &HashMap<&str, &Piece>, product: &Product, with_it: &[&Operation], found: &mut Vec<Caution>) {
    let Some(open) = &product.open_time else { return };
    let mut slow: Vec<String> = Vec::new();
    let mut longest = 0.0_f64;
    for operation in with_it {
        let Some(piece) = operation.piece.as_deref().and_then(|id| pieces.get(id)) else {
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
    let of = |step: StepKind| plan.operations.iter().filter(move |operation| operation.step == step);
    let mut taken_off: HashMap<Option<&str>, Vec<&Operation>> = HashMap::default();
    for off in of(StepKind::Unmask) {
        taken_off.entry(off.piece.as_deref()).or_default().push(off);
    }
    for mask in of(StepKind::Mask) {
        let offs = taken_off.get(&mask.piece.as_deref()).into_iter().flatten();
        let Some(off) = offs.into_iter().find(|off| off.start >= mask.end) else {
            continue;
        };
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
