//! What lies over a page: a look at what will be written, a touch test, a question, a choice, help.
//!
//! Invariant: layers are state; only the top one takes keys, and none of them has written anything yet.

use super::bench::Sheet;
use super::field::Field;
use super::menu::Menu;
use super::round_card::{self, minutes_of};
use super::task::Filling;
use super::verdict::Filter;
use super::{timing, words};
use crate::log::{Purpose, Record, What};
use crate::standing::{May, PieceStanding, RoundStanding};
use crate::units::{Moment, Span};

/// A layer.
#[derive(Clone, Debug, PartialEq)]
pub enum Layer {
    /// A look at operations to be ticked.
    Tick(Tick),
    /// A look at a record to be taken back.
    TakeBack(Box<Record>),
    /// A touch test.
    Touch(Touch),
    /// A question with a one-line answer.
    Ask(Ask),
    /// Which pieces to list; the cursor.
    Choose(usize),
    /// A form.
    Form(Box<Filling>),
    /// What can be done, to choose from.
    Menu(Menu),
    /// What is wrong with the maker's file; lines scrolled.
    Problems(Vec<String>, usize),
    /// The plan's cautions in full; lines scrolled.
    Cautions(usize),
    /// Help on the page; lines scrolled.
    Help(usize),
}

/// Operations about to be written as done or begun.
#[derive(Clone, Debug, PartialEq)]
pub struct Tick {
    /// Ids, in order.
    pub operations: Vec<String>,
    /// What it is, in words: `coat 2`.
    pub step: String,
    /// Names of the pieces, in order.
    pub names: Vec<String>,
    /// Names of the pieces that by what is known are not dry enough for it.
    pub too_early: Vec<String>,
    /// Names of the pieces left out.
    pub left_out: Vec<String>,
    /// Begun; for a tick of something done.
    pub start: Moment,
    /// Done at; `None`: only begun.
    pub end: Option<Moment>,
    /// When the round was begun, if the log says so: then only the end moves.
    pub begun: Option<Moment>,
    /// Minutes of the clock it is planned to take.
    pub minutes: i64,
}

impl Tick {
    /// These operations of the plan in force, done by `now`; `None` when none of them is in it.
    pub fn of(sheet: &Sheet, operations: &[String], left_out: &[String], now: Moment) -> Option<Self> {
        let plan = sheet.plan.as_ref()?;
        let find = |id: &String| sheet.operation(id).and_then(|index| plan.operations.get(index));
        let found: Vec<_> = operations.iter().filter_map(find).collect();
        let first = found.first()?;
        let name = |operation: &&crate::dayplan::document::Operation| round_card::name_of(sheet, operation);
        let begun = found.iter().filter_map(|operation| sheet.begun(&operation.id)).min();
        // once part of it is ticked, the rest began somewhere in between: by its planned minutes
        let index = sheet.operation(&first.id);
        let partly = |round: &&RoundStanding| round.done > 0 && round.left.iter().any(|left| Some(*left) == index);
        let begun = begun.filter(|_| !sheet.standing.rounds.iter().any(|round| partly(&round)));
        let minutes = minutes_of(&found);
        Some(Self {
            operations: found.iter().map(|operation| operation.id.clone()).collect(),
            step: words::operation(first),
            names: found.iter().map(name).collect(),
            too_early: too_early(sheet, &found),
            left_out: left_out
                .iter()
                .filter_map(find)
                .map(|operation| name(&operation))
                .collect(),
            start: begun.map_or(now - Span(minutes), |begun| begun.min(now)),
            end: Some(now),
            begun,
            minutes,
        })
    }

    /// Moves the time: the end of what was done, or the start of what was begun.
    pub fn move_to(&mut self, at: Moment) {
        if self.end.is_none() {
            self.start = at;
            return;
        }
        self.end = Some(at);
        self.start = match self.begun {
            Some(begun) if begun <= at => begun,
            _ => at - Span(self.minutes),
        };
    }

    /// The record it comes to.
    pub fn record(&self, sheet: &Sheet) -> What {
        let zone = sheet.job.zone;
        let (operations, start) = (self.operations.clone(), self.start.with_offset(zone));
        match self.end {
            Some(end) => What::Done {
                operations,
                start,
                end: end.with_offset(zone),
            },
            None => What::Begun { operations, start },
        }
    }

    /// One line about it: `coat 2 done, 4 pieces`.
    pub fn line(&self) -> String {
        let done = if self.end.is_some() { "done" } else { "begun" };
        format!("{} {done}, {}", self.step, self.count())
    }

    /// How many: `4 pieces`, or the name of the one.
    pub fn count(&self) -> String {
        match self.names.as_slice() {
            [one] => one.clone(),
            names => words::pieces(names.len()),
        }
    }

