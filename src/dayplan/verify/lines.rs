//! The document by itself: its schema, its ids, the waits it writes down, its mixes.
//!
//! Invariant: reads the plan only (and, for a pot life, the product).

use super::rule::{Breaches, Rule};
use super::sheet::{Op, Sheet};
use crate::dayplan::document::{PlanPiece, WaitFrom};
use crate::finish::Mechanism;
use crate::units::{Moment, Span};
use foldhash::{HashMap, HashSet};

pub(super) fn check(sheet: &Sheet<'_>, found: &mut Breaches) {
    if sheet.plan.schema != 1 {
        found.document(
            Rule::Schema,
            format!("the plan says schema {}; this is schema 1", sheet.plan.schema),
        );
    }
    twice(sheet, found);
    operations_resolve(sheet, found);
    lines_resolve(sheet, found);
    waits(sheet, found);
    mixes(sheet, found);
}

/// Ids, by what they are ids of.
fn ids<'a>(items: impl Iterator<Item = &'a String>) -> Vec<&'a str> {
    items.map(String::as_str).collect()
}

fn twice(sheet: &Sheet<'_>, found: &mut Breaches) {
    let plan = sheet.plan;
    let lists = [
        ("operation", ids(plan.operations.iter().map(|line| &line.id))),
        ("round", ids(plan.rounds.iter().map(|line| &line.id))),
        ("piece", ids(plan.pieces.iter().map(|line| &line.id))),
        ("section", ids(plan.sections.iter().map(|line| &line.id))),
        ("assembly", ids(plan.assemblies.iter().map(|line| &line.id))),
        ("product", ids(plan.products.iter().map(|line| &line.id))),
        ("place", ids(plan.places.iter().map(|line| &line.id))),
        ("mix", ids(plan.mixes.iter().map(|line| &line.id))),
        ("person", ids(plan.hands.iter().map(|line| &line.name))),
    ];
    for (what, list) in lists {
        let mut seen = HashSet::default();
        for id in list {
            if !seen.insert(id) {
                found.document(Rule::Reference, format!("two of the {what} lines are called {id}"));
            }
        }
    }
}

fn operations_resolve(sheet: &Sheet<'_>, found: &mut Breaches) {
    let plan = sheet.plan;
    let known = |list: &HashSet<&str>, id: Option<&String>| id.is_none_or(|id| list.contains(id.as_str()));
    let operations: HashSet<&str> = plan.operations.iter().map(|line| line.id.as_str()).collect();
    let rounds: HashSet<&str> = ids(plan.rounds.iter().map(|line| &line.id)).into_iter().collect();
    let pieces: HashSet<&str> = ids(plan.pieces.iter().map(|line| &line.id)).into_iter().collect();
    let assemblies: HashSet<&str> = ids(plan.assemblies.iter().map(|line| &line.id)).into_iter().collect();
    let products: HashSet<&str> = ids(plan.products.iter().map(|line| &line.id)).into_iter().collect();
    let places: HashSet<&str> = ids(plan.places.iter().map(|line| &line.id)).into_iter().collect();
    let mixes: HashSet<&str> = ids(plan.mixes.iter().map(|line| &line.id)).into_iter().collect();
    let people = ids(plan.hands.iter().map(|line| &line.name));
    let named_pieces: HashMap<&str, &PlanPiece> = plan.pieces.iter().map(|line| (line.id.as_str(), line)).collect();
    for line in &plan.operations {
        let mut lost: Vec<String> = Vec::new();
        let named = [
            ("round", known(&rounds, line.round.as_ref()), line.round.as_ref()),
            ("piece", known(&pieces, line.piece.as_ref()), line.piece.as_ref()),
            (
                "assembly",
                known(&assemblies, line.assembly.as_ref()),
                line.assembly.as_ref(),
            ),
            (
                "product",
                known(&products, line.product.as_ref()),
                line.product.as_ref(),
            ),
            ("place", known(&places, line.place.as_ref()), line.place.as_ref()),
            ("mix", known(&mixes, line.mix.as_ref()), line.mix.as_ref()),
        ];
        for (what, there, id) in named {
            if let (false, Some(id)) = (there, id) {
                lost.push(format!("{what} {id}"));
            }
        }
        for other in [line.film_from.as_ref(), line.because.op.as_ref()]
            .into_iter()
            .flatten()
        {
            if !operations.contains(other.as_str()) {
                lost.push(format!("operation {other}"));
            }
        }
        lost.extend(
            line.hands
                .iter()
                .filter(|name| !people.contains(&name.as_str()))
                .map(|name| format!("person {name}")),
        );
        let piece = line.piece.as_deref().and_then(|id| named_pieces.get(id));
        lost.extend(lost_surfaces(piece.copied(), &line.surfaces));
        for lost in lost {
            found.document(
                Rule::Reference,
                format!("{} names {lost}, which the plan does not have", line.id),
            );
        }
        if line.end < line.start {
            found.document(Rule::Reference, format!("{} ends before it starts", line.id));
        }
    }
}

