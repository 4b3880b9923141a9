//! What can be said against a network before anything is placed.
//!
//! Invariant: after [`network`] has passed, no id is out of range and no sum of ticks overflows; after
//! [`tasks`], every task fits alone into some shift, pool and allowed start.

use super::layout::Layout;
use super::network::{Clock, Crew, Edge, Network, Stretch, Tail, Task, TaskId, Tick};
use super::reason::{Infeasible, Reason, Thing};

/// Fifteen years of minutes: ticks beyond are a mistake, and sums of a few stay far from the type's end.
const MOST_TICKS: Tick = 8_000_000;

fn sorted(stretches: &[Stretch]) -> bool {
    stretches.iter().all(|stretch| stretch.from <= stretch.until)
        && stretches.windows(2).all(|two| two[0].until <= two[1].from)
}

/// Ids, order and size.
pub(super) fn network(network: &Network) -> Result<(), Infeasible> {
    let refuse = |reason| Err(Infeasible::network(reason));
    if network.horizon > MOST_TICKS || network.workers.len() > 64 || network.dust_until > MOST_TICKS {
        return refuse(Reason::TooMuch);
    }
    for clock in &network.clocks {
        if let Clock::Measured(total) = clock
            && !total.never_falls()
        {
            return refuse(Reason::Unsorted(Thing::Clock));
        }
    }
    if network.workers.iter().any(|worker| !sorted(&worker.shifts)) {
        return refuse(Reason::Unsorted(Thing::Worker));
    }
    if network.start_sets.iter().any(|set| !sorted(set)) {
        return refuse(Reason::Unsorted(Thing::StartSet));
    }
    for family in &network.families {
        if family.open > MOST_TICKS || family.close > MOST_TICKS || family.keeps > MOST_TICKS {
            return refuse(Reason::TooMuch);
        }
    }
    if network.apart.is_some_and(|apart| apart.settle > MOST_TICKS) {
        return refuse(Reason::TooMuch);
    }
    for (id, task) in network.tasks.iter().enumerate() {
        one_task(network, task).map_err(|reason| Infeasible::at(id as TaskId, reason))?;
    }
    links(network).map_err(Infeasible::network)
}

fn tail(network: &Network, tail: Tail) -> Result<(), Reason> {
    if tail.clock as usize >= network.clocks.len() {
        Err(Reason::NoSuch(Thing::Clock))
    } else {
        Ok(())
    }
}

fn known(network: &Network, task: TaskId) -> Result<(), Reason> {
    if task as usize >= network.tasks.len() {
        Err(Reason::NoSuch(Thing::Task))
    } else {
        Ok(())
    }
}

fn one_task(network: &Network, task: &Task) -> Result<(), Reason> {
    if task.minutes > MOST_TICKS || task.fixed.is_some_and(|fixed| fixed.start > MOST_TICKS) {
        return Err(Reason::TooMuch);
    }
    let workers = network.workers.len();
    let all = if workers >= 64 { u64::MAX } else { (1 << workers) - 1 };
    if task.fixed.is_some_and(|fixed| fixed.workers & !all != 0) {
        return Err(Reason::NoSuch(Thing::Worker));
    }
    if task
        .family
        .is_some_and(|family| family as usize >= network.families.len())
    {
        return Err(Reason::NoSuch(Thing::Family));
    }
    if task.starts.is_some_and(|set| set as usize >= network.start_sets.len()) {
        return Err(Reason::NoSuch(Thing::StartSet));
    }
    if task.draws.iter().any(|draw| draw.0 as usize >= network.budgets.len()) {
        return Err(Reason::NoSuch(Thing::Budget));
    }
    task.wet.map_or(Ok(()), |wet| tail(network, wet))?;
    for demand in &task.demands {
        if demand.pool as usize >= network.pools.len() {
            return Err(Reason::NoSuch(Thing::Pool));
        }
        for edge in [demand.from, demand.until] {
            if let Edge::After(after) | Edge::AfterStart(after) = edge {
                tail(network, after)?;
            }
        }
    }
    Ok(())
}

