//! A mistake made in the good plan, and the tools to make it.
//!
//! Invariant: a case says all the rules its mistake breaks, so that a rule that fires too easily is found as
//! surely as one that never fires.

#![allow(clippy::expect_used, reason = "a plan by hand stops where it was written wrong")]

use crate::draft::Draft;
use crate::line::{Line, coat, set_up};
use crate::shop::{figure, tom};
use crate::table::on;
use denib::dayplan::document::{Operation, Plan};
use denib::dayplan::verify::Rule;
use denib::finish::{Product, Stage, StepKind};
use denib::job::Holding;

/// One mistake.
pub struct Case {
    pub rule: Rule,
    pub mistake: &'static str,
    pub also: &'static [Rule],
    pub written: fn(&mut Draft),
    pub printed: fn(&mut Plan),
}

/// A mistake made while writing: in the job, in a figure, in a line.
pub fn written(rule: Rule, mistake: &'static str, written: fn(&mut Draft)) -> Case {
    Case {
        rule,
        mistake,
        also: &[],
        written,
        printed: |_| {},
    }
}

/// A mistake in the document alone.
pub fn printed(rule: Rule, mistake: &'static str, printed: fn(&mut Plan)) -> Case {
    Case {
        rule,
        mistake,
        also: &[],
        written: |_| {},
        printed,
    }
}

impl Case {
    pub fn also(self, also: &'static [Rule]) -> Self {
        Self { also, ..self }
    }
}

/// Another slow and fast time to a stage.
pub fn ladder(product: &mut Product, stage: Stage, low: f64, high: f64) {
    for rung in product.stages.iter_mut().filter(|rung| rung.stage == stage) {
        rung.minutes = figure(low, high);
    }
}

pub fn by_tom(line: Line) -> Line {
    Line {
        hands: vec!["Tom".to_owned()],
        round: line.round.map(|round| format!("{round}, Tom")),
        ..line
    }
}

/// A loose wax on the leg by Tom, with his setting up and cleaning out.
pub fn wax_the_leg(draft: &mut Draft, set_up_at: &str, wax_at: &str, clean_at: &str) {
    draft.job.hands.push(tom());
    let sides = ["side-1", "side-2", "side-3", "side-4", "ends"];
    let wax = Line {
        step: StepKind::Wax,
        coat: None,
        ..coat("leg/wax-1", ("wax", 1), wax_at, 5, Holding::Hung, &sides)
    };
    draft
        .lines
        .push(by_tom(set_up("tom-1", StepKind::ChangeOver, "wax", set_up_at, 10)));
    draft.lines.push(by_tom(on("leg/coat-1", wax)));
    draft
        .lines
        .push(by_tom(set_up("tom-2", StepKind::CleanUp, "wax", clean_at, 10)));
}

pub fn op<'a>(plan: &'a mut Plan, id: &str) -> &'a mut Operation {
    plan.operations
        .iter_mut()
        .find(|op| op.id == id)
        .expect("an operation with this id")
}
