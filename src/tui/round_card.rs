//! The round as hands need it: the pieces in coating order, which side up, how long, what comes after.
//!
//! Invariant: lists the operations of the round that are still to do, in the plan's order, each once.

use super::bench::Sheet;
use super::{timing, words};
use crate::dayplan::document::{Operation, Stamp};
use crate::finish::StepKind;
use crate::standing::{May, RoundStanding, RoundState};
use crate::units::{Moment, Span};
use std::collections::BTreeSet;

/// One operation of the round.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundRow {
    /// Id of the operation.
    pub operation: String,
    /// Piece, an index in the job.
    pub piece: Option<usize>,
    /// Name of the piece or assembly.
    pub name: String,
    /// Which side up.
    pub side: String,
    /// How it is kept while wet.
    pub holding: &'static str,
    /// Minutes of the clock.
    pub minutes: i64,
    /// Its film will not be dry enough for this step when its turn comes: when it will be.
    pub too_early: Option<May>,
}

/// A round.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundCard {
    /// Id.
    pub id: String,
    /// `coat 2`.
    pub step: String,
    /// Product, where there is one.
    pub product: Option<String>,
    /// State.
    pub state: RoundState,
    /// Planned start.
    pub start: Moment,
    /// Since when it is on the bench.
    pub begun: Option<Moment>,
    /// When it ends: as planned, and as much later as it was begun later (or earlier).
    pub end: Moment,
    /// Minutes of the clock left to do.
    pub minutes: i64,
    /// What is still to do.
    pub rows: Vec<RoundRow>,
    /// How many are done.
    pub done: usize,
    /// What follows: drying, then the next step on these pieces.
    pub then: Vec<String>,
    /// Names of the hands.
    pub hands: String,
}

impl RoundCard {
    /// The round hands do now, or the next one up.
    pub fn of_now(sheet: &Sheet) -> Option<Self> {
        let rounds = &sheet.standing.rounds;
        let chosen = sheet.standing.now_round.and_then(|index| rounds.get(index));
        let next_up = || {
            rounds
                .iter()
                .find(|round| round.state != RoundState::Over && !round.left.is_empty())
        };
        Self::of(sheet, chosen.filter(|round| !round.left.is_empty()).or_else(next_up)?)
    }

    /// A round of the plan in force.
    pub fn of(sheet: &Sheet, standing: &RoundStanding) -> Option<Self> {
        let plan = sheet.plan.as_ref()?;
        let round = plan.rounds.get(standing.round)?;
        let left: Vec<&Operation> = standing
            .left
            .iter()
            .filter_map(|&index| plan.operations.get(index))
            .collect();
        let begun = round.operations.iter().filter_map(|id| sheet.begun(id)).min();
        let rows = left
            .iter()
            .map(|operation| row(sheet, operation, Moment::of(&operation.start)))
            .collect();
        Some(Self {
            id: round.id.clone(),
            step: words::round(round),
            product: round.product.as_deref().map(|id| words::product(id, &sheet.job)),
            state: standing.state,
            start: Moment::of(&round.start),
            begun,
            end: Moment::of(&round.end) + begun.map_or(Span(0), |begun| begun - Moment::of(&round.start)),
            minutes: minutes_of(&left),
            rows,
            done: standing.done,
            then: what_follows(
                sheet,
                &left,
                &round.end,
                late_by(sheet, begun, Moment::of(&round.start)),
            ),
            hands: round.hands.join(", "),
        })
    }

    /// How many pieces: `4 pieces`, or the one thing done that is no piece.
    pub fn count(&self) -> String {
        match self.rows.as_slice() {
            [row] if row.piece.is_none() => row.name.clone(),
            rows => words::pieces(rows.len()),
        }
    }

    /// Its time has not come: hands are free until then.
    pub fn is_ahead(&self, now: Moment) -> bool {
        self.state == RoundState::Coming || (self.state == RoundState::Due && self.start > now)
    }
}

/// A row, for an operation begun at an instant or later.
pub fn row(sheet: &Sheet, operation: &Operation, begun: Moment) -> RoundRow {
    let index = operation.piece.as_deref().and_then(|id| sheet.piece(id));
    let piece = index.and_then(|index| sheet.job.pieces.get(index));
    RoundRow {
        operation: operation.id.clone(),
        piece: index,
        name: name_of(sheet, operation),
        side: piece.map_or_else(String::new, |piece| words::side(operation, piece)),
        holding: words::holding_while_wet(operation)
            .and_then(|held| sheet.plan.as_ref().map_or(Some(held), |plan| plan.kept(operation)))
            .map_or("", words::holding),
        minutes: (Moment::of(&operation.end) - Moment::of(&operation.start)).0.max(0),
        too_early: index.and_then(|index| too_early(sheet, operation, index, begun)),
    }
}

