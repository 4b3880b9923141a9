//! The earliest start of one task in the shop as it stands.
//!
//! Invariant: the start found keeps every rule of the network with everything else where it is; each rule
//! moves the candidate to the first minute at which that rule alone would let it stand, so nothing earlier
//! is passed over.

use super::cause::{Cause, Skip};
use super::hand::{Blind, Needs};
use super::layout::NOT_PLACED;
use super::minutes::Minutes;
use super::network::{PoolId, TaskId, Tick};
use super::reason::Reason;
use super::shop::Shop;

/// No start was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Miss {
    /// Runs that have begun hold the places of this pool and have not ended yet.
    Full(PoolId),
    /// There is none.
    Never(Reason),
}

impl Shop<'_, '_> {
    /// The earliest start at or after `from`, and who does it.
    pub(super) fn earliest(&mut self, task: TaskId, from: Tick, skip: Skip) -> Result<(Tick, u64), Miss> {
        self.earliest_by(task, from, Tick::MAX, skip)
    }

    /// The same where a start after `last` is of no use: it is not looked for.
    pub(super) fn earliest_by(
        &mut self,
        task: TaskId,
        from: Tick,
        last: Tick,
        skip: Skip,
    ) -> Result<(Tick, u64), Miss> {
        let layout = self.layout;
        let data = &layout.network.tasks[task as usize];
        let never = |reason| Err(Miss::Never(reason));
        let Some(latest) = layout.latest_start[task as usize] else {
            return never(layout.why_never(task));
        };
        self.lay_out_windows(task, skip);
        let has_windows = !self.span_ends.is_empty();
        let followers = self.followers(task, skip);
        let latest = latest.min(followers.most).min(last);
        let starts = data.starts.filter(|_| !skip.has(Cause::StartSet));
        let needed = layout.hands_needed(task);
        let mut at = from.max(followers.least);
        let mut late = Reason::Horizon;
        let mut workers = 0;
        loop {
            if at > latest {
                // a start that is only of no use to the one who asks needs no reason
                return never(if late == Reason::Horizon && at <= last {
                    layout.why_never(task)
                } else {
                    late
                });
            }
            if let Some(set) = starts {
                let set = &layout.network.start_sets[set as usize];
                let Some(stretch) = set.get(set.partition_point(|stretch| stretch.until <= at)) else {
                    return never(Reason::NeverInStartSet);
                };
                if stretch.from > at {
                    (at, late) = (stretch.from, Reason::NeverInStartSet);
                    continue;
                }
            }
            if has_windows {
                match self.inside_windows(at) {
                    None => return never(Reason::TailNeverReached),
                    Some(inside) if inside > at => {
                        (at, late) = (inside, Reason::Horizon);
                        continue;
                    }
                    Some(_) => {}
                }
            }
            if needed > 0 {
                // dusty work waits for the minutes wet films leave it and for hands at once: either alone is often there
                let only = self.left_for_dust(task, skip);
                let Some((free, who)) = self.hands_from(task, (at, latest), only, skip) else {
                    let in_any = only.and_then(|_| self.hands_from(task, (at, latest), None, skip));
                    return never(in_any.map_or(Reason::NoShiftLongEnough, |_| layout.why_never(task)));
                };
                workers = who;
                if free > at {
                    let held_up = only.map_or(Reason::NoShiftLongEnough, |_| Reason::Horizon);
                    (at, late) = (free, held_up);
                    if starts.is_some() || has_windows {
                        continue;
                    }
                    if at > latest {
                        continue;
                    }
                }
            }
            if let Some(clear) = self.kept_apart(task, at, skip) {
                (at, late) = (clear.max(at + 1), Reason::Horizon);
                continue;
            }
            if let Some(free) = self.places_free(task, at, skip)? {
                (at, late) = (free.max(at + 1), Reason::CapacityTooSmall);
                continue;
            }
            if followers.windows && !self.windows_hold(task, at.saturating_add(data.minutes), skip) {
                at += 1;
                continue;
            }
            return Ok((at, workers));
        }
    }

    /// The minutes that wet films leave a task that makes dust; `None` where it may be done in any.
    pub(super) fn left_for_dust(&self, task: TaskId, skip: Skip) -> Option<&Minutes> {
        let network = self.layout.network;
        let data = &network.tasks[task as usize];
        let disregarded = skip.has(Cause::DustWet) || skip.has(Cause::DustSettle);
        let waits = network.apart.is_some() && data.dusty && data.minutes > 0 && !disregarded;
        waits.then(|| self.levels.barred.left())
    }