    /// Leaves out what is no longer to do; `false` when nothing is left.
    pub fn keep_only(&mut self, still_to_do: impl Fn(&str) -> bool) -> bool {
        let kept: Vec<bool> = self.operations.iter().map(|id| still_to_do(id)).collect();
        let mut keep = kept.iter();
        self.operations.retain(|_| keep.next().copied().unwrap_or(false));
        let mut keep = kept.iter();
        self.names.retain(|_| keep.next().copied().unwrap_or(false));
        !self.operations.is_empty()
    }
}

/// Names of the pieces whose film is not dry enough for the step now.
fn too_early(sheet: &Sheet, operations: &[&crate::dayplan::document::Operation]) -> Vec<String> {
    let rows = operations
        .iter()
        .map(|operation| round_card::row(sheet, operation, sheet.standing.now));
    rows.filter(|row| row.too_early.is_some()).map(|row| row.name).collect()
}

/// A touch test on one film.
#[derive(Clone, Debug, PartialEq)]
pub struct Touch {
    /// The coat operation whose film is tested.
    pub operation: String,
    /// Piece, an index in the job.
    pub piece: usize,
    /// The film in words: `varnish on face, on since 08:30`.
    pub film: String,
    /// Cursor in [`PURPOSES`].
    pub purpose: usize,
    /// Found dry enough.
    pub dry: bool,
}

/// What a touch test can be for, in the order of the ladder.
pub const PURPOSES: [Purpose; 7] = [
    Purpose::Turn,
    Purpose::Sand,
    Purpose::Recoat,
    Purpose::Handle,
    Purpose::Glue,
    Purpose::Stack,
    Purpose::Rub,
];

impl Touch {
    /// A test on a piece: on the film of one surface, or else on its youngest film. `None`: no film.
    pub fn of(sheet: &Sheet, piece: usize, surface: Option<usize>) -> Option<Self> {
        let (standing, zone) = (&sheet.standing, sheet.job.zone);
        let surfaces = &sheet.piece_standing(piece)?.surfaces;
        let chosen = surfaces
            .iter()
            .filter(|here| surface.is_none_or(|wanted| here.surface == wanted));
        let (on, film) = chosen
            .filter_map(|here| Some((here.surface, here.film.as_ref()?)))
            .max_by_key(|(_, film)| film.at)?;
        let label = sheet
            .job
            .pieces
            .get(piece)?
            .surfaces
            .get(on)
            .map_or("", |surface| surface.label.as_str());
        let product = words::product(&film.product, &sheet.job);
        Some(Self {
            operation: film.operation.clone(),
            piece,
            film: format!(
                "{product} on {label}, put on {}",
                timing::at(film.at, standing.now, zone)
            ),
            purpose: 0,
            dry: false,
        })
    }

    /// What it is for.
    pub fn chosen(&self) -> Purpose {
        PURPOSES.get(self.purpose).copied().unwrap_or(Purpose::Turn)
    }

    /// The record it comes to.
    pub fn record(&self) -> What {
        let (operation, purpose) = (self.operation.clone(), self.chosen());
        if self.dry {
            What::DryAlready { operation, purpose }
        } else {
            What::NotYetDry { operation, purpose }
        }
    }

    /// What the standing says about a purpose.
    pub const fn said(piece: &PieceStanding, purpose: Purpose) -> May {
        match purpose {
            Purpose::Turn => piece.turn,
            Purpose::Sand => piece.sand,
            Purpose::Recoat => piece.recoat,
            Purpose::Handle => piece.handle,
            Purpose::Glue => piece.glue,
            Purpose::Stack => piece.stack,
            Purpose::Rub => piece.rub,
        }
    }
}

/// A question.
#[derive(Clone, Debug, PartialEq)]
pub struct Ask {
    /// Which.
    pub question: Question,
    /// The answer so far.
    pub field: Field,
    /// What was wrong with the last answer.
    pub wrong: Option<String>,
}

/// Which question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Question {
    /// When it was done (the tick lies below).
    When,
    /// Thermometer and hygrometer.
    Reading,
    /// A note.
    Note,
    /// Pieces by name.
    Find,
    /// Which of a round are done: a count, a range.
    Lot,
}

impl Ask {
    /// Asks, with the start of an answer.
    pub fn new(question: Question, text: &str) -> Self {
        Self {
            question,
            field: Field::with(text),
            wrong: None,
        }
    }
}

impl Layer {
    /// The filter under the cursor of a choice.
    pub fn filter_at(cursor: usize) -> Filter {
        Filter::ALL.get(cursor).copied().unwrap_or_default()
    }
}
