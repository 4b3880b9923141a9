//! What follows the last coat on the loose piece: tape off, the dry fit once more, rub out, wax, buff.
//!
//! Invariant: tape comes off when the last film is dry to touch and before it is hard, or the film is
//! scored along it first; wax on a loose piece is only ever worked with its joints covered.

use super::film::Laid;
use super::groups::Group;
use super::minutes;
use super::operation::{Delay, Span, Window, WorkOperation};
use super::writer::{Writer, campaign, makes_dust, on_piece};
use crate::finish::{Phase, Prepare, Stage, Step, StepKind};
use crate::job::rates;

/// Whether a loose step follows the last film.
fn is_after(step: &Step) -> bool {
    step.phase == Phase::Loose && matches!(step.kind, StepKind::RubOut | StepKind::Wax | StepKind::Buff)
}

/// Writes what follows the last coat of one piece.
pub(super) fn write(writer: &mut Writer, piece: usize, groups: &[Group], films: &[Vec<Laid>]) {
    let last: Vec<Laid> = films.iter().flatten().cloned().collect();
    unmask(writer, piece, &last, "unmask");
    dry_fit(writer, piece, groups, &last);
    for (group, films) in groups.iter().zip(films) {
        let name = if groups.len() > 1 {
            format!("/{}", group.schedule.id)
        } else {
            String::new()
        };
        let mut counted = std::collections::BTreeMap::new();
        for step in group.schedule.steps.iter().filter(|step| is_after(step)) {
            let nth = counted.entry(step.kind).and_modify(|nth| *nth += 1).or_insert(1_u32);
            finish_step(writer, piece, step, group, films, &format!("{nth}{name}"));
        }
    }
}

/// Film builds: a panel's edge with several coats may no longer enter its groove. Where a schedule checks once more
/// after its coats, every joint is tried, dry, when the films can be handled.
fn dry_fit(writer: &mut Writer, piece: usize, groups: &[Group], last: &[Laid]) {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece).filter(|of| !of.joints.is_empty()) else {
        return;
    };
    let asks = |group: &&Group| {
        let mut checks = group.schedule.loose_after();
        checks.any(|(coats, step)| coats > 0 && step.kind == StepKind::Check)
    };
    let asking: Vec<usize> = groups
        .iter()
        .filter(asks)
        .flat_map(|group| group.surfaces.iter().copied())
        .collect();
    if asking.is_empty() {
        return;
    }
    let at = writer.push(WorkOperation {
        surfaces: asking,
        minutes: minutes::handling(job, 0) + of.joints.len() as f64 * job.rate(rates::FIT_JOINT),
        campaign: campaign::after(2),
        ..on_piece(piece, of, StepKind::Check, "dry-fit")
    });
    for film in last {
        let handled = Delay::Film(Stage::DryToHandle);
        writer.wait(film.operation, at, handled, "tried in its joint when it can be handled");
    }
}

/// Whether the joints of the piece are covered by the operations written so far.
fn covered(writer: &Writer, piece: usize) -> bool {
    let line = writer
        .work
        .operations
        .iter()
        .filter(|operation| operation.piece == Some(piece) && !operation.optional);
    let change = line
        .rev()
        .find(|operation| matches!(operation.step, StepKind::Mask | StepKind::Unmask));
    change.is_some_and(|operation| operation.step == StepKind::Mask)
}

fn tape(writer: &mut Writer, piece: usize, step: StepKind, name: &str) -> Option<usize> {
    let job = writer.job;
    let of = job.pieces.get(piece)?;
    let rate = if step == StepKind::Mask {
        rates::MASK_JOINT
    } else {
        rates::UNMASK_JOINT
    };
    let minutes = minutes::handling(job, 0) + of.joints.len() as f64 * job.rate(rate);
    let operation = WorkOperation {
        minutes,
        campaign: campaign::after(u64::from(step == StepKind::Mask)),
        ..on_piece(piece, of, step, name)
    };
    Some(writer.push(operation))
}

