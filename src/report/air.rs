//! The room's air on paper: fire, breath, clearing, flash points, dew.
//!
//! Invariant: a figure of the room as a whole says so once, a limit names its year and how far it was checked,
//! and what the job gives too little for is said instead of a figure.

use super::air_strip;
use super::caution_list::cautions;
use super::names::Names;
use super::paper::{JOIN, Paper, Sheet, clean};
use super::round::sentence;
use super::times::{clock, day};
use super::words;
use crate::air::room_air::QUARTER_LEL;
use crate::air::{DewGap, Nearness, RoomAir, SubstanceAir};
use crate::dayplan::document::Stamp;
use crate::job::Job;
use crate::science::exposure::{Amount, Averaged, Country, Force, Limit};
use crate::units::Span;
use crate::whole::AirPage;
use std::fmt::Write as _;

/// Stretches above the limits that are listed one by one.
const LISTED: usize = 6;

/// The page.
pub fn air(page: &AirPage, job: &Job, paper: Paper) -> String {
    let mut sheet = Sheet::new(paper);
    sheet.heading(&format!("Air of the room: {}", clean(&page.job)));
    match &page.air {
        Some(air) => {
            sheet.line(&format!(
                "{:.1} m³, {} changes of its air an hour, mixing factor {} (1 good, 10 poor). Every figure is that of the room as a whole: close to wet work the air is richer.",
                air.volume_m3,
                plain(air.air_changes),
                plain(air.settings.mixing)
            ));
            fire(&mut sheet, air, paper);
            breath(&mut sheet, page, air);
            fresh_air(&mut sheet, air);
        }
        None => sheet.line("The vapour has not been computed; a caution below says what is missing."),
    }
    flash(&mut sheet, page);
    dew(&mut sheet, page, &Names::of(job));
    cautions(&mut sheet, &Names::of(job), &page.cautions);
    sheet.finish()
}

fn plain(value: f64) -> String {
    format!("{}", (value * 100.0).round() / 100.0)
}

fn when(at: Stamp) -> String {
    format!("{}{JOIN}{}", day(at.date_naive()), clock(at))
}

fn fire(sheet: &mut Sheet, air: &RoomAir, paper: Paper) {
    sheet.blank();
    sheet.heading("Fire");
    let cap = air.settings.cap();
    match air.peak_at.filter(|_| air.peak_percent_lel >= 0.05) {
        Some(at) => {
            let against = if air.peak_percent_lel > cap { "OVER" } else { "under" };
            sheet.line(&format!(
                "At most {:.1} % of the lower explosive limit, {}: {against} the cap of {cap} % that plans keep to, and {} the quarter ({QUARTER_LEL} %) that 29 CFR 1910.94(c) and 1910.107 set.",
                air.peak_percent_lel,
                when(at),
                if air.peak_percent_lel > QUARTER_LEL { "OVER" } else { "under" }
            ));
        }
        None => sheet.line("Next to no vapour that burns comes into the room."),
    }
    air_strip::draw(sheet, air, paper);
}

fn breath(sheet: &mut Sheet, page: &AirPage, air: &RoomAir) {
    if air.substances.is_empty() {
        return;
    }
    sheet.blank();
    sheet.heading("Breath");
    let whose = if page.country_named {
        String::new()
    } else {
        " The job names no country; these are taken.".to_owned()
    };
    let read = match air.settings.country {
        Country::GreatBritain => "No figure was read in EH40 itself: look each one up in the current edition.",
        Country::UnitedStates => "Figures marked as recalled were not read: look them up.",
    };
    sheet.line(&format!("Limits: {}.{whose} {read}", air.table));
    for one in &air.substances {
        sheet.hanging("", 2, &substance(one));
    }
    for (worst, over) in [
        (air.worst_shift, "eight hours"),
        (air.worst_short, "quarter of an hour"),
    ] {
        let Some(worst) = worst.filter(|worst| worst.sum >= 0.005) else {
            continue;
        };
        let verdict = if worst.sum > 1.0 {
            "OVER the limits"
        } else {
            "under them"
        };
        sheet.line(&format!(
            "All together, worst {over} (to {}): {:.2} times what the limits allow, {verdict}.",
            when(worst.until),
            worst.sum
        ));
    }
    for spell in air.above.iter().take(LISTED) {
        let until = spell.until.map_or_else(
            || "not clear in the time followed".to_owned(),
            |until| format!("to {}", clock(until)),
        );
        sheet.hanging(
            "",
            2,
            &format!(
                "Above the eight-hour figures {}, {until}; {:.1} times at most.",
                when(spell.from),
                spell.sum
            ),
        );
    }
    if air.above.len() > LISTED {
        sheet.hanging("", 2, &format!("and {} more such stretches.", air.above.len() - LISTED));
    }
}

