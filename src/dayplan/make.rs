//! Making a plan: frame, network, search, document, check.
//!
//! Invariant: a plan that breaks a rule of the planner or of the trade is never handed out.

use super::checked::{Checking, Refused};
use super::cost::Costs;
use super::document::Plan;
use super::frame::Frame;
use super::freshen;
use super::history::History;
use super::keep::{self, InForce};
use super::kept::Kept;
use super::late;
use super::network::{self, Named};
use super::search::{self, Search};
use super::verify::Breach;
use crate::job::Job;
use crate::planner::{self, Bound, Indexed, Infeasible, Reason, Solution};
use std::sync::Arc;
use std::thread::ScopedJoinHandle;
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
        Self { seed: 1, tries: 200 }
    }
}

/// What a plan is made with, beside its settings.
#[derive(Clone, Copy, Debug, Default)]
pub struct Means<'a> {
    /// Lines of search side by side; 0 is one. A first plan gets one more unless it is `alone`.
    pub threads: u32,
    /// A plan whose order to begin from, without any wish to keep it: that of the same job before a change.
    pub begin: Option<&'a Plan>,
    /// Without the line of search that runs beside from another first plan: for who plans several jobs side by side.
    pub alone: bool,
    /// What the planning before this one left, and where this one leaves what it worked out.
    pub kept: Option<&'a Kept>,
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
    plan_by(job, history, settings, Means::default(), go_on)
}

