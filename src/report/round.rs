//! One round as a foreman would say it: what, on which pieces, how, and what wait follows.
//!
//! Invariant: waits are the slow estimate of the round's last piece for what opens, and the fast estimate
//! of its first piece for what closes.

use super::names::{Names, and_list};
use super::paper::{JOIN, clean};
use super::times::when;
use super::words;
use crate::dayplan::Plan;
use crate::dayplan::counted::HOURS_COUNTED;
use crate::dayplan::document::{Dry, DryWindow, Operation, Round, Stamp, State};
use crate::dayplan::dry_fit::{is_dry_fit, is_round_of_dry_fits};
use crate::finish::{Step, StepKind};
use crate::job::Holding;
use crate::units::Span;
use chrono::NaiveDate;
use std::collections::{BTreeMap, BTreeSet};

/// A plan with what is looked up over and over.
pub(super) struct View<'a> {
    pub plan: &'a Plan,
    pub names: Names<'a>,
    operations: BTreeMap<&'a str, &'a Operation>,
    on_film: BTreeMap<&'a str, Vec<&'a Operation>>,
    waits: BTreeMap<&'a str, Vec<(f64, &'a str)>>,
}

impl<'a> View<'a> {
    pub fn of(plan: &'a Plan, names: Names<'a>) -> Self {
        let mut on_film: BTreeMap<&str, Vec<&Operation>> = BTreeMap::new();
        for operation in &plan.operations {
            if let Some(film) = &operation.film_from {
                on_film.entry(film.as_str()).or_default().push(operation);
            }
        }
        let mut waits: BTreeMap<&str, Vec<(f64, &str)>> = BTreeMap::new();
        for wait in &plan.waits {
            if let Some(least) = wait.min_minutes.filter(|least| *least >= 5.0) {
                waits
                    .entry(wait.before.as_str())
                    .or_default()
                    .push((least, wait.after.as_str()));
            }
        }
        Self {
            plan,
            names,
            operations: plan
                .operations
                .iter()
                .map(|operation| (operation.id.as_str(), operation))
                .collect(),
            on_film,
            waits,
        }
    }

