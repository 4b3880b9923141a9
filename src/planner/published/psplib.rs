//! Single-mode project scheduling problems in the text format of PSPLIB (Kolisch and Sprecher, 1997,
//! European Journal of Operational Research 96, 205-216).
//!
//! Invariant: every renewable resource becomes a pool, every precedence a wait of nothing, and the goal is
//! the end of the last job.

use super::{ReadError, ReadFault, numbers};
use crate::planner::network::{Clock, Crew, Demand, Edge, Goal, Network, Pool, Tail, Task, TaskId, Tick, Wait};

const AT_ONCE: Tail = Tail { clock: 0, amount: 0 };

/// Reads a problem.
pub fn psplib(text: &str) -> Result<Network, ReadError> {
    let lines: Vec<&str> = text.lines().collect();
    let section = |name: &'static str, skip: usize| {
        let at = lines.iter().position(|line| line.trim_start().starts_with(name));
        at.map(|at| at + skip).ok_or(ReadError {
            line: lines.len(),
            fault: ReadFault::NoSection(name),
        })
    };
    let body = |from: usize| {
        let rows = lines.iter().enumerate().skip(from);
        rows.take_while(|(_, line)| !line.starts_with("***") && !line.trim().is_empty())
            .map(|(index, line)| (index + 1, *line))
            .collect::<Vec<_>>()
    };
    let precedence = body(section("PRECEDENCE RELATIONS", 2)?);
    let requests = body(section("REQUESTS/DURATIONS", 3)?);
    let available = body(section("RESOURCEAVAILABILITIES", 2)?);
    let Some(&(line, row)) = available.first() else {
        return Err(ReadError {
            line: lines.len(),
            fault: ReadFault::NoSection("RESOURCEAVAILABILITIES"),
        });
    };
    let capacities = numbers(row, line, 1)?;
    let mut tasks = Vec::new();
    for &(line, row) in &requests {
        let found = numbers(row, line, 3 + capacities.len())?;
        tasks.push(task(found.get(2).copied().unwrap_or(0), found.get(3..).unwrap_or(&[])));
    }
    let count = tasks.len() as u64;
    let mut waits = Vec::new();
    let mut followed = vec![false; tasks.len()];
    for &(line, row) in &precedence {
        let found = numbers(row, line, 3)?;
        let job = |number: u64| {
            (1..=count)
                .contains(&number)
                .then(|| (number - 1) as TaskId)
                .ok_or(ReadError {
                    line,
                    fault: ReadFault::NoSuch(number),
                })
        };
        let before = job(found.first().copied().unwrap_or(0))?;
        if found.get(1) != Some(&1) {
            return Err(ReadError {
                line,
                fault: ReadFault::Modes,
            });
        }
        for &number in found.iter().skip(3) {
            let after = job(number)?;
            waits.push(Wait {
                before,
                from_start: false,
                after,
                min: AT_ONCE,
                max: None,
            });
            if let Some(followed) = followed.get_mut(before as usize) {
                *followed = true;
            }
        }
    }
    let last = followed.iter().enumerate().filter(|(_, followed)| !**followed);
    let goal = Goal {
        tasks: last.map(|(id, _)| (id as TaskId, AT_ONCE)).collect(),
        weight: 1,
        due: None,
    };
    let length: Tick = tasks.iter().map(|task| task.minutes).fold(1, Tick::saturating_add);
    Ok(Network {
        horizon: length,
        clocks: vec![Clock::Wall],
        pools: capacities
            .iter()
            .map(|&capacity| Pool {
                capacity: capacity as u32,
                taken: Vec::new(),
            })
            .collect(),
        tasks,
        waits,
        goals: vec![goal],
        ..Network::default()
    })
}

fn task(minutes: u64, amounts: &[u64]) -> Task {
    let demand = |(pool, &amount): (usize, &u64)| Demand {
        pool: pool as u32,
        amount: amount as u32,
        from: Edge::Start,
        until: Edge::End,
    };
    Task {
        minutes: minutes as Tick,
        crew: Crew { count: 0, among: 0 },
        family: None,
        demands: amounts
            .iter()
            .enumerate()
            .filter(|(_, amount)| **amount > 0)
            .map(demand)
            .collect(),
        dusty: false,
        wet: None,
        release: 0,
        starts: None,
        draws: Vec::new(),
        optional: false,
        fixed: None,
        rank: 0,
    }
}
