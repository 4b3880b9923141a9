//! How this shop lays a product where that is not as stated: its film, its thinner, its retarder.
//!
//! Invariant: a product is said at most once, and something is said of it; times follow for every coat.

use super::figure::known_product;
use super::names;
use crate::finish::words::METHODS;
use crate::finish::{LaidAs, Schedule};
use crate::science::volatile::{self, Volatile};
use crate::source::{Code, Extent, Found, Problem, Table, Value};
use std::collections::BTreeMap;

/// No film of finish is thicker than that, µm.
const THICKEST: f64 = 1000.0;
/// Parts of thinner or retarder to 100 of product.
const MOST_PARTS: f64 = 300.0;

/// One `[[laid]]`, read.
struct Line {
    product: Found<String>,
    how: LaidAs,
    at: Extent,
}

/// Reads every `[[laid]]` and lays it over the schedules in use.
pub(super) fn overlay(top: &mut Table<'_>, mut schedules: BTreeMap<String, Schedule>) -> BTreeMap<String, Schedule> {
    let lines: Vec<Line> = top
        .tables("laid")
        .into_iter()
        .filter_map(|table| read_one(table, &schedules))
        .collect();
    let problems = top.problems();
    for (index, line) in lines.iter().enumerate() {
        let same = |other: &&Line| other.product.value == line.product.value;
        if let Some(first) = lines.iter().take(index).find(same) {
            let problem = Problem::new(Code::FigureTwice, "the same product is said to be laid in two ways")
                .at(line.product.extent.clone(), "again here")
                .at(first.product.extent.clone(), "first here")
                .accepts("each product once, with its film, thinner and retarder together");
            problems.push(problem);
            continue;
        }
        let mut refused = false;
        for product in schedules.values_mut().flat_map(|schedule| &mut schedule.products) {
            if product.id != line.product.value {
                continue;
            }
            match product.laid_as(&line.how) {
                Ok(laid) => *product = laid,
                // the same product of two schedules is refused once
                Err(_) if refused => {}
                Err(refusal) => {
                    refused = true;
                    let message = format!("{} {}", product.name, refusal.why);
                    let problem = Problem::new(Code::LaidAgainst, message)
                        .at(line.at.clone(), "laid like this")
                        .accepts(refusal.accepted);
                    problems.push(problem);
                }
            }
        }
    }
    schedules
}

fn read_one(mut table: Table<'_>, schedules: &BTreeMap<String, Schedule>) -> Option<Line> {
    table.call("how it is laid");
    let at = table.extent();
    let product = table.need("product").and_then(|value| {
        let extent = value.extent();
        known_product(value, schedules).map(|id| Found { value: id, extent })
    });
    let film = table.may("wet_film");
    let method = if film.is_some() {
        table.need("method")
    } else {
        table.may("method")
    };
    let film = film.and_then(|value| value.number_within(1.0..=THICKEST, "µm"));
    let method = method.and_then(|value| value.word(&METHODS));
    let thinned = table.may_table("thinned").map(|table| read_added(table, "the thinner"));
    let retarder = table
        .may_table("retarder")
        .map(|table| read_added(table, "the retarder"));
    let complete = thinned != Some(None) && retarder != Some(None);
    if film.is_none() && method.is_none() && thinned.is_none() && retarder.is_none() {
        let problem = Problem::new(Code::MissingKey, "nothing is said of how it is laid")
            .at(at.clone(), "laid how?")
            .accepts("`wet_film` with `method`, `thinned` or `retarder`");
        table.problems().push(problem);
        return None;
    }
    let how = LaidAs {
        film: film.zip(method).map(|(film, method)| (method.value, film.value)),
        thinned: thinned.flatten(),
        retarder: retarder.flatten(),
    };
    product.filter(|_| complete).map(|product| Line { product, how, at })
}

/// Parts to 100 of product, and of what.
fn read_added(mut table: Table<'_>, what: &str) -> Option<(f64, &'static Volatile)> {
    table.call(what);
    let parts = table
        .need("parts")
        .and_then(|value| value.number_within(0.0..=MOST_PARTS, "to 100 of product"));
    let with = table.need("with").and_then(known_solvent);
    Some((parts?.value, with?))
}

fn known_solvent(value: Value<'_>) -> Option<&'static Volatile> {
    let name = value.text()?.value;
    let found = volatile::find(&name);
    if found.is_none() {
        let known: Vec<&str> = volatile::all().iter().map(|one| one.name).collect();
        names::unknown(
            &value,
            Code::UnknownSolvent,
            "solvent with a known rate of evaporation called",
            &known,
        );
    }
    found
}
