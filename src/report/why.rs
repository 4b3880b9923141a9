//! Why a plan ends when it does, and what would bring the end forward.
//!
//! Invariant: every figure is that of a real plan; a change without a sooner plan says so and nothing more.

use super::STANDING_LINE;
use super::names::Names;
use super::paper::{JOIN, Paper, Sheet, clean};
use super::round::{View, sentence, step_title};
use super::text::when_dated;
use crate::dayplan::Plan;
use crate::dayplan::chain::{self, Stage, chain};
use crate::dayplan::document::{BecauseKind, Stamp};
use crate::dayplan::gains::Gain;
use crate::dayplan::limit::{Binds, Limit};
use crate::job::{Job, PlaceKind, WhatIf};
use crate::units::Span;
use serde_json::{Value, json};

/// Column of the text beside the times.
const MARGIN: usize = 13;

/// The whole explanation on paper.
pub fn why_text(plan: &Plan, job: &Job, limit: Option<Limit>, gains: &[Gain], paper: Paper) -> String {
    let view = View::of(plan, Names::of(job));
    let mut sheet = Sheet::new(paper);
    sheet.heading(&clean(&plan.job));
    sheet.line(&format!("Everything is ready to glue {}.", when_dated(plan.ready)));
    if let Some(limit) = limit {
        let over = (plan.ready - limit.at).num_minutes();
        let at = when_dated(limit.at);
        let binds = binds(limit.binds);
        if over <= 0 {
            sheet.line(&format!("No plan can be ready sooner: {binds}."));
        } else {
            sheet.line(&format!(
                "No plan can be ready before {at}: {binds}. Between the two lie {} ({:.0}{JOIN}%).",
                Span(over),
                plan.gap_percent
            ));
        }
    }
    sheet.blank();
    sheet.heading("What leads up to it");
    let links = chain(plan);
    stages(&mut sheet, &view, &chain::stages(&links));
    sheet.blank();
    sheet.heading("What would bring it forward");
    if gains.is_empty() {
        sheet.line("Nothing was tried.");
    } else {
        sheet.line("Each planned anew as it would be, with the same tries; one thing changed at a time.");
    }
    let sooner = |gain: &&Gain| gain.minutes > 0;
    let rows: Vec<Vec<String>> = gains.iter().filter(sooner).map(row).collect();
    if !rows.is_empty() {
        sheet.table(2, &rows);
    }
    let without: Vec<String> = gains
        .iter()
        .filter(|gain| !sooner(gain))
        .map(|gain| words(&gain.change))
        .collect();
    if !without.is_empty() {
        sheet.line(&format!(
            "No sooner plan was found with {}.",
            without.join(", nor with ")
        ));
    }
    sheet.blank();
    sheet.line(STANDING_LINE);
    sheet.finish()
}

/// The same for other programs.
pub fn why_json(plan: &Plan, limit: Option<Limit>, gains: &[Gain]) -> Value {
    let link = |link: &chain::Link<'_>| {
        json!({
            "operation": link.operation.id,
            "start": link.operation.start,
            "end": link.operation.end,
            "because": link.operation.because,
            "then_waits_minutes": link.waits,
        })
    };
    let gain = |gain: &Gain| {
        json!({
            "change": words(&gain.change),
            "ready": gain.ready,
            "sooner_minutes": gain.ready.map(|_| gain.minutes),
        })
    };
    json!({
        "ready": plan.ready,
        "bound": plan.bound,
        "bound_because": limit.map(|limit| binds(limit.binds)),
        "chain": chain(plan).iter().map(link).collect::<Vec<Value>>(),
        "changes": gains.iter().map(gain).collect::<Vec<Value>>(),
    })
}

fn row(gain: &Gain) -> Vec<String> {
    let ready = gain.ready.map_or_else(String::new, when_dated);
    vec![words(&gain.change), format!("{} sooner", Span(gain.minutes)), ready]
}

/// What binds, in words.
fn binds(binds: Binds) -> String {
    match binds {
        Binds::Hands => "the hands there are cannot do the work sooner".to_owned(),
        Binds::Drying => "the films take that long to dry".to_owned(),
        Binds::Places(Some(PlaceKind::Bearers)) => "the bearers cannot hold more wet pieces at once".to_owned(),
        Binds::Places(Some(PlaceKind::Points)) => "the points cannot hold more wet pieces at once".to_owned(),
        Binds::Places(Some(PlaceKind::Hooks)) => "the hooks cannot hold more wet pieces at once".to_owned(),
        Binds::Places(Some(PlaceKind::Racks)) => "the racks cannot hold more pieces at once".to_owned(),
        Binds::Places(None) => "one thing can be in one pair of hands only".to_owned(),
        Binds::Vapour => "the room cannot take more vapour at once".to_owned(),
        Binds::Dust => "dust and wet work keep each other waiting".to_owned(),
        Binds::Hours => "the drying and the closed hours between take that long".to_owned(),
        Binds::Tried => "every sooner plan was ruled out".to_owned(),
    }
}

/// A change in words.
fn words(change: &WhatIf) -> String {
    match change {
        WhatIf::Hands(count) => format!("{count} pairs of hands"),
        WhatIf::WarmerNights(kelvins) => format!("nights {kelvins:.0}{JOIN}°C warmer"),
        WhatIf::MorePlaces(more) => format!("{more} more places of every kind"),
        WhatIf::DustApart => "dust made in another room".to_owned(),
        WhatIf::LaterEvening(minutes) => format!("evenings {} longer", Span(i64::from(*minutes))),
        WhatIf::Finish { from, to } => format!("{} instead of {}", clean(&to.name), clean(from)),
    }
}

/// Stages of a chain, each with what held it back.
pub(super) fn stages(sheet: &mut Sheet, view: &View<'_>, stages: &[Stage<'_>]) {
    let mut day = None;
    for stage in stages {
        let (Some(start), Some(end)) = (stage.start(), stage.end()) else {
            continue;
        };
        if day != Some(start.date_naive()) {
            day = Some(start.date_naive());
            sheet.line(&format!("{}:", super::times::day(start.date_naive())));
        }
        let mut line = sentence(&title(view, stage));
        if let Some(reason) = reason(stage) {
            line = format!("{line} {}", sentence(&format!("Not earlier: {reason}")));
        }
        if stage.waits() > 0 {
            line = format!("{line} Then {} until what follows.", Span(stage.waits()));
        }
        sheet.hanging(&times(start, end), MARGIN, &line);
    }
}

fn times(start: Stamp, end: Stamp) -> String {
    super::times::span(start, end)
}

fn title(view: &View<'_>, stage: &Stage<'_>) -> String {
    // what is set out and cleaned out around a round is not what the round is about
    let main = stage.links.iter().find(|link| link.operation.round.is_some());
    let Some(main) = main.or(stage.links.first()) else {
        return String::new();
    };
    let operation = main.operation;
    let what = step_title(operation.step, operation.coat, None, operation.grit.as_deref());
    let all: Vec<_> = stage.links.iter().map(|link| link.operation).collect();
    let objects = view.objects(&all);
    let product = operation.product.as_ref().map(|product| view.names.product(product));
    let what = product.map_or_else(|| what.clone(), |product| format!("{what}, {product}"));
    if objects.is_empty() {
        what
    } else {
        format!("{what}: {objects}")
    }
}

/// What held the first of a stage back, where that says more than that hands were busy.
fn reason(stage: &Stage<'_>) -> Option<String> {
    let because = &stage.links.first()?.operation.because;
    match because.kind {
        BecauseKind::Fact | BecauseKind::NotThere => None,
        _ => Some(clean(&because.text)),
    }
}
