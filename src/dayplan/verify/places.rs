//! Places: not more pieces than places, and no wet piece without one.
//!
//! Invariant: a piece counts once on a place however many of its operations name it; what other work takes
//! (the job says) counts as well.

use super::rule::{Breaches, Rule};
use super::sheet::{Bench, NEVER, Op, Sheet};
use crate::finish::{Stage, StepKind};
use crate::job::{Holding, PlaceKind};
use crate::units::Moment;
use foldhash::HashMap;

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    let mut holds: Vec<Hold<'_>> = sheet.ops.iter().filter_map(|op| hold(sheet, op)).collect();
    holds.extend(sheet.benches.iter().filter_map(|bench| on_rack(sheet, bench)));
    for kind in [
        PlaceKind::Bearers,
        PlaceKind::Points,
        PlaceKind::Hooks,
        PlaceKind::Racks,
    ] {
        let here: Vec<&Hold<'_>> = holds.iter().filter(|hold| hold.kind == kind).collect();
        capacity(sheet, kind, &here, found);
    }
    let mut of_pieces: HashMap<&str, Vec<&Hold<'_>>> = HashMap::default();
    for hold in holds.iter().filter(|hold| hold.kind != PlaceKind::Racks) {
        if let Some(piece) = hold.op.line().piece.as_deref() {
            of_pieces.entry(piece).or_default().push(hold);
        }
    }
    for bench in &sheet.benches {
        named(sheet, bench, found);
        let own = of_pieces.remove(bench.piece.id.as_str()).unwrap_or_default();
        held(sheet, bench, own, found);
    }
}

/// A piece on a place.
struct Hold<'a> {
    op: Op<'a>,
    kind: PlaceKind,
    slots: u32,
    from: Moment,
    until: Moment,
}

fn hold<'a>(sheet: &Sheet<'a>, op: &Op<'a>) -> Option<Hold<'a>> {
    let id = op.place.as_deref()?;
    let line = sheet.plan.places.iter().find(|line| line.id == id)?;
    let until = op.place_until.as_ref().map_or(op.until, Moment::of).max(op.until);
    Some(Hold {
        op: *op,
        kind: line.kind,
        slots: op.place_slots,
        from: op.from,
        until,
    })
}

/// A dry piece stands on a rack from when it may be handled until it may be stacked, or is glued up.
fn on_rack<'a>(sheet: &Sheet<'a>, bench: &Bench<'a>) -> Option<Hold<'a>> {
    let films: Vec<&Op<'a>> = bench.loose().filter(|op| op.is_coating()).collect();
    let last = films.iter().max_by_key(|op| sheet.surely(op, Stage::DryToHandle))?;
    let stack = films.iter().map(|op| sheet.surely(op, Stage::DryToStack)).max()?;
    let on_it = sheet.assembled_with(&bench.piece.id);
    let glued = on_it.filter(|op| op.step == StepKind::GlueUp);
    Some(Hold {
        op: **last,
        kind: PlaceKind::Racks,
        slots: bench.piece.slots,
        from: sheet.surely(last, Stage::DryToHandle),
        until: glued.map(|op| op.from).min().map_or(stack, |glued| glued.min(stack)),
    })
}

