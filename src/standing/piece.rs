//! One piece: its surfaces, its joints, and what hands may do with it.
//!
//! Invariant: whatever is said of a piece holds for every film on it: the wettest surface decides.

use super::facts::{Facts, Laid, OnSurface, is_coat, lays_film};
use super::ladder::{Ladder, Opens, Reached};
use super::pace::Pace;
use super::state::{Film, JointState, May, PieceStanding, SurfaceStanding};
use super::{joints, may, unequal};
use crate::clock::{Counted, counted};
use crate::dayplan::document::Operation;
use crate::finish::ladder::height;
use crate::finish::{Phase, Stage, StepKind};
use crate::job::{Holding, Piece};
use crate::units::Moment;
use std::collections::BTreeMap;

/// A surface while the piece is looked at.
pub(super) struct Look<'a> {
    on: OnSurface<'a>,
    due: Vec<&'a str>,
    /// The ladders of its films; the last lies on top.
    ladders: Vec<Ladder<'a>>,
    spoiled: bool,
    /// The wipe that takes the excess off was decided away: what is left gels and never dries.
    excess: bool,
    windows: Vec<Opens>,
}

impl Look<'_> {
    fn coats_missing(&self) -> bool {
        (self.on.coats_on as usize) < self.due.len()
    }

    /// What the film allows where it must have reached a rung.
    fn rung(&self, stage: Stage, now: Moment) -> May {
        if self.spoiled || self.excess || self.on.being_coated.is_some() {
            return May::Held;
        }
        // a film that dries fast over one that does not is no drier than what it lies on
        self.ladders
            .iter()
            .fold(May::Yes, |may, ladder| may.and(may::by(ladder.reached(stage), now)))
    }
}

/// The standing of a piece.
pub(super) fn standing(facts: &Facts, index: usize, piece: &Piece, paces: &BTreeMap<String, Pace>) -> PieceStanding {
    let now = facts.now;
    let looks: Vec<Look> = piece
        .surfaces
        .iter()
        .map(|surface| look(facts, piece, surface, paces))
        .collect();
    let coated = !looks.iter().any(Look::coats_missing);
    let joints = joints::state(facts, piece, coated);
    let all = |stage: Stage| looks.iter().fold(May::Yes, |may, look| may.and(look.rung(stage, now)));
    let finished = |may: May| if coated { may } else { May::Held };
    let bare = piece.joints.is_empty() || joints == JointState::Uncovered || !joints::are_masked(facts, piece);
    PieceStanding {
        piece: index,
        joints,
        next: facts.left(&piece.id).next().map(|(index, _)| index),
        handle: all(Stage::DryToHandle),
        turn: turn(facts, piece, &looks),
        sand: all(Stage::DryToSand),
        recoat: recoat(facts, piece, &looks, joints),
        stack: all(Stage::DryToStack),
        glue: finished(if bare { all(Stage::DryHard) } else { May::Held }),
        rub: finished(all(Stage::DryThrough)),
        loose_done: loose_done(facts, piece),
        unequal_since: unequal::since(facts, piece),
        surfaces: looks
            .iter()
            .enumerate()
            .map(|(at, look)| surface(facts, at, look))
            .collect(),
    }
}

fn look<'a>(
    facts: &Facts<'a>,
    piece: &Piece,
    surface: &crate::job::Surface,
    paces: &BTreeMap<String, Pace>,
) -> Look<'a> {
    let on = facts.on(piece, surface);
    let due = facts.due(surface);
    let pace = |laid: &Laid| {
        laid.product
            .and_then(|product| paces.get(&product.id))
            .copied()
            .unwrap_or(Pace::STATED)
    };
    let ladders: Vec<Ladder> = on
        .films
        .iter()
        .map(|laid| Ladder::of(facts, *laid, pace(laid)))
        .collect();
    let spoiled = ladders.iter().any(|ladder| ladder.is_spoiled(facts));
    let excess = on.films.iter().any(|laid| is_left_wet(facts, piece, laid));
    let next = due.get(on.coats_on as usize);
    let windows = match (ladders.last(), next) {
        (Some(ladder), Some(next)) if !spoiled => ladder.windows(next),
        _ => Vec::new(),
    };
    Look {
        on,
        due,
        ladders,
        spoiled,
        excess,
        windows,
    }
}

/// A surface as plain data.
fn surface(facts: &Facts, at: usize, look: &Look) -> SurfaceStanding {
    let windows = look.windows.iter();
    let windows = windows.filter_map(|window| Some((window.from.late?, window.closes, window.prepare)));
    SurfaceStanding {
        surface: at,
        coats_on: look.on.coats_on,
        coats_due: look.due.len() as u32,
        film: film(facts, look),
        windows: windows.collect(),
    }
}

/// What of the wait for a stage counts, where that is worth telling.
fn wait_counted(facts: &Facts, laid: &Laid, until: Moment) -> Option<Counted> {
    let (product, clock) = (laid.product?, laid.clock?);
    counted(product, facts.air, clock, laid.done.end, until).filter(Counted::tells)
}

