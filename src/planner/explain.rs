//! Why each task is not earlier.
//!
//! Invariant: every reason was tried: with that one thing (or those two) disregarded for that one task, and
//! all else left where it is, the task can start at `at`, which is before it does.

use super::cause::{Cause, Skip};
use super::explained::Explained;
use super::layout::Layout;
use super::network::{Network, TaskId, Tick};
use super::reason::Infeasible;
use super::shop::Shop;
use super::solution::Solution;

/// How far back from a start a reason is followed up: over a day. Looking all the way back in a shop of a thousand
/// pieces would take longer than making the plan.
const LOOK_BACK: Tick = 1440;
/// And what does not rule out the very minute before, or only with another: over a long weekend.
pub(super) const LOOK_FURTHER_BACK: Tick = 4 * 1440;

/// Why a task is not earlier.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// One thing holds it back.
    One(Cause),
    /// Neither alone would let it start earlier, both together would.
    Together(Cause, Cause),
    /// More than two things hold it back at every earlier minute.
    Several,
    /// It starts at the very beginning.
    FollowsNothing,
    /// It could start earlier, but the plan as a whole would be worse.
    Choice,
}

/// The reason for one task.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Because {
    /// What holds it back.
    pub kind: Kind,
    /// The task in the way, when it is a task.
    pub task: Option<TaskId>,
    /// A start it could have without (its own start when it cannot move).
    pub at: Tick,
    /// One thing rules out even the minute before its start.
    pub close: bool,
}

/// The reason for every task that is placed and no fact.
pub fn explain(network: &Network, solution: &Solution) -> Result<Vec<Option<Because>>, Infeasible> {
    Ok(reasons(&Layout::of(network)?, solution, None))
}

/// The same in a network that is indexed; those known already need not be found again.
pub(super) fn reasons(layout: &Layout, solution: &Solution, known: Option<&Explained>) -> Vec<Option<Because>> {
    let mut shop = Shop::new(layout);
    shop.load(&solution.starts, &solution.workers, &solution.pools);
    reasons_in(&mut shop, solution, known)
}

/// The same in a shop that is filled with the plan already.
pub(super) fn reasons_in(shop: &mut Shop, solution: &Solution, known: Option<&Explained>) -> Vec<Option<Because>> {
    let layout = shop.layout;
    let known = known.and_then(|known| known.still(layout.network, solution));
    let reason = |task: TaskId| {
        let known = known.as_ref().and_then(|known| *known.get(task as usize)?);
        known.or_else(|| (shop.is_placed(task) && !layout.is_fixed(task)).then(|| because(shop, task)))
    };
    (0..layout.network.tasks.len() as TaskId).map(reason).collect()
}

fn because(shop: &mut Shop, task: TaskId) -> Because {
    let start = shop.start[task as usize];
    let workers = shop.workers[task as usize];
    if start == 0 {
        return Because {
            kind: Kind::FollowsNothing,
            task: None,
            at: 0,
            close: false,
        };
    }
    let causes = causes(shop, task);
    shop.unplace(task);
    let because = find(shop, task, start, &causes);
    shop.place(task, start, workers);
    because
}

/// Everything that could hold this task back, in the order in which it is looked at.
fn causes(shop: &Shop, task: TaskId) -> Vec<Cause> {
    let layout = shop.layout;
    let network = layout.network;
    let data = &network.tasks[task as usize];
    let mut causes = Vec::new();
    for &wait in layout.waits_into.of(task) {
        causes.push(Cause::Wait(network.waits[wait as usize].before));
    }
    for &window in layout.windows_into.of(task) {
        causes.push(Cause::Window(network.windows[window as usize].before));
    }
    for &window in layout.windows_via.of(task) {
        causes.push(Cause::Window(network.windows[window as usize].before));
    }
    if layout.hands_needed(task) > 0 {
        causes.extend([Cause::Hands, Cause::Shift, Cause::SetUp]);
    }
    if network.apart.is_some() && (data.wet.is_some() || data.dusty) {
        causes.extend([Cause::DustWet, Cause::DustSettle]);
    }
    let chains = layout
        .chains_begun
        .of(task)
        .iter()
        .flat_map(|&chain| network.chains[chain as usize].pools());
    causes.extend(
        data.demands
            .iter()
            .map(|demand| demand.pool)
            .chain(chains)
            .map(Cause::Place),
    );
    causes.extend(data.draws.iter().map(|draw| Cause::Budget(draw.0)));
    if data.starts.is_some() {
        causes.push(Cause::StartSet);
    }
    for &wait in layout.waits_from.of(task) {
        let wait = &network.waits[wait as usize];
        if wait.max.is_some() {
            causes.push(Cause::Bundle(wait.after));
        }
    }
    for &window in layout.windows_from.of(task) {
        causes.push(Cause::Window(network.windows[window as usize].after));
    }
    if data.release > 0 {
        causes.push(Cause::Release);
    }
    let mut seen = Vec::with_capacity(causes.len());
    causes.retain(|cause| {
        !seen.contains(cause) && {
            seen.push(*cause);
            true
        }
    });
    causes
}

