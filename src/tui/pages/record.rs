//! What was done, by whom, when: the log as a page shows it.
//!
//! Invariant: one entry a record, in the order they were said; what was taken back is there and says so.

use super::super::model::Model;
use crate::dayplan::document::Stamp;
use crate::log::{Record, What, history};
use std::sync::Arc;

/// A record, without the plan it may carry.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its id.
    pub id: String,
    /// When it was said.
    pub at: Stamp,
    /// Who said it.
    pub who: String,
    /// What it says.
    pub told: Told,
    /// It was taken back later.
    pub taken_back: bool,
}

/// What an entry says.
#[derive(Clone, Debug, PartialEq)]
pub enum Told {
    /// A fact.
    Fact(What),
    /// A plan was taken on.
    Plan {
        /// When it has every section ready to glue.
        ready: Stamp,
        /// Rounds in it.
        rounds: usize,
    },
}

/// The entries of a log.
pub fn entries(records: &[Record]) -> Vec<Entry> {
    let taken_back = history::taken_back(records);
    let entry = |record: &Record| Entry {
        id: record.id.clone(),
        at: record.at,
        who: record.who.clone(),
        told: match &record.what {
            What::AcceptedPlan { plan } => Told::Plan {
                ready: plan.ready,
                rounds: plan.rounds.len(),
            },
            what => Told::Fact(what.clone()),
        },
        taken_back: taken_back.contains(record.id.as_str()),
    };
    records.iter().map(entry).collect()
}

/// The entries the page lists, the newest first, as indices.
pub fn listed(model: &Model) -> Arc<Vec<usize>> {
    let plans = model.pages.record_plans;
    let entries = &model.sheet.entries;
    let wanted = |index: &usize| {
        entries
            .get(*index)
            .is_some_and(|entry| plans || matches!(entry.told, Told::Fact(_)))
    };
    Arc::new((0..entries.len()).rev().filter(wanted).collect())
}
