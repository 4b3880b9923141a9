//! What the tasks ask of hands, pools and budgets at the very least.
//!
//! Invariant: no use is longer, begins earlier or takes more than in any plan.

use super::BoundReason;
use super::lasting::Lasting;
use super::paths::among;
use super::supply::{SetUp, Supply, Use, open_edges};
use crate::planner::layout::Layout;
use crate::planner::network::{Edge, FamilyId, Network, Tail, TaskId, Tick};

/// Dust is set against so many pools and budgets, those that wet work fills most: of a thousand pieces each is a pool of
/// its own, and none of them is what holds the job up.
const MOST_WITH_DUST: usize = 8;

/// Everything that can fall short.
pub(super) fn supplies(layout: &Layout, lasting: &mut Lasting) -> Vec<Supply> {
    let mut supplies = hands(layout);
    let held = chains(layout, lasting);
    let dust = Dust::of(layout);
    let network = layout.network;
    let mut asked: Vec<Vec<Asked>> = vec![Vec::new(); network.pools.len() + network.budgets.len()];
    for id in counted(layout) {
        let task = &network.tasks[id as usize];
        let wet = task
            .wet
            .map_or(0, |wet| task.minutes.saturating_add(lasting.least(wet)));
        let mut ask = |pool: usize, from: Tick, lasts: Tick, rate: u32| {
            if lasts > 0 && rate > 0 {
                let wet = lasts.min(wet.saturating_sub(from));
                let rate = u64::from(rate);
                asked[pool].push(Asked {
                    wet,
                    own: Use {
                        task: id,
                        from,
                        lasts,
                        rate,
                    },
                });
            }
        };
        for demand in &task.demands {
            if let Some((from, lasts)) = between(lasting, task.minutes, demand.from, demand.until) {
                ask(demand.pool as usize, from, lasts, demand.amount);
            }
        }
        for &(budget, amount, ticks) in &task.draws {
            ask(network.pools.len() + budget as usize, 0, ticks, amount);
        }
    }
    for (pool, own) in held {
        asked[pool].push(Asked { wet: 0, own });
    }
    let with_dust = fullest_with_wet(network, &asked);
    for (at, asked) in asked.iter().enumerate() {
        let (reason, taken) = match at.checked_sub(network.pools.len()) {
            None => (BoundReason::Places(at as u32), network.pools[at].taken.as_slice()),
            Some(budget) => (BoundReason::Budget(budget as u32), [].as_slice()),
        };
        let capacity = capacity_of(network, at);
        if asked.is_empty() {
            continue;
        }
        let mut supply = Supply::new(reason, asked.iter().map(|one| one.own).collect());
        supply.give(open_edges(layout, &supply.uses, i64::from(capacity), taken));
        supplies.push(supply);
        if let Some(dust) = &dust
            && with_dust.contains(&at)
        {
            // while dust is made nothing is wet, so dust takes the whole of what wet work asks for
            let most = dust.most_at_once;
            let mut uses: Vec<Use> = asked
                .iter()
                .filter(|one| one.wet > 0)
                .map(|one| Use {
                    lasts: one.wet,
                    rate: one.own.rate * most,
                    ..one.own
                })
                .collect();
            uses.extend(dust.tasks.iter().map(|&task| Use {
                task,
                from: 0,
                lasts: layout.minutes(task),
                rate: u64::from(capacity),
            }));
            let mut supply = Supply::new(BoundReason::Dust, uses);
            supply.give(open_edges(layout, &supply.uses, i64::from(capacity) * most as i64, &[]));
            supplies.push(supply);
        }
    }
    supplies
}

/// How much there is of a pool, or of a budget by its number after those of the pools.
fn capacity_of(network: &Network, at: usize) -> u32 {
    match at.checked_sub(network.pools.len()) {
        None => network.pools[at].capacity,
        Some(budget) => network.budgets[budget],
    }
}

/// The pools and budgets of which wet work asks most for what there is.
fn fullest_with_wet(network: &Network, asked: &[Vec<Asked>]) -> Vec<usize> {
    let wet = |asked: &Vec<Asked>| {
        let each = asked.iter().map(|one| u64::from(one.wet).saturating_mul(one.own.rate));
        each.fold(0, u64::saturating_add)
    };
    let fill = asked.iter().enumerate().map(|(at, asked)| {
        let ticks = wet(asked) / u64::from(capacity_of(network, at).max(1));
        (ticks, at)
    });
    let mut fill: Vec<(u64, usize)> = fill.filter(|(ticks, _)| *ticks > 0).collect();
    fill.sort_unstable_by(|one, other| other.cmp(one));
    fill.truncate(MOST_WITH_DUST);
    fill.into_iter().map(|(_, at)| at).collect()
}

/// A use, and how much of it lies in the wet time of its task.
#[derive(Clone, Copy)]
struct Asked {
    wet: Tick,
    own: Use,
}

