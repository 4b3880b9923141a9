//! The cautions of air and fire, gathered.
//!
//! Invariant: a caution has a stable code, a severity, a line, and a figure and source where it rests on one;
//! none says that anything is without danger. The standing line is put at the head where all are gathered.

use super::room_air::{RoomAir, Settings, room};
use super::{blush, dangers, fire, storage};
use crate::dayplan::Plan;
use crate::dayplan::document::{Caution, Severity};
use crate::job::Job;

/// Every caution of air and fire that follows from the job and its plan; `air` as computed from the same two.
pub fn of(job: &Job, plan: &Plan, air: Option<&RoomAir>, settings: &Settings) -> Vec<Caution> {
    let mut found = Vec::new();
    match air {
        Some(air) => {
            fire::of(job, plan, air, &mut found);
            room_cautions(air, &mut found);
        }
        None => not_computed(job, plan, settings, &mut found),
    }
    dangers::of(job, plan, settings.country, &mut found);
    blush::of(job, plan, &mut found);
    storage::of(job, plan, settings.country, &mut found);
    found
}

fn not_computed(job: &Job, plan: &Plan, settings: &Settings, found: &mut Vec<Caution>) {
    let coats = super::coats::of(job, plan);
    if coats.told.is_empty() && coats.missing.is_empty() {
        return;
    }
    let mut lacks = Vec::new();
    if job.room.size.is_none() {
        lacks.push("the room's size is not given".to_owned());
    }
    if job.room.air_changes.is_none() {
        lacks.push("how often its air changes is not given".to_owned());
    }
    if lacks.is_empty() && room(job, settings.mixing).is_none() {
        lacks.push("the room's figures are none to reckon with".to_owned());
    }
    lacks.extend(coats.missing.iter().map(|one| format!("{}: {}", one.product, one.what)));
    found.push(Caution::new(
        "air-not-computed",
        Severity::Warning,
        format!(
            "The vapour in the room has not been computed: {}. Ventilate while coating and while things dry, and keep flames and sparks away.",
            lacks.join("; ")
        ),
        None,
        "this plan",
        Vec::new(),
    ));
}

fn room_cautions(air: &RoomAir, found: &mut Vec<Caution>) {
    breath(air, found);
    if !air.missing.is_empty() {
        let list: Vec<String> = air
            .missing
            .iter()
            .map(|one| format!("{}: {}", one.product, one.what))
            .collect();
        let refers = air.missing.iter().flat_map(|one| one.operations.clone()).collect();
        found.push(Caution::new(
            "air-incomplete",
            Severity::Warning,
            format!("The vapour in the room is higher than computed: {}.", list.join("; ")),
            None,
            "this plan",
            refers,
        ));
    }
    if !air.without_limit.is_empty() {
        found.push(Caution::new(
            "air-no-limit",
            Severity::Note,
            format!(
                "No exposure limit is known here for {}; that is no sign that it does no harm.",
                air.without_limit.join(", ")
            ),
            None,
            air.table,
            Vec::new(),
        ));
    }
    if let Some(heaviest) = air
        .substances
        .iter()
        .max_by(|one, other| one.heavier_than_air.total_cmp(&other.heavier_than_air))
    {
        found.push(Caution::new(
            "vapour-sinks",
            Severity::Note,
            "Solvent vapour is heavier than air: it lies low and runs to drains, stairs and cellars. Draw the air off low, and think of flames in rooms below.".to_owned(),
            Some(format!("{} weighs {:.1} times as much as air", heaviest.name, heaviest.heavier_than_air)),
            "molar mass over that of air, computed",
            Vec::new(),
        ));
    }
}

pub(super) fn need(air: &RoomAir, rule: &str) -> String {
    let need = air.needs.iter().find(|need| need.rule == rule);
    need.map_or_else(String::new, |need| {
        format!(
            " It takes about {:.0} m³ of fresh air an hour {} ({:.1} changes).",
            need.m3_h, need.purpose, need.air_changes
        )
    })
}

fn breath(air: &RoomAir, found: &mut Vec<Caution>) {
    if let Some(worst) = air.worst_shift.filter(|worst| worst.sum > 1.0) {
        let skin = skin(air);
        found.push(Caution::new(
            "air-shift",
            Severity::Warning,
            format!(
                "Over the eight hours to {} the vapours add up to {:.1} times the exposure limits.{skin} More air, less at once, or the respirator the data sheet names.{}",
                worst.until.format("%a %-d %b %H:%M"),
                worst.sum,
                need(air, "shift")
            ),
            Some(format!("sum of shares of the eight-hour limits {:.2}", worst.sum)),
            air.table,
            Vec::new(),
        ));
    }
    if let Some(worst) = air.worst_short.filter(|worst| worst.sum > 1.0) {
        found.push(Caution::new(
            "air-short",
            Severity::Warning,
            format!(
                "In the quarter of an hour to {} the vapours add up to {:.1} times the short limits.{}",
                worst.until.format("%a %-d %b %H:%M"),
                worst.sum,
                need(air, "short")
            ),
            Some(format!("sum of shares of the fifteen-minute limits {:.2}", worst.sum)),
            air.table,
            Vec::new(),
        ));
    }
    above(air, found);
}

/// When the room is above the figures of a shift, and when it is clear of them again.
fn above(air: &RoomAir, found: &mut Vec<Caution>) {
    let Some(worst) = air.above.iter().max_by(|one, other| one.sum.total_cmp(&other.sum)) else {
        return;
    };
    let from = worst.from.format("%a %-d %b %H:%M");
    let others = match air.above.len() - 1 {
        0 => String::new(),
        1 => " One other time it does so too.".to_owned(),
        many => format!(" {many} other times it does so too."),
    };
    let (severity, text) = match worst.until {
        Some(until) => (
            Severity::Note,
            format!(
                "From {from} to {} the room holds more vapour than the eight-hour limits allow on average; it is below them again after that.{others}",
                until.format("%H:%M")
            ),
        ),
        None => (
            Severity::Warning,
            format!(
                "From {from} the room holds more vapour than the eight-hour limits allow on average and does not come below them in the time followed: open up before anybody goes in.{others}"
            ),
        ),
    };
    let figure = Some(format!("{:.1} times the sum of the limits at most", worst.sum));
    found.push(Caution::new("air-above", severity, text, figure, air.table, Vec::new()));
}

/// Solvents that also go through the skin.
fn skin(air: &RoomAir) -> String {
    let through = |one: &&super::room_air::SubstanceAir| {
        one.shift_limit
            .into_iter()
            .chain(one.short_limit)
            .any(|limit| limit.skin)
    };
    let names: Vec<&str> = air.substances.iter().filter(through).map(|one| one.name).collect();
    if names.is_empty() {
        String::new()
    } else {
        format!(" Through the skin too: {}.", names.join(", "))
    }
}
