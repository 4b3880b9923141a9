//! A solution told as a document and held against both checks: the engine's and the trade's.
//!
//! Invariant: what comes out has passed both, but for what is late by fact; only [`Checking::told`] leaves the trade's out.

use super::document::Plan;
use super::frame::Frame;
use super::kept::Kept;
use super::late;
use super::make::Settings;
use super::network::Named;
use super::tell::{self, Told};
use super::verify::{self, Breach};
use crate::planner::{self, Because, Bound, Explained, Indexed, Infeasible, Solution, TaskId, Teller};
use std::sync::Arc;
use std::thread::ScopedJoinHandle;

/// What solutions are told and checked by.
#[derive(Clone, Copy)]
pub(super) struct Checking<'a> {
    pub frame: &'a Frame<'a>,
    pub named: &'a Named,
    pub settings: Settings,
    /// What is done later than its longest wait allows, since what has happened leaves no other way.
    pub late: &'a [TaskId],
    pub kept: &'a Kept,
}

/// Why a solution is not handed out.
pub(super) struct Refused {
    pub text: String,
    pub breaches: Vec<Breach>,
}

/// The reasons of a solution.
type Reasons = Result<Vec<Option<Because>>, Infeasible>;

impl Checking<'_> {
    /// The document of a solution.
    pub fn document(&self, solution: &Solution) -> Result<Plan, Refused> {
        // the reasons are looked for beside the checks: most plans pass them
        std::thread::scope(|scope| {
            let because = scope.spawn(|| self.because(solution));
            if let Some(text) = self.breach(solution) {
                return Err(Refused {
                    text,
                    breaches: Vec::new(),
                });
            }
            self.judged(solution, || solution.bound, because)
        })
    }

    /// The document of a solution that has passed the engine's check already and whose reasons are told by this teller;
    /// its bound is asked for when there is nothing else left to write.
    pub fn document_of_checked(
        &self,
        solution: &Solution,
        teller: Teller,
        bound: impl FnOnce() -> Bound,
    ) -> Result<Plan, Refused> {
        std::thread::scope(|scope| {
            let because = scope.spawn(|| Ok(teller.explain(solution, self.kept.explained().as_deref())));
            self.judged(solution, bound, because)
        })
    }

    /// The document of a solution that passes the engine's check, whatever the trade's says.
    pub fn told(&self, solution: &Solution) -> Result<Plan, String> {
        if let Some(text) = self.breach(solution) {
            return Err(text);
        }
        let told = Told::new(self.frame, self.named, solution);
        let mut plan = tell::plan(&told, self.settings, || solution.bound);
        let because = self.because(solution).map_err(|no| no.to_string())?;
        tell::reasons(&told, &because, &mut plan);
        Ok(plan)
    }

    fn breach(&self, solution: &Solution) -> Option<String> {
        let breaches = planner::verify(&self.named.network, solution);
        breaches.first().map(|breach| format!("{breach:?}"))
    }

    fn because(&self, solution: &Solution) -> Reasons {
        let indexed = Indexed::of(&self.named.network)?;
        Ok(indexed.explain(solution, self.kept.explained().as_deref()))
    }

    fn judged(
        &self,
        solution: &Solution,
        bound: impl FnOnce() -> Bound,
        because: ScopedJoinHandle<Reasons>,
    ) -> Result<Plan, Refused> {
        let refused = |text, breaches| Refused { text, breaches };
        let frame = self.frame;
        let told = Told::new(frame, self.named, solution);
        let mut plan = tell::plan(&told, self.settings, bound);
        let mut breaches = verify::verify_by(&plan, frame.job, frame.air(), frame.clocks());
        breaches.retain(|breach| !late::excuses(frame, self.late, breach));
        if let Some(breach) = breaches.first() {
            let text = format!("{} ({})", breach.text, breach.operations.join(", "));
            return Err(refused(text, breaches));
        }
        let because = because.join().unwrap_or_else(|_| self.because(solution));
        let because = because.map_err(|no| refused(no.to_string(), Vec::new()))?;
        tell::reasons(&told, &because, &mut plan);
        let network = Arc::clone(&self.named.network);
        self.kept.explain(Explained::new(network, solution, because));
        Ok(plan)
    }
}