/// At every instant a piece arrives, everything that stands there is counted.
fn capacity(sheet: &Sheet<'_>, kind: PlaceKind, holds: &[&Hold<'_>], found: &mut Breaches) {
    let places = &sheet.job.room.places;
    let limit = match kind {
        PlaceKind::Bearers => places.bearers,
        PlaceKind::Points => places.points,
        PlaceKind::Hooks => places.hooks,
        PlaceKind::Racks => places.racks,
    };
    let Some(limit) = limit else { return };
    let occupied: Vec<_> = sheet
        .job
        .room
        .occupied
        .iter()
        .filter(|other| other.kind == kind)
        .collect();
    let mut instants: Vec<Moment> = holds
        .iter()
        .map(|hold| hold.from)
        .chain(occupied.iter().map(|other| other.from))
        .collect();
    instants.sort_unstable();
    instants.dedup();
    let mut arriving: Vec<&Hold<'_>> = holds.to_vec();
    arriving.sort_by_key(|hold| hold.from);
    let mut arriving = arriving.into_iter().peekable();
    let mut standing: Vec<&Hold<'_>> = Vec::new();
    for at in instants {
        standing.extend(std::iter::from_fn(|| arriving.next_if(|hold| hold.from <= at)));
        standing.retain(|hold| at < hold.until);
        let theirs: u32 = occupied
            .iter()
            .filter(|other| other.from <= at && at < other.until)
            .map(|other| other.count)
            .sum();
        // most of the time there is room even if no piece were named twice
        let at_most: u32 = standing.iter().map(|hold| hold.slots).sum();
        if at_most + theirs <= limit {
            continue;
        }
        let mut pieces: Vec<(&str, u32)> = Vec::new();
        for hold in &standing {
            let name = hold.op.line().piece.as_deref().unwrap_or(&hold.op.line().id);
            match pieces.iter_mut().find(|(other, _)| *other == name) {
                Some((_, slots)) => *slots = (*slots).max(hold.slots),
                None => pieces.push((name, hold.slots)),
            }
        }
        let ours: u32 = pieces.iter().map(|(_, slots)| slots).sum();
        if ours + theirs > limit {
            let text = format!(
                "{}: {ours} of ours and {theirs} of other work at {}; there are {limit}",
                spoken(kind),
                sheet.clock(at)
            );
            // a piece that stands there by fact was there first: only what is put beside it can be planned better
            let by_fact = |hold: &Hold<'_>| {
                let same = |other: &&&Hold<'_>| other.op.piece == hold.op.piece;
                standing.iter().filter(same).any(|other| other.op.is_fact())
            };
            let ops: Vec<&Op<'_>> = standing
                .iter()
                .filter(|hold| !by_fact(hold))
                .map(|hold| &hold.op)
                .collect();
            if ops.is_empty() {
                continue;
            }
            found.between(Rule::PlaceCapacity, &ops, text);
            return;
        }
    }
}

fn spoken(kind: PlaceKind) -> &'static str {
    match kind {
        PlaceKind::Bearers => "bearers",
        PlaceKind::Points => "points",
        PlaceKind::Hooks => "hooks",
        PlaceKind::Racks => "racks",
    }
}

/// Every coat on a loose piece says how and where the piece is held, and takes the places it needs.
fn named(sheet: &Sheet<'_>, bench: &Bench<'_>, found: &mut Breaches) {
    for op in bench.loose().filter(|op| op.is_coating()) {
        let needs = match op.holding {
            Some(Holding::Bearers) => Some(PlaceKind::Bearers),
            Some(Holding::Points) => Some(PlaceKind::Points),
            Some(Holding::Hung) => Some(PlaceKind::Hooks),
            None => None,
        };
        // what the maker allows beside it, but never the wet underside on bearers, nor anything wet on racks
        let wet_below = op.holding != Some(Holding::Bearers);
        let instead = |kind: PlaceKind| {
            let allowed = bench.piece.or_on.contains(&kind);
            allowed && kind != PlaceKind::Racks && (kind != PlaceKind::Bearers || !wet_below)
        };
        let place = hold(sheet, op);
        let right = place.is_some_and(|place| {
            (Some(place.kind) == needs || instead(place.kind)) && place.slots >= bench.piece.slots
        });
        if !right {
            let text = format!(
                "{}: {} does not take the place its holding needs ({} slots)",
                bench.piece.name, op.id, bench.piece.slots
            );
            found.by(Rule::PlaceHeld, &[op], text);
        }
    }
}

/// From its first coat until its last film may be handled a piece stays on bearers, points or a hook.
fn held(sheet: &Sheet<'_>, bench: &Bench<'_>, mut own: Vec<&Hold<'_>>, found: &mut Breaches) {
    let Some(first) = bench.first_coating() else { return };
    let films = bench.loose().filter(|op| op.is_coating());
    let Some(last) = films.max_by_key(|op| sheet.surely(op, Stage::DryToHandle)) else {
        return;
    };
    let handle = sheet.surely(last, Stage::DryToHandle);
    own.sort_by_key(|hold| hold.from);
    let mut kept = first.from;
    for hold in own {
        if hold.from <= kept {
            kept = kept.max(hold.until);
        }
    }
    if kept < handle {
        let until = if handle == NEVER {
            "never".to_owned()
        } else {
            sheet.clock(handle)
        };
        let text = format!(
            "{}: off its place at {}; it may be handled {until}",
            bench.piece.name,
            sheet.clock(kept)
        );
        found.by(Rule::PlaceHeld, &[last, first], text);
    }
}
