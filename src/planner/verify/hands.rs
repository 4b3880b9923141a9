//! Hands: inside their shifts, one task at a time, set up and cleaned out between families.
//!
//! Invariant: the set-ups given follow from the tasks of each worker alone.

use super::Plan;
use crate::planner::breach::Breach;
use crate::planner::network::{TaskId, Tick};
use crate::planner::solution::Setup;

impl Plan<'_> {
    /// Shifts, one task at a time, set-ups; gives the set-ups called for.
    pub(super) fn hands(&mut self) -> Vec<Setup> {
        let mut setups = Vec::new();
        for worker in 0..self.network.workers.len() {
            let mut tasks: Vec<(u64, u64, TaskId)> = Vec::new();
            for task in self.done() {
                let has = self
                    .solution
                    .workers
                    .get(task as usize)
                    .is_some_and(|hands| hands >> worker & 1 == 1);
                if has && self.minutes(task) > 0 {
                    let start = self.start(task).unwrap_or(0);
                    tasks.push((start, start + self.minutes(task), task));
                }
            }
            tasks.sort_unstable();
            self.one_worker(worker, &tasks, &mut setups);
        }
        setups.sort_by_key(|setup| (setup.start, setup.worker, setup.opens));
        setups
    }

    fn one_worker(&mut self, worker: usize, tasks: &[(u64, u64, TaskId)], setups: &mut Vec<Setup>) {
        let id = worker as u8;
        for &(from, until, task) in tasks {
            if !self.is_fact(task) && !self.in_one_shift(worker, from, until) {
                self.breaches.push(Breach::OutsideShift { task, worker: id });
            }
        }
        for (index, &(_, until, one)) in tasks.iter().enumerate() {
            for &(from, _, other) in &tasks[index + 1..] {
                if from >= until {
                    break;
                }
                if !(self.is_fact(one) && self.is_fact(other)) {
                    self.breaches.push(Breach::TwoAtOnce { one, other, worker: id });
                }
            }
        }
        let family = |task: TaskId| self.network.tasks.get(task as usize).and_then(|task| task.family);
        let sequence: Vec<_> = tasks.iter().filter(|one| family(one.2).is_some()).copied().collect();
        let mut due: Vec<(u64, u64, TaskId, bool)> = Vec::new();
        for (index, &(from, until, task)) in sequence.iter().enumerate() {
            let Some(own) = family(task).and_then(|own| self.network.families.get(own as usize)) else {
                continue;
            };
            let before = index.checked_sub(1).and_then(|at| sequence.get(at));
            let opened = match before {
                None => !self.is_fact(task),
                Some(before) => self.is_parted(*before, (from, until, task)),
            };
            if opened && own.open > 0 {
                due.push((from.saturating_sub(u64::from(own.open)), from, task, true));
                if from < u64::from(own.open) && !self.is_fact(task) {
                    self.breaches.push(Breach::NotOpened { task, worker: id });
                }
            }
            let closed = sequence
                .get(index + 1)
                .is_none_or(|&next| self.is_parted((from, until, task), next));
            if closed && own.close > 0 {
                due.push((until, until + u64::from(own.close), task, false));
            }
        }
        let longest = tasks.iter().map(|one| one.1 - one.0).max().unwrap_or(0);
        let longest_due = due.iter().map(|one| one.1 - one.0).max().unwrap_or(0);
        let mut by_start: Vec<usize> = (0..due.len()).collect();
        by_start.sort_by_key(|&at| due[at].0);
        for (index, &(from, until, task, opens)) in due.iter().enumerate() {
            let mut room = self.is_fact(task)
                || if opens {
                    self.in_one_shift(worker, from, until + self.minutes(task))
                } else {
                    self.in_one_shift(worker, from - self.minutes(task), until)
                };
            // sorted by start: none that begins later meets it, nor any that began longer ago than the longest lasts
            let first = tasks.partition_point(|one| one.0 + longest <= from);
            let near = tasks[first..].iter().take_while(|one| one.0 < until);
            room &= near.into_iter().all(|&(begin, end, other)| {
                other == task || end <= from || begin >= until || (self.is_fact(task) && self.is_fact(other))
            });
            let first = by_start.partition_point(|&at| due[at].0 + longest_due <= from);
            let near = by_start[first..].iter().take_while(|&&at| due[at].0 < until);
            room &= near.into_iter().filter(|&&at| at > index).all(|&at| {
                let (begin, end, other, _) = due[at];
                end <= from || begin >= until || (self.is_fact(task) && self.is_fact(other))
            });
            if !room {
                let breach = if opens {
                    Breach::NotOpened { task, worker: id }
                } else {
                    Breach::NotClosed { task, worker: id }
                };
                self.breaches.push(breach);
            }
            if let Some(family) = family(task).filter(|_| until > from) {
                setups.push(Setup {
                    worker: id,
                    family,
                    opens,
                    start: from as Tick,
                    minutes: (until - from) as Tick,
                    task,
                });
            }
        }
    }

    fn in_one_shift(&self, worker: usize, from: u64, until: u64) -> bool {
        self.network.workers.get(worker).is_some_and(|worker| {
            worker
                .shifts
                .iter()
                .any(|shift| u64::from(shift.from) <= from && until <= u64::from(shift.until))
        })
    }

    /// Whether the first family is closed and the second opened between two tasks of a worker.
    fn is_parted(&self, one: (u64, u64, TaskId), other: (u64, u64, TaskId)) -> bool {
        if self.is_fact(one.2) && self.is_fact(other.2) {
            return false;
        }
        let of = |task: TaskId| self.network.tasks.get(task as usize).and_then(|task| task.family);
        let keeps = of(one.2)
            .and_then(|id| self.network.families.get(id as usize))
            .map_or(0, |family| family.keeps);
        of(one.2) != of(other.2) || other.0.saturating_sub(one.1) > u64::from(keeps)
    }
}
