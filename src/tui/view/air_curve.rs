//! The vapour through one day as a curve, against the cap and the rule.
//!
//! Invariant: a column is the highest value of its stretch; nothing is drawn that the series does not hold.

use super::super::model::Model;
use super::air::percent;
use super::cells::Row;
use super::now::{MARGIN, margin};
use crate::air::RoomAir;
use crate::air::room_air::QUARTER_LEL;
use crate::units::{Edge, Moment, Span, resolve};
use chrono::NaiveDate;

/// The day shown: the one chosen, else today or the next one with vapour.
pub fn day_shown(model: &Model, air: &RoomAir) -> Option<usize> {
    let last = air.days.len().checked_sub(1)?;
    let today = model.moment().in_zone(model.sheet.job.zone).date_naive();
    let next = || {
        air.days
            .iter()
            .position(|day| day.peak_at.date_naive() >= today)
            .unwrap_or(last)
    };
    Some(model.pages.air.day.map_or_else(next, |day| day.min(last)))
}

/// The rows of the curve.
pub fn rows(model: &Model, air: &RoomAir, columns: usize, height: usize) -> Vec<Row> {
    let (theme, symbols) = (&model.theme, &model.symbols);
    let Some(shown) = day_shown(model, air) else {
        return vec![margin(model, "").text("No coat of the plan gives off vapour to speak of.", theme.text)];
    };
    let Some(day) = air.days.get(shown) else {
        return Vec::new();
    };
    let zone = model.sheet.job.zone;
    let date = Moment::of(&day.peak_at).in_zone(zone).date_naive();
    let begins = midnight(model, date);
    let room = columns.saturating_sub(MARGIN + 14);
    let minutes = [10, 15, 30, 60]
        .into_iter()
        .find(|minutes| 1440 / minutes <= room as i64)
        .unwrap_or(60);
    let values: Vec<f64> = (0..1440 / minutes)
        .map(|cell| {
            let from = begins + Span(cell * minutes);
            highest(air, from, from + Span(minutes))
        })
        .collect();
    let cap = air.settings.cap();
    let top = top_of(day.peak_percent_lel, cap);
    let high = height.saturating_sub(2).max(3);
    let mut rows = vec![title(model, air, shown, date)];
    for level in (0..high).rev() {
        let (low, step) = (top * level as f64 / high as f64, top / high as f64);
        let limit = [(cap, "the cap"), (QUARTER_LEL, "the rule")]
            .into_iter()
            .find(|(limit, _)| *limit >= low && *limit < low + step && *limit > 0.0);
        let label = if level + 1 == high {
            format!("{} %", percent(top))
        } else {
            String::new()
        };
        let label = if level == 0 { "0 %".to_owned() } else { label };
        let text: String = values
            .iter()
            .map(|value| {
                let share = (value - low) / step;
                if share >= 1.0 {
                    symbols.bars[7]
                } else if share > 0.02 {
                    symbols
                        .bars
                        .get((share * 8.0) as usize)
                        .copied()
                        .unwrap_or(symbols.bars[7])
                } else if limit.is_some() {
                    symbols.rule
                } else {
                    ' '
                }
            })
            .collect();
        let style = if limit.is_some() { theme.alarm } else { theme.turn };
        let row = Row::new()
            .right(&label, MARGIN - 1, theme.quiet, symbols)
            .text(" ", theme.text)
            .text(text, style);
        rows.push(match limit {
            Some((limit, words)) => row.text(format!(" {words}, {} %", percent(limit)), theme.text),
            None => row,
        });
    }
    let mut ruler = Row::new().pad(MARGIN);
    for hour in (0..24).step_by(3) {
        ruler = ruler
            .pad(MARGIN + (hour * 60 / minutes) as usize)
            .text(hour.to_string(), theme.quiet);
    }
    rows.push(ruler);
    rows
}

/// `Mon 30 Nov, day 1 of 6: 4.2 % at most, 13:20`.
fn title(model: &Model, air: &RoomAir, shown: usize, date: NaiveDate) -> Row {
    let theme = &model.theme;
    let Some(day) = air.days.get(shown) else {
        return Row::new();
    };
    let words = format!(
        "{}: {} % at most, {}",
        date.format("%a %-d %b"),
        percent(day.peak_percent_lel),
        day.peak_at.format("%H:%M")
    );
    let place = format!("day {} of {} with vapour", shown + 1, air.days.len());
    let row = margin(model, "DAY").text(words, theme.strong);
    let at = row.width().max(MARGIN + 36) + 3;
    row.pad(at).text(place, theme.quiet)
}

fn midnight(model: &Model, date: NaiveDate) -> Moment {
    resolve(date.and_time(chrono::NaiveTime::MIN), model.sheet.job.zone, Edge::Start)
}

/// Where the curve ends above: so that it fills the room, and the cap is seen when it is near.
fn top_of(peak: f64, cap: f64) -> f64 {
    let least = if peak > cap / 4.0 { cap * 1.2 } else { peak * 1.2 };
    least.max(peak * 1.1).max(0.001)
}

/// The highest value of a stretch, the series joined by straight lines.
fn highest(air: &RoomAir, from: Moment, until: Moment) -> f64 {
    let series = &air.series;
    let at = |moment: Moment| -> f64 {
        let after = series.partition_point(|point| Moment::of(&point.0) <= moment);
        let before = after.checked_sub(1).and_then(|index| series.get(index));
        match (before, series.get(after)) {
            (Some(before), Some(after)) => {
                let (start, end) = (Moment::of(&before.0), Moment::of(&after.0));
                let share = (moment - start).0 as f64 / (end - start).0.max(1) as f64;
                before.1 + (after.1 - before.1) * share
            }
            _ => 0.0,
        }
    };
    let inside = series
        .iter()
        .filter(|point| (from..until).contains(&Moment::of(&point.0)))
        .map(|point| point.1);
    inside.chain([at(from), at(Moment(until.0 - 1))]).fold(0.0, f64::max)
}
