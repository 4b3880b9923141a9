//! Joints: what stays bare.
//!
//! Invariant: joint ids of a piece are unique; a joint takes area off a surface only where the maker says
//! which one it lies on, and never more than the surface has.

use super::basis::Basis;
use super::shape::positive;
use super::surface::{addressed, known_keys, read_area};
use super::words::JOINTS;
use crate::job::{Joint, JointKind, Surface};
use crate::source::{Code, Problem, Table, nearest};
use crate::units::SquareMillimetres;
use std::collections::BTreeMap;

/// Most joints of one kind on one piece.
const MOST: u32 = 200;

/// Reads `joints`: each with a `kind`, and if wanted `count` (else 1), the `play` of what slides in, its bare area each as `area` or
/// `size = [a, b]` (else not known), and the surface or group it lies `on`, whose area it then lessens
/// (shared equally where `on` is a group). Without `on` nothing is taken off: sizes are between shoulders.
pub(super) fn read(part: &mut Table<'_>, surfaces: &mut [Surface], basis: &Basis<'_>) -> Vec<Joint> {
    let mut joints = Vec::new();
    let mut numbers: BTreeMap<JointKind, u32> = BTreeMap::new();
    let name = part.name().to_owned();
    for mut table in part.tables("joints") {
        table.call(format!("a joint of {name}"));
        let kind = table.need("kind").and_then(|value| value.word(&JOINTS));
        let count = table.may("count").map(|value| value.whole_within(1..=MOST));
        let area = read_bare(&mut table, basis);
        let play = table.may("play").and_then(|value| positive(value, basis));
        let count = count.map_or(Some(1), |count| count.map(|count| count.value));
        if let Some(count) = count {
            take_off(&mut table, &name, surfaces, area.0 * f64::from(count));
        } else {
            let _ = table.may("on");
        }
        let (Some(kind), Some(count)) = (kind, count) else {
            continue;
        };
        let word = JOINTS.word_for(kind.value).unwrap_or("joint");
        let number = numbers.entry(kind.value).or_insert(0);
        for _ in 0..count {
            *number += 1;
            joints.push(Joint {
                id: format!("{word}-{number}"),
                kind: kind.value,
                area,
                play: play.as_ref().map(|play| play.value),
            });
        }
    }
    joints
}

/// The bare area of one joint; zero where the maker gives none.
fn read_bare(table: &mut Table<'_>, basis: &Basis<'_>) -> SquareMillimetres {
    let area = table.may("area");
    let size = table.may("size");
    if let (Some(_), Some(size)) = (area, size) {
        let message = format!("{} has an `area` and a `size`", table.name());
        size.refuse(Problem::new(Code::SizeCount, message).accepts("either `area`, or `size` with two lengths"));
    }
    if let Some(area) = area {
        return read_area(area, basis).unwrap_or_default();
    }
    let Some(size) = size else {
        return SquareMillimetres(0.0);
    };
    let Some(list) = size.list() else {
        return SquareMillimetres(0.0);
    };
    let [long, wide] = list.value.as_slice() else {
        let message = format!("the size of {} has {} numbers", table.name(), list.value.len());
        size.refuse(Problem::new(Code::SizeCount, message).accepts("two lengths: `size = [60, 30]`"));
        return SquareMillimetres(0.0);
    };
    match (positive(*long, basis), positive(*wide, basis)) {
        (Some(long), Some(wide)) => long.value * wide.value,
        _ => SquareMillimetres(0.0),
    }
}

/// Takes the joints' area off the surface they lie on.
fn take_off(table: &mut Table<'_>, part: &str, surfaces: &mut [Surface], area: f64) {
    let Some(value) = table.may("on") else { return };
    let Some(on) = value.text() else { return };
    let indices = addressed(surfaces, &on.value);
    if indices.is_empty() {
        if surfaces.is_empty() {
            return; // the shape itself could not be read
        }
        let known = known_keys(surfaces);
        let listed: Vec<String> = known.iter().map(|key| format!("`{key}`")).collect();
        let near = nearest(&on.value, known.iter().copied()).map(ToOwned::to_owned);
        let message = format!("{part} has no surface `{}` for a joint to lie on", on.value);
        value.refuse(
            Problem::new(Code::UnknownSurface, message)
                .accepts(listed.join(", "))
                .nearest(near),
        );
        return;
    }
    let share = area / indices.len() as f64;
    let mut short = false;
    for index in indices {
        let Some(surface) = surfaces.get_mut(index) else {
            continue;
        };
        short |= share >= surface.area.0;
        surface.area.0 = (surface.area.0 - share).max(0.0);
    }
    if short {
        let problem = Problem::new(
            Code::JointLargerThanSurface,
            format!("the joints of {part} are larger than the surface they lie on"),
        );
        value.refuse(problem.accepts("joints smaller than their surface: check `area`, `size`, `count` and `on`"));
    }
}