/// The same with several lines of search, or from the order of another plan. The same seed, tries and threads
/// give the same plan.
pub fn plan_by(
    job: &Job,
    history: &History,
    settings: Settings,
    means: Means,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<Plan, NoPlan> {
    // most jobs need not look far ahead; a cold shop or few places may
    match within(job, history, (settings, means), 1, go_on) {
        Err(NoPlan::Rule { .. }) => within(job, history, (settings, means), FURTHER, go_on),
        answer => answer,
    }
}

/// The network the planner is given for a job, for those who want to look at it with other eyes.
pub fn network_of(job: &Job, history: &History) -> planner::Network {
    Arc::unwrap_or_clone(network::build(&Frame::reaching(job, history, 1, &Kept::default())).network)
}

/// How many times further ahead to look when no plan fits.
const FURTHER: i64 = 4;

/// Orders tried each time preparation has been put off.
const AGAIN: u32 = 12;

/// Plans on a line of minutes so many times the usual length.
fn within(
    job: &Job,
    history: &History,
    (settings, means): (Settings, Means),
    times: i64,
    go_on: &mut dyn FnMut() -> bool,
) -> Result<Plan, NoPlan> {
    let own = Kept::default();
    let kept = means.kept.unwrap_or(&own);
    let frame = Frame::reaching(job, history, times, kept);
    let mut named = network::build(&frame);
    let in_force = history.plan.as_deref().map(|plan| InForce::of(&frame, &named, plan));
    let begin = means.begin.map(|plan| InForce::of(&frame, &named, plan));
    let order = in_force.as_ref().or(begin.as_ref());
    let costs = Costs {
        in_force: in_force.as_ref().map_or_else(Vec::new, |plan| plan.starts.clone()),
    };
    let unbounded = search_in(&frame, &named, (settings, means), order, costs.clone());
    let checking = Checking {
        frame: &frame,
        named: &named,
        settings,
        late: &[],
        kept,
    };
    let Begun {
        bound,
        stands,
        at_once,
        made,
    } = begun(checking, in_force.as_ref(), &unbounded).map_err(|no| no_plan(&frame, &no))?;
    let refused = match at_once {
        Some(Ok(plan)) => return Ok(plan),
        Some(Err(no)) => Some(no.text),
        None => None,
    };
    // where the plan in force cannot stand, some limit may have passed already
    let late = match stands {
        Some(_) => Vec::new(),
        None => late::eased(Arc::make_mut(&mut named.network), bound, in_force.as_ref()),
    };
    let mut making = Making {
        checking: Checking {
            frame: &frame,
            named: &named,
            settings,
            late: &late,
            kept,
        },
        refused,
        least: None,
    };
    let search = Search {
        bound,
        ..search_in(&frame, &named, (settings, means), order, costs)
    };
    if let Some(in_force) = &in_force
        && let Some(plan) = making.onward(&search, in_force, stands, go_on)
    {
        return Ok(plan);
    }
    // made before some limit was eased, it is none of this network
    let first = made.filter(|_| late.is_empty()).unwrap_or_else(|| search.first());
    let first = first.or_else(|no| search.anew().first().map_err(|_| no));
    let first = first.map_err(|no| no_plan(&frame, &no))?;
    if let Some(plan) = making.best_of(&search, &first, go_on) {
        return Ok(plan);
    }
    // what went stale by the way is better done as rounds of its own; smaller waves leave less time for it
    for other in [Search::with_rounds_of_their_own, Search::in_waves] {
        let found = other(&search, &first).ok();
        if let Some(plan) = found.and_then(|found| making.checked(&found).ok()) {
            return Ok(plan);
        }
    }
    // the plan that is always there: one piece after the other
    let long = Frame::reaching(job, history, FURTHER * job.pieces.len().clamp(1, 30) as i64, &own);
    let mut whole = network::build(&long);
    late::eased(Arc::make_mut(&mut whole.network), bound, None);
    let chained = search::end_to_end(&long, &whole.network, bound, settings);
    let long = Checking {
        frame: &long,
        named: &whole,
        ..making.checking
    };
    let chained = chained
        .map_err(|no| no.to_string())
        .and_then(|found| long.document(&found).map_err(|no| no.text));
    match chained {
        Ok(plan) => return Ok(plan),
        Err(why) => making.refuse(format!("one piece after the other: {why}")),
    }
    if history.operations.is_empty() {
        return Err(NoPlan::Broken(making.refused.unwrap_or_default()));
    }
    // what has happened may leave no way to keep every rule of the trade; the rest still has to be done
    let least = making.least.map_or(first, |(_, least)| least);
    making.checking.told(&least).map_err(NoPlan::Broken)
}

/// A search in a network whose bound is not known yet.
fn search_in<'a>(
    frame: &'a Frame<'a>,
    named: &'a Named,
    (settings, means): (Settings, Means),
    order: Option<&'a InForce>,
    costs: Costs,
) -> Search<'a> {
    Search {
        frame,
        network: &named.network,
        settings,
        threads: means.threads.max(1),
        alone: means.alone,
        first: order.map(|plan| plan.order.as_slice()),
        costs,
        bound: Bound::UNKNOWN,
    }
}

/// What is known of a planning before it searches.
struct Begun {
    bound: Bound,
    /// The plan in force, where it stands.
    stands: Option<Solution>,
    /// Its document, where nothing more is asked for.
    at_once: Option<Result<Plan, Refused>>,
    /// The first plan, where none is in force.
    made: Option<Result<Solution, Infeasible>>,
}

/// What does not hang on the bound is worked out beside it: whether the plan in force stands, with its document where
/// that is all that is asked for, or without one the first plan.
fn begun(checking: Checking, in_force: Option<&InForce>, search: &Search) -> Result<Begun, Infeasible> {
    let indexed = Indexed::of(search.network)?;
    std::thread::scope(|scope| {
        let mut beside = Some(scope.spawn(|| indexed.bound()));
        let mut known = None;
        let mut bound = || {
            let found = |beside: ScopedJoinHandle<Bound>| beside.join().unwrap_or_else(|_| indexed.bound());
            *known.get_or_insert_with(|| beside.take().map_or_else(|| indexed.bound(), found))
        };
        let stands = in_force.and_then(|in_force| search::stands(&indexed, in_force));
        let (mut stands, teller) = stands.unzip();
        let at_once = stands.as_ref().zip(teller).filter(|_| search.settings.tries == 0);
        let at_once = at_once.map(|(stands, teller)| checking.document_of_checked(stands, teller, &mut bound));
        let mut made = in_force.is_none().then(|| search.first());
        let bound = bound();
        let plans = stands.iter_mut().chain(made.iter_mut().flatten());
        plans.for_each(|plan| plan.bound = bound);
        Ok(Begun {
            bound,
            stands,
            at_once,
            made,
        })
    })
}