    pub fn operation(&self, id: &str) -> Option<&'a Operation> {
        self.operations.get(id).copied()
    }

    pub fn of_round(&self, round: &Round) -> Vec<&'a Operation> {
        round.operations.iter().filter_map(|id| self.operation(id)).collect()
    }

    /// Coats due on the surfaces an operation works: the most of them.
    fn coats_due(&self, operation: &Operation) -> usize {
        let piece = operation
            .piece
            .as_ref()
            .and_then(|id| self.plan.pieces.iter().find(|piece| piece.id == *id));
        let due = piece.into_iter().flat_map(|piece| &piece.surfaces);
        let worked = due.filter(|surface| operation.surfaces.contains(&surface.id));
        worked.map(|surface| surface.due.len()).max().unwrap_or(0)
    }

    /// `Coat 2 of 3, brushing lacquer`.
    pub fn title(&self, round: &Round) -> String {
        let operations = self.of_round(round);
        let due: BTreeSet<usize> = operations.iter().map(|operation| self.coats_due(operation)).collect();
        let title = title_of_round(round, due.last().copied());
        match &round.product {
            Some(product) => format!("{title}, {}", self.names.product(product)),
            None => title,
        }
    }

    /// What the round works on, in words.
    pub fn objects(&self, operations: &[&Operation]) -> String {
        let mut words = Vec::new();
        let pieces = self
            .names
            .in_words(operations.iter().filter_map(|operation| operation.piece.as_deref()));
        if !pieces.is_empty() {
            words.push(pieces);
        }
        let assemblies: BTreeSet<&str> = operations
            .iter()
            .filter_map(|operation| operation.assembly.as_deref())
            .collect();
        words.extend(assemblies.into_iter().map(|id| self.names.assembly(id)));
        words.join(", ")
    }

    /// Everything under the round's title, sentence by sentence.
    pub fn body(&self, round: &Round, said: &mut BTreeSet<&'a str>) -> Vec<String> {
        let operations = self.of_round(round);
        let today = round.start.date_naive();
        let mut lines = self.pieces_lines(round.step, &operations);
        if round.step == StepKind::Unmask && operations.iter().any(|operation| operation.id.ends_with("/score")) {
            lines.push("The film has gone hard: score it at the shoulder line before the tape comes off.".to_owned());
        }
        lines.extend(self.notes(&operations, said));
        lines.extend(self.after(&operations, today));
        lines.extend(self.counted(&operations));
        let done = operations
            .iter()
            .filter(|operation| matches!(operation.state, State::Done))
            .count();
        if done > 0 && done < operations.len() {
            lines.push(format!("{done} of {} done already.", operations.len()));
        }
        lines
    }

    fn pieces_lines(&self, step: StepKind, operations: &[&Operation]) -> Vec<String> {
        if !lays_film(step) {
            let objects = self.objects(operations);
            return if objects.is_empty() {
                Vec::new()
            } else {
                vec![sentence(&objects)]
            };
        }
        let mut groups: Vec<(Option<Holding>, String, Vec<&Operation>)> = Vec::new();
        for &operation in operations {
            let surfaces = match &operation.piece {
                Some(piece) => self.names.surfaces(piece, &operation.surfaces),
                None => String::new(),
            };
            match groups
                .iter_mut()
                .find(|(holding, words, _)| *holding == self.plan.kept(operation) && *words == surfaces)
            {
                Some((_, _, members)) => members.push(operation),
                None => groups.push((self.plan.kept(operation), surfaces, vec![operation])),
            }
        }
        let mut lines = Vec::new();
        for (holding, surfaces, members) in groups {
            let mut how = Vec::new();
            how.extend(holding.map(|holding| words::holding(holding).to_owned()));
            if !surfaces.is_empty() {
                how.push(surfaces);
            }
            let objects = self.objects(&members);
            if how.is_empty() {
                lines.push(sentence(&objects));
            } else {
                lines.push(sentence(&format!("{}: {objects}", how.join(", "))));
            }
        }
        lines
    }

    /// Lines of the finish schedules for these operations that were not said before.
    fn notes(&self, operations: &[&Operation], said: &mut BTreeSet<&'a str>) -> Vec<String> {
        let mut lines = Vec::new();
        for operation in operations {
            let piece = operation.piece.as_deref().and_then(|id| self.names.piece(id));
            let surfaces = piece.into_iter().flat_map(|piece| &piece.surfaces);
            let worked =
                surfaces.filter(|surface| operation.surfaces.is_empty() || operation.surfaces.contains(&surface.id));
            let schedules: BTreeSet<&str> = worked.filter_map(|surface| surface.schedule.as_deref()).collect();
            for id in schedules {
                let steps = self
                    .names
                    .job()
                    .schedules
                    .get(id)
                    .map(|schedule| schedule.steps.as_slice())
                    .unwrap_or_default();
                // a step's coat is the number of coats up to it: each coat says only its own note
                let mut coat = 0;
                let counted = steps.iter().map(|step| {
                    coat += u8::from(matches!(step.kind, StepKind::Seal | StepKind::Coat));
                    (coat, step)
                });
                let own = counted.filter(|(coat, _)| operation.coat.is_none_or(|number| number == *coat));
                // a check before the coats looks for glue, one after them tries the joints
                let fits = is_dry_fit(operation);
                let notes = own
                    .filter(|(coat, step)| step.kind != StepKind::Check || (*coat > 0) == fits)
                    .filter(|(_, step)| same_step(step, operation))
                    .filter_map(|(_, step)| step.note.as_deref());
                for note in notes {
                    if said.insert(note) {
                        lines.push(sentence(&clean(note)));
                    }
                }
            }
        }
        lines
    }

    /// What wait follows: the films of this round, or a plain wait before the next step.
    fn after(&self, operations: &[&Operation], today: NaiveDate) -> Option<String> {
        let dries: Vec<&Dry> = operations
            .iter()
            .filter_map(|operation| operation.dry.as_ref())
            .collect();
        if dries.is_empty() {
            return self.plain_wait(operations);
        }
        let next: BTreeSet<StepKind> = operations
            .iter()
            .filter_map(|operation| self.on_film.get(operation.id.as_str()))
            .flatten()
            .map(|operation| operation.step)
            .collect();
        let mut words = Vec::new();
        let mut say = |stage: fn(&Dry) -> Option<Stamp>, text: &str| {
            if let Some(at) = latest(&dries, stage) {
                words.push(format!("{text} {}", when(at, today)));
            }
        };
        say(|dry| dry.dry_to_touch, "touch dry about");
        if self.turned_next(operations) {
            say(|dry| dry.dry_to_turn.or(dry.dry_to_touch), "turn from");
        }
        let abraded = [StepKind::Denib, StepKind::Scuff, StepKind::Flat];
        if abraded.iter().any(|kind| next.contains(kind)) {
            say(|dry| dry.dry_to_sand, "sand from");
        }
        if [StepKind::RubOut, StepKind::Wax].iter().any(|kind| next.contains(kind)) {
            say(|dry| dry.dry_through, "dry through");
        }
        let coated_again = lays_any(&next) || next.iter().any(|kind| abraded.contains(kind));
        if coated_again {
            words.extend(window_words(&dries, today));
        } else {
            say(|dry| dry.dry_to_handle, "may be handled from");
            say(|dry| dry.dry_hard, "dry hard");
        }
        (!words.is_empty()).then(|| sentence(&words.join(", ")))
    }

    /// The hours of the wait that counted, where not all of them do.
    fn counted(&self, operations: &[&Operation]) -> Option<String> {
        let first = &operations.first()?.id;
        let notes = self.plan.cautions.iter().filter(|note| note.code == HOURS_COUNTED);
        let note = notes.clone().find(|note| note.refers.contains(first))?;
        let what = note.text.rsplit_once(": ").map_or(note.text.as_str(), |(_, what)| what);
        Some(sentence(&clean(&format!("{what}: {}", note.figure.as_deref()?))))
    }

    /// Whether another side of these pieces gets the same coat next, so that they are laid over.
    fn turned_next(&self, operations: &[&Operation]) -> bool {
        operations
            .iter()
            .filter(|operation| operation.holding == Some(Holding::Bearers))
            .any(|operation| {
                self.plan.operations.iter().any(|other| {
                    other.piece == operation.piece
                        && other.coat == operation.coat
                        && other.step == operation.step
                        && other.start >= operation.end
                        && other.id != operation.id
                })
            })
    }

    fn plain_wait(&self, operations: &[&Operation]) -> Option<String> {
        let waiting = operations.iter().filter(|operation| waits_by_itself(operation.step));
        let waits = waiting
            .filter_map(|operation| self.waits.get(operation.id.as_str()))
            .flatten();
        let (least, after) = waits.copied().max_by(|a, b| a.0.total_cmp(&b.0))?;
        let next = self
            .operation(after)
            .map_or("the next step", |operation| words::step_named(operation.step));
        Some(format!(
            "Then leave them at least {} before {next}.",
            Span(least.round() as i64)
        ))
    }
}

