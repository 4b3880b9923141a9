//! Rounds: one step on an ordered list of pieces in one go.
//!
//! Invariant: every hand operation except setting up, mixing and cleaning out is in exactly one round; a round ends
//! when its hands turn to another family or rest for longer than an hour.

use super::document::{Operation, Round, Stamp, State};
use super::sample::is_sign_off;
use crate::finish::StepKind;
use std::collections::BTreeMap;

/// A longer rest than this starts a new round (a lunch break does not).
const REST_MINUTES: i64 = 60;

/// Makes the rounds of operations sorted by start, and writes each operation's round into it.
pub(super) fn of(operations: &mut [Operation]) -> Vec<Round> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    // per set of hands: the family at work, and its open rounds
    let mut benches: BTreeMap<&[String], Bench> = BTreeMap::new();
    for (at, operation) in operations.iter().enumerate() {
        let alone = matches!(operation.step, StepKind::ChangeOver | StepKind::CleanUp | StepKind::Mix);
        if alone || operation.state == State::Skipped {
            continue;
        }
        let bench = benches.entry(&operation.hands).or_default();
        let family = (
            operation.family.as_deref(),
            operation.family.is_none().then_some(operation.step),
        );
        let rested = bench
            .last
            .is_some_and(|last| (operation.start - last).num_minutes() > REST_MINUTES);
        if rested || bench.family.as_ref() != Some(&family) {
            bench.open.clear();
            bench.family = Some(family);
        }
        bench.last = Some(bench.last.map_or(operation.end, |last| last.max(operation.end)));
        let key = (
            operation.step,
            operation.coat,
            operation.product.as_deref(),
            operation.grit.as_deref(),
            is_sign_off(operation),
        );
        if let Some(&(_, group)) = bench.open.iter().find(|(open, _)| *open == key) {
            groups[group].push(at);
        } else {
            bench.open.push((key, groups.len()));
            groups.push(vec![at]);
        }
    }
    groups.sort_by_key(|group| group.first().map(|&at| (operations[at].start, at)));
    let mut rounds = Vec::new();
    for (index, group) in groups.iter().enumerate() {
        let id = format!("r{:02}", index + 1);
        for &at in group {
            operations[at].round = Some(id.clone());
        }
        let Some(first) = group.first().map(|&at| &operations[at]) else {
            continue;
        };
        let end: Stamp = group.iter().map(|&at| operations[at].end).max().unwrap_or(first.end);
        rounds.push(Round {
            id,
            step: first.step,
            coat: first.coat,
            product: first.product.clone(),
            grit: first.grit.clone(),
            hands: first.hands.clone(),
            start: first.start,
            end,
            operations: group.iter().map(|&at| operations[at].id.clone()).collect(),
        });
    }
    rounds
}

type Key<'a> = (StepKind, Option<u8>, Option<&'a str>, Option<&'a str>, bool);

#[derive(Default)]
struct Bench<'a> {
    family: Option<(Option<&'a str>, Option<StepKind>)>,
    open: Vec<(Key<'a>, usize)>,
    last: Option<Stamp>,
}
