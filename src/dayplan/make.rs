//! Making a plan: frame, network, search, document, check.
//!
//! Invariant: a plan that breaks a rule of the planner or of the trade is never handed out.

use super::document::Plan;
use super::frame::Frame;
use super::freshen;
use super::history::History;
use super::keep;
use super::network::{self, Named};
use super::search;
use super::tell::{self, Told};
use super::verify::{self, Breach};
use crate::job::Job;
use crate::planner::{self, Infeasible, Reason, Solution};
use thiserror::Error;

/// How long and from which seed to search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Seed.
    pub seed: u64,
    /// Orders to try.
    pub tries: u32,
}

impl Default for Settings {
    fn default() -> Self {
        Self { seed: 1, tries: 60 }
    }
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum NoPlan {
    /// A piece breaks a rule even alone in the empty shop.
    #[error("no plan: {text}")]
    Rule {
        /// The operation at which it shows.
        operation: Option<String>,
        /// The piece.
        piece: Option<String>,
        /// In words.
        text: String,
    },
    /// The engine's own check or the check of the trade found something: a fault of this program.
    #[error("the plan made broke a rule and is not shown: {0}")]
    Broken(String),
}

/// Plans a job from its facts. `go_on` is asked now and then whether to keep searching.
pub fn plan(job: &Job, history: &History, settings: Settings, go_on: &mut dyn FnMut() -> bool) -> Result<Plan, NoPlan> {
    // most jobs need not look far ahead; a cold shop or few places may
    match within(job, history, settings, 1, go_on) {
        Err(NoPlan::Rule { .. }) => within(job, history, settings, FURTHER, go_on),
        answer => answer,
    }
}

/// How many times further ahead to look when no plan fits.
const FURTHER: i64 = 4;

/// Orders tried each time preparation has been put off.
const AGAIN: u32 = 12;

/// Plans on a line of minutes so many times the usual length.
fn within(
    job: &Job,
    history: &History,
    settings: Settings,
    times: i64,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<Plan, NoPlan> {
    let frame = Frame::reaching(job, history, times);
    let named = network::build(&frame);
    let first = history.plan.as_deref().map(|plan| order_of(&frame, plan));
    let mut refused: Option<String> = None;
    // what is due in the next hours moves only if it must
    if let Some(pinned) = keep::pinned(&frame, &named.network)
        && let Ok(kept) = search::best(&frame, &pinned, first.clone(), settings, go_on)
    {
        match checked(&frame, &named, &kept, settings) {
            Ok(plan) => return Ok(plan),
            Err(no) => refused = Some(no.text),
        }
    }
    let best =
        search::best(&frame, &named.network, first.clone(), settings, go_on).map_err(|no| no_plan(&frame, &no))?;
    let mut narrow = named.network.clone();
    let mut found = best.clone();
    for _ in 0..freshen::ROUNDS {
        let no = match checked(&frame, &named, &found, settings) {
            Ok(plan) => return Ok(plan),
            Err(no) => no,
        };
        refused.get_or_insert(no.text);
        let Some(later) = freshen::freshened(&frame, &narrow, &found, &no.breaches) else {
            break;
        };
        narrow = later;
        let quick = Settings {
            tries: settings.tries.min(AGAIN),
            ..settings
        };
        match search::best(&frame, &narrow, first.clone(), quick, go_on) {
            // the bound is that of the whole network
            Ok(again) => {
                found = Solution {
                    bound: best.bound,
                    ..again
                }
            }
            Err(_) => break,
        }
    }
    // the plan that is always there: one piece after the other
    let long = Frame::reaching(job, history, FURTHER * job.pieces.len().clamp(1, 30) as i64);
    let whole = network::build(&long);
    let chained = search::end_to_end(&long, &whole.network, settings);
    let chained = chained
        .map_err(|no| no.to_string())
        .and_then(|found| checked(&long, &whole, &found, settings).map_err(|no| no.text));
    match chained {
        Ok(plan) => return Ok(plan),
        Err(why) => refused = refused.map(|first| format!("{first}; one piece after the other: {why}")),
    }
    if history.operations.is_empty() {
        return Err(NoPlan::Broken(refused.unwrap_or_default()));
    }
    // what has happened may leave no way to keep every rule of the trade; the rest still has to be done
    told(&frame, &named, &best, settings).map_err(NoPlan::Broken)
}

/// Why a solution is not handed out.
struct Refused {
    text: String,
    breaches: Vec<Breach>,
}

/// The document of a solution that passes both checks: the engine's and the trade's.
fn checked(frame: &Frame, named: &Named, solution: &Solution, settings: Settings) -> Result<Plan, Refused> {
    let refused = |text, breaches| Refused { text, breaches };
    let plan = told(frame, named, solution, settings).map_err(|text| refused(text, Vec::new()))?;
    let breaches = verify::verify_in(&plan, frame.job, &frame.air);
    match breaches.first() {
        Some(breach) => {
            let text = format!("{} ({})", breach.text, breach.operations.join(", "));
            Err(refused(text, breaches))
        }
        None => Ok(plan),
    }
}

/// The document of a solution that passes the engine's check.
fn told(frame: &Frame, named: &Named, solution: &Solution, settings: Settings) -> Result<Plan, String> {
    if let Some(breach) = planner::verify(&named.network, solution).first() {
        return Err(format!("{breach:?}"));
    }
    let because = planner::explain(&named.network, solution).map_err(|no| no.to_string())?;
    let told = Told {
        frame,
        named,
        solution,
        because: &because,
    };
    Ok(tell::plan(&told, settings.seed, settings.tries))
}

/// The order of an earlier plan, for the search to begin from.
fn order_of(frame: &Frame, plan: &Plan) -> Vec<planner::TaskId> {
    let mut starts: Vec<(i64, usize)> = Vec::new();
    for operation in &plan.operations {
        if let Some(at) = frame.work.find(&operation.id) {
            starts.push((operation.start.timestamp(), at));
        }
    }
    starts.sort_unstable();
    starts.into_iter().map(|(_, at)| at as planner::TaskId).collect()
}

fn no_plan(frame: &Frame, no: &Infeasible) -> NoPlan {
    let operation = no.task.and_then(|task| frame.work.operations.get(task as usize));
    let piece = operation
        .and_then(|operation| operation.piece)
        .and_then(|at| frame.job.pieces.get(at));
    let what = operation.map_or_else(|| "the job".to_owned(), |operation| operation.id.clone());
    let text = match &no.reason {
        Reason::NoShiftLongEnough => format!("{what} takes longer than any stretch of working hours, set-up included"),
        Reason::NeverInStartSet => format!(
            "{what} can never be started: the room is always too cold, too damp or too warm for its product, or would be before the film is far enough"
        ),
        Reason::TailNeverReached => format!("after {what} the film never gets far enough in the air the job gives"),
        Reason::CapacityTooSmall => format!("{what} asks for more places than the room has free"),
        Reason::CrewTooSmall => format!("{what} takes more pairs of hands than there are"),
        Reason::LongestWait => {
            format!("{what}: the wipe and re-wipe cannot be done within their limits in these hours")
        }
        Reason::Horizon => format!("{what} does not fit before the end of the time looked at"),
        Reason::Cyclic(tasks) => {
            let names: Vec<&str> = tasks
                .iter()
                .filter_map(|&task| frame.work.operations.get(task as usize))
                .map(|operation| operation.id.as_str())
                .collect();
            format!("these wait for each other in a circle: {}", names.join(", "))
        }
        other => format!("{what}: {other}"),
    };
    NoPlan::Rule {
        operation: operation.map(|operation| operation.id.clone()),
        piece: piece.map(|piece| piece.id.clone()),
        text,
    }
}
