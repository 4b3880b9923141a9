//! Networks of generated jobs stripped to what a general constraint solver can say, and written to files for it.
//!
//! Invariant: the stripped network is a network of our own, so the very `solve` of the day plan and the general
//! solver are given the same problem.
//!
//! What goes: set-ups, optional work and the windows that call for it (their opening stays, as a wait), longest
//! waits, budgets, allowed starts, whose hands may do what, and how drying follows the air: each tail becomes
//! the minutes it takes from its earliest start on. What stays: hands and their hours, waits, places held along
//! a run, dust against wet, the goal.

use denib::planner::{Clock, Network, Tail, TaskId};
use serde_json::{Value, json};

/// Minutes a tail takes when begun at ten on the second morning.
fn minutes(network: &Network, tail: Tail) -> u64 {
    let from = 1440 + 600;
    let clock = network.clocks.get(tail.clock as usize).unwrap_or(&Clock::Wall);
    clock.after(from, tail.amount).map_or(0, |over| u64::from(over - from))
}

/// The stripped network.
pub fn stripped(network: &Network) -> Network {
    let mut bare = network.clone();
    let wall = |tail: Tail| Tail {
        clock: 0,
        amount: minutes(network, tail),
    };
    bare.clocks = vec![Clock::Wall];
    bare.families.clear();
    bare.budgets.clear();
    bare.start_sets.clear();
    bare.bundles.clear();
    bare.pairs.clear();
    bare.wet_already.clear();
    bare.dust_until = 0;
    let everyone = if bare.workers.len() >= 64 {
        u64::MAX
    } else {
        (1 << bare.workers.len()) - 1
    };
    for task in &mut bare.tasks {
        task.family = None;
        task.starts = None;
        task.draws.clear();
        task.demands.clear();
        task.wet = task.wet.map(wall);
        task.crew.among = everyone;
    }
    for window in &network.windows {
        if let Some(first) = window.spans.first().filter(|first| first.via.is_none()) {
            bare.waits.push(denib::planner::Wait {
                before: window.before,
                from_start: false,
                after: window.after,
                min: first.opens,
                max: None,
            });
        }
    }
    bare.windows.clear();
    // without windows nothing calls for optional work: it is gone, and what names it
    let optional = |task: TaskId| network.tasks.get(task as usize).is_none_or(|task| task.optional);
    bare.waits
        .retain(|wait| !optional(wait.before) && !optional(wait.after));
    for wait in &mut bare.waits {
        wait.min = wall(wait.min);
        wait.max = None;
    }
    for chain in &mut bare.chains {
        chain.last.retain(|last| !optional(last.0));
        for last in &mut chain.last {
            last.1 = wall(last.1);
        }
    }
    bare.chains
        .retain(|chain| !chain.last.is_empty() && !optional(chain.first));
    for goal in &mut bare.goals {
        goal.due = None;
        goal.weight = 1;
        for task in &mut goal.tasks {
            task.1 = wall(task.1);
        }
    }
    bare
}

/// The problem for the general solver; `benches/README.md` says what each key is.
pub fn problem(bare: &Network) -> Value {
    let tasks = bare.tasks.iter().map(|task| {
        json!({
            "minutes": task.minutes,
            "hands": task.crew.count,
            "dusty": task.dusty,
            "wet": task.wet.map(|wet| wet.amount),
            "release": task.release,
            "done": !task.optional,
        })
    });
    let waits = bare
        .waits
        .iter()
        .map(|wait| json!([wait.before, wait.from_start, wait.after, wait.min.amount]));
    let chains = bare.chains.iter().map(|chain| {
        let last: Vec<Value> = chain
            .last
            .iter()
            .map(|(task, tail)| json!([task, tail.amount]))
            .collect();
        json!({ "pool": chain.pool, "amount": chain.amount, "first": chain.first, "last": last })
    });
    let goal = bare.goals.iter().flat_map(|goal| &goal.tasks);
    let shifts = bare.workers.iter().map(|worker| {
        let stretches = worker.shifts.iter().map(|shift| json!([shift.from, shift.until]));
        stretches.collect::<Value>()
    });
    json!({
        "format": 1,
        "horizon": bare.horizon,
        "shifts": shifts.collect::<Value>(),
        "pools": bare.pools.iter().map(|pool| json!(pool.capacity)).collect::<Value>(),
        "settle": bare.apart.map(|apart| apart.settle),
        "tasks": tasks.collect::<Value>(),
        "waits": waits.collect::<Value>(),
        "chains": chains.collect::<Value>(),
        "goal": goal.map(|(task, tail)| json!([task, tail.amount])).collect::<Value>(),
    })
}
