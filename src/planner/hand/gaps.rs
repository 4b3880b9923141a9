//! The first time a worker has for a task, in the gaps between what is in already.
//!
//! Invariant: nothing earlier is passed over; a start found leaves every set-up around it its minutes.

use super::Hand;
use crate::planner::minutes::Minutes;
use crate::planner::network::{Family, FamilyId, Stretch, Tick};
use std::ops::RangeInclusive;

/// What to disregard when looking for time (used to find reasons).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::planner) struct Blind {
    pub(in crate::planner) to_tasks: bool,
    pub(in crate::planner) to_shifts: bool,
    pub(in crate::planner) to_setups: bool,
}

/// What time is looked for.
#[derive(Clone, Copy, Debug)]
pub(in crate::planner) struct Needs<'a> {
    /// How long.
    pub(in crate::planner) minutes: Tick,
    /// With which brushes or paper.
    pub(in crate::planner) family: Option<FamilyId>,
    /// Only in these minutes, set-ups apart.
    pub(in crate::planner) only: Option<&'a Minutes>,
}

const ALWAYS: Tick = Tick::MAX / 2;

impl Hand {
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
    pub(in crate::planner) fn first_start(
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
}
