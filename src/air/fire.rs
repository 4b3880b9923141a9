//! The one caution of fire in the room's air: when its vapour passes the cap, by what, and what mends it.
//!
//! Invariant: nothing is said while the mixed room stays under the cap; a coat that is over it by itself, a room
//! that is as good as shut, and anything past a quarter of the lower explosive limit are stops.

use super::cautions::need;
use super::coats::{self, Laid};
use super::day::follow;
use super::room_air::{QUARTER_LEL, RoomAir, room};
use crate::dayplan::Plan;
use crate::dayplan::document::{Caution, Severity};
use crate::job::Job;
use crate::science::vapour::Room;

const SOURCE: &str = "29 CFR 1910.94(c) and 1910.107(a)(2), a quarter of the lower limit; lowest published limits";

pub(super) fn of(job: &Job, plan: &Plan, air: &RoomAir, found: &mut Vec<Caution>) {
    let (peak, cap) = (air.peak_percent_lel, air.settings.cap());
    let (Some(at), Some(room)) = (air.peak_at.filter(|_| peak > cap), room(job, air.settings.mixing)) else {
        return;
    };
    let when = at.format("%a %-d %b %H:%M");
    let past = if peak > QUARTER_LEL {
        "a quarter of what can explode"
    } else {
        "the cap"
    };
    let large = over_alone(job, plan, air, &room);
    let (severity, text, refers) = if !room.clears() {
        let text = format!(
            "The room hardly changes its air, so no order of coats keeps its vapour down: about {when} it passes {past}. Open it up, draw the air off, or coat elsewhere."
        );
        (Severity::Stop, text, Vec::new())
    } else if let Some((_, most)) = large.iter().max_by(|one, other| one.1.total_cmp(&other.1)) {
        let coats = match large.len() {
            1 => "One coat takes".to_owned(),
            many => format!("{many} coats each take"),
        };
        let text = format!(
            "{coats} the vapour in the room over the cap of {cap} % with nothing else in the air, {most:.1} % at the most; about {when} it passes {past}. Put it on in smaller goes, an hour or more apart, by brush or pad rather than gun, or with far more air."
        );
        (Severity::Stop, text, large.into_iter().map(|(id, _)| id).collect())
    } else if peak > QUARTER_LEL {
        let text = format!(
            "About {when} the vapour in the room passes {past}. Do not coat so much at once: fewer pieces a round, or far more air."
        );
        (Severity::Stop, text, Vec::new())
    } else {
        let text = format!("About {when} the vapour in the room passes {past}. Close to wet work it is richer still.");
        (Severity::Warning, text, Vec::new())
    };
    let rule = if peak > QUARTER_LEL { "quarter-lel" } else { "cap" };
    found.push(Caution::new(
        "air-fire",
        severity,
        format!("{text}{}", need(air, rule)),
        Some(format!(
            "{peak:.1} % of the lower explosive limit in the mixed room; cap {cap} %, rule {QUARTER_LEL} %"
        )),
        SOURCE,
        refers,
    ));
}

/// Coats that are over the cap with nothing else in the air, with their own peak.
fn over_alone(job: &Job, plan: &Plan, air: &RoomAir, room: &Room) -> Vec<(String, f64)> {
    let cap = air.settings.cap();
    let could = |laid: &Laid| {
        let all: f64 = laid
            .parts
            .iter()
            .map(|(substance, grams)| 100.0 * grams.0 / room.volume / substance.lel_grams())
            .sum();
        all > cap
    };
    let alone = |laid: Laid| {
        let course = follow(room, std::slice::from_ref(&laid), air.settings.country);
        let peak = course
            .minutes
            .iter()
            .map(|minute| minute.percent_lel)
            .fold(0.0, f64::max);
        (peak > cap).then_some((laid.operation, peak))
    };
    let laid = coats::of(job, plan).laid;
    laid.into_iter().filter(could).filter_map(alone).collect()
}
