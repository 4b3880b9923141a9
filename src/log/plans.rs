//! The plans of a log, and those built on them.
//!
//! Invariant: a record built on another's plan counts once that one is known, in whatever order their lines stood;
//! until then its line is set aside.

use super::line::{Base, Onto};
use super::read::{BadLine, Lines};
use super::record::{Record, What};
use crate::dayplan::Plan;
use std::collections::HashMap;
use std::sync::Arc;

/// What is known of the plans of a log.
#[derive(Debug, Default)]
pub(super) struct Plans {
    /// By the record that took them on, with how many differences lie between them and a whole one.
    known: HashMap<String, (Arc<Plan>, u32)>,
    /// What is built on a plan that is not known.
    waiting: Vec<(Onto, BadLine)>,
}

impl Plans {
    /// Takes in lines: what is built on a known plan becomes a record among them.
    pub(super) fn take(&mut self, lines: &mut Lines) {
        for record in &lines.records {
            self.know(record, 0);
        }
        self.waiting.append(&mut lines.onto);
        // a joined log may have the later plan first: as long as anything came of it
        loop {
            let before = self.waiting.len();
            for (onto, mut bad) in std::mem::take(&mut self.waiting) {
                let made = self.known.get(onto.base()).map(|(base, _)| onto.made(base));
                match made {
                    Some(Ok(record)) => {
                        self.know(&record, onto.step());
                        lines.records.push(record);
                    }
                    Some(Err(why)) => {
                        bad.why = why;
                        self.waiting.push((onto, bad));
                    }
                    None => self.waiting.push((onto, bad)),
                }
            }
            if self.waiting.len() == before {
                return;
            }
        }
    }

    fn know(&mut self, record: &Record, step: u32) {
        if let What::AcceptedPlan { plan } = &record.what {
            // a whole line of the same plan is the better base
            let known = self.known.get(&record.id).map_or(u32::MAX, |(_, step)| *step);
            if step < known {
                self.known.insert(record.id.clone(), (Arc::clone(plan), step));
            }
        }
    }

    /// The plan of a record, to build on.
    pub(super) fn base(&self, record: &str) -> Option<Base> {
        let (plan, step) = self.known.get(record)?;
        Some(Base {
            record: record.to_owned(),
            plan: Arc::clone(plan),
            step: *step,
        })
    }

    /// Lines whose plan is built on one that is not here.
    pub(super) fn unfounded(&self) -> impl Iterator<Item = &BadLine> {
        self.waiting.iter().map(|(_, bad)| bad)
    }

    /// Forgets what was built on nothing in lines that may yet change.
    pub(super) fn forget_line(&mut self, line: usize) {
        self.waiting.retain(|(_, bad)| bad.line != line);
    }
}
