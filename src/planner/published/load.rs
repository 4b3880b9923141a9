//! Loads that look like a finishing job: parts that are sanded and coated in turn, one line a thing.
//!
//! Invariant: `H workers places vapour days opens closes` comes once, before all else; `O id part kind minutes wet held vapour-minutes
//! vapour` describes an operation (kind 0 dusty, 1 a coat; spans from its start), `L before after least
//! most` a wait from start to start (most -1: none). Ids count up from 0.

use super::{ReadError, ReadFault, number, numbers};
use crate::planner::network::{
    Apart, Bundle, Clock, Crew, Demand, Edge, Goal, Network, Pool, Stretch, Tail, Task, TaskId, Tick, Wait, Worker,
};

const DAY: u64 = 1440;

fn wall(amount: u64) -> Tail {
    Tail { clock: 0, amount }
}

/// Reads a load.
pub fn load(text: &str) -> Result<Network, ReadError> {
    let mut network = Network {
        clocks: vec![Clock::Wall],
        apart: Some(Apart { settle: 0 }),
        ..Network::default()
    };
    let mut parts: Vec<u64> = Vec::new();
    let mut goal = Goal {
        tasks: Vec::new(),
        weight: 1,
        due: None,
    };
    for (index, row) in text.lines().enumerate() {
        let line = index + 1;
        let Some((kind, rest)) = row.split_once(' ') else {
            if row.trim().is_empty() {
                continue;
            }
            return Err(ReadError {
                line,
                fault: ReadFault::UnknownLine,
            });
        };
        match kind {
            "H" => head(&mut network, &numbers(rest, line, 6)?),
            "O" => {
                let found = numbers(rest, line, 8)?;
                let (Some(&id), Some(&part)) = (found.first(), found.get(1)) else {
                    continue;
                };
                if id != network.tasks.len() as u64 || network.pools.len() < 2 {
                    return Err(ReadError {
                        line,
                        fault: ReadFault::NoSuch(id),
                    });
                }
                let (task, tail) = operation(&network, &found);
                goal.tasks.push((id as TaskId, tail));
                network.tasks.push(task);
                parts.push(part);
            }
            "L" => {
                let wait = lag(rest, line, network.tasks.len() as u64)?;
                network.waits.push(wait);
            }
            _ => {
                return Err(ReadError {
                    line,
                    fault: ReadFault::UnknownLine,
                });
            }
        }
    }
    if network.pools.is_empty() {
        return Err(ReadError {
            line: text.lines().count(),
            fault: ReadFault::NoSection("H"),
        });
    }
    network.goals.push(goal);
    network.bundles = bundles(&network, &parts);
    Ok(network)
}

fn head(network: &mut Network, found: &[u64]) {
    let &[workers, places, vapour, days, opens, closes, ..] = found else {
        return;
    };
    // a load of more than ten years is cut there
    let days = days.min(3650);
    let shifts: Vec<Stretch> = (0..days)
        .map(|day| Stretch {
            from: (day * DAY + opens) as Tick,
            until: (day * DAY + closes.min(DAY)) as Tick,
        })
        .filter(|shift| shift.from < shift.until)
        .collect();
    network.horizon = (days * DAY) as Tick;
    network.workers = (0..workers.min(64))
        .map(|_| Worker { shifts: shifts.clone() })
        .collect();
    network.pools = [places, vapour]
        .map(|capacity| Pool {
            capacity: capacity as u32,
            taken: Vec::new(),
        })
        .to_vec();
}

/// An operation, and what must pass after its end until its piece is out of the way.
fn operation(network: &Network, found: &[u64]) -> (Task, Tail) {
    let &[_, part, kind, minutes, wet, held, vapour_minutes, vapour, ..] = found else {
        return (blank(network, 0, 0), wall(0));
    };
    let mut task = blank(network, minutes as Tick, part);
    if kind == 0 {
        task.dusty = true;
    } else {
        task.wet = Some(wall(wet.saturating_sub(minutes)));
        let demand = |pool, amount: u64, length| Demand {
            pool,
            amount: amount as u32,
            from: Edge::Start,
            until: Edge::AfterStart(wall(length)),
        };
        task.demands = vec![demand(0, 1, held), demand(1, vapour, vapour_minutes)];
    }
    (task, wall(held.saturating_sub(minutes)))
}

fn blank(network: &Network, minutes: Tick, rank: u64) -> Task {
    let workers = network.workers.len();
    Task {
        minutes,
        crew: Crew {
            count: 1,
            among: if workers >= 64 { u64::MAX } else { (1 << workers) - 1 },
        },
        family: None,
        demands: Vec::new(),
        dusty: false,
        wet: None,
        release: 0,
        starts: None,
        draws: Vec::new(),
        optional: false,
        fixed: None,
        rank,
    }
}

fn lag(rest: &str, line: usize, tasks: u64) -> Result<Wait, ReadError> {
    let words: Vec<&str> = rest.split_whitespace().collect();
    let &[before, after, least, most, ..] = words.as_slice() else {
        return Err(ReadError {
            line,
            fault: ReadFault::TooFew {
                wanted: 4,
                found: words.len(),
            },
        });
    };
    let task = |word: &str| {
        let id = number(word, line)?;
        if id < tasks {
            Ok(id as TaskId)
        } else {
            Err(ReadError {
                line,
                fault: ReadFault::NoSuch(id),
            })
        }
    };
    let max = if most == "-1" {
        None
    } else {
        Some(wall(number(most, line)?))
    };
    Ok(Wait {
        before: task(before)?,
        from_start: true,
        after: task(after)?,
        min: wall(number(least, line)?),
        max,
    })
}

/// The operations of each part that have a longest wait among them.
fn bundles(network: &Network, parts: &[u64]) -> Vec<Bundle> {
    let mut sorted: Vec<(u64, TaskId)> = parts
        .iter()
        .enumerate()
        .map(|(id, &part)| (part, id as TaskId))
        .collect();
    sorted.sort_unstable();
    let mut longest = vec![false; network.tasks.len()];
    for wait in network.waits.iter().filter(|wait| wait.max.is_some()) {
        for task in [wait.before, wait.after] {
            if let Some(longest) = longest.get_mut(task as usize) {
                *longest = true;
            }
        }
    }
    let tasks = sorted
        .chunk_by(|one, other| one.0 == other.0)
        .map(|chunk| chunk.iter().map(|one| one.1).collect());
    tasks
        .filter(|tasks: &Vec<TaskId>| tasks.iter().any(|&task| longest.get(task as usize) == Some(&true)))
        .map(|tasks| Bundle { tasks })
        .collect()
}
