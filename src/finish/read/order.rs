//! Rules between the products and the steps of one schedule.
//!
//! Invariant: each rule reports every place it is broken at, once.

use super::product::place;
use super::step::WrittenStep;
use crate::finish::product::Product;
use crate::finish::schedule::{Phase, Schedule, Step, StepKind};
use crate::finish::words::METHODS;
use crate::science::abrasive::{STEP_LIMIT, STEP_WARNING, step_ratio};
use crate::source::{Code, Found, Problem, Table, nearest};

/// Checks the products and steps of one file against each other. Where a product or step could not be read
/// (`whole` is false) nothing is concluded from its absence.
pub(super) fn check(products: &[Found<Product>], steps: &[WrittenStep], root: &Table<'_>, whole: bool) {
    twice(products, root);
    grits(steps, root);
    working_order(steps, root);
    covered(steps, root);
    if !whole {
        return;
    }
    names(products, steps, root);
    if !steps.iter().any(|step| Schedule::is_coat(step.step.kind)) && !root.problems().broken() {
        let problem = Problem::new(Code::NoCoats, "the schedule has no coat");
        root.problems()
            .push(problem.accepts("at least one `[[step]]` with `do = \"coat\"`"));
    }
    films(products, steps, root);
}

fn named<'p>(products: &'p [Found<Product>], id: &str) -> Option<&'p Product> {
    products
        .iter()
        .map(|found| &found.value)
        .find(|product| product.id == id)
}

fn twice(products: &[Found<Product>], root: &Table<'_>) {
    for (index, found) in products.iter().enumerate() {
        let earlier = products
            .iter()
            .take(index)
            .find(|other| other.value.id == found.value.id);
        if let Some(earlier) = earlier {
            let message = format!("two products are called \"{}\"", found.value.id);
            let problem = Problem::new(Code::ProductTwice, message)
                .at(place(found), "the second")
                .at(place(earlier), "the first");
            root.problems()
                .push(problem.accepts("an id of its own for each product"));
        }
    }
}

/// Every product a step or a window names is in the file.
fn names(products: &[Found<Product>], steps: &[WrittenStep], root: &Table<'_>) {
    let ids = || products.iter().map(|found| found.value.id.as_str());
    let stepped = steps
        .iter()
        .filter_map(|step| Some((step.step.product.as_deref()?, step.product.clone()?)));
    let windowed = products.iter().flat_map(|found| {
        let windows = found.value.windows.iter();
        windows.filter_map(|window| Some((window.next.as_deref()?, place(found))))
    });
    for (id, extent) in stepped.chain(windowed) {
        if named(products, id).is_none() {
            let listed: Vec<String> = ids().map(|id| format!("`{id}`")).collect();
            let message = format!("the schedule carries no product \"{id}\"");
            let problem = Problem::new(Code::ProductNotHere, message).at(extent, "named here");
            let problem = problem.accepts(listed.join(", "));
            root.problems()
                .push(problem.nearest(nearest(id, ids()).map(ToOwned::to_owned)));
        }
    }
}

/// Sanding goes from coarse to fine in steps that the next grit can clear.
fn grits(steps: &[WrittenStep], root: &Table<'_>) {
    let sanding: Vec<_> = steps.iter().filter(|step| step.step.kind == StepKind::Sand).collect();
    for pair in sanding.windows(2) {
        let [first, second] = pair else { continue };
        let (Some(one), Some(other)) = (first.step.grit, second.step.grit) else {
            continue;
        };
        let (Some(coarse), Some(fine)) = (one.grade.grain(), other.grade.grain()) else {
            continue;
        };
        let ratio = step_ratio(coarse, fine);
        let (code, message) = if ratio <= 1.0 {
            (Code::GritsNotFiner, format!("{other} is not finer than {one}"))
        } else if ratio > STEP_LIMIT {
            (
                Code::GritStepTooWide,
                format!("from {one} to {other} the grain falls {ratio:.2} times"),
            )
        } else if ratio > STEP_WARNING {
            (
                Code::GritStepWide,
                format!("from {one} to {other} the grain falls {ratio:.2} times"),
            )
        } else {
            continue;
        };
        let problem = Problem::new(code, message)
            .at(
                second.grit.clone().unwrap_or_else(|| second.extent.clone()),
                format!("to {other}"),
            )
            .at(
                first.grit.clone().unwrap_or_else(|| first.extent.clone()),
                format!("from {one}"),
            );
        root.problems().push(problem.accepts(format!(
            "a finer grit each time, its grain at most {STEP_WARNING} times smaller"
        )));
    }
}

/// Where a step stands in working order; `None` for steps that come by themselves. After a coat, colour is a glaze
/// or a toner, a sealing coat before colour a wash coat, and a check the dry fit once more.
const fn rank(step: &Step, coated: bool) -> Option<u8> {
    let rank = match step.kind {
        StepKind::Colour if coated => 9,
        StepKind::Check if coated => 10,
        StepKind::Settle => 0,
        StepKind::Check | StepKind::Label => 1,
        StepKind::Sand | StepKind::Arris => 2,
        StepKind::RaiseGrain => 3,
        StepKind::CutBack => 4,
        StepKind::Mask => 5,
        StepKind::DustOff => 6,
        StepKind::Fill => 7,
        StepKind::Colour => 8,
        StepKind::Seal | StepKind::Coat | StepKind::Denib | StepKind::Scuff | StepKind::Flat => 9,
        StepKind::Unmask => 10,
        StepKind::RubOut => 11,
        StepKind::Wax | StepKind::Buff => 12,
        _ => return None,
    };
    Some(match step.phase {
        Phase::Loose => rank,
        Phase::Assembled => rank + 100,
    })
}

