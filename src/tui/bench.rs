//! What the wall needs from the rest of the house: where things stand, and a way to write things down.
//!
//! Invariant: nothing is told to the wall as written before it would survive a power cut; a replan is
//! computed from an immutable copy and touches nothing.

use super::pages::record::Entry;
use super::piece_rows::{self, Content};
use super::round_card::RoundCard;
pub use crate::cli::{Faulty, Fresh};
use crate::dayplan::{History, Plan, document::Stamp};
use crate::job::Job;
use crate::job::edit::Edit;
use crate::log::{Record, What};
use crate::standing::{PieceStanding, Standing};
use crate::units::Moment;
use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;
use std::sync::{Arc, OnceLock};

/// A plan being worked out: takes its own copy of everything along, looks at the flag now and then and
/// gives up when it is set. Where looking for a good plan takes long it first tells one that is there at once.
/// `Ok(None)`: the plan in force stands as it is.
pub type Replan = Box<dyn FnOnce(&AtomicBool, &mut dyn FnMut(Plan)) -> Result<Option<Plan>, String> + Send + 'static>;

/// The domain as the wall sees it.
pub trait Bench: Send {
    /// The maker's file.
    fn job(&self) -> Arc<Job>;
    /// The plan in force; `None` before the first one.
    fn plan(&self) -> Option<Arc<Plan>>;
    /// Where everything stands.
    fn standing(&self, now: Moment) -> Standing;
    /// The facts so far.
    fn history(&self, now: Moment) -> History {
        History::none(now)
    }
    /// What the log says, in the order it was said.
    fn entries(&self) -> Arc<Vec<Entry>> {
        Arc::default()
    }
    /// The last record this person wrote that can still be taken back.
    fn last_own(&self) -> Option<Record>;
    /// Operations the log says are begun and not over, and since when.
    fn begun(&self) -> Vec<(String, Moment)>;
    /// Writes records, each with an id, `at` and who; returns only when they are on the disk. On an error
    /// nothing of it counts, and the sentence says why.
    fn append(&mut self, at: Stamp, what: Vec<What>) -> Result<Vec<Record>, String>;
    /// The same for a plan, unless another one was taken on elsewhere since this bench was last read: says whether
    /// it was written. What others wrote has been read either way.
    fn take_on(&mut self, at: Stamp, what: Vec<What>) -> Result<bool, String> {
        self.append(at, what).map(|_| true)
    }
    /// A fresh plan from where things stand, to be run on another thread.
    fn replan(&self, now: Moment) -> Replan;
    /// The text of the maker's file as it was last read; `None` where there is no file to change.
    fn text(&self) -> Option<Arc<str>> {
        None
    }
    /// Ids of the finish schedules at hand.
    fn finishes(&self) -> Vec<String> {
        Vec::new()
    }
    /// Where the maker's file is, for the editor.
    fn path(&self) -> Option<PathBuf> {
        None
    }
    /// Files and folders to be read again when others write to them.
    fn watched(&self) -> Vec<PathBuf> {
        Vec::new()
    }
    /// What would be wrong with the file after these changes, a line a fault; nothing is written.
    fn check(&self, _edits: &[Edit]) -> Vec<String> {
        vec![NOT_HERE.to_owned()]
    }
    /// Changes the file. On an error nothing is written, and the lines say what is wrong.
    fn edit(&mut self, _edits: &[Edit], _now: Stamp) -> Result<(), Vec<String>> {
        Err(vec![NOT_HERE.to_owned()])
    }
    /// Reads what others wrote since: the log, the file, the schedules.
    fn refresh(&mut self) -> Fresh {
        Fresh::default()
    }
}

const NOT_HERE: &str = "This job cannot be changed here.";

/// The last record in `records` (sorted by time, then id) that `who` wrote, that can be taken back and has
/// not been. Plans taken on and takings back themselves are passed over.
pub fn last_to_take_back<'a>(records: &'a [Record], who: &str) -> Option<&'a Record> {
    let taken_back: Vec<&str> = records
        .iter()
        .filter_map(|record| match &record.what {
            What::Undone { record } => Some(record.as_str()),
            _ => None,
        })
        .collect();
    records.iter().rev().find(|record| {
        record.who == who
            && !matches!(record.what, What::Undone { .. } | What::AcceptedPlan { .. })
            && !taken_back.contains(&record.id.as_str())
    })
}