fn substance(one: &SubstanceAir) -> String {
    let mut text = format!(
        "{}, {:.0} g in all: at most {:.0} ppm ({:.0} mg/m³)",
        sentence(one.name).trim_end_matches('.'),
        one.grams,
        one.peak_ppm,
        one.peak_mg_m3
    );
    let mut limits = false;
    for (mean, limit) in [(one.shift_mg_m3, one.shift_limit), (one.short_mg_m3, one.short_limit)] {
        let Some(limit) = limit else { continue };
        limits = true;
        let over = match limit.averaged {
            Averaged::EightHours => "8 h",
            Averaged::FifteenMinutes => "15 min",
        };
        _ = write!(text, "; {over} mean {mean:.0} mg/m³, {}", said(limit));
    }
    if !limits {
        text.push_str("; no limit is in this table, which is no sign that it does no harm");
    }
    text.push('.');
    text
}

fn said(limit: &Limit) -> String {
    let amount = match limit.amount {
        Amount::Ppm(ppm) => format!("{} ppm", plain(ppm)),
        Amount::MgM3(mg) => format!("{} mg/m³", plain(mg)),
    };
    let force = match limit.force {
        Force::Law => "limit",
        Force::Advice => "advised",
    };
    let skin = if limit.skin { ", skin too" } else { "" };
    // a source that says itself how far it was checked is not told again
    let evidence = if limit.source.contains("recalled") {
        String::new()
    } else {
        format!("; {}", limit.evidence)
    };
    format!("{force} {amount}{skin} ({}, {}{evidence})", limit.source, limit.year)
}

fn fresh_air(sheet: &mut Sheet, air: &RoomAir) {
    if air.needs.is_empty() {
        return;
    }
    sheet.blank();
    sheet.heading("Fresh air it would take");
    for need in &air.needs {
        let text = format!(
            "{:.0} m³/h ({:.1} changes) {} ({})",
            need.m3_h, need.air_changes, need.purpose, need.source
        );
        sheet.hanging("", 2, &format!("{text}."));
    }
    let has = air.volume_m3 * air.air_changes;
    sheet.line(&format!("The room has {has:.0} m³/h."));
    let minutes = |minutes: f64| Span(minutes.ceil() as i64);
    match air.clears_after_minutes {
        Some(clear) if clear < 1.0 => {
            sheet.line("After the last stroke the room is below the eight-hour figures at once.");
        }
        Some(clear) => sheet.line(&format!(
            "The room is below the eight-hour figures, and stays so, {} after the last stroke.",
            minutes(clear)
        )),
        None => sheet.line("The room does not come below the eight-hour figures in the three days followed."),
    }
    match air.purge_minutes {
        Some(purge) => sheet.line(&format!(
            "With nothing wet in it, its air takes {} to thin to a tenth.",
            minutes(purge)
        )),
        None => sheet.line("It changes no air: with nothing wet in it, it still does not clear."),
    }
}

fn flash(sheet: &mut Sheet, page: &AirPage) {
    if page.flash_points.is_empty() {
        return;
    }
    sheet.blank();
    sheet.heading("Flash points");
    let warmest = page.warmest_c;
    if let Some(warmest) = warmest {
        sheet.line(&format!("The room is {warmest:.0} °C at its warmest."));
    }
    for one in &page.flash_points {
        let name = clean(&one.name);
        let Some((low, high)) = one.flash_c else {
            sheet.hanging("", 2, &format!("{name}: not given; look at the data sheet."));
            continue;
        };
        let figure = if (high - low).abs() < 1e-9 {
            format!("{} °C", plain(low))
        } else {
            format!("{} to {} °C", plain(low), plain(high))
        };
        let catches = match warmest {
            Some(warmest) if low <= warmest => ": its vapour can catch fire in this room",
            Some(_) => ": above the room, but not above a hot surface",
            None => "",
        };
        let status = one.status.map_or("", words::provenance);
        sheet.hanging("", 2, &format!("{name}: {figure}{catches} ({status})."));
    }
    let ignition: Vec<String> = page.ignition.iter().map(|one| clean(one)).collect();
    if ignition.is_empty() {
        sheet.line("The job names nothing in the room that could light it.");
    } else {
        sheet.line(&format!("In the room: {}.", ignition.join(", ")));
    }
}

fn dew(sheet: &mut Sheet, page: &AirPage, names: &Names<'_>) {
    let worst = page.dew_points.iter().min_by(|one, other| {
        let key = |gap: &DewGap| std::cmp::Reverse(gap.nearness);
        key(one).cmp(&key(other)).then(one.gap_k.total_cmp(&other.gap_k))
    });
    let Some(worst) = worst else { return };
    sheet.blank();
    sheet.heading("Dew and blush");
    let what = worst
        .operation
        .split('/')
        .next()
        .and_then(|id| names.piece(id))
        .map_or_else(|| clean(&worst.operation), |piece| clean(&piece.name));
    let verdict = match worst.nearness {
        Nearness::Clear => "far enough for its film",
        Nearness::Careful => "a film that chills itself may turn white",
        Nearness::Blush => "a film that chills itself will turn white",
        Nearness::Dew => "water can settle on the work itself",
    };
    sheet.line(&format!(
        "Nearest to the dew point: {what}, {}, in air {:.1} °C over it ({:.0} °C and {:.0} %, dew point {:.1} °C): {verdict}. Timber colder than the air is nearer still; no coat goes on less than 3 °C over the dew point.",
        when(worst.at),
        worst.gap_k,
        worst.air_c,
        worst.humidity_percent,
        worst.dew_point_c
    ));
}