/// What the joints tried once more are called.
const DRY_FIT: &str = "Dry fit once more";

/// The title of an operation's step.
pub fn title_of(operation: &Operation) -> String {
    if is_dry_fit(operation) {
        return DRY_FIT.to_owned();
    }
    step_title(operation.step, operation.coat, None, operation.grit.as_deref())
}

/// The title of a round's step; `due`: how many coats there are.
pub fn title_of_round(round: &Round, due: Option<usize>) -> String {
    if is_round_of_dry_fits(round) {
        return DRY_FIT.to_owned();
    }
    step_title(round.step, round.coat, due, round.grit.as_deref())
}

/// `Coat 2 of 3`, `Sand P120`.
pub fn step_title(step: StepKind, coat: Option<u8>, due: Option<usize>, grit: Option<&str>) -> String {
    let mut title = words::step(step).to_owned();
    if let (Some(coat), StepKind::Coat | StepKind::Seal) = (coat, step) {
        title = match due {
            Some(due) if due >= usize::from(coat) => format!("{title} {coat} of {due}"),
            _ => format!("{title} {coat}"),
        };
        if step == StepKind::Seal {
            title = title.replacen("Seal", "Sealing coat,", 1);
        }
    }
    if let Some(grit) = grit {
        title = match step {
            StepKind::Sand => format!("{title} {}", clean(grit)),
            _ => format!("{title}, {}", clean(grit)),
        };
    }
    title
}

