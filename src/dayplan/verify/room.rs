//! The room: air a coat can be started in, and no film overtaken by the cold.
//!
//! Invariant: floors count by their high end, ceilings and humidity by their low end.

use super::rule::{Breaches, Rule};
use super::sheet::{NEVER, Op, Sheet};
use crate::finish::{Product, Stage};
use crate::units::Span;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    for op in sheet.ops.iter().filter(|op| op.lays_film()) {
        if let Some(product) = sheet.product(op) {
            limits(sheet, op, product, found);
            spoils(sheet, op, product, found);
        }
    }
}

fn limits(sheet: &Sheet<'_>, op: &Op<'_>, product: &Product, found: &mut Breaches) {
    let Some(air) = sheet.air.at(op.from) else {
        found.by(
            Rule::RoomLimits,
            &[op],
            format!("{} starts when nobody knows the room's air", op.id),
        );
        return;
    };
    let (warmth, damp) = (air.temperature.0, air.humidity.0);
    let floor = product
        .start_floor
        .as_ref()
        .map(|figure| figure.high)
        .filter(|floor| warmth < *floor);
    let ceiling = product
        .start_ceiling
        .as_ref()
        .map(|figure| figure.low)
        .filter(|ceiling| warmth > *ceiling);
    let limit = product
        .start_humidity
        .as_ref()
        .map(|figure| figure.low)
        .filter(|limit| damp > *limit);
    let why = [
        floor.map(|floor| format!("{warmth:.1} °C; {} goes on from {floor} °C", product.name)),
        ceiling.map(|ceiling| format!("{warmth:.1} °C; {} goes on up to {ceiling} °C", product.name)),
        limit.map(|limit| format!("{damp:.0} % humidity; {} goes on up to {limit} %", product.name)),
    ];
    for why in why.into_iter().flatten() {
        found.by(
            Rule::RoomLimits,
            &[op],
            format!("{} starts {} in {why}", op.id, sheet.clock(op.from)),
        );
    }
}

/// A film that must get somewhere before the cold: no minute below the floor until it is there. Films that
/// spoil and do not say where they must get to must be dry hard.
fn spoils(sheet: &Sheet<'_>, op: &Op<'_>, product: &Product, found: &mut Breaches) {
    let Some(floor) = product.drying_floor.as_ref().map(|figure| figure.high) else {
        return;
    };
    let stage = product
        .must_reach
        .or_else(|| product.mechanism.spoils().then_some(Stage::DryHard));
    let Some(stage) = stage else { return };
    let safe = sheet.surely(op, stage);
    let mut at = op.from;
    while at < safe {
        let Some(air) = sheet.air.at(at) else { break };
        if air.temperature.0 < floor {
            let reached = if safe == NEVER {
                "too late".to_owned()
            } else {
                sheet.clock(safe)
            };
            let text = format!(
                "{}: the room falls below {floor} °C at {}; by then {} must be further along (that far {reached})",
                op.id,
                sheet.clock(at),
                product.name
            );
            found.by(Rule::RoomSpoils, &[op], text);
            return;
        }
        at += Span(1);
    }
}
