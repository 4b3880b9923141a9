//! Dust and wet: no dust while anything is wet, nothing wet before dust has settled.
//!
//! Invariant: two facts do not breach each other.

use super::Plan;
use crate::planner::breach::Breach;
use crate::planner::network::TaskId;

impl Plan<'_> {
    pub(super) fn dust(&mut self) {
        let Some(apart) = self.network.apart else { return };
        let settle = u64::from(apart.settle);
        let done = self.done();
        let dusty: Vec<TaskId> = done
            .iter()
            .copied()
            .filter(|&task| self.network.tasks[task as usize].dusty && self.minutes(task) > 0)
            .collect();
        let mut wet: Vec<(TaskId, u64, u64)> = done
            .iter()
            .filter_map(|&task| {
                let tail = self.network.tasks[task as usize].wet?;
                let end = self.end(task)?;
                Some((task, self.start(task)?, self.over(tail, end).unwrap_or(u64::MAX)))
            })
            .collect();
        wet.sort_by_key(|one| one.1);
        // the latest end of all that begin up to each: once it lies before a task, none of those can meet it
        let mut latest = 0;
        let over_by: Vec<u64> = wet
            .iter()
            .map(|one| {
                latest = one.2.max(latest);
                latest
            })
            .collect();
        for &dry in &dusty {
            let (from, until) = (self.start(dry).unwrap_or(0), self.end(dry).unwrap_or(0));
            let first = over_by.partition_point(|&over| over <= from);
            // what begins after the dust may begin too soon after it, however short it is
            let first = first.min(wet.partition_point(|one| one.1 < until));
            let near = wet[first..].iter().take_while(|one| one.1 < until + settle);
            for &(task, begin, over) in near {
                if task == dry || (self.is_fact(dry) && self.is_fact(task)) {
                    continue;
                }
                if begin < over && from < over && begin < until {
                    self.breaches.push(Breach::DustOnWet {
                        dusty: dry,
                        wet: Some(task),
                    });
                }
                if begin >= until && begin < until + settle {
                    self.breaches.push(Breach::Unsettled {
                        dusty: Some(dry),
                        wet: task,
                    });
                }
            }
            let before = self.network.wet_already.iter();
            if !self.is_fact(dry)
                && before.into_iter().any(|stretch| {
                    stretch.from < stretch.until && from < u64::from(stretch.until) && u64::from(stretch.from) < until
                })
            {
                self.breaches.push(Breach::DustOnWet { dusty: dry, wet: None });
            }
        }
        if self.network.dust_until > 0 {
            for &(task, begin, _) in &wet {
                if !self.is_fact(task) && begin < u64::from(self.network.dust_until) + settle {
                    self.breaches.push(Breach::Unsettled { dusty: None, wet: task });
                }
            }
        }
    }
}
