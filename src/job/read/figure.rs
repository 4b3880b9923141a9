//! Figures read on the tin's own label, laid over those of the schedules: the tin wins.
//!
//! Invariant: a product's drying times are all stated for one air, before and after.
//!
//! A label states its times for some air, often not the air the schedule's figures were stated for, and no
//! two airs are mixed silently. So a drying time (a stage or a recoat window) must say `at`, the air the label
//! gives. Where that is the air of the product's other times, it simply takes their place. Where it is
//! another, either every drying time of the product is given for that air, or an entry
//! `what = "other-times"` says in so many words that the remaining ones are to be taken as stated for it too.

use super::basis::Basis;
use super::figure_order;
use super::figure_what::{Drawn, What, draw, window_times};
use super::names;
use crate::finish::{Conditions, Figure, Product, Schedule, Status, figure_range};
use crate::source::{Code, Found, Problem, Problems, Table, Value};
use std::collections::BTreeMap;

/// One `[[figure]]`, read.
pub(super) struct Override {
    pub product: String,
    pub what: Found<What>,
    pub figure: Option<Figure>,
    pub at: Option<Found<Conditions>>,
    /// Further keys: from which coat, which window, which method.
    pub drawn: Drawn,
}

/// Reads every `[[figure]]` and lays it over the schedules in use.
pub(super) fn overlay(
    top: &mut Table<'_>,
    basis: &Basis<'_>,
    mut schedules: BTreeMap<String, Schedule>,
) -> BTreeMap<String, Schedule> {
    let overrides: Vec<Override> = top
        .tables("figure")
        .into_iter()
        .filter_map(|table| read_one(table, basis, &schedules))
        .collect();
    let problems = top.problems();
    check_twice(problems, &overrides);
    for product in schedules.values_mut().flat_map(|schedule| &mut schedule.products) {
        let own: Vec<&Override> = overrides.iter().filter(|entry| entry.product == product.id).collect();
        if own.is_empty() {
            continue;
        }
        settle_air(problems, product, &own);
        let before = product.clone();
        for entry in &own {
            if let Some(figure) = &entry.figure
                && let Err(refusal) = entry.what.value.put(product, figure, &entry.drawn)
            {
                let problem = Problem::new(Code::UnknownFigure, format!("{} {}", product.name, refusal.why));
                problems.push(
                    problem
                        .at(entry.what.extent.clone(), "not a figure of this product")
                        .accepts(refusal.accepted),
                );
            }
        }
        figure_order::check(problems, &own, &before, product);
    }
    schedules
}

fn read_one(mut table: Table<'_>, basis: &Basis<'_>, schedules: &BTreeMap<String, Schedule>) -> Option<Override> {
    table.call("the figure");
    let product = table.need("product").and_then(|value| known_product(value, schedules));
    let what = table.need("what").and_then(read_what);
    let source = table.need("source").and_then(Value::text);
    let Some(what) = what else {
        for key in ["low", "high", "value", "at", "from_coat", "window", "method"] {
            let _ = table.may(key);
        }
        return None;
    };
    let is_drying = what.value.is_drying();
    let at = is_drying.then(|| table.need("at").and_then(|value| value.conditions(basis.temperature)));
    let drawn = draw(&mut table, what.value);
    let range = what
        .value
        .unit(basis.temperature)
        .map(|unit| figure_range(&mut table, unit));
    let (product, source) = (product?, source?.value);
    let figure = match range {
        None => None,
        Some(range) => {
            let (low, high) = range?;
            Some(Figure {
                low,
                high,
                status: Status::Label,
                source,
            })
        }
    };
    let at = match at {
        None => None,
        Some(at) => Some(at?),
    };
    Some(Override {
        product,
        what,
        figure,
        at,
        drawn: drawn?,
    })
}

/// The figure a word stands for.
fn read_what(value: Value<'_>) -> Option<Found<What>> {
    let text = value.text()?;
    let found = What::named(&text.value);
    if found.is_none() {
        let problem = Problem::new(
            Code::UnknownFigure,
            format!("no product has a figure \"{}\"", text.value),
        );
        let near = What::nearest(&text.value).map(ToOwned::to_owned);
        value.refuse(problem.accepts(What::listed()).nearest(near));
    }
    found.map(|what| text.map(|_| what))
}

