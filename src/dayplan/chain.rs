//! The chain that sets the end of a plan: from the operation after which the last section is ready, back from
//! what holds to what holds that, to the beginning.
//!
//! Invariant: read off the document alone; every link ends no later than the one it holds back starts, so the
//! chain always comes to an end.

use super::document::{BecauseKind, Operation, Plan, Stamp};
use std::collections::HashMap;

/// One operation of the chain.
#[derive(Clone, Copy, Debug)]
pub struct Link<'a> {
    /// The operation.
    pub operation: &'a Operation,
    /// Minutes from its end to the start of the next link, or to the goal: films drying, closed hours, waiting.
    pub waits: i64,
}

/// The chain in order of time; empty where nothing is planned.
pub fn chain(plan: &Plan) -> Vec<Link<'_>> {
    let by_id: HashMap<&str, &Operation> = plan.operations.iter().map(|one| (one.id.as_str(), one)).collect();
    let mut links = Vec::new();
    let mut until = plan.ready;
    let mut at = sets_the_end(plan);
    while let Some(operation) = at {
        links.push(Link {
            operation,
            waits: (until - operation.end).num_minutes().max(0),
        });
        until = operation.start;
        at = holds_back(plan, operation, &by_id);
    }
    links.reverse();
    links
}

/// The operation on a loose piece after which the last section is ready.
fn sets_the_end(plan: &Plan) -> Option<&Operation> {
    let last = plan.sections.iter().max_by_key(|section| section.ready)?;
    let of_section: Vec<&str> = plan
        .pieces
        .iter()
        .filter(|piece| piece.section == last.id)
        .map(|piece| piece.id.as_str())
        .collect();
    let own = plan.operations.iter().filter(|operation| {
        let piece = operation.piece.as_deref();
        piece.is_some_and(|piece| of_section.contains(&piece)) && operation.end <= last.ready
    });
    let sets = |operation: &&Operation| {
        let hard = operation.dry.as_ref().and_then(|dry| dry.dry_hard);
        hard == Some(last.ready) || operation.end == last.ready
    };
    own.clone()
        .filter(sets)
        .max_by_key(|operation| operation.start)
        .or_else(|| own.max_by_key(|operation| operation.end))
}

/// The operation that held this one back.
fn holds_back<'a>(
    plan: &'a Plan,
    operation: &Operation,
    by_id: &HashMap<&str, &'a Operation>,
) -> Option<&'a Operation> {
    if operation.because.kind == BecauseKind::NotThere {
        return None;
    }
    let named = operation.because.op.as_deref().and_then(|id| by_id.get(id).copied());
    let before = |other: &&Operation| other.end <= operation.start && other.start < operation.start;
    if let Some(named) = named.filter(before) {
        return Some(named);
    }
    // the reason is no operation (closed hours, a cold room, a place): what came before it on the piece, or in
    // the same hands, whichever is later
    let same = |other: &&Operation| {
        let piece = other.piece.is_some() && other.piece == operation.piece;
        piece || other.hands.iter().any(|hand| operation.hands.contains(hand))
    };
    let earlier = plan.operations.iter().filter(before).filter(same);
    earlier.max_by_key(|other| (other.end, other.start))
}

/// Links that belong to one round, told together.
#[derive(Clone, Debug)]
pub struct Stage<'a> {
    /// The links, in order of time.
    pub links: Vec<Link<'a>>,
}

impl Stage<'_> {
    /// Start of the first.
    pub fn start(&self) -> Option<Stamp> {
        self.links.first().map(|link| link.operation.start)
    }

    /// End of the last.
    pub fn end(&self) -> Option<Stamp> {
        self.links.last().map(|link| link.operation.end)
    }

    /// Minutes from its end to the next stage.
    pub fn waits(&self) -> i64 {
        self.links.last().map_or(0, |link| link.waits)
    }
}

/// The chain round by round; setting up and cleaning out go with the round beside them.
pub fn stages<'a>(links: &[Link<'a>]) -> Vec<Stage<'a>> {
    let mut stages: Vec<Stage<'a>> = Vec::new();
    for link in links {
        let round = link.operation.round.as_deref();
        let joins = stages
            .last()
            .and_then(|stage| stage.links.last())
            .is_some_and(|last| last.waits == 0 && (round.is_none() || last.operation.round.as_deref() == round));
        match stages.last_mut() {
            Some(stage) if joins => stage.links.push(*link),
            _ => stages.push(Stage { links: vec![*link] }),
        }
    }
    stages
}
