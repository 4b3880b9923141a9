//! One task with the optional ones its windows call for.
//!
//! Invariant: an optional task goes in only where that lets the later task start sooner than without it, and no
//! task goes in twice.

use super::cause::Skip;
use super::decode::Decoder;
use super::earliest::Miss;
use super::network::{TaskId, Tick};

/// How far ahead at the most the next start is hoped for when what a start needs does not fit.
const LONGEST_STEP: Tick = 60;

impl Decoder<'_, '_> {
    /// Places one task, and the optional tasks its windows call for.
    pub(super) fn task(&mut self, task: TaskId, least: Tick) -> Result<(), Miss> {
        if self.shop.is_placed(task) {
            // due in any case, and a window has called for it already
            return Ok(());
        }
        let shop = &mut self.shop;
        let ready = shop.ready_at(task, Skip::NOTHING)?.max(least);
        if !self.calls_for_optional(task) {
            let found = self.shop.earliest(task, ready, Skip::NOTHING)?;
            self.put(task, found);
            return Ok(());
        }
        let plain = self.shop.earliest(task, ready, Skip::NOTHING);
        self.shop.trusting = true;
        let hoped = self.shop.earliest(task, ready, Skip::NOTHING);
        self.shop.trusting = false;
        let hoped = match hoped {
            Ok((hoped, _)) => hoped,
            // what stands in the way even so is the reason, not the stretch that is still closed
            Err(miss) => {
                return plain.map_or(Err(miss), |found| {
                    self.put(task, found);
                    Ok(())
                });
            }
        };
        if plain.as_ref().is_ok_and(|&(start, _)| start <= hoped) {
            return plain.map(|found| self.put(task, found));
        }
        let begin = self.log.len();
        match self.with_optional(task, ready, hoped) {
            Ok(found) if plain.as_ref().is_ok_and(|plain| plain.0 <= found.0) => {}
            Ok(found) => {
                self.put(task, found);
                let needed = self.log[begin..self.log.len() - 1]
                    .iter()
                    .all(|&via| self.shop.is_called_for(via));
                if needed {
                    return Ok(());
                }
            }
            Err(miss) if plain.is_err() => {
                self.undo_to(begin);
                return Err(miss);
            }
            Err(_) => {}
        }
        self.undo_to(begin);
        plain.map(|found| self.put(task, found))
    }

    fn calls_for_optional(&self, task: TaskId) -> bool {
        let layout = self.shop.layout;
        layout.windows_into.of(task).iter().any(|&window| {
            let window = &layout.network.windows[window as usize];
            self.shop.is_placed(window.before)
                && window
                    .spans
                    .iter()
                    .any(|span| span.via.is_some_and(|via| !self.shop.is_placed(via)))
        })
    }

    /// Places the optional tasks that a start at `hoped` would need, then finds the start they allow.
    fn with_optional(&mut self, task: TaskId, ready: Tick, mut hoped: Tick) -> Result<(Tick, u64), Miss> {
        let begin = self.log.len();
        let mut step = 1;
        loop {
            self.put_called_for(task, hoped)?;
            let from = self.shop.ready_at(task, Skip::NOTHING)?.max(ready);
            let found = self.shop.earliest(task, from, Skip::NOTHING);
            if found.is_ok() || self.log.len() == begin {
                return found;
            }
            // what was put in has moved the start into a later stretch of another window: begin again for that
            self.shop.trusting = true;
            let later = self.shop.earliest(task, from, Skip::NOTHING);
            self.undo_to(begin);
            let later = later.or_else(|_| self.shop.earliest(task, hoped + step, Skip::NOTHING));
            self.shop.trusting = false;
            hoped = later?.0.max(hoped + step);
            step = (2 * step).min(LONGEST_STEP);
        }
    }

    /// Places the optional tasks that a start at `hoped` needs.
    fn put_called_for(&mut self, task: TaskId, hoped: Tick) -> Result<(), Miss> {
        let layout = self.shop.layout;
        let mut called: Vec<(TaskId, Tick)> = Vec::new();
        for &window in layout.windows_into.of(task) {
            let window = &layout.network.windows[window as usize];
            if !self.shop.is_placed(window.before) {
                continue;
            }
            let end = self.shop.end(window.before);
            let mut chosen = None;
            for span in &window.spans {
                let Some(open) = layout.after(span.opens, end) else {
                    break;
                };
                let close = span
                    .closes
                    .and_then(|closes| layout.after(closes, end))
                    .unwrap_or(Tick::MAX);
                if (open..close).contains(&hoped) {
                    chosen = Some((span.via, open));
                    if span.via.is_none() {
                        break;
                    }
                }
            }
            if let Some((Some(via), open)) = chosen
                && !self.shop.is_placed(via)
            {
                match called.iter_mut().find(|(known, _)| *known == via) {
                    Some((_, opens)) => *opens = open.max(*opens),
                    None => called.push((via, open)),
                }
            }
        }
        // those that others wait for go in first
        while !called.is_empty() {
            let waits = |via: TaskId| {
                let mut into = layout
                    .waits_into
                    .of(via)
                    .iter()
                    .map(|&wait| layout.network.waits[wait as usize].before);
                into.any(|before| called.iter().any(|&(other, _)| other == before))
            };
            let next = called.iter().position(|&(via, _)| !waits(via)).unwrap_or(0);
            let (via, open) = called.remove(next);
            let from = self.shop.ready_at(via, Skip::NOTHING)?.max(open);
            let from = from.max(self.fresh_from(via, task, hoped));
            let found = self.shop.earliest(via, from, Skip::NOTHING)?;
            self.put(via, found);
        }
        Ok(())
    }

    /// The first start of an optional task with which what it serves would still be inside a window from it at
    /// `hoped`.
    fn fresh_from(&self, via: TaskId, task: TaskId, hoped: Tick) -> Tick {
        let layout = self.shop.layout;
        let windows = layout.windows_from.of(via).iter();
        let own = windows
            .map(|&window| &layout.network.windows[window as usize])
            .filter(|window| window.after == task);
        let closes = own.filter_map(|window| window.spans.first()?.closes);
        let least = closes.map(|closes| self.shop.first_reaching(closes, hoped.saturating_add(1)));
        least.max().unwrap_or(0).saturating_sub(layout.minutes(via))
    }
}
