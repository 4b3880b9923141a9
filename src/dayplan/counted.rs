//! The hours that counted of each round's wait, as notes of the plan.
//!
//! Invariant: a note refers to the films of one round and tells of the last of them to be dry; a wait in which
//! every hour counted for about an hour has no note.

use super::document::{Caution, Operation, Plan, Severity, Stamp, State};
use super::frame::Frame;
use crate::clock::{Counted, counted};
use crate::units::Moment;
use foldhash::HashMap;

/// The code of these notes: they are said with their round.
pub const HOURS_COUNTED: &str = "hours-counted";

/// A note for the rounds whose films dry through hours that count less than their time.
pub(super) fn notes(frame: &Frame, plan: &Plan) -> Vec<Caution> {
    let wet = plan.operations.iter().filter(|operation| operation.dry.is_some());
    let mut over: HashMap<&str, &Operation> = HashMap::default();
    let mut in_round: HashMap<&str, Vec<&Operation>> = HashMap::default();
    for film in wet {
        if let Some(under) = film.film_from.as_deref() {
            over.entry(under).or_insert(film);
        }
        if let Some(round) = film.round.as_deref().filter(|_| film.state != State::Skipped) {
            in_round.entry(round).or_default().push(film);
        }
    }
    let each = plan.rounds.iter().filter_map(|round| {
        let films = in_round.get(round.id.as_str())?.iter();
        let last = films.clone().filter_map(|film| Some((waited_for(&over, film)?, film)));
        let ((what, until), film) = last.max_by_key(|((_, until), _)| *until)?;
        let product = frame.job.product(film.product.as_deref()?)?;
        let (_, clock) = frame.clock(&product.id)?;
        let (from, until) = (Moment::of(&film.end), Moment::of(&until));
        let counted = counted(product, frame.air(), clock, from, until).filter(Counted::tells)?;
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

/// What is waited for after a film: the window the next coat uses, else that it may be glued. `over` has the film
/// laid first on each.
fn waited_for(over: &HashMap<&str, &Operation>, film: &Operation) -> Option<(&'static str, Stamp)> {
    let dry = film.dry.as_ref()?;
    let next = over.get(film.id.as_str());
    let used = next.and_then(|next| dry.windows.iter().rfind(|window| window.from <= next.start));
    match used {
        Some(window) => Some(("dry to recoat", window.from)),
        None => dry.dry_hard.map(|hard| ("dry hard", hard)),
    }
}
