//! The reasons of a plan kept for the next plan of much the same network.
//!
//! Invariant: a reason is given out again only where all it was tried against is as it was: every start, all hands and
//! places, and of the network everything but which tasks are facts and how early the others may begin; that may
//! come later as long as it rules out nothing that was found.

use super::cause::Cause;
use super::explain::{Because, Kind, LOOK_FURTHER_BACK};
use super::network::{Network, PoolId, Task, TaskId, Tick};
use super::solution::Solution;
use std::sync::Arc;

/// The reasons of a plan, and what they were tried against.
#[derive(Debug)]
pub struct Explained {
    network: Arc<Network>,
    starts: Vec<Option<Tick>>,
    workers: Vec<u64>,
    pools: Vec<PoolId>,
    because: Vec<Option<Because>>,
}

impl Explained {
    /// The reasons of a plan of a network.
    pub fn new(network: Arc<Network>, solution: &Solution, because: Vec<Option<Because>>) -> Self {
        Self {
            network,
            starts: solution.starts.clone(),
            workers: solution.workers.clone(),
            pools: solution.pools.clone(),
            because,
        }
    }

    /// How many tasks there are.
    pub fn tasks(&self) -> usize {
        self.because.len()
    }

    /// Of each task the reason that still stands, where one does; `None` where none of them need stand any more.
    pub(super) fn still(&self, network: &Network, solution: &Solution) -> Option<Vec<Option<Because>>> {
        let is_same = self.starts == solution.starts
            && self.workers == solution.workers
            && self.pools == solution.pools
            && self.network.tasks.len() == network.tasks.len()
            && is_alike(&self.network, network);
        if !is_same {
            return None;
        }
        let tasks = self.network.tasks.iter().zip(&network.tasks);
        if !tasks.clone().all(|(before, now)| is_same_work(before, now)) {
            return None;
        }
        let facts = tasks.clone().filter(|(before, now)| before.fixed != now.fixed);
        let facts = facts.filter_map(|(before, now)| {
            let fact = now.fixed.or(before.fixed)?;
            Some(fact.start.saturating_add(now.minutes))
        });
        let facts_until = facts.max().unwrap_or(0);
        let reasons = tasks.zip(self.starts.iter().zip(&self.because));
        let mut still: Vec<Option<Because>> = reasons
            .map(|((before, now), (start, because))| {
                let looked_from = start.unwrap_or(0).saturating_sub(LOOK_FURTHER_BACK);
                let seen = Seen {
                    from: looked_from,
                    facts_until,
                    release: (before.release, now.release),
                };
                because.filter(|because| now.fixed.is_none() && seen.keeps(because))
            })
            .collect();
        // what a fact follows is no longer held by it
        let newly = |task: TaskId| {
            let fixed = |network: &Network| {
                network
                    .tasks
                    .get(task as usize)
                    .is_some_and(|task| task.fixed.is_some())
            };
            fixed(network) != fixed(&self.network)
        };
        let waits = network.waits.iter().map(|wait| (wait.before, wait.after));
        let windows = network.windows.iter().map(|window| (window.before, window.after));
        for (before, after) in waits.chain(windows) {
            if newly(after)
                && let Some(held) = still.get_mut(before as usize)
            {
                *held = None;
            }
        }
        Some(still)
    }
}

/// What was looked at for the reason of a task, and what has changed there.
struct Seen {
    /// As far back as was looked.
    from: Tick,
    /// When the last is over of what has become a fact, or is none any more; a fact asks less of what stands beside it.
    facts_until: Tick,
    /// How early the task might begin, and may now.
    release: (Tick, Tick),
}

impl Seen {
    /// Whether the reason stays the one there is.
    fn keeps(&self, because: &Because) -> bool {
        let (before, now) = self.release;
        if self.from >= self.facts_until && (before == now || before.max(now) <= self.from) {
            return true;
        }
        // only where the release is disregarded is it looked at facts; with a later one less is possible than before, so
        // what failed fails again. What was found has to be possible still.
        let is_clear = self.from.max(now) >= self.facts_until;
        let is_found_again = before == now || (before < now && now <= because.at && because.close);
        match because.kind {
            Kind::One(Cause::Release) | Kind::Together(..) | Kind::Several | Kind::FollowsNothing => false,
            Kind::One(_) => is_clear && is_found_again,
            Kind::Choice => is_clear && (before == now || (before < now && now <= because.at)),
        }
    }
}

/// Whether all but the tasks is as it was.
fn is_alike(one: &Network, other: &Network) -> bool {
    let Network {
        horizon,
        clocks,
        workers,
        pools,
        budgets,
        families,
        apart,
        start_sets,
        wet_already,
        dust_until,
        tasks: _,
        waits,
        windows,
        chains,
        bundles,
        pairs,
        goals,
    } = one;
    *horizon == other.horizon
        && *clocks == other.clocks
        && *workers == other.workers
        && *pools == other.pools
        && *budgets == other.budgets
        && *families == other.families
        && *apart == other.apart
        && *start_sets == other.start_sets
        && *wet_already == other.wet_already
        && *dust_until == other.dust_until
        && *waits == other.waits
        && *windows == other.windows
        && *chains == other.chains
        && *bundles == other.bundles
        && *pairs == other.pairs
        && *goals == other.goals
}

/// Whether a task asks for what it asked for, whenever it may begin; only what has become a fact need be done by all means.
fn is_same_work(before: &Task, now: &Task) -> bool {
    let Task {
        minutes,
        crew,
        family,
        demands,
        dusty,
        wet,
        release: _,
        starts,
        draws,
        optional,
        fixed: _,
        rank,
    } = before;
    (*minutes, *crew, *family, *dusty, *wet) == (now.minutes, now.crew, now.family, now.dusty, now.wet)
        && (*starts, *rank) == (now.starts, now.rank)
        && (*optional == now.optional || now.fixed.is_some())
        && *demands == now.demands
        && *draws == now.draws
}