/// Reports the fewest steps that would have to move.
fn working_order(steps: &[WrittenStep], root: &Table<'_>) {
    let ranked: Vec<(&WrittenStep, u8)> = steps
        .iter()
        .scan(false, |coated, step| {
            let here = rank(&step.step, *coated && step.step.phase == Phase::Loose);
            *coated |= Schedule::is_coat(step.step.kind);
            Some((step, here))
        })
        .filter_map(|(step, rank)| Some((step, rank?)))
        .collect();
    let ranks: Vec<u8> = ranked.iter().map(|(_, rank)| *rank).collect();
    let keep = longest_in_order(&ranks);
    for (index, (step, here)) in ranked.iter().enumerate() {
        if keep.contains(&index) {
            continue;
        }
        let kept = || keep.iter().filter_map(|kept| Some((*kept, *ranked.get(*kept)?)));
        let before = kept().rfind(|(kept, (_, rank))| *kept < index && rank > here);
        let after = kept().find(|(kept, (_, rank))| *kept > index && rank < here);
        let (word, other) = match (before, after) {
            (Some((_, (other, _))), _) => ("after", other),
            (None, Some((_, (other, _)))) => ("before", other),
            (None, None) => continue,
        };
        let message = format!("\"{}\" does not belong {word} \"{}\"", step.step.kind, other.step.kind);
        let problem = Problem::new(Code::StepOrder, message)
            .at(step.extent.clone(), "out of order here")
            .at(other.extent.clone(), "beside this");
        root.problems().push(problem.accepts(
            "check and label; grits and arrises; grain; mask; dust off; fill; colour; coats; unmask; rub out; wax \
             and buff; loose before assembled",
        ));
    }
}

/// A glaze or a toner lies under a coat.
fn covered(steps: &[WrittenStep], root: &Table<'_>) {
    let coats = |step: &&WrittenStep| step.step.phase == Phase::Loose && Schedule::is_coat(step.step.kind);
    let Some(last) = steps.iter().rposition(|step| coats(&step)) else {
        return;
    };
    for step in steps
        .iter()
        .skip(last + 1)
        .filter(|step| step.step.kind == StepKind::Colour)
    {
        let problem = Problem::new(Code::StepOrder, "colour over the last coat wears off")
            .at(step.extent.clone(), "nothing covers this");
        root.problems().push(problem.accepts("a coat after a glaze or a toner"));
    }
}

/// The places of a longest run that never falls, in order; the rest are the fewest that stand wrong.
fn longest_in_order(ranks: &[u8]) -> Vec<usize> {
    // best[i]: length of the longest such run that ends at i, and the place before it
    let mut best: Vec<(usize, Option<usize>)> = Vec::with_capacity(ranks.len());
    for (index, rank) in ranks.iter().enumerate() {
        let before = (0..index).filter(|earlier| ranks.get(*earlier).is_some_and(|one| one <= rank));
        let longest = before.max_by_key(|earlier| best.get(*earlier).map(|(length, _)| *length));
        let length = longest.and_then(|at| best.get(at)).map_or(1, |(length, _)| length + 1);
        best.push((length, longest));
    }
    let mut at = (0..best.len()).max_by_key(|index| best.get(*index).map(|(length, _)| *length));
    let mut run = Vec::new();
    while let Some(index) = at {
        run.push(index);
        at = best.get(index).and_then(|(_, before)| *before);
    }
    run.reverse();
    run
}

/// Each filler, colour and coat has a film of its way of putting on, and a window in the film beneath it.
fn films(products: &[Found<Product>], steps: &[WrittenStep], root: &Table<'_>) {
    let mut beneath: Option<&Product> = None;
    for step in steps {
        let ground = matches!(step.step.kind, StepKind::Fill | StepKind::Colour);
        if !ground && !Schedule::is_coat(step.step.kind) && step.step.kind != StepKind::Wax {
            continue;
        }
        let Some(product) = step.step.product.as_deref().and_then(|id| named(products, id)) else {
            continue;
        };
        let report = |code, message: String, accepted: &str| {
            let problem = Problem::new(code, message).at(step.extent.clone(), "this step");
            root.problems().push(problem.accepts(accepted));
        };
        if let Some(method) = step.step.method.filter(|method| !product.wet_film.contains_key(method)) {
            let word = METHODS.word_for(method).unwrap_or_default();
            let message = format!("product \"{}\" gives no wet film for a {method}", product.id);
            report(
                Code::WetFilmMissing,
                message,
                &format!("`wet_film.{word}` in the product"),
            );
        }
        if let Some(under) = beneath {
            let same = under.id == product.id;
            let windows = under.windows.iter();
            let fits = |next: Option<&str>| next.map_or(same, |next| next == product.id);
            if under.terminal && !same {
                let message = format!("nothing goes over {}, and {} would", under.name, product.name);
                report(Code::NothingGoesOver, message, "the last coat of all");
            } else if !windows.into_iter().any(|window| fits(window.next.as_deref())) {
                let message = format!(
                    "product \"{}\" has no window in which \"{}\" may go over it",
                    under.id, product.id
                );
                report(
                    Code::NoWindow,
                    message,
                    "a `[[product.window]]` for each pair that is coated",
                );
            }
        }
        beneath = Some(product);
    }
}
