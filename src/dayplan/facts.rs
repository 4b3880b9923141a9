//! What has already happened, as far as a plan has to know it.
//!
//! Invariant: ids are those of `work`; facts about operations the job no longer has are ignored.

use super::document::Plan;
use crate::finish::Stage;
use crate::job::Reading;
use crate::units::Moment;
use std::collections::{BTreeMap, BTreeSet};

/// An operation that has begun.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Happened {
    /// Begun.
    pub start: Moment,
    /// Over; `None` while it is on the bench.
    pub end: Option<Moment>,
    /// Who did it, by name; empty when nobody knows.
    pub hands: Vec<String>,
}

/// What touch tests have taught about one film: its stages take this many times the stated figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tested {
    /// The stage that was tested.
    pub stage: Stage,
    /// Factor on the stated minutes: above 1 for "not dry yet" (this stage and all later ones), below 1 for
    /// "dry already" (this stage and all earlier ones).
    pub factor: f64,
}

/// The past and the present.
#[derive(Clone, Debug, Default)]
pub struct Facts {
    /// Nothing new starts before this; `None`: the job's start.
    pub now: Option<Moment>,
    /// Operations done or running, by id.
    pub happened: BTreeMap<String, Happened>,
    /// Operations that will not be done.
    pub skipped: BTreeSet<String>,
    /// Touch tests by the id of the coat operation.
    pub tested: BTreeMap<String, Vec<Tested>>,
    /// Room readings.
    pub readings: Vec<Reading>,
    /// The plan in force, to move as little as possible of what is due soon.
    pub in_force: Option<Box<Plan>>,
}

impl Facts {
    /// The factor on the stated minutes of a film to a stage.
    pub fn factor(&self, operation: &str, stage: Stage) -> f64 {
        let mut factor = 1.0;
        for test in self.tested.get(operation).into_iter().flatten() {
            let slower = test.factor >= 1.0 && stage >= test.stage;
            let faster = test.factor < 1.0 && stage <= test.stage;
            if slower || faster {
                factor = test.factor;
            }
        }
        factor
    }
}