fn unmask(writer: &mut Writer, piece: usize, last: &[Laid], name: &str) {
    if !covered(writer, piece) {
        return;
    }
    let job = writer.job;
    let Some(at) = tape(writer, piece, StepKind::Unmask, name) else {
        return;
    };
    let Some(of) = job.pieces.get(piece) else { return };
    let score = WorkOperation {
        minutes: minutes::handling(job, 0) + of.joints.len() as f64 * job.rate(rates::UNMASK_JOINT),
        optional: true,
        campaign: campaign::after(0),
        ..on_piece(piece, of, StepKind::Unmask, &format!("{name}/score"))
    };
    let score = writer.push_aside(score);
    for film in last {
        writer.wait(
            film.operation,
            score,
            Delay::Film(Stage::DryToTouch),
            "scored when all its films are dry to touch",
        );
        let rule = "tape comes off when the last coat is dry to touch, before it is hard";
        let product = writer.work.operations[film.operation]
            .product
            .clone()
            .unwrap_or_default();
        let coat = writer.work.operations[film.operation].coat.unwrap_or(1);
        let hard = job.product(&product).filter(|product| product.wipe.is_none());
        let Some(hard) = hard.and_then(|product| product.fast_minutes(Stage::DryHard, coat)) else {
            writer.wait(film.operation, at, Delay::Film(Stage::DryToTouch), rule);
            continue;
        };
        let span = |opens, closes, via| Span {
            opens,
            closes,
            via,
            prepare: Prepare::None,
        };
        let spans = vec![
            span(Delay::Film(Stage::DryToTouch), Some(Delay::Sooner(hard)), None),
            span(Delay::Sooner(hard), None, Some(score)),
        ];
        writer.work.windows.push(Window {
            before: film.operation,
            after: at,
            spans,
            rule,
        });
    }
}

fn finish_step(writer: &mut Writer, piece: usize, step: &Step, group: &Group, films: &[Laid], name: &str) {
    let job = writer.job;
    let Some(of) = job.pieces.get(piece) else { return };
    let shown = |&&surface: &&usize| !step.show_only || of.surfaces[surface].show == crate::job::Show::Show;
    let surfaces: Vec<usize> = group.surfaces.iter().filter(shown).copied().collect();
    if surfaces.is_empty() {
        return;
    }
    let wax = step.kind == StepKind::Wax;
    let remask = wax && !of.joints.is_empty() && !covered(writer, piece);
    if remask {
        tape(writer, piece, StepKind::Mask, &format!("mask-for-wax-{name}"));
    }
    let area = minutes::area(of, &surfaces);
    let turns = u32::from(surfaces.len() > 1).min(minutes::turns_all_round(of));
    let word = match step.kind {
        StepKind::RubOut => "rub-out",
        StepKind::Wax => "wax",
        _ => "buff",
    };
    let product = step.product.as_deref().and_then(|id| group.schedule.product(id));
    let wet = product
        .and_then(|product| product.wet_film.values().next())
        .map(crate::finish::Figure::middle);
    let family = product
        .map(|product| product.family.clone())
        .or_else(|| step.grit.map(|grit| grit.to_string()));
    let at = writer.push(WorkOperation {
        grit: step.grit,
        product: step.product.clone(),
        minutes: minutes::handling(job, turns) + minutes::over(job, step.kind, area),
        family,
        dusty: step.kind == StepKind::RubOut && makes_dust(step.grit),
        film_from: films.last().map(|film| film.operation),
        volume: wet
            .filter(|_| wax)
            .map(|microns| crate::units::Millilitres(area.square_metres() * microns)),
        surfaces,
        campaign: campaign::after(10 + position(step.kind)),
        ..on_piece(piece, of, step.kind, &format!("{word}-{name}"))
    });
    for film in films {
        let rule = "rubbed out and waxed only when dry through";
        writer.wait(film.operation, at, Delay::Film(Stage::DryThrough), rule);
    }
    if let Some(wait) = &step.wait {
        writer.hold_next(
            at,
            Delay::Minutes(wait.high.ceil() as i64),
            "wax hazes before it is buffed",
        );
    }
    if step.kind == StepKind::Buff && covered(writer, piece) {
        tape(writer, piece, StepKind::Unmask, &format!("unmask-after-wax-{name}"));
    }
}

/// A second coat of wax waits for the first.
pub(super) fn over_wax(writer: &mut Writer, at: usize) {
    let line = &writer.work.operations;
    let same = |other: &WorkOperation| {
        other.step == StepKind::Wax
            && other.piece == line[at].piece
            && other.assembly == line[at].assembly
            && other.product == line[at].product
    };
    if line[at].step != StepKind::Wax {
        return;
    }
    if let Some(before) = line[..at].iter().rposition(same) {
        writer.wait(
            before,
            at,
            Delay::Film(Stage::DryToRecoat),
            "the wax beneath is dry before it is gone over",
        );
    }
}

fn position(kind: StepKind) -> u64 {
    match kind {
        StepKind::RubOut => 0,
        StepKind::Wax => 1,
        _ => 2,
    }
}
