//! Keys of the page *Day*.
//!
//! Invariant: the cursor is on a round of the plan in force, or nowhere; nothing is written from here.

use super::super::key::Key;
use super::super::model::Model;
use super::super::pages::day::{Days, Mark};
use super::super::pages::sticks::{self, Stick};
use super::say;

impl Model {
    /// The mark the cursor of *Day* is on: the one chosen, or else that of the round hands are on or come to.
    pub fn picked_mark(&self, days: &Days) -> Option<usize> {
        let plan = self.sheet.plan.as_ref()?;
        let chosen = self.pages.day.picked.as_deref().and_then(|id| days.position(plan, id));
        let of_now = || self.card().and_then(|card| days.position(plan, &card.id));
        let last = days.marks.len().checked_sub(1);
        chosen.or_else(of_now).or(last)
    }
}

/// Takes a key.
pub fn press(model: &mut Model, key: Key) {
    let (Some(days), Some(plan)) = (model.days(), model.sheet.plan.clone()) else {
        say(model, model.no_figures());
        return;
    };
    let Some(at) = model.picked_mark(&days) else { return };
    let last = days.marks.len().saturating_sub(1);
    let to = match key {
        Key::Left => at.saturating_sub(1),
        Key::Right => (at + 1).min(last),
        Key::Home | Key::Char('g') => 0,
        Key::End | Key::Char('G') => last,
        Key::Up | Key::Char('k') => on_stick(model, &days, at, false),
        Key::Down | Key::Char('j') => on_stick(model, &days, at, true),
        Key::PageUp => (0..3).fold(at, |at, _| on_stick(model, &days, at, false)),
        Key::PageDown => (0..3).fold(at, |at, _| on_stick(model, &days, at, true)),
        Key::Char('+' | '=') => return zoom(model, true),
        Key::Char('-') => return zoom(model, false),
        Key::Char('w') => return next_in_chain(model, &days, at),
        Key::Esc | Key::Char(' ' | '.') => {
            model.pages.day.picked = None;
            return;
        }
        _ => return,
    };
    pick(model, &days, &plan, to);
}

fn pick(model: &mut Model, days: &Days, plan: &crate::dayplan::Plan, to: usize) {
    let round = days.marks.get(to).and_then(|mark| plan.rounds.get(mark.round));
    model.pages.day.picked = round.map(|round| round.id.clone());
}

fn zoom(model: &mut Model, closer: bool) {
    let page = &mut model.pages.day;
    let to = page.zoom.step(closer);
    if to == page.zoom {
        say(
            model,
            if closer {
                "Closer than an hour a stick it does not go."
            } else {
                "Wider than a day a line it does not go."
            },
        );
        return;
    }
    page.zoom = to;
}

/// The next round that the end waits for, from the first again after the last.
fn next_in_chain(model: &mut Model, days: &Days, at: usize) {
    let Some(plan) = model.sheet.plan.clone() else { return };
    let chained = |(_, mark): &(usize, &Mark)| mark.in_chain;
    let all = || days.marks.iter().enumerate().filter(chained);
    match all().find(|(index, _)| *index > at).or_else(|| all().next()) {
        Some((to, _)) => pick(model, days, &plan, to),
        None => say(model, "No round sets the end."),
    }
}

/// The mark nearest in place on the stick above or below.
fn on_stick(model: &Model, days: &Days, at: usize, down: bool) -> usize {
    let Some(mark) = days.marks.get(at) else { return at };
    let all = sticks::sticks(days, model.pages.day.zoom, model.sheet.job.zone);
    let marked: Vec<&Stick> = all
        .iter()
        .filter(|stick| matches!(stick, Stick::Marked { .. }))
        .collect();
    let Some(here) = marked.iter().position(|stick| stick.holds(mark.start)) else {
        return at;
    };
    let other = if down {
        marked.get(here + 1)
    } else {
        here.checked_sub(1).and_then(|above| marked.get(above))
    };
    let (Some(from), Some(other)) = (marked.get(here).map(|stick| stick.span().0), other) else {
        return at;
    };
    let (start, end) = other.span();
    let wanted = start + (mark.start - from);
    let in_it = days
        .marks
        .iter()
        .enumerate()
        .filter(|(_, mark)| mark.start < end && mark.end > start);
    in_it
        .min_by_key(|(_, mark)| (mark.start - wanted).0.abs())
        .map_or(at, |(index, _)| index)
}