/// Steps that leave something wet on the piece.
pub(super) const fn lays_film(step: StepKind) -> bool {
    matches!(
        step,
        StepKind::Coat | StepKind::Seal | StepKind::Fill | StepKind::Colour | StepKind::Wax
    )
}

/// Steps after which timber, wax or glue needs time, though no coat is drying.
const fn waits_by_itself(step: StepKind) -> bool {
    matches!(
        step,
        StepKind::Settle
            | StepKind::RaiseGrain
            | StepKind::WipeBack
            | StepKind::ReWipe
            | StepKind::Wax
            | StepKind::GlueUp
    )
}

fn lays_any(steps: &BTreeSet<StepKind>) -> bool {
    steps.iter().any(|step| {
        matches!(
            step,
            StepKind::Coat | StepKind::Seal | StepKind::Fill | StepKind::Colour
        )
    })
}

fn same_step(step: &Step, operation: &Operation) -> bool {
    step.kind == operation.step
        && step.product == operation.product
        && step.grit.map(|grit| grit.to_string()) == operation.grit
}

fn latest(dries: &[&Dry], stage: fn(&Dry) -> Option<Stamp>) -> Option<Stamp> {
    dries.iter().filter_map(|dry| stage(dry)).max()
}

/// `next coat 10:20 to 13:00 as it is, or from Tue 09:00 after a scuff`.
fn window_words(dries: &[&Dry], today: NaiveDate) -> Option<String> {
    let count = dries.iter().map(|dry| dry.windows.len()).min().unwrap_or(0);
    let mut words = Vec::new();
    for index in 0..count {
        let here: Vec<&DryWindow> = dries.iter().filter_map(|dry| dry.windows.get(index)).collect();
        let from = here.iter().map(|window| window.from).max()?;
        let until = here.iter().filter_map(|window| window.until).min();
        let prepare = words::prepare(here.first()?.prepare);
        match until {
            // the round's first piece closes before its last one opens: no time suits all of them
            Some(until) if until <= from => {}
            Some(until) => words.push(format!("{} to {} {prepare}", when(from, today), when(until, today))),
            None => words.push(format!("from {} {prepare}", when(from, today))),
        }
    }
    (!words.is_empty()).then(|| format!("next coat {}", words.join(", or ")))
}

/// Starts with a capital, ends with a full stop.
pub(super) fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut letters = text.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let stop = if text.ends_with(['.', '!', '?', ':']) { "" } else { "." };
    format!("{}{}{stop}", first.to_uppercase(), letters.as_str())
}

/// `9 pieces, 1 h 40`, with names where several people work.
pub(super) fn measure(operations: &[&Operation], hands: &[String], crew: usize) -> String {
    let pieces: BTreeSet<&str> = operations
        .iter()
        .filter_map(|operation| operation.piece.as_deref())
        .collect();
    let minutes: f64 = operations.iter().map(|operation| operation.hands_minutes).sum();
    let mut words = Vec::new();
    match pieces.len() {
        0 => {}
        1 => words.push(format!("1{JOIN}piece")),
        many => words.push(format!("{many}{JOIN}pieces")),
    }
    words.push(spent(minutes));
    if crew > 1 {
        words.push(and_list(&hands.iter().map(|name| clean(name)).collect::<Vec<_>>()));
    }
    words.join(", ")
}

/// Hands' minutes as a span that does not break over lines.
pub(super) fn spent(minutes: f64) -> String {
    let span = Span((minutes.round() as i64).max(1)).to_string();
    span.replace(' ', &JOIN.to_string())
}
