//! Rounds: what hands see and tick.
//!
//! Invariant: every operation of hands stands in exactly one round, but for setting up, cleaning out and mixing.

use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet};
use crate::dayplan::document::Round;
use crate::finish::StepKind;
use crate::units::Moment;
use foldhash::HashMap;
use std::collections::BTreeSet;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    let mut homes: HashMap<&str, Vec<&str>> = HashMap::default();
    for round in &sheet.plan.rounds {
        for id in &round.operations {
            homes.entry(id.as_str()).or_default().push(round.id.as_str());
        }
    }
    for op in &sheet.ops {
        let loner = matches!(op.step, StepKind::ChangeOver | StepKind::CleanUp | StepKind::Mix);
        let stands_in = homes.get(op.id.as_str()).map(Vec::as_slice).unwrap_or_default();
        let right = match (stands_in, op.round.as_deref()) {
            ([], None) => loner || op.hands.is_empty(),
            ([one], Some(said)) => *one == said,
            _ => false,
        };
        if !right {
            let text = format!(
                "{} stands in {} rounds and says {}",
                op.id,
                stands_in.len(),
                op.round.as_deref().unwrap_or("none")
            );
            found.by(Rule::Round, &[op], text);
        }
    }
    for round in &sheet.plan.rounds {
        one(sheet, round, found);
    }
    let sorted = sheet.plan.rounds.is_sorted_by_key(|round| round.start)
        && sheet.plan.operations.is_sorted_by_key(|line| line.start);
    if !sorted {
        found.document(
            Rule::Round,
            "rounds or operations are not written in order of start".to_owned(),
        );
    }
}

fn one(sheet: &Sheet<'_>, round: &Round, found: &mut Breaches) {
    let find = |id: &String| sheet.op(id);
    let ops: Vec<&Op<'_>> = round.operations.iter().filter_map(find).collect();
    let (Some(from), Some(until)) = (ops.iter().map(|op| op.from).min(), ops.iter().map(|op| op.until).max()) else {
        // a round whose every operation was skipped is only a trace
        if round.operations.is_empty() {
            found.document(Rule::Round, format!("{} has no operation", round.id));
        }
        return;
    };
    if Moment::of(&round.start) != from || Moment::of(&round.end) != until {
        let text = format!(
            "{} says {} to {}; its operations run {} to {}",
            round.id,
            sheet.clock(Moment::of(&round.start)),
            sheet.clock(Moment::of(&round.end)),
            sheet.clock(from),
            sheet.clock(until)
        );
        found.between(Rule::Round, &ops, text);
    }
    if !ops.is_sorted_by_key(|op| op.from) {
        found.between(
            Rule::Round,
            &ops,
            format!("{} does not list its operations in the order they are worked", round.id),
        );
    }
    let odd = ops.iter().find(|op| {
        op.step != round.step || op.coat != round.coat || op.product != round.product || op.grit != round.grit
    });
    if let Some(odd) = odd {
        found.by(
            Rule::Round,
            &[odd],
            format!(
                "{} is not of one step, coat, product and grit with its round {}",
                odd.id, round.id
            ),
        );
    }
    let said: BTreeSet<&str> = round.hands.iter().map(String::as_str).collect();
    let hands: BTreeSet<&str> = ops.iter().flat_map(|op| &op.line().hands).map(String::as_str).collect();
    if said != hands {
        found.between(
            Rule::Round,
            &ops,
            format!("{} names other hands than its operations", round.id),
        );
    }
}
