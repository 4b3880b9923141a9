//! What pools allow, seen from the minutes that tasks are sure to take.
//!
//! Invariant: a task is narrowed past a minute only where the sure minutes of others leave it no room, and the
//! reason names just enough of those (time-table filtering with reasons of one minute each: Schutt, Feydy,
//! Stuckey and Wallace, 2011, Constraints 16, 250-282).

use super::trail::{Atom, Conflict, Trail, Why};

/// One pool and who asks for it.
#[derive(Debug)]
pub(super) struct TimeTable {
    capacity: i32,
    /// Task, minutes, amount.
    asks: Vec<(usize, i32, i32)>,
    usage: Vec<i32>,
    /// Room to choose a reason in: amount, task, minutes.
    chosen: Vec<(i32, usize, i32)>,
}

fn starts_from(task: usize, least: i32) -> Atom {
    Atom {
        side: 2 * task as u32,
        least,
    }
}

fn starts_by(task: usize, most: i32) -> Atom {
    Atom {
        side: 2 * task as u32 + 1,
        least: -most,
    }
}

impl TimeTable {
    pub(super) fn new(capacity: i32, asks: Vec<(usize, i32, i32)>, horizon: usize) -> Self {
        Self {
            capacity,
            asks,
            usage: vec![0; horizon + 2],
            chosen: Vec::new(),
        }
    }

    /// Narrows every task as far as the sure minutes of the others say.
    pub(super) fn draw(&mut self, trail: &mut Trail) -> Result<(), Conflict> {
        self.usage.fill(0);
        for &(task, minutes, amount) in &self.asks {
            let (from, until) = (trail.last_start(task), trail.first(task) + minutes);
            if from < until {
                for used in &mut self.usage[from as usize..until as usize] {
                    *used += amount;
                }
            }
        }
        if let Some(at) = self.usage.iter().position(|&used| used > self.capacity) {
            self.choose(trail, at as i32, usize::MAX, self.capacity);
            return Err(self.atoms(at as i32).collect());
        }
        for index in 0..self.asks.len() {
            let (task, minutes, amount) = self.asks[index];
            if trail.first(task) == trail.last_start(task) {
                continue;
            }
            let room = self.capacity - amount;
            loop {
                let (from, until) = (
                    trail.first(task),
                    trail.last_start(task).min(trail.first(task) + minutes),
                );
                let stretch = &self.usage[from as usize..until as usize];
                let Some(at) = stretch.iter().rposition(|&used| used > room) else {
                    break;
                };
                let at = from + at as i32;
                self.choose(trail, at, task, room);
                let own = starts_from(task, at - minutes + 1);
                let why = trail.write(self.atoms(at).chain([own]));
                trail.narrow(starts_from(task, at + 1), why)?;
            }
            loop {
                let last = trail.last_start(task);
                let (from, until) = (last.max(trail.first(task) + minutes), last + minutes);
                if from >= until {
                    break;
                }
                let stretch = &self.usage[from as usize..until as usize];
                let Some(at) = stretch.iter().position(|&used| used > room) else {
                    break;
                };
                let at = from + at as i32;
                self.choose(trail, at, task, room);
                let why = trail.write(self.atoms(at).chain([starts_by(task, at)]));
                trail.narrow(starts_by(task, at - minutes), why)?;
            }
        }
        Ok(())
    }

    /// Just enough of the tasks sure to run at a minute to take more than `room`.
    fn choose(&mut self, trail: &Trail, at: i32, but: usize, room: i32) {
        self.chosen.clear();
        let mut sum = 0;
        for &(task, minutes, amount) in &self.asks {
            // narrowed since the usage was drawn up, a task may be sure of more minutes: no harm
            if task != but && trail.last_start(task) <= at && at < trail.first(task) + minutes {
                self.chosen.push((amount, task, minutes));
                sum += amount;
            }
        }
        self.chosen.sort_unstable();
        self.chosen.retain(|&(amount, ..)| {
            let spare = sum - amount > room;
            if spare {
                sum -= amount;
            }
            !spare
        });
    }

    fn atoms(&self, at: i32) -> impl Iterator<Item = Atom> {
        let each =
            move |&(_, task, minutes): &(i32, usize, i32)| [starts_from(task, at - minutes + 1), starts_by(task, at)];
        self.chosen.iter().flat_map(each)
    }
}

/// Follows a wait from one side to another.
pub(super) fn wait(trail: &mut Trail, from: u32, (to, ticks): (u32, i32)) -> Result<(), Conflict> {
    let least = trail.sides[from as usize] + ticks;
    trail.narrow(Atom { side: to, least }, Why::Wait(from, ticks))
}
