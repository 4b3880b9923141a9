//! One operation as a foreman would jot it down.
//!
//! Invariant: a line says when and what; everything that follows from it is added up in [`crate::draft`].

use crate::shop::at;
use denib::dayplan::document::State;
use denib::finish::{Phase, StepKind};
use denib::job::Holding;
use denib::units::{Moment, Span};

/// One operation as a foreman would jot it down.
#[derive(Clone)]
pub struct Line {
    pub id: String,
    pub piece: Option<String>,
    pub assembly: Option<String>,
    pub step: StepKind,
    pub from: Moment,
    pub minutes: i64,
    pub surfaces: Vec<String>,
    pub coat: Option<u8>,
    pub grit: Option<String>,
    pub product: Option<String>,
    pub family: Option<String>,
    pub holding: Option<Holding>,
    pub film_from: Option<String>,
    pub hands: Vec<String>,
    pub round: Option<String>,
    pub phase: Phase,
    pub state: State,
}

impl Line {
    pub fn until(&self) -> Moment {
        self.from + Span(self.minutes)
    }

    pub fn wet(&self) -> bool {
        matches!(self.step, StepKind::Seal | StepKind::Coat | StepKind::Wax)
    }
}

/// A line on a piece, by Ines.
pub fn line(id: &str, step: StepKind, from: &str, minutes: i64) -> Line {
    let piece = id.split('/').next().unwrap_or_default();
    Line {
        id: id.to_owned(),
        piece: Some(piece.to_owned()),
        assembly: None,
        step,
        from: at(from),
        minutes,
        surfaces: Vec::new(),
        coat: None,
        grit: None,
        product: None,
        family: None,
        holding: None,
        film_from: None,
        hands: vec!["Ines".to_owned()],
        round: Some(format!("{step:?}")),
        phase: Phase::Loose,
        state: State::Planned,
    }
}

/// Sanding, or a de-nib, with one paper.
pub fn paper(id: &str, step: StepKind, grit: &str, from: &str, minutes: i64) -> Line {
    Line {
        grit: Some(grit.to_owned()),
        round: Some(format!("{step:?} {grit}")),
        ..line(id, step, from, minutes)
    }
}

/// A coat with its number and surfaces.
pub fn coat(id: &str, (product, number): (&str, u8), from: &str, minutes: i64, holding: Holding, on: &[&str]) -> Line {
    Line {
        surfaces: on.iter().map(|id| (*id).to_owned()).collect(),
        coat: Some(number),
        product: Some(product.to_owned()),
        family: Some(product.to_owned()),
        holding: Some(holding),
        round: Some(format!("{product} {number}")),
        ..line(id, StepKind::Coat, from, minutes)
    }
}

/// Setting up or cleaning out.
pub fn set_up(id: &str, step: StepKind, family: &str, from: &str, minutes: i64) -> Line {
    Line {
        piece: None,
        family: Some(family.to_owned()),
        round: None,
        ..line(id, step, from, minutes)
    }
}

/// A step on an assembly.
pub fn assembled(id: &str, step: StepKind, from: &str, minutes: i64) -> Line {
    let assembly = id.split('/').next().unwrap_or_default();
    Line {
        piece: None,
        assembly: Some(assembly.to_owned()),
        phase: Phase::Assembled,
        ..line(id, step, from, minutes)
    }
}