/// The id of a product some finish in use has.
pub(super) fn known_product(value: Value<'_>, schedules: &BTreeMap<String, Schedule>) -> Option<String> {
    let id = value.text()?.value;
    let mut ids: Vec<&str> = schedules
        .values()
        .flat_map(|schedule| &schedule.products)
        .map(|product| product.id.as_str())
        .collect();
    ids.sort_unstable();
    ids.dedup();
    if ids.contains(&id.as_str()) {
        return Some(id);
    }
    names::unknown(
        &value,
        Code::UnknownProduct,
        "product in this job's finishes called",
        &ids,
    );
    None
}

/// One figure from two lines would leave it open which of them counts.
fn check_twice(problems: &Problems<'_>, overrides: &[Override]) {
    for (index, entry) in overrides.iter().enumerate() {
        let same = |other: &&Override| {
            other.product == entry.product && other.what.value == entry.what.value && other.drawn == entry.drawn
        };
        if let Some(first) = overrides.iter().take(index).find(same) {
            let problem = Problem::new(Code::FigureTwice, "the same figure is given twice")
                .at(entry.what.extent.clone(), "again here")
                .at(first.what.extent.clone(), "first here")
                .accepts("each figure of a product once");
            problems.push(problem);
        }
    }
}

/// Whether two airs are the same, to what a label can say.
fn same_air(one: Conditions, other: Conditions) -> bool {
    (one.temperature.0 - other.temperature.0).abs() < 0.05 && (one.humidity.0 - other.humidity.0).abs() < 0.05
}

fn air(conditions: Conditions) -> String {
    format!(
        "{} °C and {} %",
        round(conditions.temperature.0),
        round(conditions.humidity.0)
    )
}

/// To a tenth, without a nought behind the point.
fn round(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

/// Makes the product's air the label's, where that mixes no two airs.
fn settle_air(problems: &Problems<'_>, product: &mut Product, own: &[&Override]) {
    let mut airs = own.iter().filter_map(|entry| entry.at.as_ref());
    let Some(first) = airs.next() else { return };
    if let Some(other) = airs.find(|other| !same_air(other.value, first.value)) {
        let message = format!("the times of {} are stated for two airs", product.name);
        let problem = Problem::new(Code::FigureOtherAir, message)
            .at(other.extent.clone(), air(other.value))
            .at(first.extent.clone(), air(first.value))
            .accepts("one `at` for all drying times of a product");
        problems.push(problem);
        return;
    }
    if same_air(first.value, product.stated_at) {
        return;
    }
    let rest = own.iter().any(|entry| entry.what.value == What::OtherTimes);
    let left = if rest { Vec::new() } else { times_left(product, own) };
    if left.is_empty() {
        product.stated_at = first.value;
        return;
    }
    let message = format!(
        "the tin's times are for {}, the other times of {} for {}",
        air(first.value),
        product.name,
        air(product.stated_at)
    );
    let problem = Problem::new(Code::FigureOtherAir, message)
        .at(first.extent.clone(), "two airs cannot be mixed")
        .accepts(format!(
            "the tin's figure for each of {} as well; or an entry what = \"other-times\" with this `at`, to take those as stated for it",
            left.join(", ")
        ));
    problems.push(problem);
}

/// The product's drying times that no label figure replaces.
fn times_left(product: &Product, own: &[&Override]) -> Vec<String> {
    let given = |what: What, drawn: Drawn| {
        own.iter()
            .any(|entry| entry.what.value == what && entry.drawn.covers(drawn))
    };
    let mut left: Vec<String> = Vec::new();
    for rung in &product.stages {
        let what = What::Stage(rung.stage);
        if !given(
            what,
            Drawn {
                from_coat: Some(rung.from_coat),
                ..Drawn::default()
            },
        ) {
            left.push(format!("`{}`", what.word()));
        }
    }
    for (what, index) in window_times(product) {
        if !given(
            what,
            Drawn {
                window: Some(index),
                ..Drawn::default()
            },
        ) {
            left.push(format!("`{}` of window {}", what.word(), index + 1));
        }
    }
    left.dedup();
    left
}
