//! Writes operations down and ties each to the one before it on the same piece.
//!
//! Invariant: operations that are not optional form one line per piece, each after the one before.

use super::operation::{Delay, Wait, Work, WorkOperation};
use crate::finish::{Grit, Phase, Scale, StepKind};
use crate::job::{Job, Piece};

pub(super) struct Writer<'a> {
    pub job: &'a Job,
    pub work: Work,
    /// Last operation of the piece's line.
    previous: Option<usize>,
    /// Waits that run from an operation to whatever comes next in the line.
    held: Vec<(usize, Delay, &'static str)>,
}

impl<'a> Writer<'a> {
    pub fn new(job: &'a Job) -> Self {
        let work = Work {
            ready: vec![Vec::new(); job.pieces.len()],
            ..Work::default()
        };
        Self {
            job,
            work,
            previous: None,
            held: Vec::new(),
        }
    }

    pub fn begin_piece(&mut self, _piece: usize) {
        self.previous = None;
        self.held.clear();
    }

    /// The piece is ready to glue only when its last loose operation is over.
    pub fn end_piece(&mut self, piece: usize) {
        if let (Some(last), Some(ready)) = (self.previous, self.work.ready.get_mut(piece)) {
            ready.push((last, Delay::Minutes(0)));
        }
        self.previous = None;
    }

    pub fn finish(self) -> Work {
        self.work
    }

    /// Appends to the piece's line.
    pub fn push(&mut self, operation: WorkOperation) -> usize {
        let at = self.push_aside(operation);
        if let Some(before) = self.previous {
            self.wait(before, at, Delay::Minutes(0), "one thing at a time on a piece");
        }
        for (from, delay, rule) in std::mem::take(&mut self.held) {
            self.wait(from, at, delay, rule);
        }
        self.previous = Some(at);
        at
    }

    /// Lets a wait run from an operation to the next one in the line.
    pub fn hold_next(&mut self, from: usize, delay: Delay, rule: &'static str) {
        self.held.push((from, delay, rule));
    }

    /// Adds an operation outside the line (optional ones, assembled ones).
    pub fn push_aside(&mut self, operation: WorkOperation) -> usize {
        self.work.operations.push(operation);
        self.work.operations.len() - 1
    }

    pub fn wait(&mut self, before: usize, after: usize, min: Delay, rule: &'static str) {
        self.work.waits.push(Wait {
            before,
            from_start: false,
            after,
            min,
            max: None,
            rule,
        });
    }
}

/// A blank operation on a piece.
pub(super) fn on_piece(piece: usize, of: &Piece, step: StepKind, id: &str) -> WorkOperation {
    WorkOperation {
        id: format!("{}/{id}", of.id),
        piece: Some(piece),
        assembly: None,
        step,
        coat: None,
        grit: None,
        product: None,
        surfaces: Vec::new(),
        minutes: 0.0,
        crew: 1,
        family: None,
        dusty: false,
        holding: Some(of.holding),
        phase: Phase::Loose,
        volume: None,
        film_from: None,
        optional: false,
        campaign: 0,
    }
}

/// Whether working with this grit throws dust.
pub(super) fn makes_dust(grit: Option<Grit>) -> bool {
    grit.is_none_or(|grit| !grit.wet && grit.grade.scale != Scale::Wool)
}

/// The grit as part of an id: `P120`, `CAMI-320`, `0000-wool`.
pub(super) fn grit_id(grit: Grit) -> String {
    grit.to_string().replace(' ', "-")
}

/// Where campaigns stand in the order of the whole job.
pub(super) mod campaign {
    use crate::finish::{Grit, Scale, StepKind};

    /// Steps before the first film.
    pub fn prepare(step: StepKind, grit: Option<Grit>) -> u64 {
        match step {
            StepKind::Settle => 10,
            StepKind::Check => 20,
            StepKind::Label => 30,
            StepKind::Sand => 1_000 + grit.map_or(0, fineness),
            StepKind::Arris => 8_000,
            StepKind::RaiseGrain => 8_100,
            StepKind::CutBack => 8_200,
            StepKind::Mask => 8_300,
            _ => 8_400,
        }
    }

    /// Steps of filler and colour: before the first coat, or over so many coats and under the next; parts as of a
    /// coat.
    pub fn ground(beneath: u64, depth: u64, part: u64, product: u64) -> u64 {
        if beneath == 0 {
            (20_000 + 15_000 * depth.min(4) + 2_000 * part + product).min(99_999)
        } else {
            100_000 * (beneath + 1) + (60_000 + 12_000 * depth.min(2) + 2_000 * part + product).min(99_999)
        }
    }

    /// Steps of a coat: `part` 0 far pass, 1 near pass, 2 wipe, 3 re-wipe, 4 de-nib.
    pub fn coat(level: u64, part: u64, product: u64) -> u64 {
        100_000 * (level + 1) + 10_000 * part + product
    }

    /// Steps after the last film; `position` in the schedule.
    pub fn after(position: u64) -> u64 {
        100_000_000 + position
    }

    /// Glue-up and assembled steps.
    pub fn assembled(position: u64) -> u64 {
        200_000_000 + position
    }

    fn fineness(grit: Grit) -> u64 {
        let number = u64::from(grit.grade.number);
        match grit.grade.scale {
            Scale::P | Scale::Pad => number,
            Scale::Cami => number + 1,
            Scale::Wool => 6_000 + number,
        }
    }
}