/// Where each thing stands, by id.
type Indices = Arc<HashMap<String, usize>>;

/// Indices of the operations of a plan and of the pieces of a job.
fn indices(job: &Job, plan: Option<&Plan>) -> (Indices, Indices) {
    let operations = plan.iter().flat_map(|plan| plan.operations.iter().enumerate());
    let operations = operations.map(|(index, operation)| (operation.id.clone(), index));
    let pieces = job.pieces.iter().enumerate();
    let pieces = pieces.map(|(index, piece)| (piece.id.clone(), index));
    (Arc::new(operations.collect()), Arc::new(pieces.collect()))
}

/// One look at the bench: everything a page shows, of one instant.
#[derive(Clone)]
pub struct Sheet {
    /// The maker's file.
    pub job: Arc<Job>,
    /// The plan in force.
    pub plan: Option<Arc<Plan>>,
    /// Where everything stands.
    pub standing: Arc<Standing>,
    /// The facts so far.
    pub history: Arc<History>,
    /// What the log says, in the order it was said.
    pub entries: Arc<Vec<Entry>>,
    /// The last own record that can be taken back.
    pub last_own: Option<Record>,
    /// The text of the maker's file.
    pub text: Option<Arc<str>>,
    /// Ids of the finish schedules at hand.
    pub finishes: Arc<Vec<String>>,
    begun: Arc<HashMap<String, Moment>>,
    operations: Indices,
    pieces: Indices,
    /// The line of every piece, put into words once for all that ask.
    told: Arc<OnceLock<Vec<Content>>>,
    /// The round hands do now, likewise.
    card: Arc<OnceLock<Option<Arc<RoundCard>>>>,
}

impl Sheet {
    /// Looks at the bench now.
    pub fn of(bench: &dyn Bench, now: Moment) -> Self {
        Self::after(None, bench, now)
    }

    /// Looks at the bench again; what is the same as at the last look is shared with it.
    #[must_use]
    pub fn again(&self, bench: &dyn Bench, now: Moment) -> Self {
        Self::after(Some(self), bench, now)
    }

    fn after(last: Option<&Self>, bench: &dyn Bench, now: Moment) -> Self {
        let (job, plan) = (bench.job(), bench.plan());
        let same = last.filter(|last| match (&last.plan, &plan) {
            (Some(one), Some(other)) => Arc::ptr_eq(one, other) && Arc::ptr_eq(&last.job, &job),
            _ => false,
        });
        let (operations, pieces) = match same {
            Some(last) => (Arc::clone(&last.operations), Arc::clone(&last.pieces)),
            None => indices(&job, plan.as_deref()),
        };
        Self {
            standing: Arc::new(bench.standing(now)),
            history: Arc::new(bench.history(now)),
            entries: bench.entries(),
            last_own: bench.last_own(),
            text: bench.text(),
            finishes: Arc::new(bench.finishes()),
            begun: Arc::new(bench.begun().into_iter().collect()),
            operations,
            pieces,
            told: Arc::default(),
            card: Arc::default(),
            job,
            plan,
        }
    }

    /// The round hands do now, or the next one up.
    pub fn card(&self) -> Option<Arc<RoundCard>> {
        self.card.get_or_init(|| RoundCard::of_now(self).map(Arc::new)).clone()
    }

    /// The lines of all pieces, in the standing's order.
    pub fn piece_lines(&self) -> &[Content] {
        self.told.get_or_init(|| piece_rows::piece_lines(self))
    }

    /// Index of an operation of the plan in force.
    pub fn operation(&self, id: &str) -> Option<usize> {
        self.operations.get(id).copied()
    }

    /// Since when an operation is begun and not over.
    pub fn begun(&self, id: &str) -> Option<Moment> {
        self.begun.get(id).copied()
    }

    /// Where a piece (an index in the job) stands.
    pub fn piece_standing(&self, piece: usize) -> Option<&PieceStanding> {
        // in the job's order, so the index is the place; where it is not, it is looked for
        let pieces = &self.standing.pieces;
        let there = pieces.get(piece).filter(|standing| standing.piece == piece);
        there.or_else(|| pieces.iter().find(|standing| standing.piece == piece))
    }

    /// Index of a piece of the job.
    pub fn piece(&self, id: &str) -> Option<usize> {
        self.pieces.get(id).copied()
    }
}
