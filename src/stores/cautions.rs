//! What the shelf has to be told about before it is too late.
//!
//! Invariant: a thing whose amount on the shelf is not known is never said to be short.

use super::needs::Stores;
use super::product::ProductNeed;
use crate::dayplan::document::{Caution, Severity};

/// The cautions of the stores.
pub fn of(stores: &Stores) -> Vec<Caution> {
    let mut found = Vec::new();
    for need in &stores.products {
        short(need, &mut found);
        batches(need, &mut found);
        unknown(need, &mut found);
    }
    let abrasives = stores.abrasives.iter();
    let papers = abrasives.map(|need| (need.grit.clone(), need.left, need.unit, need.on_hand, need.lasts));
    let sundries = stores.sundries.iter();
    let others = sundries.map(|need| (need.item.to_owned(), need.left, need.unit, need.on_hand, need.lasts));
    let out: Vec<String> = papers
        .chain(others)
        .filter(|one| one.4 == Some(false))
        .map(|(item, left, unit, on_hand, _)| {
            format!(
                "{item}: {:.0} {unit} wanted, {:.0} there",
                left.ceil(),
                on_hand.unwrap_or(0.0).floor()
            )
        })
        .collect();
    if !out.is_empty() {
        found.push(Caution::new(
            "store-short",
            Severity::Warning,
            "What is on the shelf does not last for what is still to do.".to_owned(),
            Some(out.join("; ")),
            "this plan, the shelf in the job, wear by common practice",
            Vec::new(),
        ));
    }
    found
}

fn short(need: &ProductNeed, found: &mut Vec<Caution>) {
    let (Some(short), Some(on_hand)) = (need.short_ml.filter(|short| *short > 0.0), need.on_hand_ml) else {
        return;
    };
    found.push(Caution::new(
        "tin-short",
        Severity::Warning,
        format!(
            "There is not enough {} for what is still to do: get more before the coat that would run out, of the same batch if you can.",
            need.name
        ),
        Some(format!("{on_hand:.0} mL there, {short:.0} mL short")),
        "this plan and the shelf in the job",
        Vec::new(),
    ));
}

/// Two batches may differ in colour and sheen.
fn batches(need: &ProductNeed, found: &mut Vec<Caution>) {
    let names: Vec<&str> = need.batches.iter().filter_map(|one| one.batch.as_deref()).collect();
    if need.batches.len() < 2 || names.is_empty() {
        return;
    }
    let keep = need
        .keep_for_last_coat_ml
        .map(|keep| format!("{keep:.0} mL for the last coat"));
    found.push(Caution::new(
        "batches",
        Severity::Note,
        format!(
            "{} stands in tins of several batches ({}): pour them together before the first coat, or keep one batch back for the whole last coat.",
            need.name,
            names.join(", ")
        ),
        keep,
        "common practice, no source",
        Vec::new(),
    ));
}

fn unknown(need: &ProductNeed, found: &mut Vec<Caution>) {
    if need.without_volume.is_empty() {
        return;
    }
    found.push(Caution::new(
        "volume-unknown",
        Severity::Note,
        format!(
            "How thick {} goes on is not given, so what these coats take is in no figure here.",
            need.name
        ),
        None,
        "this plan",
        need.without_volume.clone(),
    ));
}
