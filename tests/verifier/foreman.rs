//! Writing a long day by hand: the same few minutes on one piece after the other.
//!
//! Invariant: only repeats what a foreman would write; it looks for nothing and waits for nothing.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a plan by hand stops where it was written wrong"
)]

use crate::draft::Draft;
use crate::line::{Line, assembled, line, set_up};
use crate::shop::at;
use denib::clock::{Air, DryingClock};
use denib::finish::StepKind;
use denib::finish::shipped;
use denib::job::{Job, Piece, SurfaceRole};
use denib::source::SourceFile;
use denib::units::{Moment, Span};

/// Reads a job of `tests/jobs` over the shipped finishes.
pub fn read(name: &str, text: &str) -> Job {
    let (job, problems) = denib::job::read(&SourceFile::new(name, text), &shipped());
    let errors: Vec<String> = problems
        .iter()
        .filter(|problem| problem.is_error())
        .map(|problem| format!("{problem:?}"))
        .collect();
    job.unwrap_or_else(|| panic!("{name}: {}", errors.join("\n")))
}

/// The drying clocks of a job over its own air.
pub fn with_clocks(mut draft: Draft) -> Draft {
    let air = Air::of(&draft.job, &[], draft.job.start, draft.job.start + Span::days(120));
    let products = draft.job.schedules.values().flat_map(|schedule| &schedule.products);
    draft.clocks = Some(
        products
            .map(|product| (product.id.clone(), DryingClock::new(product, &air)))
            .collect(),
    );
    draft
}

/// Who writes lines one after the other.
pub struct Foreman {
    pub draft: Draft,
    pub now: Moment,
}

impl Foreman {
    pub fn new(draft: Draft) -> Self {
        let now = draft.job.start;
        Self { draft, now }
    }

    /// Goes on at another time.
    pub fn go(&mut self, text: &str) {
        self.now = at(text);
    }

    /// Pieces whose ids begin with one of these, in the job's order.
    pub fn pieces(&self, starts: &[&str]) -> Vec<String> {
        let all = self.draft.job.pieces.iter().map(|piece| piece.id.clone());
        all.filter(|id| starts.is_empty() || starts.iter().any(|start| id.starts_with(start)))
            .collect()
    }

    pub fn piece(&self, id: &str) -> &Piece {
        self.draft
            .job
            .pieces
            .iter()
            .find(|piece| piece.id == id)
            .expect("a piece with this id")
    }

    /// Those of the pieces that have joints.
    pub fn jointed(&self, pieces: &[String]) -> Vec<String> {
        pieces
            .iter()
            .filter(|id| !self.piece(id).joints.is_empty())
            .cloned()
            .collect()
    }

    fn day(&self) -> i64 {
        (self.now.0 - at("1 00:00").0) / 1440 + 1
    }

    fn push(&mut self, line: Line) {
        self.now += Span(line.minutes);
        self.draft.lines.push(line);
    }

    /// One line on a piece, now.
    fn jot(&self, id: &str, name: &str, step: StepKind, minutes: i64) -> Line {
        Line {
            from: self.now,
            round: Some(format!("{name} on day {}", self.day())),
            ..line(&format!("{id}/{name}"), step, "1 00:00", minutes)
        }
    }

    /// The same step on one piece after the other.
    pub fn each(&mut self, step: StepKind, name: &str, pieces: &[String], minutes: i64) {
        for id in pieces {
            let line = self.jot(id, name, step, minutes);
            self.push(line);
        }
    }

    /// Sanding with one paper.
    pub fn sand(&mut self, grit: &str, pieces: &[String], minutes: i64) {
        for id in pieces {
            let line = self.jot(id, &format!("sand-{}", grit.to_lowercase()), StepKind::Sand, minutes);
            self.push(Line {
                grit: Some(grit.to_owned()),
                ..line
            });
        }
    }

    /// De-nibbing the film of a coat.
    pub fn denib(&mut self, grit: &str, coat: u8, pieces: &[String], minutes: i64) {
        for id in pieces {
            let line = self.jot(id, &format!("denib-{coat}"), StepKind::Denib, minutes);
            self.push(Line {
                grit: Some(grit.to_owned()),
                film_from: Some(format!("{id}/coat-{coat}")),
                ..line
            });
        }
    }

    /// Sides of a piece as they are worked: the back first, the face last.
    fn sides(&self, id: &str) -> Vec<String> {
        let mut surfaces: Vec<_> = self.piece(id).surfaces.iter().collect();
        surfaces.sort_by_key(|surface| match surface.role {
            SurfaceRole::Back => 0,
            SurfaceRole::Face => 2,
            _ => 1,
        });
        surfaces.iter().map(|surface| surface.id.clone()).collect()
    }

    /// Something put on, or wiped off, all over.
    fn wet(&self, id: &str, (name, step): (&str, StepKind), (product, coat): (&str, u8), minutes: i64) -> Line {
        let family = self.draft.job.product(product).map(|product| product.family.clone());
        Line {
            surfaces: self.sides(id),
            coat: Some(coat),
            product: Some(product.to_owned()),
            family,
            ..self.jot(id, &format!("{name}-{coat}"), step, minutes)
        }
    }

    /// A coat all over, one piece after the other.
    pub fn coat(&mut self, product: &str, coat: u8, pieces: &[String], minutes: i64) {
        for id in pieces {
            let line = self.wet(id, ("coat", StepKind::Coat), (product, coat), minutes);
            let film_from = (coat > 1).then(|| format!("{id}/coat-{}", coat - 1));
            self.push(Line {
                holding: Some(self.piece(id).holding),
                film_from,
                ..line
            });
        }
    }

    /// Wiping a coat back, or again.
    pub fn wipe(&mut self, step: StepKind, product: &str, coat: u8, pieces: &[String], minutes: i64) {
        let name = if step == StepKind::WipeBack {
            "wipe-back"
        } else {
            "re-wipe"
        };
        for id in pieces {
            let line = self.wet(id, (name, step), (product, coat), minutes);
            self.push(Line {
                film_from: Some(format!("{id}/coat-{coat}")),
                ..line
            });
        }
    }

    /// Setting up or cleaning out.
    pub fn set_up(&mut self, step: StepKind, family: &str, minutes: i64) {
        let id = format!("{step:?}-{}", self.now.0);
        let line = Line {
            from: self.now,
            ..set_up(&id, step, family, "1 00:00", minutes)
        };
        self.push(line);
    }

    /// Something on an assembly, with a product where it takes one.
    pub fn assembled(&mut self, id: &str, step: StepKind, product: Option<&str>, minutes: i64) {
        let family = product
            .and_then(|id| self.draft.job.product(id))
            .map(|product| product.family.clone());
        let line = Line {
            from: self.now,
            round: Some(id.to_owned()),
            product: product.map(str::to_owned),
            family,
            ..assembled(id, step, "1 00:00", minutes)
        };
        self.push(line);
    }
}