/// Surfaces named by an operation that its piece does not have.
fn lost_surfaces(piece: Option<&PlanPiece>, surfaces: &[String]) -> Vec<String> {
    let Some(piece) = piece else { return Vec::new() };
    let lost = surfaces
        .iter()
        .filter(|id| !piece.surfaces.iter().any(|surface| surface.id == **id));
    lost.map(|id| format!("surface {id}")).collect()
}

fn lines_resolve(sheet: &Sheet<'_>, found: &mut Breaches) {
    let plan = sheet.plan;
    let operations: HashSet<&str> = plan.operations.iter().map(|line| line.id.as_str()).collect();
    let pieces: HashSet<&str> = plan.pieces.iter().map(|line| line.id.as_str()).collect();
    let sections: HashSet<&str> = plan.sections.iter().map(|line| line.id.as_str()).collect();
    let products: HashSet<&str> = plan.products.iter().map(|line| line.id.as_str()).collect();
    let mut lost: Vec<(&str, &str)> = Vec::new();
    for round in &plan.rounds {
        lost.extend(round.operations.iter().map(|id| (round.id.as_str(), id.as_str())));
    }
    for wait in &plan.waits {
        lost.push(("a wait", wait.before.as_str()));
        lost.push(("a wait", wait.after.as_str()));
    }
    lost.retain(|(_, id)| !operations.contains(id));
    let panels = plan.balance.iter().map(|line| ("a balance line", line.piece.as_str()));
    lost.extend(panels.filter(|(_, id)| !pieces.contains(id)));
    let homes = plan
        .pieces
        .iter()
        .map(|piece| (piece.id.as_str(), piece.section.as_str()));
    lost.extend(homes.filter(|(_, id)| !sections.contains(id)));
    let mixed = plan.mixes.iter().map(|mix| (mix.id.as_str(), mix.product.as_str()));
    lost.extend(mixed.filter(|(_, id)| !products.contains(id)));
    for (line, id) in lost {
        found.document(
            Rule::Reference,
            format!("{line} names {id}, which the plan does not have"),
        );
    }
}

/// The waits the plan writes down are kept by its own times.
fn waits(sheet: &Sheet<'_>, found: &mut Breaches) {
    let find = |id: &str| sheet.op(id);
    for wait in &sheet.plan.waits {
        let (Some(before), Some(after)) = (find(&wait.before), find(&wait.after)) else {
            continue;
        };
        let from = if wait.from == WaitFrom::Start {
            before.from
        } else {
            before.until
        };
        let waited = (after.from - from).0 as f64;
        // stamps are whole minutes
        let short = wait.min_minutes.filter(|least| waited < least - 1.0);
        let long = wait.max_minutes.filter(|most| waited > most + 1.0);
        if let Some(limit) = short.or(long) {
            let (waited, limit) = (Span(waited as i64), Span(limit as i64));
            let text = format!(
                "{} starts {waited} after {}; the plan's own wait ({}) says {limit}",
                after.id, before.id, wait.rule
            );
            found.by(Rule::WrittenWait, &[after], text);
        }
    }
}

/// A mix is used while it is usable, and is not said to be usable longer than its product allows.
fn mixes(sheet: &Sheet<'_>, found: &mut Breaches) {
    let mut users: HashMap<&str, Vec<&Op<'_>>> = HashMap::default();
    for op in &sheet.ops {
        if let Some(mix) = op.mix.as_deref() {
            users.entry(mix).or_default().push(op);
        }
    }
    for mix in &sheet.plan.mixes {
        let (at, until) = (Moment::of(&mix.at), Moment::of(&mix.until));
        for op in users.get(mix.id.as_str()).into_iter().flatten() {
            if op.from < at || op.until > until {
                let text = format!(
                    "{} uses mix {} outside its life, {} to {}",
                    op.id,
                    mix.id,
                    sheet.clock(at),
                    sheet.clock(until)
                );
                found.by(Rule::PotLife, &[op], text);
            }
        }
        let life = sheet
            .job
            .product(&mix.product)
            .and_then(|product| product.pot_life.as_ref());
        if let Some(life) = life.filter(|life| (until - at).0 as f64 > life.low + 1.0) {
            let text = format!(
                "mix {} is said to last {}; its pot life is {}",
                mix.id,
                until - at,
                Span(life.low as i64)
            );
            found.document(Rule::PotLife, text);
        }
    }
    for op in sheet.ops.iter().filter(|op| op.lays_film() && op.mix.is_none()) {
        // a dissolved cut keeps for months and needs no mix of its own; two parts do
        if sheet
            .product(op)
            .is_some_and(|product| product.mechanism == Mechanism::TwoPack)
        {
            found.by(Rule::PotLife, &[op], format!("{} needs a mix, and names none", op.id));
        }
    }
}
