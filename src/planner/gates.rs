//! What the tasks before and after one task say of its start.
//!
//! Invariant: only waits, windows and optional tasks are looked at here; hands, dust and places are not.

use super::cause::{Cause, Skip};
use super::earliest::Miss;
use super::layout::NOT_PLACED;
use super::network::{Clock, Stretch, Tail, TaskId, Tick, Window};
use super::reason::Reason;
use super::shop::Shop;

/// What the later tasks already placed ask of a task's start.
pub(super) struct Followers {
    /// Not before (their longest waits).
    pub(super) least: Tick,
    /// Not after (their least waits).
    pub(super) most: Tick,
    /// Windows into placed tasks must be looked at minute by minute.
    pub(super) windows: bool,
}

impl Shop<'_, '_> {
    /// The earliest tick that the tasks before it, its release and its chain of waits allow.
    pub(super) fn ready_at(&self, task: TaskId, skip: Skip) -> Result<Tick, Miss> {
        let layout = self.layout;
        let mut ready = if skip.has(Cause::Release) {
            0
        } else {
            layout.network.tasks[task as usize].release
        };
        for &wait in layout.waits_into.of(task) {
            let wait = &layout.network.waits[wait as usize];
            if !self.is_placed(wait.before) || skip.has(Cause::Wait(wait.before)) {
                continue;
            }
            let base = if wait.from_start {
                self.start[wait.before as usize]
            } else {
                self.end(wait.before)
            };
            let until = layout
                .after(wait.min, base)
                .ok_or(Miss::Never(Reason::TailNeverReached))?;
            ready = ready.max(until);
        }
        if let Some(apart) = layout.network.apart
            && layout.network.dust_until > 0
            && layout.network.tasks[task as usize].wet.is_some()
            && !skip.has(Cause::DustSettle)
        {
            ready = ready.max(layout.network.dust_until + apart.settle);
        }
        // one that is due in any case is bound by the windows that rely on it too
        ready = ready.max(self.via_opens(task, skip));
        Ok(ready)
    }

    /// When a task may start so that the placed tasks which need it stay inside their windows.
    fn via_opens(&self, via: TaskId, skip: Skip) -> Tick {
        let layout = self.layout;
        let mut opens = 0;
        for &window in layout.windows_via.of(via) {
            let window = &layout.network.windows[window as usize];
            let open = self
                .via_open_in(window, via, skip)
                .or_else(|| self.due_via_open_in(window, via, skip));
            opens = opens.max(open.unwrap_or(0));
        }
        opens
    }

    /// The opening a preparation that is due in any case has to wait for, where a later task still to come can only
    /// go in by it: done sooner it would leave that task no way in.
    fn due_via_open_in(&self, window: &Window, via: TaskId, skip: Skip) -> Option<Tick> {
        let only_way = window.spans.iter().all(|span| span.via == Some(via));
        if !only_way
            || self.layout.is_optional(via)
            || self.is_placed(window.after)
            || !self.is_placed(window.before)
            || skip.has(Cause::Window(window.before))
        {
            return None;
        }
        let end = self.end(window.before);
        window.spans.first().and_then(|span| self.layout.after(span.opens, end))
    }

    /// Whether a placed task needs this optional one to stay inside its window.
    pub(super) fn is_called_for(&self, via: TaskId) -> bool {
        let layout = self.layout;
        layout.windows_via.of(via).iter().any(|&window| {
            self.via_open_in(&layout.network.windows[window as usize], via, Skip::NOTHING)
                .is_some()
        })
    }

    /// The opening that binds an optional task in one window; `None` when the window does not need it.
    fn via_open_in(&self, window: &Window, via: TaskId, skip: Skip) -> Option<Tick> {
        if !self.is_placed(window.after) || !self.is_placed(window.before) || skip.has(Cause::Window(window.before)) {
            return None;
        }
        let at = self.start[window.after as usize];
        let end = self.end(window.before);
        let mut least = None;
        for (_, open, span) in self.layout.network.stretches_at(window, end, at) {
            match span.via {
                Some(one) if one == via => least = Some(least.map_or(open, |least: Tick| least.min(open))),
                Some(other) if !self.is_placed(other) => {}
                _ => return None,
            }
        }
        least
    }

