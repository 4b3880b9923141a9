//! One worker's time: shifts, what is done in them, and the set-ups between.
//!
//! Invariant: `slots` is sorted by start; outside facts no two overlap, each lies in one shift, and every
//! close and open that the order of families asks for has its minutes free.

use super::minutes::Minutes;
use super::network::{Family, FamilyId, Stretch, TaskId, Tick, Worker};
use std::ops::RangeInclusive;

/// One task in a worker's time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Slot {
    pub(super) start: Tick,
    pub(super) end: Tick,
    pub(super) task: TaskId,
    pub(super) family: Option<FamilyId>,
    pub(super) fixed: bool,
}

/// What to disregard when looking for time (used to find reasons).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Blind {
    pub(super) to_tasks: bool,
    pub(super) to_shifts: bool,
    pub(super) to_setups: bool,
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

/// What time is looked for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Needs<'a> {
    /// How long.
    pub(super) minutes: Tick,
    /// With which brushes or paper.
    pub(super) family: Option<FamilyId>,
    /// Only in these minutes, set-ups apart.
    pub(super) only: Option<&'a Minutes>,
}

const ALWAYS: Tick = Tick::MAX / 2;

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

    /// The first minute from which this worker's time is free for long enough, in minutes it may be in.
    fn run_from(&self, at: Tick, needs: Needs) -> Option<Tick> {
        match needs.only {
            Some(only) => self.free.run_in_both(only, at, needs.minutes),
            None => self.free.run_from(at, needs.minutes),
        }
    }

    /// No start at or after `at` comes before this one: it would be neither beside work of the same family nor where
    /// there is room to set out and clean up. `index` is the first slot that starts after `at`; `None` where there is
    /// no such room at all.
    fn not_before(&self, at: Tick, index: usize, minutes: Tick, (id, own): (FamilyId, Family)) -> Option<Tick> {
        let is_same = |slot: usize| self.slots[slot].family == Some(id);
        if self.family_before(index).is_some_and(is_same) {
            return Some(at);
        }
        let same = self.of_family.get(id as usize).and_then(|starts| {
            let next = *starts.get(starts.partition_point(|&start| start <= at))?;
            let slot = self.slots.partition_point(|slot| slot.start < next);
            Some(self.family_before(slot).map_or(at, |before| self.slots[before].end))
        });
        let room = minutes.saturating_add(own.open).saturating_add(own.close);
        let alone = self.free.run_from(at.saturating_sub(own.open), room);
        let alone = alone.map(|from| from.saturating_add(own.open));
        let first = [same, alone].into_iter().flatten().min()?;
        Some(first.max(at))
    }

    /// First start in a stretch at which this worker can do `minutes` of `family`; where there is none in it, it may
    /// be any later one.
    pub(super) fn first_start(
        &self,
        within: RangeInclusive<Tick>,
        needs: Needs,
        families: &[Family],
        blind: Blind,
    ) -> Option<Tick> {
        let (from, latest) = (*within.start(), *within.end());
        let Needs { minutes, family, only } = needs;
        let plain = blind.to_setups || (family.is_none() && self.families_used == 0);
        if plain && !blind.to_tasks && !blind.to_shifts {
            let mut at = from;
            loop {
                at = self.run_from(at, needs)?;
                if !self.touching {
                    return Some(at);
                }
                let shift = self.shift_at(at)?;
                if at + minutes <= shift.until {
                    return Some(at);
                }
                at = shift.until;
            }
        }
        let mut at = from;
        // both only ever go forwards
        let mut index = if blind.to_tasks {
            0
        } else {
            self.slots.partition_point(|slot| slot.start <= from)
        };
        let mut open = self.shifts.partition_point(|shift| shift.until <= from);
        loop {
            let watch_free = !blind.to_tasks && !blind.to_shifts;
            if watch_free {
                at = self.run_from(at, needs)?;
            } else if let Some(only) = only {
                at = only.run_from(at, minutes)?;
            }
            if at > latest {
                return Some(at);
            }
            while !blind.to_tasks && self.slots.get(index).is_some_and(|slot| slot.start <= at) {
                index += 1;
            }
            if watch_free
                && !blind.to_setups
                && let Some(id) = family
            {
                let first = self.not_before(at, index, minutes, (id, families[id as usize]))?;
                if first > at {
                    at = first;
                    continue;
                }
            }
            let shift = if blind.to_shifts {
                Stretch { from: 0, until: ALWAYS }
            } else {
                while self.shifts.get(open)?.until <= at {
                    open += 1;
                }
                self.shifts[open]
            };
            let (mut low, mut high) = (shift.from, shift.until);
            if !blind.to_tasks {
                // facts may overlap, so the one before by start is not always the last to end
                if let Some(before) = self.slots[..index].last() {
                    low = low.max(before.end);
                }
                if let Some(after) = self.slots.get(index) {
                    high = high.min(after.start);
                }
            }
            let found = if blind.to_setups {
                let start = at.max(low);
                (start + minutes <= high).then_some(start)
            } else if blind.to_tasks {
                Self::in_empty(at, low, high, needs, families)
            } else {
                self.in_gap(at, low, high, index, needs, families)
            };
            if let Some(start) = found
                && (!watch_free || self.really_free(start, low, needs, families))
                && only.is_none_or(|only| only.covers(start, start + minutes))
            {
                return Some(start);
            }
            // a fact that overlaps another can make a gap look longer than it is
            at = if let Some(start) = found {
                start + 1
            } else {
                high.max(at + 1)
            };
            if at >= ALWAYS {
                return None;
            }
        }
    }

    fn really_free(&self, start: Tick, low: Tick, needs: Needs, families: &[Family]) -> bool {
        // in_gap has seen to neighbours and shifts; only overlapping facts can still be in the way
        let opens = needs.family.map_or(0, |family| families[family as usize].open);
        let lead = start.saturating_sub(low).min(opens);
        self.free.covers(start, start + needs.minutes) && (lead == 0 || self.free.covers(start - lead, start))
    }

    /// In a shift with nothing else in it: opened before, closed after.
    fn in_empty(at: Tick, low: Tick, high: Tick, needs: Needs, families: &[Family]) -> Option<Tick> {
        let (open, close) = needs.family.map_or((0, 0), |family| {
            let family = families[family as usize];
            (family.open, family.close)
        });
        let start = at.max(low.saturating_add(open));
        (start.saturating_add(needs.minutes).saturating_add(close) <= high).then_some(start)
    }

    /// In the gap before slot `index`, cut by one shift to `low..high`.
    fn in_gap(&self, at: Tick, low: Tick, high: Tick, index: usize, needs: Needs, families: &[Family]) -> Option<Tick> {
        let before = self.family_before(index);
        let after = self.family_from(index);
        let previous = before.map(|slot| &self.slots[slot]);
        let next = after.map(|slot| &self.slots[slot]);
        let parted = match (previous, next) {
            (Some(one), Some(other)) => Self::apart(one, other, families),
            _ => true,
        };
        // where the closing of the previous and the opening of the next stand in this gap
        let closes_here = before.is_some_and(|slot| slot + 1 == index);
        let opens_here = after == Some(index);
        let close_end = previous.map_or(0, |slot| slot.end + Self::close_of(slot, families));
        let open_begin = next.map_or(ALWAYS, |slot| slot.start.saturating_sub(Self::open_of(slot, families)));
        let Some(family) = needs.family else {
            let low = if parted && closes_here { low.max(close_end) } else { low };
            let due = parted && opens_here && next.is_some_and(|slot| Self::opening_due(previous, slot));
            let high = if due { high.min(open_begin) } else { high };
            let start = at.max(low);
            return (start + needs.minutes <= high).then_some(start);
        };
        let own = families[family as usize];
        let mut best: Option<Tick> = None;
        for joined_before in [true, false] {
            // earliest and latest start as the previous slot allows
            let (least, most) = match previous {
                Some(slot) if joined_before => {
                    if slot.family != Some(family) {
                        continue;
                    }
                    (low, slot.end.saturating_add(own.keeps))
                }
                None if joined_before => continue,
                Some(slot) => {
                    if !parted && !self.can_close(before.unwrap_or(0), families) {
                        continue;
                    }
                    let from = if closes_here { low.max(close_end) } else { low };
                    let far = if slot.family == Some(family) {
                        slot.end.saturating_add(own.keeps + 1)
                    } else {
                        0
                    };
                    (far.max(from.saturating_add(own.open)), ALWAYS)
                }
                None => (low.saturating_add(own.open), ALWAYS),
            };
            for joined_after in [true, false] {
                let (least, most) = match next {
                    Some(slot) if joined_after => {
                        if slot.family != Some(family) {
                            continue;
                        }
                        let reach = slot.start.saturating_sub(own.keeps.saturating_add(needs.minutes));
                        let Some(latest) = high.checked_sub(needs.minutes) else {
                            continue;
                        };
                        (least.max(reach), most.min(latest))
                    }
                    None if joined_after => continue,
                    Some(slot) => {
                        let stands = parted && Self::opening_due(previous, slot);
                        if !stands && !self.can_open(after.unwrap_or(0), families) {
                            continue;
                        }
                        let until = if opens_here { high.min(open_begin) } else { high };
                        let Some(latest) = until.checked_sub(needs.minutes + own.close) else {
                            continue;
                        };
                        let latest = if slot.family == Some(family) {
                            let Some(far) = slot.start.checked_sub(own.keeps + needs.minutes + 1) else {
                                continue;
                            };
                            latest.min(far)
                        } else {
                            latest
                        };
                        (least, most.min(latest))
                    }
                    None => {
                        let Some(latest) = high.checked_sub(needs.minutes + own.close) else {
                            continue;
                        };
                        (least, most.min(latest))
                    }
                };
                let start = at.max(least);
                if start <= most && best.is_none_or(|found| start < found) {
                    best = Some(start);
                }
            }
        }
        best
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