/// Solutions turned into plans, and why the first that was no plan was none.
struct Making<'a> {
    checking: Checking<'a>,
    refused: Option<String>,
    /// Of what was refused by the check of the trade: the solution with the fewest breaches.
    least: Option<(usize, Solution)>,
}

impl Making<'_> {
    /// The plan in force as it stands, or the cheapest way on from it; in the hours already arranged as it is by all
    /// means. `None` where the check of the trade refuses every one.
    fn onward(
        &mut self,
        search: &Search,
        in_force: &InForce,
        stands: Option<Solution>,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Option<Plan> {
        let pinned = keep::pinned(self.checking.frame, search.network, in_force);
        let narrow = pinned.as_ref().map_or_else(
            || search.clone(),
            |pinned| Search {
                network: pinned,
                ..search.clone()
            },
        );
        if let Some(stands) = stands {
            if let Some(plan) = self.best_of(&narrow, &stands, go_on) {
                return Some(plan);
            }
            // what is done again by need may have to move nearer to what needs it now
            let nearer = search.finished(&stands).ok();
            if let Some(plan) = nearer.and_then(|nearer| self.checked(&nearer).ok()) {
                return Some(plan);
            }
        }
        for way in narrow.ways_on(in_force) {
            if let Some(plan) = self.best_of(&narrow, &way, go_on) {
                return Some(plan);
            }
            let nearer = search.finished(&way).ok();
            if let Some(plan) = nearer.and_then(|nearer| self.checked(&nearer).ok()) {
                return Some(plan);
            }
        }
        None
    }

    /// The plan of the best found from a solution on; where that breaks a rule, with preparation put off until it
    /// is fresh, or the plan of the solution itself.
    fn best_of(&mut self, search: &Search, first: &Solution, go_on: &mut dyn FnMut() -> bool) -> Option<Plan> {
        let better = search.best(first.clone(), go_on).unwrap_or_else(|_| first.clone());
        let same = better == *first;
        let breaches = match self.checked(&better) {
            Ok(plan) => return Some(plan),
            Err(breaches) => breaches,
        };
        if let Some(plan) = self.freshened(search, better, breaches, go_on) {
            return Some(plan);
        }
        if same { None } else { self.checked(first).ok() }
    }

    /// Planned again with what had gone stale done later, as often as that helps.
    fn freshened(
        &mut self,
        search: &Search,
        mut found: Solution,
        mut breaches: Vec<Breach>,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Option<Plan> {
        let mut narrow = search.network.clone();
        for _ in 0..freshen::ROUNDS {
            narrow = freshen::freshened(self.checking.frame, &narrow, &found, &breaches)?;
            let later = Search {
                network: &narrow,
                settings: Settings {
                    tries: search.settings.tries.min(AGAIN),
                    ..search.settings
                },
                ..search.clone()
            };
            let first = later.first().ok()?;
            found = later.best(first, go_on).ok()?;
            match self.checked(&found) {
                Ok(plan) => return Some(plan),
                Err(still) => breaches = still,
            }
        }
        None
    }

    fn checked(&mut self, solution: &Solution) -> Result<Plan, Vec<Breach>> {
        self.checking.document(solution).map_err(|no| {
            let count = no.breaches.len();
            if count > 0 && self.least.as_ref().is_none_or(|(least, _)| count < *least) {
                self.least = Some((count, solution.clone()));
            }
            self.refuse(no.text);
            no.breaches
        })
    }

    /// The first reason is the one to tell.
    fn refuse(&mut self, why: String) {
        self.refused.get_or_insert(why);
    }
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
