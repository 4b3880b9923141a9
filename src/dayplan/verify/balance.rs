//! Balance: equal coats on both faces of every wide solid panel, and true balance lines.
//!
//! Invariant: coats are counted from the operations; narrow, veneered and sheet parts have no line.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, Sheet};
use crate::dayplan::document::BalanceLine;
use crate::job::SurfaceRole;
use crate::units::Moment;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for bench in &sheet.benches {
        let lines = sheet.plan.balance.iter().filter(|line| line.piece == bench.piece.id);
        let lines: Vec<&BalanceLine> = lines.collect();
        let name = &bench.piece.name;
        if !sheet.job.is_wide(bench.piece) {
            if !lines.is_empty() {
                let text = format!(
                    "{name} is no wide solid panel ({} mm across, threshold {}) and has a balance line",
                    bench.piece.width.0, sheet.job.room.wide_over.0
                );
                found.piece(Rule::BalanceLine, &bench.piece.id, text);
            }
            continue;
        }
        equal(sheet, bench, found);
        let bare = [SurfaceRole::Face, SurfaceRole::Back]
            .iter()
            .all(|role| coats_on(bench, *role) == 0);
        match lines.as_slice() {
            [] if bare => {}
            [line] => truthful(sheet, bench, line, found),
            lines => {
                let text = format!("{name} is a wide solid panel and has {} balance lines", lines.len());
                found.piece(Rule::BalanceLine, &bench.piece.id, text);
            }
        }
    }
}

/// Coats on the sides that look one way: the fewest on any of them (a face is coated when all of it is).
fn coats_on(bench: &Bench<'_>, role: SurfaceRole) -> usize {
    let sides = bench.piece.surfaces.iter().filter(|surface| surface.role == role);
    sides.map(|surface| bench.coats(&surface.id).count()).min().unwrap_or(0)
}

fn equal(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    let (face, back) = (coats_on(bench, SurfaceRole::Face), coats_on(bench, SurfaceRole::Back));
    let decided = sheet.job.accepted_imbalance.contains_key(&bench.piece.id) || bench.gave_up_a_coat();
    if face != back && !decided {
        let text = format!(
            "{}: {face} coats on the face, {back} on the back; a wide solid panel ({} mm) needs as many",
            bench.piece.name, bench.piece.width.0
        );
        found.piece(Rule::Balance, &bench.piece.id, text);
    }
}

fn truthful(sheet: &Sheet<'_>, bench: &Bench<'_>, line: &BalanceLine, found: &mut Breaches) {
    let (face, back) = (coats_on(bench, SurfaceRole::Face), coats_on(bench, SurfaceRole::Back));
    let accepted = sheet.job.accepted_imbalance.get(&bench.piece.id);
    let mut lies = Vec::new();
    if (line.coats_face as usize, line.coats_back as usize) != (face, back) {
        lies.push(format!(
            "says {} and {} coats; there are {face} and {back}",
            line.coats_face, line.coats_back
        ));
    }
    if line.ok != (face == back) {
        lies.push(format!("says {}", if line.ok { "balanced" } else { "not balanced" }));
    }
    if line.accepted.as_ref() != accepted {
        lies.push("gives another reason than the job".to_owned());
    }
    let (least, most) = hours_apart(sheet, bench);
    if line.hours_apart < least - 0.06 || line.hours_apart > most + 0.06 {
        lies.push(format!("says {:.1} h apart; it is {least:.1} h", line.hours_apart));
    }
    for lie in lies {
        found.piece(
            Rule::BalanceLine,
            &bench.piece.id,
            format!("{}: its balance line {lie}", bench.piece.name),
        );
    }
}

/// Hours with unequal coats: counted from the end of the first to the end of the second, and at most from the
/// start of the first (a side half coated is already ahead). What stays unequal counts to the end of the plan.
fn hours_apart(sheet: &Sheet<'_>, bench: &Bench<'_>) -> (f64, f64) {
    let side = |role: SurfaceRole| {
        let surface = bench.piece.surfaces.iter().find(|surface| surface.role == role);
        let coats = surface.map(|surface| {
            bench
                .coats(&surface.id)
                .map(|op| (op.from, op.until))
                .collect::<Vec<_>>()
        });
        coats.unwrap_or_default()
    };
    let (face, back) = (side(SurfaceRole::Face), side(SurfaceRole::Back));
    let end = Moment::of(&sheet.plan.ends);
    let (mut least, mut most) = (0.0, 0.0);
    for index in 0..face.len().max(back.len()) {
        let (one, other) = match (face.get(index), back.get(index)) {
            (Some(one), Some(other)) if one.1 <= other.1 => (*one, *other),
            (Some(one), Some(other)) => (*other, *one),
            (Some(one), None) | (None, Some(one)) => {
                // a coat the other side never gets: hours may be counted to the end, or not at all
                most += (end - one.0).0.max(0) as f64 / 60.0;
                continue;
            }
            (None, None) => continue,
        };
        least += (other.1 - one.1).0.max(0) as f64 / 60.0;
        most += if one == other {
            0.0
        } else {
            (other.1 - one.0).0.max(0) as f64 / 60.0
        };
    }
    (least, most)
}