/// What an operation is done to: the piece or assembly by name; for the bench's own work what it is about.
pub fn name_of(sheet: &Sheet, operation: &Operation) -> String {
    if let Some(id) = &operation.piece {
        let piece = sheet.piece(id).and_then(|index| sheet.job.pieces.get(index));
        return piece.map_or_else(|| id.clone(), |piece| piece.name.clone());
    }
    if let Some(id) = &operation.assembly {
        let assembly = sheet.job.assemblies.iter().find(|assembly| assembly.id == *id);
        return assembly.map_or_else(|| id.clone(), |assembly| assembly.name.clone());
    }
    match (&operation.product, operation.step) {
        (Some(product), _) => words::product(product, &sheet.job),
        (None, StepKind::CleanUp) => "brushes and rags".to_owned(),
        (None, _) => "at the bench".to_owned(),
    }
}

/// What the step needs of the film below it, if that will not be so (by the slow estimate) when the plan, or
/// the clock, has come to it.
fn too_early(sheet: &Sheet, operation: &Operation, piece: usize, begun: Moment) -> Option<May> {
    let standing = sheet.piece_standing(piece)?;
    let needs = match operation.step {
        StepKind::Denib | StepKind::Scuff | StepKind::Flat => standing.sand,
        StepKind::Seal | StepKind::Coat if standing.surfaces.iter().any(|surface| surface.coats_on > 0) => {
            standing.recoat
        }
        StepKind::Turn | StepKind::Unmask => standing.turn,
        _ => return None,
    };
    let turn_comes = begun.max(sheet.standing.now);
    let in_time = match needs {
        May::Yes => true,
        May::Test { late } => late <= turn_comes,
        May::NotYet { when } => when.late <= turn_comes,
        May::Held => false,
    };
    (!in_time).then_some(needs)
}

/// Minutes of the clock some operations take: what each takes, but not more than from the first to the last
/// (two pairs of hands work side by side).
pub fn minutes_of(operations: &[&Operation]) -> i64 {
    let each: i64 = operations
        .iter()
        .map(|operation| (operation.end - operation.start).num_minutes().max(0))
        .sum();
    let first = operations.iter().map(|operation| operation.start).min();
    let last = operations.iter().map(|operation| operation.end).max();
    let span = first.zip(last).map_or(0, |(first, last)| (last - first).num_minutes());
    each.min(span)
}

/// How much later than planned a round would begin now; what it dries after moves along by as much.
fn late_by(sheet: &Sheet, begun: Option<Moment>, start: Moment) -> Span {
    let late = begun.unwrap_or(sheet.standing.now) - start;
    Span(late.0.max(0))
}

/// The drying that follows and the next step on the same pieces.
fn what_follows(sheet: &Sheet, left: &[&Operation], end: &Stamp, late: Span) -> Vec<String> {
    let (now, zone) = (sheet.standing.now, sheet.job.zone);
    let say = |stamp: &Stamp| timing::at(Moment::of(stamp), now, zone);
    let mut lines = Vec::new();
    let dry: Vec<_> = left.iter().filter_map(|operation| operation.dry.as_ref()).collect();
    let last = |pick: fn(&crate::dayplan::document::Dry) -> Option<Stamp>| dry.iter().filter_map(|dry| pick(dry)).max();
    let turned = last(|dry| dry.dry_to_turn.or(dry.dry_to_touch));
    let carried = last(|dry| dry.dry_to_handle);
    let about = if late.0 > 0 { "about " } else { "" };
    let from = |stamp: Stamp| format!("{about}{}", timing::at(Moment::of(&stamp) + late, now, zone));
    let dried = [("turn", turned), ("carry", carried)].into_iter();
    let dried = dried.filter_map(|(word, stamp)| stamp.map(|stamp| format!("{word} from {}", from(stamp))));
    let dried: Vec<String> = dried.collect();
    if !dried.is_empty() {
        lines.push(format!("leave to dry: {}", dried.join(", ")));
    }
    let Some(plan) = &sheet.plan else { return lines };
    let own: BTreeSet<&str> = left.iter().map(|operation| operation.id.as_str()).collect();
    let pieces: BTreeSet<&str> = left.iter().filter_map(|operation| operation.piece.as_deref()).collect();
    let on_these = |operation: &&Operation| {
        operation.start >= *end
            && !own.contains(operation.id.as_str())
            && operation.piece.as_deref().is_some_and(|piece| pieces.contains(piece))
    };
    if let Some(next) = plan
        .operations
        .iter()
        .filter(on_these)
        .min_by_key(|operation| operation.start)
    {
        let product = next
            .product
            .as_deref()
            .map_or_else(String::new, |id| format!(", {}", words::product(id, &sheet.job)));
        lines.push(format!(
            "next on these: {}{product}, {} {}",
            words::operation(next),
            if Moment::of(&next.start) < now {
                "planned at"
            } else {
                "at"
            },
            say(&next.start)
        ));
    }
    lines
}
