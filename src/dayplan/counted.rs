//! The hours that counted of each round's wait, as notes of the plan.
//!
//! Invariant: a note refers to the films of one round and tells of the last of them to be dry; a wait in which
//! every hour counted for about an hour has no note.

use super::document::{Caution, Operation, Plan, Severity, Stamp, State};
use super::frame::Frame;
use crate::clock::{Counted, counted};
use crate::units::Moment;

/// The code of these notes: they are said with their round.
pub const HOURS_COUNTED: &str = "hours-counted";

/// A note for the rounds whose films dry through hours that count less than their time.
pub(super) fn notes(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    let each = plan.rounds.iter().filter_map(|round| {
        let films = plan.operations.iter().filter(|operation| {
            operation.dry.is_some() && operation.state != State::Skipped && round.operations.contains(&operation.id)
        });
        let last = films.clone().filter_map(|film| Some((waited_for(plan, film)?, film)));
        let ((what, until), film) = last.max_by_key(|((_, until), _)| *until)?;
        let product = frame.job.product(film.product.as_deref()?)?;
        let (_, clock) = frame.clock(&product.id)?;
        let (from, until) = (Moment::of(&film.end), Moment::of(&until));
        let counted = counted(product, &frame.air, clock, from, until).filter(Counted::tells)?;
        let until = until.with_offset(frame.job.zone).format("%a %-d %b %H:%M");
        Some(Caution {
            code: HOURS_COUNTED.to_owned(),
            severity: Severity::Note,
            text: format!("{}: {what} {until}", product.name),
            figure: Some(counted.to_string()),
            source: Some("this room's air foreseen, and the product's own floor".to_owned()),
            refers: films.map(|film| film.id.clone()).collect(),
        })
    });
    let mut notes: Vec<Caution> = Vec::new();
    for note in each {
        // rounds that wait alike are said together
        match notes
            .iter_mut()
            .find(|known| (&known.text, &known.figure) == (&note.text, &note.figure))
        {
            Some(known) => known.refers.extend(note.refers),
            None => notes.push(note),
        }
    }
    notes
}

/// What is waited for after a film: the window the next coat uses, else that it may be glued.
fn waited_for(plan: &Plan, film: &Operation) -> Option<(&'static str, Stamp)> {
    let dry = film.dry.as_ref()?;
    let over = plan
        .operations
        .iter()
        .find(|next| next.dry.is_some() && next.film_from.as_deref() == Some(film.id.as_str()));
    let used = over.and_then(|next| dry.windows.iter().rfind(|window| window.from <= next.start));
    match used {
        Some(window) => Some(("dry to recoat", window.from)),
        None => dry.dry_hard.map(|hard| ("dry hard", hard)),
    }
}
