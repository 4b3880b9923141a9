//! What stands in a plan one after the other: rounds, work outside rounds, sections that are ready.
//!
//! Invariant: everything that is not over yet is here once, in order of time.

use super::names::Names;
use super::paper::clean;
use super::round::{View, sentence, title_of};
use crate::dayplan::Plan;
use crate::dayplan::document::{Operation, Stamp, State};
use crate::finish::StepKind;
use crate::job::Job;
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// What a stretch is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Somebody works.
    Work,
    /// A section is ready to glue.
    Ready,
}

/// One stretch of the plan.
#[derive(Clone, Debug)]
pub(super) struct Stretch {
    /// What it is.
    pub kind: Kind,
    /// Its first operation, or its section: the same from plan to plan.
    pub key: String,
    /// From.
    pub from: Stamp,
    /// Until.
    pub until: Stamp,
    /// `Coat 2 of 3, brushing lacquer`.
    pub title: String,
    /// What else there is to say, sentence by sentence.
    pub lines: Vec<String>,
    /// Who.
    pub hands: Vec<String>,
}

/// Every stretch of a plan that is not over.
pub(super) fn stretches(plan: &Plan, job: &Job) -> Vec<Stretch> {
    let view = View::of(plan, Names::of(job));
    let over = |operation: &Operation| matches!(operation.state, State::Done | State::Skipped);
    let mut said = BTreeSet::new();
    let mut stretches = Vec::new();
    let mut in_rounds: BTreeSet<&str> = BTreeSet::new();
    for round in &plan.rounds {
        in_rounds.extend(round.operations.iter().map(String::as_str));
        let operations = view.of_round(round);
        if operations.iter().all(|operation| over(operation)) {
            continue;
        }
        stretches.push(Stretch {
            kind: Kind::Work,
            key: round.operations.first().cloned().unwrap_or_default(),
            from: round.start,
            until: round.end,
            title: view.title(round),
            lines: view.body(round, &mut said),
            hands: round.hands.clone(),
        });
    }
    let alone = plan.operations.iter();
    for operation in alone.filter(|one| !in_rounds.contains(one.id.as_str()) && !over(one)) {
        let objects = view.objects(&[operation]);
        stretches.push(Stretch {
            kind: Kind::Work,
            key: operation.id.clone(),
            from: operation.start,
            until: operation.end,
            title: title_alone(&view, operation),
            lines: if objects.is_empty() {
                Vec::new()
            } else {
                vec![sentence(&objects)]
            },
            hands: operation.hands.clone(),
        });
    }
    let ready = plan.sections.iter().filter(|section| section.ready >= plan.now);
    stretches.extend(ready.map(|section| Stretch {
        kind: Kind::Ready,
        key: format!("ready/{}", section.id),
        from: section.ready,
        until: section.ready,
        title: format!("Ready to glue: {}", view.names.section(&section.id)),
        lines: vec!["Every part hard dry, joints bare.".to_owned()],
        hands: Vec::new(),
    }));
    stretches.sort_by(|one, other| (one.from, &one.key).cmp(&(other.from, &other.key)));
    stretches
}

/// The title of work outside rounds: `Change over to P120`, `Clean up: lacquer brushes and rags`.
pub(super) fn title_alone(view: &View<'_>, operation: &Operation) -> String {
    let mut title = title_of(operation);
    match (operation.step, &operation.family) {
        (StepKind::ChangeOver, Some(family)) => _ = write!(title, " to {}", clean(family)),
        (StepKind::CleanUp, Some(family)) => _ = write!(title, ": {} brushes and rags", clean(family)),
        _ => {}
    }
    if let Some(product) = &operation.product {
        _ = write!(title, ", {}", view.names.product(product));
    }
    title
}