    /// Fills `spans` with the stretches in which each window into `task` lets it start.
    pub(super) fn lay_out_windows(&mut self, task: TaskId, skip: Skip) {
        self.spans.clear();
        self.span_ends.clear();
        let layout = self.layout;
        for &window in layout.windows_into.of(task) {
            let window = &layout.network.windows[window as usize];
            if !self.is_placed(window.before) || skip.has(Cause::Window(window.before)) {
                continue;
            }
            let end = self.end(window.before);
            for span in &window.spans {
                let Some(mut open) = layout.after(span.opens, end) else {
                    break;
                };
                let close = span
                    .closes
                    .and_then(|closes| layout.after(closes, end))
                    .unwrap_or(NOT_PLACED);
                if let Some(via) = span.via
                    && (!self.trusting || self.is_placed(via))
                {
                    if !self.is_placed(via) || self.start[via as usize] < open {
                        continue;
                    }
                    open = open.max(self.end(via));
                }
                if open < close {
                    self.spans.push(Stretch {
                        from: open,
                        until: close,
                    });
                }
            }
            self.span_ends.push(self.spans.len());
        }
    }

    /// First tick at or after `at` inside a stretch of every window.
    pub(super) fn inside_windows(&self, mut at: Tick) -> Option<Tick> {
        loop {
            let before = at;
            let mut begin = 0;
            for &end in &self.span_ends {
                let spans = &self.spans[begin..end];
                at = spans
                    .iter()
                    .filter(|span| at < span.until)
                    .map(|span| at.max(span.from))
                    .min()?;
                begin = end;
            }
            if at == before {
                return Some(at);
            }
        }
    }

    pub(super) fn followers(&self, task: TaskId, skip: Skip) -> Followers {
        let layout = self.layout;
        let minutes = layout.minutes(task);
        let mut followers = Followers {
            least: 0,
            most: NOT_PLACED,
            windows: false,
        };
        for &wait in layout.waits_from.of(task) {
            let wait = &layout.network.waits[wait as usize];
            if !self.is_placed(wait.after) || layout.is_fixed(wait.after) {
                continue;
            }
            let start = self.start[wait.after as usize];
            let lead = if wait.from_start { 0 } else { minutes };
            if let Some(max) = wait.max
                && !skip.has(Cause::Bundle(wait.after))
            {
                followers.least = followers
                    .least
                    .max(self.first_reaching(max, start).saturating_sub(lead));
            }
            if !skip.has(Cause::Wait(wait.after)) {
                let last = self.last_reached(wait.min, start);
                followers.most = followers.most.min(last.map_or(0, |last| last.saturating_sub(lead)));
                if last.is_none_or(|last| last < lead) {
                    followers.least = NOT_PLACED;
                }
            }
        }
        for &window in layout.windows_from.of(task) {
            let window = &layout.network.windows[window as usize];
            followers.windows |= self.is_placed(window.after)
                && !layout.is_fixed(window.after)
                && !skip.has(Cause::Window(window.after));
        }
        for &window in layout.windows_via.of(task) {
            let window = &layout.network.windows[window as usize];
            if self.via_open_in(window, task, skip).is_some() {
                let start = self.start[window.after as usize];
                followers.most = followers.most.min(start.saturating_sub(minutes));
            }
        }
        followers
    }

    /// The first start of a tail that is not over before `at`.
    pub(super) fn first_reaching(&self, tail: Tail, at: Tick) -> Tick {
        match &self.layout.network.clocks[tail.clock as usize] {
            Clock::Wall => u64::from(at).saturating_sub(tail.amount) as Tick,
            Clock::Measured(_) if tail.amount == 0 || at == 0 => at,
            Clock::Measured(total) => {
                // over by the minute before means that the clock has gone far enough by then
                let before = (at as usize).min(total.len());
                let Some(&passed) = before.checked_sub(1).and_then(|minute| total.get(minute)) else {
                    return 0;
                };
                let is_over = |&begun: &u64| begun.checked_add(tail.amount).is_some_and(|wanted| wanted <= passed);
                total.get(..before).map_or(0, |known| known.partition_point(is_over)) as Tick
            }
        }
    }

    /// The last start of a tail that is over by `at`.
    fn last_reached(&self, tail: Tail, at: Tick) -> Option<Tick> {
        self.first_reaching(tail, at.saturating_add(1)).checked_sub(1)
    }

    /// Whether the placed tasks after `task` stay inside their windows if it ends at `end`.
    pub(super) fn windows_hold(&self, task: TaskId, end: Tick, skip: Skip) -> bool {
        let layout = self.layout;
        layout.windows_from.of(task).iter().all(|&window| {
            let window = &layout.network.windows[window as usize];
            if !self.is_placed(window.after) || layout.is_fixed(window.after) || skip.has(Cause::Window(window.after)) {
                return true;
            }
            let at = self.start[window.after as usize];
            window.spans.iter().any(|span| {
                let Some(open) = layout.after(span.opens, end) else {
                    return false;
                };
                let close = span
                    .closes
                    .and_then(|closes| layout.after(closes, end))
                    .unwrap_or(NOT_PLACED);
                let via = span
                    .via
                    .is_none_or(|via| self.is_placed(via) && self.start[via as usize] >= open && self.end(via) <= at);
                via && (open..close).contains(&at)
            })
        })
    }
}
