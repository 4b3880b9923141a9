//! The vapour of each day drawn as one strip: a half hour a column, as high as the air is rich.
//!
//! Invariant: full height is the cap, a dot is next to nothing, and what is over the cap has a sign of its own;
//! with plain characters the heights are digits, tenths of the cap begun: what is there is never a nought.

use super::paper::{Paper, Sheet};
use crate::air::RoomAir;
use crate::dayplan::document::Stamp;
use chrono::{NaiveDate, Timelike};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Columns of a day.
const SLOTS: usize = 48;
const HEIGHTS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/// Below this share of the cap a half hour counts as clear.
const CLEAR: f64 = 0.005;

/// The highest of each half hour by day, % of the lower explosive limit.
fn by_day(air: &RoomAir) -> BTreeMap<NaiveDate, ([f64; SLOTS], f64, Option<Stamp>)> {
    let mut days: BTreeMap<NaiveDate, ([f64; SLOTS], f64, Option<Stamp>)> = BTreeMap::new();
    let mut before: Option<(Stamp, f64)> = None;
    for &(at, percent, _) in &air.series {
        // between two points of a stretch the air goes from one to the other
        if let Some((from, was)) = before.filter(|(from, _)| (at - *from).num_minutes() <= 61) {
            let minutes = (at - from).num_minutes().max(1);
            for minute in 1..minutes {
                let here = was + (percent - was) * minute as f64 / minutes as f64;
                raise(&mut days, from + chrono::TimeDelta::minutes(minute), here);
            }
        }
        raise(&mut days, at, percent);
        before = Some((at, percent));
    }
    days
}

fn raise(days: &mut BTreeMap<NaiveDate, ([f64; SLOTS], f64, Option<Stamp>)>, at: Stamp, percent: f64) {
    let (slots, peak, peak_at) = days.entry(at.date_naive()).or_insert(([0.0; SLOTS], 0.0, None));
    if let Some(slot) = slots.get_mut((at.num_seconds_from_midnight() / 1800) as usize) {
        *slot = slot.max(percent);
    }
    if percent > *peak {
        (*peak, *peak_at) = (percent, Some(at));
    }
}

fn sign(share: f64, ascii: bool) -> char {
    match share {
        share if share < CLEAR => '.',
        share if share > 1.0 => '!',
        share if ascii => char::from_digit(((share * 10.0).ceil() as u32).clamp(1, 9), 10).unwrap_or('9'),
        share => HEIGHTS
            .get(((share * 8.0).ceil() as usize).clamp(1, 8) - 1)
            .copied()
            .unwrap_or('█'),
    }
}

/// Draws the days; nothing where no vapour is in the room.
pub(super) fn draw(sheet: &mut Sheet, air: &RoomAir, paper: Paper) {
    let cap = air.settings.cap();
    let days = by_day(air);
    let shown = days.iter().filter(|(_, (_, peak, _))| *peak >= cap * CLEAR);
    if cap <= 0.0 || shown.clone().next().is_none() {
        return;
    }
    // a narrow paper takes an hour a column
    let narrow = paper.width < 12 + SLOTS + 18;
    let columns = if narrow { SLOTS / 2 } else { SLOTS };
    let step = SLOTS / columns;
    let mut hours = String::new();
    for hour in (0..24).step_by(3) {
        let wide = 3 * columns / 24;
        _ = write!(hours, "{hour:<wide$}");
    }
    sheet.line(&format!(
        "Highest in each {}, against the cap of {cap} %{}:",
        if narrow { "hour" } else { "half hour" },
        if paper.ascii {
            " (tenths of it, begun ones counted)"
        } else {
            ""
        }
    ));
    sheet.exact(&format!("{:<12}{hours}", "hour"));
    for (date, (slots, peak, peak_at)) in shown {
        let strip: String = slots
            .chunks(step)
            .map(|slots| sign(slots.iter().copied().fold(0.0, f64::max) / cap, paper.ascii))
            .collect();
        let at = peak_at.map_or_else(String::new, |at| format!(" at {}", super::times::clock(at)));
        sheet.exact(&format!("{:<12}{strip}  {peak:.1} %{at}", super::times::day(*date)));
    }
    if days.values().any(|(_, peak, _)| *peak > cap) {
        sheet.line("! is over the cap.");
    }
}

#[cfg(test)]
mod tests {
    use super::sign;

    #[test]
    fn what_is_there_never_looks_like_none() {
        let check = |share: f64, plain: char, drawn: char| {
            assert_eq!((sign(share, true), sign(share, false)), (plain, drawn), "{share}");
        };
        check(0.0, '.', '.');
        check(0.004, '.', '.');
        check(0.005, '1', '▁');
        check(0.1, '1', '▁');
        check(0.11, '2', '▁');
        check(0.95, '9', '█');
        check(1.0, '9', '█');
        check(1.01, '!', '!');
    }
}
