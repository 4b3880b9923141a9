//! Rules within one product of a schedule.
//!
//! Invariant: each rule reports at the rung or window that breaks it, where that can be told.

use crate::finish::product::{Product, Stage};
use crate::finish::words::STAGES;
use crate::finish::{ladder, product};
use crate::source::{Code, Extent, Problem, Table};
use std::collections::BTreeSet;

/// Where the rungs and windows of a product stand, for problems that point to them.
pub(super) struct Places {
    pub rungs: Vec<(Stage, Extent)>,
    pub windows: Vec<Extent>,
}

impl Places {
    fn rung(&self, stage: Stage) -> Option<Extent> {
        let found = self.rungs.iter().find(|(one, _)| *one == stage);
        found.map(|(_, extent)| extent.clone())
    }
}

/// Rules within one product.
pub(super) fn check(product: &Product, table: &Table<'_>, places: &Places) {
    let report = |code, message: String, accepted: &str| {
        let problem = Problem::new(code, message).at(table.extent(), "this product");
        table.problems().push(problem.accepts(accepted));
    };
    for stage in ladder::missing(product) {
        // a rung that stands there and could not be read has its own problem
        if places.rung(stage).is_some() {
            continue;
        }
        let word = STAGES.word_for(stage).unwrap_or_default();
        report(
            Code::StageMissing,
            format!("product \"{}\" does not say when it is {stage}", product.id),
            &format!("a line `dry.{word} = {{ low = ..., high = ..., status = ..., source = ... }}`"),
        );
    }
    for fall in ladder::falls(product) {
        let (Some(later), Some(earlier)) = (places.rung(fall.later), places.rung(fall.earlier)) else {
            continue;
        };
        let message = format!(
            "product \"{}\" is {} before it is {} (coat {})",
            product.id, fall.later, fall.earlier, fall.coat
        );
        let problem = Problem::new(Code::StagesFall, message)
            .at(later, "sooner")
            .at(earlier, "than this");
        let accepted = "times that do not fall along the ladder, low with low and high with high";
        table.problems().push(problem.accepts(accepted));
    }
    if product.mechanism.spoils() && (product.drying_floor.is_none() || product.must_reach.is_none()) {
        report(
            Code::SpoilsWithoutFloor,
            format!("product \"{}\" is spoiled by cold and does not say when", product.id),
            "`drying_floor` and `must_reach`",
        );
    }
    let unreached = |stage: &Stage| product.time_to(*stage, 1).is_none() && places.rung(*stage).is_none();
    if let Some(stage) = product.must_reach.filter(unreached) {
        report(
            Code::StageMissing,
            format!(
                "product \"{}\" must reach {stage} and does not say when it does",
                product.id
            ),
            "a time for the stage of `must_reach`",
        );
    }
    if let (Some(start), Some(floor)) = (&product.start_floor, &product.drying_floor)
        && start.high < floor.high
    {
        report(
            Code::StartBelowFloor,
            format!(
                "product \"{}\" may be put on in a room too cold for it to dry",
                product.id
            ),
            "`start_floor` not below `drying_floor`",
        );
    }
    windows(product, table, places);
}

/// Windows for one next product follow each other and the last stays open.
fn windows(product: &Product, table: &Table<'_>, places: &Places) {
    let report = |code, message: String, place: &Extent, accepted: &str| {
        let message = format!("product \"{}\": {message}", product.id);
        let problem = Problem::new(code, message).at(place.clone(), "this window");
        table.problems().push(problem.accepts(accepted));
    };
    let written = || product.windows.iter().zip(&places.windows);
    let nexts: BTreeSet<Option<&str>> = product.windows.iter().map(|window| window.next.as_deref()).collect();
    for next in nexts {
        let over = next.unwrap_or("the same product");
        let mut closed: Option<f64> = Some(0.0);
        let mut last: Option<&Extent> = None;
        for (window, place) in written().filter(|(window, _)| window.next.as_deref() == next) {
            let Some(opens) = product::opens_after(product, window) else {
                let message = format!("the window for {over} opens at a stage without a time");
                report(Code::StageMissing, message, place, "a stage of its ladder, or a figure");
                continue;
            };
            if closed.is_none_or(|closed| opens < closed) {
                let message = format!("a window for {over} opens before the one before it has closed");
                let accepted = "windows in the order they open, each closing before the next";
                report(Code::WindowOrder, message, place, accepted);
            }
            closed = window.closes.as_ref().map(|closes| closes.low);
            if closed.is_some_and(|closed| closed <= opens) {
                let message = format!("a window for {over} closes before it has opened");
                let accepted = "`closes` (its low end) after `opens` (its high end)";
                report(Code::WindowOrder, message, place, accepted);
            }
            last = Some(place);
        }
        if let (Some(_), Some(place)) = (closed, last) {
            let message = format!("the last window for {over} closes");
            report(Code::WindowCloses, message, place, "a last window without `closes`");
        }
    }
}
