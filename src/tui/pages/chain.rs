//! What sets the end: from the piece that is ready last back to where the plan had room to choose.
//!
//! Invariant: every link begins no later than the next one; between two links the earlier one's film dries, or
//! hands, hours or a place are waited for, as the plan's own reasons say. What could have been earlier is the
//! first link: what stands before it may be later without moving the end.

use crate::dayplan::Plan;
use crate::dayplan::document::{BecauseKind, Operation};
use crate::finish::Phase;
use crate::units::Moment;
use std::collections::HashMap;

/// What the end waits for in a stretch of time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WaitsFor {
    /// Hands at work.
    Hands,
    /// A film drying, dust settling, the air of the room.
    Drying,
    /// The shop is closed, or the stretch is too short.
    Hours,
    /// A place to stand.
    Place,
    /// The plan as a whole does better so.
    Choice,
}

/// A stretch of the chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// From.
    pub from: Moment,
    /// Until.
    pub until: Moment,
    /// What it is spent on.
    pub waits_for: WaitsFor,
    /// The operation at work in it; `None` for a wait.
    pub operation: Option<String>,
}

/// A stretch, as it is found.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found<'a> {
    from: Moment,
    until: Moment,
    waits_for: WaitsFor,
    operation: Option<&'a str>,
    pub(super) round: Option<&'a str>,
}

impl Found<'_> {
    pub(super) fn owned(self) -> Link {
        Link {
            from: self.from,
            until: self.until,
            waits_for: self.waits_for,
            operation: self.operation.map(str::to_owned),
        }
    }
}

const fn waits_for(kind: BecauseKind) -> WaitsFor {
    match kind {
        BecauseKind::Hands | BecauseKind::ChangeOver | BecauseKind::Fact => WaitsFor::Hands,
        BecauseKind::Wait
        | BecauseKind::Window
        | BecauseKind::Dust
        | BecauseKind::Room
        | BecauseKind::Vapour
        | BecauseKind::Wipe
        | BecauseKind::Together => WaitsFor::Drying,
        BecauseKind::Hours | BecauseKind::NotThere => WaitsFor::Hours,
        BecauseKind::Place => WaitsFor::Place,
        BecauseKind::Choice => WaitsFor::Choice,
    }
}

/// The chain of a plan, from the first to the last.
pub(super) fn of<'a>(plan: &'a Plan, by_id: &HashMap<&'a str, &'a Operation>) -> Vec<Found<'a>> {
    let ready = Moment::of(&plan.ready);
    let Some(last) = last(plan) else { return Vec::new() };
    let of_piece = by_piece(plan);
    let end = Moment::of(&last.end);
    let mut found = Vec::new();
    if ready > end {
        found.push(Found {
            from: end,
            until: ready,
            waits_for: WaitsFor::Drying,
            operation: None,
            round: None,
        });
    }
    let mut here = Some(last);
    // every step goes back in time or ends; a plan cannot have more links than operations
    for _ in 0..=plan.operations.len() {
        let Some(operation) = here else { break };
        let (start, end) = (Moment::of(&operation.start), Moment::of(&operation.end));
        found.push(Found {
            from: start,
            until: end,
            waits_for: WaitsFor::Hands,
            operation: Some(&operation.id),
            round: operation.round.as_deref(),
        });
        if operation.because.kind == BecauseKind::Choice && Moment::of(&operation.because.at) < start {
            // it could have been earlier: what came before it does not set the end
            found.push(Found {
                from: Moment::of(&operation.because.at),
                until: start,
                waits_for: WaitsFor::Choice,
                operation: None,
                round: None,
            });
            break;
        }
        let named = operation.because.op.as_deref().and_then(|id| by_id.get(id).copied());
        let earlier = |one: &&Operation| one.start < operation.start;
        // where the reason names nothing, the piece's own step before this one
        let before = named.filter(earlier).or_else(|| before_on_piece(&of_piece, operation));
        if let Some(before) = before.filter(|one| Moment::of(&one.end) < start) {
            found.push(Found {
                from: Moment::of(&before.end),
                until: start,
                waits_for: waits_for(operation.because.kind),
                operation: None,
                round: None,
            });
        }
        here = before;
    }
    found.reverse();
    found
}

/// The operation that makes the last section ready: of those on loose parts the one whose film is hard last,
/// or else the one that ends last.
fn last(plan: &Plan) -> Option<&Operation> {
    let ready = plan.ready;
    // what comes after all is ready to glue, a last rub for one, does not make it ready
    let loose = plan
        .operations
        .iter()
        .filter(|one| one.phase == Phase::Loose && one.piece.is_some() && one.end <= ready);
    loose.max_by_key(|operation| {
        let hard = operation
            .dry
            .as_ref()
            .and_then(|dry| dry.dry_hard)
            .filter(|at| *at <= ready);
        (hard.unwrap_or(operation.end), operation.end)
    })
}

fn by_piece(plan: &Plan) -> HashMap<&str, Vec<&Operation>> {
    let mut of_piece: HashMap<&str, Vec<&Operation>> = HashMap::new();
    for operation in &plan.operations {
        if let Some(piece) = &operation.piece {
            of_piece.entry(piece).or_default().push(operation);
        }
    }
    of_piece
}

fn before_on_piece<'a>(of_piece: &HashMap<&str, Vec<&'a Operation>>, operation: &Operation) -> Option<&'a Operation> {
    let all = of_piece.get(operation.piece.as_deref()?)?;
    let before = all
        .iter()
        .filter(|one| one.end <= operation.start && one.start < operation.start);
    before.max_by_key(|one| one.end).copied()
}
