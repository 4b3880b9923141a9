//! Whether a job can be ready by a time, as people and programs read it.
//!
//! Invariant: "no plan can" is said only where the bound says so; else it is only said that none was found.

use super::STANDING_LINE;
use super::paper::{Paper, Sheet, clean};
use super::text::when_dated;
use crate::dayplan::document::Stamp;
use crate::dayplan::latest::By;
use crate::units::Span;
use serde_json::{Value, json};

/// The answer on paper.
pub fn by_text(answer: &By, by: Stamp, paper: Paper) -> String {
    let mut sheet = Sheet::new(paper);
    let plan = plan(answer);
    sheet.heading(&clean(&plan.job));
    let by = when_dated(by);
    match answer {
        By::Can { plan, latest, too_late } => {
            sheet.line(&format!("Yes: everything can be ready to glue by {by}."));
            sheet.line(&format!(
                "Begin by {} at the latest: the plan from then is ready {}.",
                when_dated(*latest),
                when_dated(plan.ready)
            ));
            if let Some(too_late) = too_late {
                sheet.line(&format!(
                    "From {} on no plan was found that is ready in time.",
                    when_dated(*too_late)
                ));
            }
            sheet.line("That leaves nothing in hand: a damp day or a lost morning makes it late.");
        }
        By::Cannot { bound, plan } => {
            sheet.line(&format!(
                "No: no plan can be ready by {by}. None can be before {}.",
                when_dated(*bound)
            ));
            sheet.line(&format!("The plan found is ready {}.", when_dated(plan.ready)));
        }
        By::NotFound { plan } => {
            let late = (plan.ready - plan.bound).num_minutes();
            sheet.line(&format!("No plan was found that is ready by {by}."));
            sheet.line(&format!(
                "The one found is ready {}. None can be before {}; what lies between ({}) is not ruled out: more `--tries` may find it, and `--why` says what would bring it forward.",
                when_dated(plan.ready),
                when_dated(plan.bound),
                Span(late)
            ));
        }
    }
    sheet.blank();
    sheet.line(STANDING_LINE);
    sheet.finish()
}

/// The same for other programs.
pub fn by_json(answer: &By, by: Stamp) -> Value {
    let plan = plan(answer);
    let (can, latest, too_late) = match answer {
        By::Can { latest, too_late, .. } => (Some(true), Some(*latest), *too_late),
        By::Cannot { .. } => (Some(false), None, None),
        By::NotFound { .. } => (None, None, None),
    };
    json!({
        "by": by,
        "can": can,
        "latest_start": latest,
        "too_late_from": too_late,
        "ready": plan.ready,
        "bound": plan.bound,
    })
}

fn plan(answer: &By) -> &crate::dayplan::Plan {
    match answer {
        By::Can { plan, .. } | By::Cannot { plan, .. } | By::NotFound { plan } => plan,
    }
}
