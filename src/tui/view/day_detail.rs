//! What is said of the round the cursor is on: what it is, why it is not earlier, how its film goes on.
//!
//! Invariant: the reason is the plan's own line for the round's first operation; the film is that of its
//! operation that is dry last.

use super::super::model::Model;
use super::super::pages::day::{self, Days};
use super::super::{timing, words};
use super::cells::{Row, wrap};
use super::day::told;
use super::now::{MARGIN, margin};
use crate::dayplan::Plan;
use crate::dayplan::document::{BecauseKind, Operation, Round, Stamp};
use crate::finish::Prepare;
use crate::standing::RoundState;
use crate::units::Moment;

/// The rows.
pub fn rows(model: &Model, plan: &Plan, days: &Days, picked: Option<usize>, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mark = picked.and_then(|mark| days.marks.get(mark));
    let Some((mark, round)) = mark.and_then(|mark| Some((mark, plan.rounds.get(mark.round)?))) else {
        return vec![margin(model, "").text("The plan has no rounds.", theme.strong)];
    };
    let first = round.operations.first().and_then(|id| model.sheet.operation(id));
    let first = first.and_then(|index| plan.operations.get(index));
    let mut rows = told(model, "ROUND", &title(model, round), columns, theme.strong);
    rows.truncate(2);
    let why = first.map_or_else(String::new, |first| reason(model, plan, first));
    let lines = wrap(&why, columns.saturating_sub(MARGIN + 1));
    for (index, line) in lines.into_iter().take(2).enumerate() {
        rows.push(margin(model, if index == 0 { "WHY THEN" } else { "" }).text(line, theme.text));
    }
    if let Some(film) = film(model, plan, round) {
        rows.extend(told(model, "FILM", &film, columns, theme.text).into_iter().take(3));
    }
    let end = if mark.in_chain {
        "the end waits for this round"
    } else {
        "not among what sets the end"
    };
    rows.push(margin(model, "END").text(end, if mark.in_chain { theme.strong } else { theme.quiet }));
    rows
}

/// `sand P120, 23 pieces, Mon 13:35–14:44, 1 h 09, Wren`.
fn title(model: &Model, round: &Round) -> String {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let (start, end) = (Moment::of(&round.start), Moment::of(&round.end));
    let mut parts = vec![words::round(round)];
    parts.extend(round.product.as_deref().map(|id| words::product(id, &model.sheet.job)));
    parts.push(words::pieces(round.operations.len()));
    parts.push(timing::between(
        crate::standing::When {
            early: start,
            late: end,
        },
        now,
        zone,
    ));
    parts.push((end - start).to_string());
    if !round.hands.is_empty() {
        parts.push(round.hands.join(" and "));
    }
    let state = model.sheet.standing.rounds.iter().find(|one| {
        let of = model.sheet.plan.as_ref().and_then(|plan| plan.rounds.get(one.round));
        of.is_some_and(|of| of.id == round.id)
    });
    match state.map(|state| state.state) {
        Some(RoundState::Over) => parts.push("DONE".to_owned()),
        Some(RoundState::Running) => parts.push("on the bench".to_owned()),
        Some(RoundState::Late) => parts.push("LATE".to_owned()),
        _ => {}
    }
    parts.join(", ")
}

/// Why the round does not begin earlier: the plan's line, ids turned into names.
fn reason(model: &Model, plan: &Plan, first: &Operation) -> String {
    let because = &first.because;
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let mut text = because.text.clone();
    let other = because.op.as_deref().and_then(|id| model.sheet.operation(id));
    if let Some(other) = other.and_then(|index| plan.operations.get(index))
        && let Some(piece) = other.piece.as_deref()
    {
        let name = super::super::round_card::name_of(&model.sheet, other);
        text = text.replace(&other.id, &format!("{name}, {}", words::operation(other)));
        text = text.replace(piece, &name);
    }
    let at = Moment::of(&because.at);
    if matches!(because.kind, BecauseKind::Choice) && at < Moment::of(&first.start) {
        return format!("{text} (from {})", timing::at(at, now, zone));
    }
    text
}

/// When the film may be turned, sanded, carried, and when the next coat may go on.
fn film(model: &Model, plan: &Plan, round: &Round) -> Option<String> {
    let (now, zone) = (model.moment(), model.sheet.job.zone);
    let say = |stamp: Stamp| timing::at(Moment::of(&stamp), now, zone);
    let (_, dry) = day::last_film(&model.sheet, plan, round)?;
    let stages = [
        ("turn", dry.dry_to_turn.or(dry.dry_to_touch)),
        ("sand", dry.dry_to_sand),
        ("carry", dry.dry_to_handle),
        ("glue", dry.dry_hard),
    ];
    // what comes at the same time is said together
    let mut parts: Vec<(String, Stamp)> = Vec::new();
    for (word, at) in stages {
        let Some(at) = at else { continue };
        match parts.last_mut().filter(|part| part.1 == at) {
            Some(part) => part.0 = format!("{}, {word}", part.0),
            None => parts.push((word.to_owned(), at)),
        }
    }
    let mut parts: Vec<String> = parts
        .into_iter()
        .map(|(words, at)| format!("{words} {}", say(at)))
        .collect();
    let mut closed: Option<Stamp> = None;
    for window in &dry.windows {
        let how = match window.prepare {
            Prepare::None => "as it is",
            Prepare::Denib => "after a de-nib",
            Prepare::Scuff => "after a scuff",
        };
        let until = window
            .until
            .map_or_else(String::new, |until| format!("–{}", say(until)));
        let gap = match closed {
            Some(closed) if closed < window.from => "not between; ",
            _ => "",
        };
        parts.push(format!("{gap}next coat {how} {}{until}", say(window.from)));
        closed = window.until;
    }
    (!parts.is_empty()).then(|| parts.join("; "))
}
