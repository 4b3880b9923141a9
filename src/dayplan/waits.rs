//! The waits between operations as they stand in a plan.
//!
//! Invariant: only waits between operations that are in the plan, and only those that ask for something.

use super::document::{WaitFrom, WaitLine};
use super::tell::Told;
use crate::work::Delay;

/// A line for every wait and every window the plan keeps.
pub(super) fn lines(told: &Told) -> Vec<WaitLine> {
    let frame = told.frame;
    let id = |at: usize| {
        frame
            .work
            .operations
            .get(at)
            .map(|operation| operation.id.clone())
            .unwrap_or_default()
    };
    let mut lines = Vec::new();
    for wait in &frame.work.waits {
        let (Some((start, end)), Some((after, _))) = (told.times(wait.before), told.times(wait.after)) else {
            continue;
        };
        if wait.min == Delay::Minutes(0) && wait.max.is_none() {
            continue;
        }
        let from = if wait.from_start { start } else { end };
        lines.push(WaitLine {
            before: id(wait.before),
            from: if wait.from_start {
                WaitFrom::Start
            } else {
                WaitFrom::End
            },
            after: id(wait.after),
            min_minutes: frame
                .over(wait.before, wait.min, from)
                .map(|over| (over - from).0 as f64),
            // a limit that what has happened left no way to keep is none of this plan's
            max_minutes: wait.max.filter(|max| (after - from).0 <= *max).map(|max| max as f64),
            rule: wait.rule.to_owned(),
        });
    }
    for window in &frame.work.windows {
        let (Some((_, end)), Some((start, _))) = (told.times(window.before), told.times(window.after)) else {
            continue;
        };
        // the stretch this plan uses
        let used = window.spans.iter().rev().find_map(|span| {
            let opens = frame.over(window.before, span.opens, end)?;
            (opens <= start).then_some((span, opens))
        });
        let Some((span, opens)) = used else { continue };
        if span.via.is_some()
            && opens > end
            && window
                .spans
                .first()
                .is_some_and(|first| first.opens == Delay::Minutes(0))
        {
            // what had gone stale was done again: no wait stands between these two
            continue;
        }
        let closes = span.closes.and_then(|closes| frame.over(window.before, closes, end));
        lines.push(WaitLine {
            before: id(window.before),
            from: WaitFrom::End,
            after: id(window.after),
            min_minutes: Some((opens - end).0 as f64),
            max_minutes: closes.map(|closes| (closes - end).0 as f64),
            rule: window.rule.to_owned(),
        });
    }
    lines
}
