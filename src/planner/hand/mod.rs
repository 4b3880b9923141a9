//! One worker's time: shifts, what is done in them, and the set-ups between.
//!
//! Invariant: `slots` is sorted by start; outside facts no two overlap, each lies in one shift, and every
//! close and open that the order of families asks for has its minutes free.

mod gaps;

pub(super) use gaps::{Blind, Needs};

use super::minutes::Minutes;
use super::network::{Family, FamilyId, Stretch, TaskId, Tick, Worker};

/// One task in a worker's time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Slot {
    pub(super) start: Tick,
    pub(super) end: Tick,
    pub(super) task: TaskId,
    pub(super) family: Option<FamilyId>,
    pub(super) fixed: bool,
}

/// A worker's time.
#[derive(Clone, Debug)]
pub(super) struct Hand {
    free: Minutes,
    base: Minutes,
    shifts: Vec<Stretch>,
    /// Some shift begins the minute another ends: free minutes in a row may then lie in two shifts.
    touching: bool,
    pub(super) slots: Vec<Slot>,
    families_used: u32,
    /// Starts of the slots of each family, sorted.
    of_family: Vec<Vec<Tick>>,
}

impl Hand {
    pub(super) fn new(worker: &Worker, limit: usize) -> Self {
        let mut base = Minutes::new(limit);
        let shifts: Vec<Stretch> = worker
            .shifts
            .iter()
            .copied()
            .filter(|shift| shift.from < shift.until)
            .collect();
        for &shift in &shifts {
            base.mark(shift, true);
        }
        Self {
            touching: shifts.windows(2).any(|two| two[0].until == two[1].from),
            free: base.clone(),
            base,
            shifts,
            slots: Vec::new(),
            families_used: 0,
            of_family: Vec::new(),
        }
    }

    pub(super) fn clear(&mut self) {
        self.slots.clear();
        self.families_used = 0;
        self.of_family.iter_mut().for_each(Vec::clear);
        self.free.restore(&self.base);
    }

    /// The shift with `at` in it, else the next one.
    fn shift_at(&self, at: Tick) -> Option<Stretch> {
        self.shifts
            .get(self.shifts.partition_point(|shift| shift.until <= at))
            .copied()
    }

    /// The shift that the minute before `end` is in.
    fn shift_ending(&self, end: Tick) -> Option<Stretch> {
        self.shift_at(end.checked_sub(1)?).filter(|shift| shift.from < end)
    }

    /// Whether set-up is due between two family slots that follow each other.
    fn apart(one: &Slot, other: &Slot, families: &[Family]) -> bool {
        if one.fixed && other.fixed {
            return false;
        }
        match (one.family, other.family) {
            (Some(first), Some(second)) => {
                first != second || other.start.saturating_sub(one.end) > families[first as usize].keeps
            }
            _ => false,
        }
    }

    fn family_before(&self, index: usize) -> Option<usize> {
        self.slots[..index].iter().rposition(|slot| slot.family.is_some())
    }

    fn family_from(&self, index: usize) -> Option<usize> {
        self.slots[index..]
            .iter()
            .position(|slot| slot.family.is_some())
            .map(|at| at + index)
    }

    /// Whether the next slot is opened: a fact that comes first is not.
    fn opening_due(previous: Option<&Slot>, next: &Slot) -> bool {
        !next.fixed || previous.is_some()
    }

    fn close_of(slot: &Slot, families: &[Family]) -> Tick {
        slot.family.map_or(0, |family| families[family as usize].close)
    }

    fn open_of(slot: &Slot, families: &[Family]) -> Tick {
        slot.family.map_or(0, |family| families[family as usize].open)
    }

    /// Whether the slot can be closed at once after it: same shift (facts excepted), nothing in the way.
    fn can_close(&self, index: usize, families: &[Family]) -> bool {
        let slot = &self.slots[index];
        let until = slot.end + Self::close_of(slot, families);
        if self
            .slots
            .get(index + 1)
            .is_some_and(|next| next.start < until && !(slot.fixed && next.fixed))
        {
            return false;
        }
        slot.fixed || self.shift_ending(slot.end).is_some_and(|shift| until <= shift.until)
    }

    /// Whether the slot can be opened just before it.
    fn can_open(&self, index: usize, families: &[Family]) -> bool {
        let slot = &self.slots[index];
        let Some(from) = slot.start.checked_sub(Self::open_of(slot, families)) else {
            return slot.fixed;
        };
        if self.slots[..index]
            .last()
            .is_some_and(|before| before.end > from && !(slot.fixed && before.fixed))
        {
            return false;
        }
        slot.fixed || self.shift_at(slot.start).is_some_and(|shift| shift.from <= from)
    }

    /// Whether the set-ups between the family slots around `at` have their minutes.
    pub(super) fn sound_around(&self, at: Tick, families: &[Family]) -> bool {
        if self.families_used == 0 {
            return true;
        }
        let index = self.slots.partition_point(|slot| slot.start < at);
        let (before, after) = (self.family_before(index), self.family_from(index));
        match (before, after) {
            (Some(one), Some(other)) => {
                let (first, second) = (&self.slots[one], &self.slots[other]);
                if !Self::apart(first, second, families) {
                    return true;
                }
                let gap = first.end + Self::close_of(first, families) + Self::open_of(second, families) <= second.start;
                gap && self.can_close(one, families) && self.can_open(other, families)
            }
            (Some(one), None) => self.can_close(one, families),
            (None, Some(other)) => self.slots[other].fixed || self.can_open(other, families),
            (None, None) => true,
        }
    }