fn film(facts: &Facts, look: &Look) -> Option<Film> {
    let now = facts.now;
    if let Some(operation) = look.on.being_coated {
        let product = operation.product.clone().unwrap_or_default();
        return Some(Film {
            operation: operation.id.clone(),
            product,
            at: now,
            stage: None,
            next: None,
            counted: None,
            spoiled: false,
        });
    }
    let (laid, ladder) = (look.on.films.last()?, look.ladders.last()?);
    let rungs: Vec<(Stage, Reached)> = ladder.rungs().collect();
    let is_reached = |reached: &Reached| reached.late.is_some_and(|late| late <= now);
    // rungs that stand side by side are reached in any order; what stands below must be reached
    let below = |stage: Stage| rungs.iter().filter(move |(other, _)| height(*other) < height(stage));
    let stage = rungs
        .iter()
        .filter(|(stage, reached)| is_reached(reached) && below(*stage).all(|(_, low)| is_reached(low)));
    let stage = stage.map(|(stage, _)| *stage).max();
    let open = rungs.iter().filter(|(_, reached)| !is_reached(reached));
    let next = open.min_by_key(|(stage, reached)| (reached.late.is_none(), reached.late, *stage));
    let next = next.and_then(|(stage, reached)| Some((*stage, reached.when()?)));
    let next = next.filter(|_| !look.spoiled && !look.excess);
    Some(Film {
        operation: laid.operation.id.clone(),
        product: laid.operation.product.clone().unwrap_or_default(),
        at: laid.done.end,
        stage,
        counted: next.and_then(|(_, when)| wait_counted(facts, laid, when.late)),
        next,
        spoiled: look.spoiled,
    })
}

/// Laying over: on points a piece is turned wet; elsewhere every film must be dry to touch, except an oil
/// whose excess is off, which leaves nothing that marks.
fn turn(facts: &Facts, piece: &Piece, looks: &[Look]) -> May {
    looks
        .iter()
        .fold(May::Yes, |may, look| may.and(lay_over(facts, piece, look)))
}

fn lay_over(facts: &Facts, piece: &Piece, look: &Look) -> May {
    let wet_is_fine = piece.holding == Holding::Points || look.on.films.iter().all(|laid| is_wiped(facts, piece, laid));
    match look.rung(Stage::DryToTouch, facts.now) {
        May::Test { .. } | May::NotYet { .. } if wet_is_fine => May::Yes,
        may => may,
    }
}

/// Whether the excess of a flooded oil was taken off.
fn is_wiped(facts: &Facts, piece: &Piece, laid: &Laid) -> bool {
    let flooded = laid.product.is_some_and(|product| product.wipe.is_some());
    let wipes = |operation: &Operation| {
        operation.step == StepKind::WipeBack && operation.film_from.as_deref() == Some(laid.operation.id.as_str())
    };
    let done = facts
        .piece(&piece.id)
        .map(|piece| piece.done.as_slice())
        .unwrap_or_default();
    flooded
        && done
            .iter()
            .any(|(operation, done)| wipes(operation) && done.end >= laid.done.end)
}

/// Whether the excess of a flooded oil was left on: its wipe was decided away.
fn is_left_wet(facts: &Facts, piece: &Piece, laid: &Laid) -> bool {
    let flooded = laid.product.is_some_and(|product| product.wipe.is_some());
    let skipped = facts.piece(&piece.id).map_or(&[][..], |piece| piece.skipped.as_slice());
    let of_it = |operation: &&&Operation| {
        operation.step == StepKind::WipeBack && operation.film_from.as_deref() == Some(laid.operation.id.as_str())
    };
    flooded && !is_wiped(facts, piece, laid) && skipped.iter().any(|operation| of_it(&operation))
}

/// The next coat: on the surfaces the plan has next, else on those that are furthest behind. Held where no
/// coat is due, where the wood is not ready for it, or where the joints stand open.
fn recoat(facts: &Facts, piece: &Piece, looks: &[Look], joints: JointState) -> May {
    let open = !piece.joints.is_empty() && matches!(joints, JointState::Bare | JointState::Uncovered);
    if open && (facts.plan.is_none() || joints::are_masked(facts, piece)) {
        return May::Held;
    }
    let due: Vec<usize> = (0..looks.len()).filter(|&at| looks[at].coats_missing()).collect();
    let next = facts
        .left(&piece.id)
        .map(|(_, operation)| operation)
        .find(|operation| is_coat(operation.step));
    let named = |at: &usize| next.is_some_and(|next| next.surfaces.contains(&piece.surfaces[*at].id));
    let mut now: Vec<usize> = due.iter().copied().filter(named).collect();
    if now.is_empty() {
        let behind = due.iter().map(|&at| looks[at].on.coats_on).min();
        now = due
            .into_iter()
            .filter(|&at| Some(looks[at].on.coats_on) == behind)
            .collect();
    }
    if now.is_empty() {
        return May::Held;
    }
    let mut verdict = May::Yes;
    for (at, look) in looks.iter().enumerate() {
        let here = if now.contains(&at) {
            next_coat(facts, piece, look)
        } else if piece.holding == Holding::Bearers {
            // it is lain on this side
            lay_over(facts, piece, look)
        } else {
            May::Yes
        };
        verdict = verdict.and(here);
    }
    verdict
}

fn next_coat(facts: &Facts, piece: &Piece, look: &Look) -> May {
    if look.spoiled || look.excess || look.on.being_coated.is_some() {
        return May::Held;
    }
    if !look.ladders.is_empty() {
        return may::within(&look.windows, facts.now);
    }
    // bare wood: ready when nothing comes before its first film any more
    let first = facts.left(&piece.id).next();
    if first.is_some_and(|(_, operation)| lays_film(operation.step)) {
        May::Yes
    } else {
        May::Held
    }
}

fn loose_done(facts: &Facts, piece: &Piece) -> bool {
    let planned = facts
        .piece(&piece.id)
        .map(|piece| piece.planned.as_slice())
        .unwrap_or_default();
    !planned.is_empty()
        && !facts
            .left(&piece.id)
            .any(|(_, operation)| operation.phase == Phase::Loose)
}
