//! A run of tasks that holds a place from its first start until its last tail is over.
//!
//! Invariant: it is never said to end later than it can, whatever else hands and places are asked for.

use crate::planner::layout::Layout;
use crate::planner::network::{Chain, Stretch, Tail, TaskId, Tick, WindowSpan};
use crate::planner::stretches::{both, joined};
use foldhash::HashMap;

/// Ticks after the soonest end that are looked at for a later start whose limits fit better: a week.
const LOOK: Tick = 7 * 24 * 60;

/// A run with all that its length depends on.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(super) struct Run {
    /// In the order of the waits; the first takes the place.
    pub(super) steps: Vec<Step>,
    /// Step that ends it, and the tail after which the place is free.
    pub(super) ends: Vec<(usize, Tail)>,
}

/// A task of a run.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(super) struct Step {
    pub(super) minutes: Tick,
    /// Tasks with the same openings.
    openings: u32,
    pub(super) after: Vec<Link>,
}

/// An earlier step that a step's start is counted from.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(super) struct Link {
    pub(super) before: usize,
    /// Ticks from that step's start.
    pub(super) lead: Tick,
    /// Of which one must hold.
    pub(super) spans: Vec<Span>,
}

/// When after a step the next may start.
#[derive(Clone, PartialEq, Eq, Hash)]
pub(super) struct Span {
    pub(super) opens: Tail,
    closes: Option<Tail>,
    /// What has to be done again before it: openings, minutes.
    via: Option<(u32, Tick)>,
}

impl Run {
    /// The run of a chain, made of these tasks.
    pub(super) fn of(layout: &Layout, chain: &Chain, tasks: &[TaskId]) -> Self {
        let network = layout.network;
        let at: HashMap<TaskId, usize> = tasks.iter().enumerate().map(|(at, &task)| (task, at)).collect();
        let step = |&task: &TaskId| {
            let data = &network.tasks[task as usize];
            let mut after = Vec::new();
            for &wait in layout.waits_into.of(task) {
                let wait = &network.waits[wait as usize];
                if let Some(&before) = at.get(&wait.before) {
                    let lead = layout.lead(wait);
                    let span = Span {
                        opens: wait.min,
                        closes: wait.max,
                        via: None,
                    };
                    let spans = vec![span];
                    after.push(Link { before, lead, spans });
                }
            }
            for &window in layout.windows_into.of(task) {
                let window = &network.windows[window as usize];
                if let Some(&before) = at.get(&window.before) {
                    let span = |span: &WindowSpan| Span {
                        opens: span.opens,
                        closes: span.closes,
                        via: span.via.map(|via| (layout.openings().set(via), layout.minutes(via))),
                    };
                    let lead = layout.minutes(window.before);
                    let spans = window.spans.iter().map(span).collect();
                    after.push(Link { before, lead, spans });
                }
            }
            Step {
                minutes: data.minutes,
                openings: layout.openings().set(task),
                after,
            }
        };
        let ends = chain
            .last
            .iter()
            .filter_map(|&(task, tail)| Some((*at.get(&task)?, tail)));
        Self {
            steps: tasks.iter().map(step).collect(),
            ends: ends.collect(),
        }
    }

    /// The soonest tick at which the place can be free if the first task starts at `from` or later; `None` where that
    /// is never.
    pub(super) fn end(&self, layout: &Layout, from: Tick) -> Option<Tick> {
        // what begins or goes on later than that is over later
        let horizon = self.end_without_limits(layout, from)?.saturating_add(LOOK);
        let mut starts: Vec<Vec<Stretch>> = Vec::with_capacity(self.steps.len());
        for step in &self.steps {
            let mut allowed = vec![Stretch { from, until: horizon }];
            for link in &step.after {
                allowed = both(&allowed, &link.afters(layout, &starts[link.before], horizon));
            }
            if let Some(openings) = layout.openings().of_set(step.openings) {
                let near = openings.partition_point(|stretch| stretch.until <= from);
                allowed = both(&allowed, &openings[near..]);
            }
            if allowed.is_empty() {
                return Some(horizon);
            }
            starts.push(allowed);
        }
        let mut end = from;
        for &(step, tail) in &self.ends {
            let first = starts[step].first()?.from;
            end = end.max(layout.after(tail, first + self.steps[step].minutes)?);
        }
        Some(end.min(horizon))
    }

    /// The same as if no span ever closed.
    pub(super) fn end_without_limits(&self, layout: &Layout, from: Tick) -> Option<Tick> {
        let mut begins: Vec<Tick> = Vec::with_capacity(self.steps.len());
        for step in &self.steps {
            let mut begin = from;
            for link in &step.after {
                let base = begins[link.before] + link.lead;
                begin = begin.max(
                    link.spans
                        .iter()
                        .filter_map(|span| layout.after(span.opens, base))
                        .min()?,
                );
            }
            begins.push(layout.openings().first_in(step.openings, begin)?);
        }
        let mut end = from;
        for &(step, tail) in &self.ends {
            end = end.max(layout.after(tail, begins[step] + self.steps[step].minutes)?);
        }
        Some(end)
    }
}

impl Link {
    /// Starts before `horizon` that some start of the earlier step leaves.
    fn afters(&self, layout: &Layout, befores: &[Stretch], horizon: Tick) -> Vec<Stretch> {
        let mut afters = Vec::new();
        let mut open = horizon;
        for span in &self.spans {
            let opens = |before: &Stretch| {
                let from = layout.after(span.opens, before.from + self.lead)?;
                match span.via {
                    Some((openings, minutes)) => Some(layout.openings().first_in(openings, from)? + minutes),
                    None => Some(from),
                }
            };
            let Some(closes) = span.closes else {
                // open from the soonest on
                open = befores.first().and_then(opens).map_or(open, |from| from.min(open));
                continue;
            };
            for before in befores {
                let Some(from) = opens(before).filter(|&from| from < horizon) else {
                    break;
                };
                let last = layout.after(closes, before.until - 1 + self.lead);
                let until = last.map_or(horizon, |last| last.saturating_add(1).min(horizon));
                afters.push(Stretch { from, until });
            }
        }
        afters.push(Stretch {
            from: open,
            until: horizon,
        });
        joined(afters)
    }
}
