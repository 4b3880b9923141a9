//! The shelf on paper: products with their tins, mixes, abrasives by grit, cloths, rags, tape, wax.
//!
//! Invariant: what is used, what is still wanted and what is there are never mixed up; what is not known is said
//! and not shown as nothing.

use super::caution_list::cautions;
use super::names::Names;
use super::paper::{JOIN, Paper, Sheet, clean};
use super::round::sentence;
use super::times::{clock, day};
use super::volumes::{tins, volume};
use crate::dayplan::document::Stamp;
use crate::job::Job;
use crate::stores::ProductNeed;
use crate::whole::StoresPage;
use std::fmt::Write as _;

/// The page.
pub fn stores(page: &StoresPage, job: &Job, paper: Paper) -> String {
    let mut sheet = Sheet::new(paper);
    sheet.heading(&format!("Stores: {}", clean(&page.job)));
    let all = &page.stores;
    sheet.line(&format!(
        "What lands, what is lost by the way it is put on, and {} % left in tin and tools. The shelf counts as it stood when the job began, with what was bought since.",
        all.products.first().map_or(10.0, |need| need.waste_percent)
    ));
    for need in &all.products {
        sheet.blank();
        sheet.heading(sentence(&clean(&need.name)).trim_end_matches('.'));
        product(&mut sheet, need, job);
    }
    if let (Some(cost), Some(money)) = (all.cost, &all.money) {
        sheet.blank();
        sheet.line(&format!("All tins together: {cost:.2} {}.", clean(money)));
    }
    if !all.abrasives.is_empty() {
        sheet.blank();
        sheet.heading("Abrasives");
        let mut rows = vec![head()];
        for need in &all.abrasives {
            rows.push(row(
                &need.grit,
                need.unit,
                (need.needed, need.left),
                need.on_hand,
                need.lasts,
            ));
        }
        sheet.table(2, &rows);
    }
    if !all.sundries.is_empty() {
        sheet.blank();
        sheet.heading("Cloths, rags, tape, wax");
        let mut rows = vec![head()];
        for need in &all.sundries {
            rows.push(row(
                need.item,
                need.unit,
                (need.needed, need.left),
                need.on_hand,
                need.lasts,
            ));
        }
        sheet.table(2, &rows);
    }
    sheet.blank();
    sheet.line(&format!("How far sheets, cloths and rags go: {}.", all.rates_source));
    cautions(&mut sheet, &Names::of(job), &page.cautions);
    sheet.finish()
}

fn head() -> Vec<String> {
    ["", "in all", "still wanted", "there", ""].map(str::to_owned).to_vec()
}

fn row(item: &str, unit: &str, (needed, left): (f64, f64), on_hand: Option<f64>, lasts: Option<bool>) -> Vec<String> {
    let whole = |value: f64| (value - 1e-9).ceil().max(0.0);
    let there = on_hand.map_or_else(|| "not said".to_owned(), |on_hand| format!("{:.0}", on_hand.floor()));
    let verdict = match lasts {
        Some(true) => "lasts",
        Some(false) => "SHORT",
        None => "",
    };
    vec![
        clean(item),
        counted(whole(needed), unit),
        format!("{:.0}", whole(left)),
        there,
        verdict.to_owned(),
    ]
}

/// `1 sheet`, `9 sheets`, `13 m`.
fn counted(amount: f64, unit: &str) -> String {
    let one = (amount - 1.0).abs() < 1e-9;
    let unit = if one {
        unit.strip_suffix('s').unwrap_or(unit)
    } else {
        unit
    };
    format!("{amount:.0} {unit}")
}

fn when(at: Stamp) -> String {
    format!("{}{JOIN}{}", day(at.date_naive()), clock(at))
}

fn product(sheet: &mut Sheet, need: &ProductNeed, job: &Job) {
    let shown = |millilitres: f64| volume(millilitres, job.shown_in);
    match need.needed_ml {
        Some([least, usual, most]) => {
            sheet.line(&format!(
                "{} out of the tin ({} to {}): {}.",
                shown(usual),
                shown(least),
                shown(most),
                tins(&need.tins)
            ));
            let used = need.used_ml.unwrap_or(0.0);
            if used > 0.0 {
                sheet.line(&format!(
                    "Used {}, still wanted {}.",
                    shown(used),
                    shown(need.left_ml.unwrap_or(0.0))
                ));
            }
        }
        None => sheet.line("How thick it goes on is not given: no volume."),
    }
    coats(sheet, need, job);
    shelf(sheet, need, job);
    if let (Some(cost), Some(money)) = (need.cost, &job.shelf.money) {
        sheet.line(&format!("Tins for all of it: {cost:.2} {}.", clean(money)));
    }
    for mix in &need.mixes {
        sheet.hanging(
            "",
            2,
            &format!(
                "Mix {} at {}, usable to {}.",
                shown(mix.volume_ml),
                when(mix.at),
                clock(mix.until)
            ),
        );
    }
    if !need.without_volume.is_empty() && need.needed_ml.is_some() {
        sheet.line(&format!(
            "{} coats more are in no figure: how thick they go on is not given.",
            need.without_volume.len()
        ));
    }
    let evidence = need.landing.evidence.to_string();
    let basis = if evidence == need.landing.source {
        evidence
    } else {
        format!("{}; {evidence}", need.landing.source)
    };
    sheet.line(&format!("{:.0} % lands ({basis}).", 100.0 * need.landing.usual));
}

fn coats(sheet: &mut Sheet, need: &ProductNeed, job: &Job) {
    if need.coats.len() < 2 {
        return;
    }
    let mut text = String::from("By coat:");
    for (index, coat) in need.coats.iter().enumerate() {
        let sep = if index == 0 { " " } else { ", " };
        let name = coat.coat.map_or_else(|| "other".to_owned(), |coat| coat.to_string());
        _ = write!(text, "{sep}{name}{JOIN}–{JOIN}{}", volume(coat.needed_ml, job.shown_in));
    }
    text.push('.');
    if let Some(keep) = need.keep_for_last_coat_ml {
        _ = write!(text, " Keep {} of one batch for the last.", volume(keep, job.shown_in));
    }
    sheet.line(&text);
}

fn shelf(sheet: &mut Sheet, need: &ProductNeed, job: &Job) {
    let shown = |millilitres: f64| volume(millilitres, job.shown_in);
    for batch in &need.batches {
        let name = batch.batch.as_deref().map_or_else(
            || "no batch number".to_owned(),
            |batch| format!("batch {}", clean(batch)),
        );
        let noun = if batch.tins == 1 { "tin" } else { "tins" };
        sheet.hanging(
            "",
            2,
            &format!(
                "On the shelf: {} {noun}, {name}, {}.",
                batch.tins,
                shown(batch.volume_ml)
            ),
        );
    }
    let Some(on_hand) = need.on_hand_ml else {
        sheet.line("The job does not say what is on the shelf.");
        return;
    };
    match need.short_ml.filter(|short| *short > 0.0) {
        Some(short) => sheet.line(&format!(
            "There now: {}. SHORT by {}: buy {}.",
            shown(on_hand),
            shown(short),
            tins(&need.buy)
        )),
        None => sheet.line(&format!("There now: {}. It lasts.", shown(on_hand))),
    }
}