fn links(network: &Network) -> Result<(), Reason> {
    for wait in &network.waits {
        known(network, wait.before)?;
        known(network, wait.after)?;
        tail(network, wait.min)?;
        wait.max.map_or(Ok(()), |max| tail(network, max))?;
    }
    for window in &network.windows {
        known(network, window.before)?;
        known(network, window.after)?;
        for span in &window.spans {
            tail(network, span.opens)?;
            span.closes.map_or(Ok(()), |closes| tail(network, closes))?;
            span.via.map_or(Ok(()), |via| known(network, via))?;
        }
    }
    for chain in &network.chains {
        if chain.pools().any(|pool| pool as usize >= network.pools.len()) {
            return Err(Reason::NoSuch(Thing::Pool));
        }
        known(network, chain.first)?;
        for &(task, after) in &chain.last {
            known(network, task)?;
            tail(network, after)?;
        }
    }
    for &task in network.bundles.iter().flat_map(|bundle| &bundle.tasks) {
        known(network, task)?;
    }
    for &(task, after) in network.goals.iter().flat_map(|goal| &goal.tasks) {
        known(network, task)?;
        tail(network, after)?;
    }
    for pair in &network.pairs {
        known(network, pair.one)?;
        known(network, pair.other)?;
    }
    Ok(())
}

/// Whether every task fits alone.
pub(super) fn tasks(layout: &Layout) -> Result<(), Infeasible> {
    let network = layout.network;
    let open = || {
        let all = (0..network.tasks.len() as TaskId).map(|id| (id, &network.tasks[id as usize]));
        all.filter(|(_, task)| task.fixed.is_none() && !task.optional)
    };
    // what suits no time at all is the true reason, before whatever only leads up to it
    for (id, task) in open() {
        let suits =
            |stretch: &Stretch| stretch.from.max(task.release) < stretch.until && stretch.from < network.horizon;
        if task
            .starts
            .is_some_and(|set| !network.start_sets[set as usize].iter().any(suits))
        {
            return Err(Infeasible::at(id, Reason::NeverInStartSet));
        }
    }
    for (id, task) in open() {
        alone(layout, id, task).map_err(|reason| Infeasible::at(id, reason))?;
    }
    Ok(())
}

fn alone(layout: &Layout, id: TaskId, task: &Task) -> Result<(), Reason> {
    let network = layout.network;
    let Some(latest) = layout.latest_start[id as usize] else {
        return Err(layout.why_never(id));
    };
    if task.release > latest {
        return Err(layout.why_never(id));
    }
    if let Some(set) = task.starts
        && !network.start_sets[set as usize]
            .iter()
            .any(|stretch| stretch.from.max(task.release) < stretch.until && stretch.from <= latest)
    {
        return Err(Reason::NeverInStartSet);
    }
    for demand in &task.demands {
        if demand.amount > network.pools[demand.pool as usize].capacity
            && takes_time(layout, task, demand.from, demand.until)
        {
            return Err(Reason::CapacityTooSmall);
        }
    }
    for &(budget, amount, ticks) in &task.draws {
        if amount > network.budgets[budget as usize] && ticks > 0 {
            return Err(Reason::CapacityTooSmall);
        }
    }
    for &chain in layout.chains_begun.of(id) {
        let chain = &network.chains[chain as usize];
        let none_holds = chain
            .pools()
            .all(|pool| chain.amount > network.pools[pool as usize].capacity);
        if none_holds && !chain.last.is_empty() {
            return Err(Reason::CapacityTooSmall);
        }
    }
    if layout.hands_needed(id) > 0 {
        hands(network, task.crew, task)
    } else {
        Ok(())
    }
}

/// Whether a demand lasts at all, wherever its task starts.
fn takes_time(layout: &Layout, task: &Task, from: Edge, until: Edge) -> bool {
    let at = |edge| layout.edge(edge, 0, task.minutes);
    at(from).zip(at(until)).is_none_or(|(from, until)| from < until)
}

fn hands(network: &Network, crew: Crew, task: &Task) -> Result<(), Reason> {
    let among = network
        .workers
        .iter()
        .enumerate()
        .filter(|(worker, _)| crew.among >> worker & 1 == 1);
    if among.clone().count() < usize::from(crew.count) {
        return Err(Reason::CrewTooSmall);
    }
    let long_enough = among.filter(|(_, worker)| {
        worker
            .shifts
            .iter()
            .any(|shift| shift.until - shift.from >= task.minutes && shift.from < network.horizon)
    });
    if long_enough.count() < usize::from(crew.count) {
        Err(Reason::NoShiftLongEnough)
    } else {
        Ok(())
    }
}