    /// First tick at or after `from` at which enough hands can do the task, and whose; after `latest` any such tick.
    /// `only` are the minutes it may be done in, hands apart.
    pub(super) fn hands_from(
        &self,
        task: TaskId,
        (from, latest): (Tick, Tick),
        only: Option<&Minutes>,
        skip: Skip,
    ) -> Option<(Tick, u64)> {
        let network = self.layout.network;
        let data = &network.tasks[task as usize];
        let blind = Blind {
            to_tasks: skip.has(Cause::Hands),
            to_shifts: skip.has(Cause::Shift),
            to_setups: skip.has(Cause::SetUp),
        };
        let first = |worker: usize, at: Tick| {
            let needs = Needs {
                minutes: data.minutes,
                family: data.family,
                only,
            };
            self.hands[worker].first_start(at..=latest, needs, &network.families, blind)
        };
        if data.crew.count == 1 {
            return self.one_hand_from(task, from, first);
        }
        let among = (0..self.hands.len()).filter(|worker| data.crew.among >> worker & 1 == 1);
        let needed = usize::from(data.crew.count);
        let mut found = [(NOT_PLACED, 0_usize); 64];
        let mut count = 0;
        for worker in among {
            if let Some(start) = first(worker, from) {
                found[count] = (start, worker);
                count += 1;
            }
        }
        loop {
            if count < needed {
                return None;
            }
            let found = &mut found[..count];
            if needed > 1 {
                found.sort_unstable();
            }
            let at = if needed == 1 {
                found.iter().map(|one| one.0).min()?
            } else {
                found.get(needed - 1)?.0
            };
            let mut together = 0;
            let mut kept = 0;
            for index in 0..count {
                let (mut start, worker) = found[index];
                if start < at {
                    match first(worker, at) {
                        Some(again) => start = again,
                        None => continue,
                    }
                }
                together += usize::from(start == at);
                found[kept] = (start, worker);
                kept += 1;
            }
            count = kept;
            if together >= needed || at > latest {
                return Some((at, self.pick(task, at, needed, &found[..count])));
            }
        }
    }

    /// As [`Shop::hands_from`] for a task that one worker does.
    #[inline]
    fn one_hand_from(
        &self,
        task: TaskId,
        from: Tick,
        first: impl Fn(usize, Tick) -> Option<Tick>,
    ) -> Option<(Tick, u64)> {
        let mut left = self.layout.network.tasks[task as usize].crew.among;
        let (mut at, mut who, mut equal) = (NOT_PLACED, 0_u64, false);
        while left != 0 {
            let worker = left.trailing_zeros() as usize;
            left &= left - 1;
            if worker >= self.hands.len() {
                break;
            }
            let Some(start) = first(worker, from) else { continue };
            if start < at {
                (at, who, equal) = (start, 1 << worker, false);
            } else if start == at {
                who |= 1 << worker;
                equal = true;
            }
        }
        if who == 0 {
            return None;
        }
        if equal {
            let ready: Vec<(Tick, usize)> = (0..self.hands.len())
                .filter(|worker| who >> worker & 1 == 1)
                .map(|worker| (at, worker))
                .collect();
            who = self.pick(task, at, 1, &ready);
        }
        Some((at, who))
    }

    /// Who does it: least added set-up, then who is in the shop anyway, then the first.
    fn pick(&self, task: TaskId, at: Tick, needed: usize, found: &[(Tick, usize)]) -> u64 {
        let ready = found.iter().filter(|one| one.0 == at).map(|one| one.1);
        if ready.clone().count() == needed {
            return ready.fold(0, |all, worker| all | 1 << worker);
        }
        let network = self.layout.network;
        let data = &network.tasks[task as usize];
        let mut ranked: Vec<((Tick, bool), usize)> = ready
            .map(|worker| {
                (
                    self.hands[worker].cost(at, data.minutes, data.family, &network.families),
                    worker,
                )
            })
            .collect();
        ranked.sort_unstable();
        ranked
            .iter()
            .take(needed)
            .fold(0, |all, &(_, worker)| all | 1 << worker)
    }

    /// Dust against wet: `None` when it may start at `at`, else the first tick that is not ruled out at once.
    #[inline]
    fn kept_apart(&self, task: TaskId, at: Tick, skip: Skip) -> Option<Tick> {
        let layout = self.layout;
        let apart = layout.network.apart?;
        let data = &layout.network.tasks[task as usize];
        let end = at.saturating_add(data.minutes);
        let (meet, settle) = (!skip.has(Cause::DustWet), !skip.has(Cause::DustSettle));
        if let Some(wet) = data.wet {
            let settling = if settle { apart.settle } else { 0 };
            if settle && let Some(last) = self.levels.dust.last_above(at.saturating_sub(settling), at, 0) {
                return Some(last + 1 + settling);
            }
            if meet {
                let until = layout.after(wet, end).unwrap_or(NOT_PLACED);
                if let Some(last) = self.levels.dust.last_above(at, until, 0) {
                    return Some(last + 1 + settling);
                }
            }
        }
        if data.dusty && data.minutes > 0 {
            if meet && let Some(last) = self.levels.wet.last_above(at, end, 0) {
                return Some(self.levels.wet.first_within(last + 1, 0));
            }
            if settle && apart.settle > 0 {
                let until = end.saturating_add(apart.settle);
                if let Some(start) = self.levels.wet_starts.last_above(end, until, 0) {
                    // no room before that wet start: past it, then past its wet time
                    return Some(start + 1);
                }
            }
        }
        None
    }
}