fn find(shop: &mut Shop, task: TaskId, start: Tick, causes: &[Cause]) -> Because {
    let day_before = start.saturating_sub(LOOK_BACK);
    if let Some(at) = at_least(shop, task, day_before, start, Skip::NOTHING) {
        return Because {
            kind: Kind::Choice,
            task: None,
            at,
            close: false,
        };
    }
    // what rules out the very minute before comes first: it is what people see
    for &cause in causes {
        if at_least(shop, task, start - 1, start, Skip::one(cause)).is_some() {
            let at = at_least(shop, task, day_before, start, Skip::one(cause)).unwrap_or(start - 1);
            return Because {
                kind: Kind::One(cause),
                task: in_the_way(shop, task, start, cause),
                at,
                close: true,
            };
        }
    }
    let further_back = start.saturating_sub(LOOK_FURTHER_BACK);
    let mut best: Option<(Tick, Cause)> = None;
    for &cause in causes {
        if let Some(at) = at_least(shop, task, further_back, start, Skip::one(cause))
            && best.is_none_or(|(found, _)| at > found)
        {
            best = Some((at, cause));
        }
    }
    if let Some((at, cause)) = best {
        return Because {
            kind: Kind::One(cause),
            task: in_the_way(shop, task, start, cause),
            at,
            close: false,
        };
    }
    for (index, &one) in causes.iter().enumerate() {
        for &other in &causes[index + 1..] {
            if let Some(at) = at_least(shop, task, further_back, start, Skip::two(one, other)) {
                return Because {
                    kind: Kind::Together(one, other),
                    task: in_the_way(shop, task, start, one),
                    at,
                    close: false,
                };
            }
        }
    }
    Because {
        kind: Kind::Several,
        task: None,
        at: start,
        close: false,
    }
}

/// The earliest start in `from..start` with some causes disregarded.
fn at_least(shop: &mut Shop, task: TaskId, from: Tick, start: Tick, skip: Skip) -> Option<Tick> {
    let ready = shop.ready_at(task, skip).ok()?.max(from);
    if ready >= start {
        return None;
    }
    let found = shop.earliest_by(task, ready, start - 1, skip).ok()?;
    (found.0 < start && shop.sound_without(task, start, found, skip)).then_some(found.0)
}

/// The task that stands in the way, for the causes that are tasks.
fn in_the_way(shop: &Shop, task: TaskId, start: Tick, cause: Cause) -> Option<TaskId> {
    let layout = shop.layout;
    let network = layout.network;
    let data = &network.tasks[task as usize];
    let end = start.saturating_add(data.minutes);
    match cause {
        Cause::Wait(other) | Cause::Window(other) | Cause::Bundle(other) => Some(other),
        Cause::Hands | Cause::SetUp => {
            let mut hands = shop
                .hands
                .iter()
                .enumerate()
                .filter(|(worker, _)| data.crew.among >> worker & 1 == 1);
            hands.find_map(|(_, hand)| hand.busy_with(start - 1, end)).or_else(|| {
                // the hands are free just then, but not for long enough, or a set-up stands between
                let placed = (0..shop.start.len() as TaskId).filter(|&other| shop.is_placed(other) && other != task);
                placed
                    .filter(|&other| network.tasks[other as usize].crew.count > 0 && shop.end(other) <= start)
                    .max_by_key(|&other| shop.end(other))
            })
        }
        Cause::DustSettle | Cause::DustWet => {
            let placed = (0..shop.start.len() as TaskId).filter(|&other| shop.is_placed(other) && other != task);
            let opposite = placed.filter(|&other| {
                let other = &network.tasks[other as usize];
                if data.dusty { other.wet.is_some() } else { other.dusty }
            });
            opposite
                .filter(|&other| shop.start[other as usize] <= end.saturating_add(1))
                .max_by_key(|&other| shop.end(other))
        }
        Cause::Shift | Cause::Place(_) | Cause::StartSet | Cause::Release | Cause::Budget(_) => None,
    }
}