    pub(super) fn put(&mut self, slot: Slot) {
        let index = self
            .slots
            .partition_point(|other| (other.start, other.end) <= (slot.start, slot.end));
        self.free.mark(
            Stretch {
                from: slot.start,
                until: slot.end,
            },
            false,
        );
        self.families_used += u32::from(slot.family.is_some());
        if let Some(family) = slot.family {
            let family = family as usize;
            if self.of_family.len() <= family {
                self.of_family.resize(family + 1, Vec::new());
            }
            let starts = &mut self.of_family[family];
            starts.insert(starts.partition_point(|&start| start <= slot.start), slot.start);
        }
        self.slots.insert(index, slot);
    }

    /// Takes a task that is no fact back out.
    pub(super) fn take(&mut self, task: TaskId, start: Tick) {
        let from = self.slots.partition_point(|slot| slot.start < start);
        let Some(index) = self.slots[from..]
            .iter()
            .position(|slot| slot.task == task)
            .map(|at| at + from)
        else {
            return;
        };
        let slot = self.slots.remove(index);
        self.families_used -= u32::from(slot.family.is_some());
        if let Some(starts) = slot.family.and_then(|family| self.of_family.get_mut(family as usize)) {
            let at = starts.partition_point(|&start| start < slot.start);
            if starts.get(at) == Some(&slot.start) {
                starts.remove(at);
            }
        }
        // a task tried in closed hours leaves no free minutes behind
        let from = self.shifts.partition_point(|shift| shift.until <= slot.start);
        for shift in self.shifts[from..].iter().take_while(|shift| shift.from < slot.end) {
            let inside = Stretch {
                from: shift.from.max(slot.start),
                until: shift.until.min(slot.end),
            };
            self.free.mark(inside, true);
        }
    }

    /// Set-up minutes that a task at `start` would add, and whether its shift is in use already.
    pub(super) fn cost(
        &self,
        start: Tick,
        minutes: Tick,
        family: Option<FamilyId>,
        families: &[Family],
    ) -> (Tick, bool) {
        let index = self.slots.partition_point(|slot| slot.start <= start);
        let shift = self.shift_at(start);
        let inside = |slot: &Slot| shift.is_some_and(|shift| slot.start < shift.until && slot.end > shift.from);
        let visited = self.slots[..index].last().is_some_and(inside) || self.slots.get(index).is_some_and(inside);
        let Some(id) = family else { return (0, !visited) };
        let slot = Slot {
            start,
            end: start + minutes,
            task: 0,
            family,
            fixed: false,
        };
        let own = families[id as usize];
        let before = self.family_before(index).map(|at| &self.slots[at]);
        let after = self.family_from(index).map(|at| &self.slots[at]);
        let mut added = 0;
        if before.is_none_or(|before| Self::apart(before, &slot, families)) {
            added += own.open;
        }
        if after.is_none_or(|after| Self::apart(&slot, after, families)) {
            added += own.close;
        }
        (added, !visited)
    }

    /// The set-ups as they stand: slot, whether it is an opening, when, how long.
    pub(super) fn setups(&self, families: &[Family], mut each: impl FnMut(&Slot, bool, Tick, Tick)) {
        let mut previous: Option<&Slot> = None;
        for slot in self.slots.iter().filter(|slot| slot.family.is_some()) {
            let parted = previous.is_none_or(|previous| Self::apart(previous, slot, families));
            if parted {
                if let Some(before) = previous {
                    each(before, false, before.end, Self::close_of(before, families));
                }
                if previous.is_some() || !slot.fixed {
                    let minutes = Self::open_of(slot, families).min(slot.start);
                    each(slot, true, slot.start - minutes, minutes);
                }
            }
            previous = Some(slot);
        }
        if let Some(last) = previous {
            each(last, false, last.end, Self::close_of(last, families));
        }
    }

    /// How many shifts are used, work outside shifts counting as one each day it happens.
    pub(super) fn visits(&self) -> u64 {
        let mut count = 0;
        let mut last: Option<Tick> = None;
        for slot in &self.slots {
            let place = self.shift_at(slot.start).map_or(Tick::MAX, |shift| shift.from);
            if last != Some(place) {
                count += 1;
                last = Some(place);
            }
        }
        count
    }

    /// A task in progress anywhere in `from..until`.
    pub(super) fn busy_with(&self, from: Tick, until: Tick) -> Option<TaskId> {
        let begun = self.slots.partition_point(|slot| slot.start < until);
        // all that began before a task that is no fact were over when it began
        let mut near = self.slots[..begun].iter().rev();
        near.find(|slot| slot.end > from || !slot.fixed)
            .filter(|slot| slot.end > from)
            .map(|slot| slot.task)
    }
}