/// Tasks that are still to be done, come what may.
fn counted(layout: &Layout) -> impl Iterator<Item = TaskId> {
    (0..layout.network.tasks.len() as TaskId).filter(|&id| !layout.is_optional(id) && !layout.is_fixed(id))
}

/// Dusty work.
struct Dust {
    tasks: Vec<TaskId>,
    most_at_once: u64,
}

impl Dust {
    fn of(layout: &Layout) -> Option<Self> {
        let network = layout.network;
        network.apart?;
        let tasks: Vec<TaskId> = counted(layout)
            .filter(|&id| network.tasks[id as usize].dusty && network.tasks[id as usize].wet.is_none())
            .filter(|&id| layout.hands_needed(id) > 0)
            .collect();
        let who = tasks
            .iter()
            .fold(0, |all, &id| all | network.tasks[id as usize].crew.among);
        let most_at_once = among(network, who).count() as u64;
        (!tasks.is_empty()).then_some(Self { tasks, most_at_once })
    }
}

/// Ticks from a task's start to where a demand begins, and how long it lasts at the least.
fn between(lasting: &Lasting, minutes: Tick, from: Edge, until: Edge) -> Option<(Tick, Tick)> {
    let least = |tail: Tail| lasting.least(tail);
    match (from, until) {
        (Edge::Start, Edge::Start | Edge::End) => Some((0, if until == Edge::End { minutes } else { 0 })),
        (Edge::Start, Edge::After(tail)) => Some((0, minutes.saturating_add(least(tail)))),
        (Edge::Start, Edge::AfterStart(tail)) => Some((0, least(tail))),
        (Edge::End, Edge::After(tail)) => Some((minutes, least(tail))),
        (Edge::End, Edge::AfterStart(tail)) => Some((minutes, least(tail).saturating_sub(minutes))),
        _ => None,
    }
}

/// Runs that hold a place from their first task to their last.
fn chains(layout: &Layout, lasting: &mut Lasting) -> Vec<(usize, Use)> {
    let network = layout.network;
    let mut held = Vec::new();
    for (at, chain) in network.chains.iter().enumerate() {
        // what may stand elsewhere asks nothing of its own pool for certain
        if chain.amount == 0 || !chain.or.is_empty() || layout.is_fixed(chain.first) || layout.is_optional(chain.first)
        {
            continue;
        }
        let lasts = lasting.least_of_run(layout, at);
        if lasts > 0 {
            let own = Use {
                task: chain.first,
                from: 0,
                lasts,
                rate: u64::from(chain.amount),
            };
            held.push((chain.pool as usize, own));
        }
    }
    held
}

/// One supply a set of hands that some task is bound to, and one of all.
fn hands(layout: &Layout) -> Vec<Supply> {
    let network = layout.network;
    let tasks: Vec<TaskId> = counted(layout).filter(|&id| layout.hands_needed(id) > 0).collect();
    let mut masks: Vec<u64> = tasks.iter().map(|&id| network.tasks[id as usize].crew.among).collect();
    masks.sort_unstable();
    masks.dedup();
    let all = masks.iter().fold(0, |all, mask| all | mask);
    if masks.len() > 1 {
        masks.retain(|&mask| mask != all);
        masks.truncate(16);
        masks.push(all);
    }
    let supply = |mask: u64| {
        let uses = tasks
            .iter()
            .filter(|&&id| network.tasks[id as usize].crew.among & !mask == 0)
            .map(|&id| Use {
                task: id,
                from: 0,
                lasts: layout.minutes(id),
                rate: u64::from(layout.hands_needed(id)),
            });
        let mut supply = Supply::new(BoundReason::Hands, uses.collect());
        let edges = among(network, mask).flatten();
        supply.give(edges.flat_map(|shift| [(shift.from, 1), (shift.until, -1)]).collect());
        supply.open_ends = among(network, mask).count();
        supply.setups = setups(network, &supply.uses);
        supply
    };
    masks.into_iter().map(supply).collect()
}

/// Families that must be opened for these tasks: those that no fact has opened.
fn setups(network: &Network, uses: &[Use]) -> Vec<SetUp> {
    let mut families: Vec<FamilyId> = uses
        .iter()
        .filter_map(|one| network.tasks[one.task as usize].family)
        .collect();
    families.sort_unstable();
    families.dedup();
    families.retain(|&family| {
        let fact = |task: &&crate::planner::network::Task| task.fixed.is_some() && task.family == Some(family);
        !network.tasks.iter().any(|task| fact(&task))
    });
    let of = |family: FamilyId| {
        let data = network.families[family as usize];
        SetUp {
            family,
            open: u64::from(data.open),
            close: u64::from(data.close),
        }
    };
    families.into_iter().map(of).collect()
}
