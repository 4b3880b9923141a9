//! The rounds of the plan in force.
//!
//! Invariant: a round is over when every operation of it is done or skipped, and only then.

use super::facts::Facts;
use super::state::{RoundStanding, RoundState};
use crate::dayplan::document::{Plan, Round};
use crate::units::{Moment, Span};
use std::collections::BTreeMap;

/// A round is late when it should have begun so long ago (own choice: shorter delays are the day's play).
const LATE_AFTER: Span = Span(10);

/// The rounds, in the plan's order, and which of them hands do now: the one on the bench, else the next up,
/// which is due then even before its time.
pub(super) fn standing(facts: &Facts) -> (Vec<RoundStanding>, Option<usize>) {
    let Some(plan) = facts.plan else {
        return (Vec::new(), None);
    };
    let indices: BTreeMap<&str, usize> = plan
        .operations
        .iter()
        .enumerate()
        .map(|(index, operation)| (operation.id.as_str(), index))
        .collect();
    let mut rounds: Vec<RoundStanding> = plan
        .rounds
        .iter()
        .enumerate()
        .map(|(index, round)| one(facts, index, round, &indices))
        .collect();
    let on_bench = rounds.iter().position(|round| round.state == RoundState::Running);
    let next_up = next_up(plan, &rounds);
    if on_bench.is_none()
        && let Some(next) = next_up.and_then(|next| rounds.get_mut(next))
        && next.state == RoundState::Coming
    {
        next.state = RoundState::Due;
    }
    (rounds, on_bench.or(next_up))
}

/// The first by start that is neither over nor on the bench.
fn next_up(plan: &Plan, rounds: &[RoundStanding]) -> Option<usize> {
    let open = rounds
        .iter()
        .enumerate()
        .filter(|(_, round)| !matches!(round.state, RoundState::Over | RoundState::Running));
    open.min_by_key(|(at, round)| (plan.rounds.get(round.round).map(|round| round.start), *at))
        .map(|(at, _)| at)
}

fn one(facts: &Facts, index: usize, round: &Round, indices: &BTreeMap<&str, usize>) -> RoundStanding {
    let left: Vec<usize> = round
        .operations
        .iter()
        .filter(|id| !facts.history.is_over(id))
        .filter_map(|id| indices.get(id.as_str()).copied())
        .collect();
    let start = Moment::of(&round.start);
    let state = if left.is_empty() {
        RoundState::Over
    } else if round.operations.iter().any(|id| facts.history.begun(id).is_some()) {
        RoundState::Running
    } else if facts.now > start + LATE_AFTER {
        RoundState::Late
    } else if facts.now >= start {
        RoundState::Due
    } else {
        RoundState::Coming
    };
    let done = round
        .operations
        .iter()
        .filter(|id| facts.history.done(id).is_some())
        .count();
    RoundStanding {
        round: index,
        state,
        left,
        done,
    }
}
