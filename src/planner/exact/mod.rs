//! Proof for small plain networks: is there a plan shorter than the one in hand?
//!
//! Invariant: a plan handed over keeps every wait and pool; "no shorter one" is said only after every way to
//! one was ruled out. Effort is counted in steps, so the same steps give the same answer. (Search with learnt
//! nogoods over lazily made bounds: Schutt, Feydy, Stuckey and Wallace, 2011, Constraints 16, 250-282.)

mod learn;
mod nogoods;
mod timetable;
mod trail;

use super::plain::Plain;
use learn::Learner;
use nogoods::Nogoods;
use timetable::TimeTable;
use trail::{Atom, Conflict, Trail, Why};

/// Dead ends before the first fresh start, and by how much (in percent) the next takes longer.
const RESTART: u64 = 60;
const LONGER: u64 = 115;

/// What came of a stretch of search.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// Nothing yet.
    Open,
    /// A shorter plan.
    Shorter(Vec<u32>),
    /// There is none.
    Proved,
}

/// The search.
#[derive(Debug)]
pub(super) struct Exact {
    minutes: Vec<i32>,
    /// Least time from a task's start to the end of all.
    follows: Vec<i32>,
    /// By side: sides that it pushes, and how far ahead.
    waits: Vec<Vec<(u32, i32)>>,
    tables: Vec<TimeTable>,
    trail: Trail,
    nogoods: Nogoods,
    learner: Learner,
    proved: bool,
    dead_ends: u64,
    restart_at: u64,
    restart_after: u64,
    /// The length to beat, not yet told to the trail when lower than what it knows.
    beat: i32,
    told: i32,
}

impl Exact {
    /// A search for a plan shorter than `length`.
    pub(super) fn new(plain: &Plain, length: u32) -> Self {
        let count = plain.count();
        let minutes: Vec<i32> = plain.minutes.iter().map(|&minutes| minutes as i32).collect();
        let mut sides = vec![0; 2 * count];
        let mut waits = vec![Vec::new(); 2 * count];
        for &task in &plain.sequence {
            let task = task as usize;
            for &(before, wait) in plain.before.of(task as u32) {
                let before = before as usize;
                let ticks = minutes[before] + wait as i32;
                sides[2 * task] = sides[2 * task].max(sides[2 * before] + ticks);
                waits[2 * before].push((2 * task as u32, ticks));
                waits[2 * task + 1].push((2 * before as u32 + 1, ticks));
            }
        }
        let mut follows = minutes.clone();
        for &task in plain.sequence.iter().rev() {
            let task = task as usize;
            for &(after, wait) in plain.after.of(task as u32) {
                follows[task] = follows[task].max(minutes[task] + wait as i32 + follows[after as usize]);
            }
        }
        for task in 0..count {
            sides[2 * task + 1] = -(length as i32 - follows[task]);
        }
        let tables = plain.pools().map(|(capacity, asks)| {
            let asks = asks
                .into_iter()
                .map(|(task, amount)| (task, minutes[task], amount as i32));
            TimeTable::new(capacity as i32, asks.collect(), length as usize)
        });
        Self {
            tables: tables.collect(),
            minutes,
            follows,
            waits,
            nogoods: Nogoods::new(&sides),
            learner: Learner::new(count),
            trail: Trail::new(sides),
            proved: false,
            dead_ends: 0,
            restart_at: RESTART,
            restart_after: RESTART,
            beat: length as i32,
            told: length as i32,
        }
    }

    /// Only plans shorter than this are of interest.
    pub(super) fn beat(&mut self, length: u32) {
        self.beat = self.beat.min(length as i32);
    }

    /// Searches until so many dead ends or decisions have been met.
    pub(super) fn run(&mut self, steps: u64) -> Outcome {
        for _ in 0..steps {
            if !self.proved && self.told >= self.beat {
                self.trail.back_to(0);
                self.tell();
            }
            if self.proved {
                return Outcome::Proved;
            }
            if let Err(conflict) = self.draw() {
                self.dead_end(conflict);
                continue;
            }
            if self.dead_ends >= self.restart_at {
                self.restart_after = self.restart_after * LONGER / 100;
                self.restart_at = self.dead_ends + self.restart_after;
                self.trail.back_to(0);
                self.nogoods.forget();
            }
            let Some(task) = self.learner.pick(&self.trail) else {
                let starts: Vec<u32> = (0..self.minutes.len())
                    .map(|task| self.trail.first(task) as u32)
                    .collect();
                let ends = starts
                    .iter()
                    .zip(&self.minutes)
                    .map(|(&start, &minutes)| start as i32 + minutes);
                self.beat = ends.max().unwrap_or(0);
                return Outcome::Shorter(starts);
            };
            let atom = Atom {
                side: 2 * task as u32 + 1,
                least: -self.trail.first(task),
            };
            self.trail.decide(atom);
        }
        if self.proved { Outcome::Proved } else { Outcome::Open }
    }

    /// Tells the trail the length to beat. Only with nothing decided.
    fn tell(&mut self) {
        self.told = self.beat - 1;
        for task in 0..self.minutes.len() {
            let atom = Atom {
                side: 2 * task as u32 + 1,
                least: -(self.told - self.follows[task]),
            };
            if self.trail.narrow(atom, Why::Decision).is_err() {
                self.proved = true;
                return;
            }
        }
    }

    /// Draws every consequence.
    fn draw(&mut self) -> Result<(), Conflict> {
        loop {
            while let Some(&entry) = self.trail.entries.get(self.trail.seen) {
                self.trail.seen += 1;
                for at in 0..self.waits[entry.side as usize].len() {
                    timetable::wait(&mut self.trail, entry.side, self.waits[entry.side as usize][at])?;
                }
                self.nogoods.draw(&mut self.trail, entry.side, entry.old, entry.new)?;
            }
            for table in &mut self.tables {
                table.draw(&mut self.trail)?;
                if self.trail.seen < self.trail.entries.len() {
                    break;
                }
            }
            if self.trail.seen == self.trail.entries.len() {
                return Ok(());
            }
        }
    }

    fn dead_end(&mut self, conflict: Conflict) {
        self.dead_ends += 1;
        let Some(learnt) = self.learner.learn(&mut self.trail, &mut self.nogoods, conflict) else {
            self.proved = true;
            return;
        };
        self.trail.back_to(learnt.level);
        let denied = learnt.atoms[0].not();
        let why = if learnt.atoms.len() > 1 {
            Why::Nogood(self.nogoods.add(learnt.atoms))
        } else {
            Why::Decision
        };
        self.trail.push(denied, why);
        self.nogoods.grow_old();
    }
}

#[cfg(test)]
mod tests;
