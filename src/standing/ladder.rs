//! When a film reaches each rung of its ladder, and when it may be coated again.
//!
//! Invariant: early is never after late; a test that says *not yet* holds its rung and every higher one
//! beyond its instant; one that says *dry* releases its rung and every lower one.

use super::facts::{Facts, Laid};
use super::pace::{self, Pace, Test, bounds};
use super::state::When;
use crate::clock::required_stage;
use crate::finish::ladder::height;
use crate::finish::{Figure, Opening, Prepare, Stage};
use crate::units::{Moment, Span};

/// When a rung is reached; `None` where that is not within the air foreseen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Reached {
    pub early: Option<Moment>,
    pub late: Option<Moment>,
}

impl Reached {
    /// Never, as far as can be seen.
    pub const NEVER: Self = Self {
        early: None,
        late: None,
    };

    /// Both ends, where both are known.
    pub fn when(self) -> Option<When> {
        Some(When {
            early: self.early?,
            late: self.late?,
        })
    }
}

/// A recoat window in clock time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Opens {
    pub from: Reached,
    pub closes: Option<Moment>,
    pub prepare: Prepare,
}

/// The ladder of one film.
pub(super) struct Ladder<'a> {
    laid: Laid<'a>,
    tests: Vec<Test>,
    pace: Pace,
}

impl<'a> Ladder<'a> {
    /// The ladder of a film; `pace` is its product's in this room.
    pub fn of(facts: &Facts<'a>, laid: Laid<'a>, pace: Pace) -> Self {
        Self {
            tests: pace::tests(facts, &laid),
            laid,
            pace,
        }
    }

    /// When a rung is reached. Of a product that does not give it, the next higher one counts.
    pub fn reached(&self, stage: Stage) -> Reached {
        let Some(product) = self.laid.product else {
            return Reached::NEVER;
        };
        let coat = self.laid.coat;
        let figure = |rung: Stage| Some((rung, product.time_to(rung, coat)?));
        let given = || Stage::ALL.into_iter().filter_map(figure);
        // nothing stands above the end of a wax's short ladder: that is as dry as it gets
        let end = || given().next_back().filter(|_| product.terminal);
        given()
            .find(|(rung, _)| *rung >= stage)
            .or_else(end)
            .map_or(Reached::NEVER, |(rung, figure)| self.estimate(rung, figure, true))
    }

    /// The rungs the product gives, lowest first.
    pub fn rungs(&self) -> impl Iterator<Item = (Stage, Reached)> {
        let given = |stage: &Stage| {
            self.laid
                .product
                .is_some_and(|product| product.time_to(*stage, self.laid.coat).is_some())
        };
        Stage::ALL
            .into_iter()
            .filter(given)
            .map(|stage| (stage, self.reached(stage)))
    }

    /// The windows in which a coat of `next` may go on.
    pub fn windows(&self, next: &str) -> Vec<Opens> {
        let Some(product) = self.laid.product.filter(|product| !product.terminal) else {
            return Vec::new();
        };
        let fits = |to: &Option<String>| to.as_deref().map_or(next == product.id, |to| to == next);
        let stated = product.windows.iter().filter(|window| fits(&window.next));
        let mut windows: Vec<Opens> = stated
            .enumerate()
            .map(|(index, window)| {
                // a film found dry early opens the first window early, never the one after a gap
                let first = index == 0;
                let opens = match &window.opens {
                    Opening::Stage(stage) => product
                        .time_to(*stage, self.laid.coat)
                        .map_or(Reached::NEVER, |figure| self.estimate(*stage, figure, first)),
                    Opening::After(figure) => self.estimate(Stage::DryToRecoat, figure, first),
                };
                let closes = window
                    .closes
                    .as_ref()
                    .and_then(|figure| self.sooner(figure.low * self.pace.fast));
                Opens {
                    from: opens,
                    closes,
                    prepare: window.prepare,
                }
            })
            .collect();
        if windows.is_empty() {
            // nothing stated for this pair of products: when dry to recoat, for ever
            windows.push(Opens {
                from: self.reached(Stage::DryToRecoat),
                closes: None,
                prepare: Prepare::None,
            });
        }
        // one that closes by the fast figure before it opens by the slow one can never be relied on
        windows.retain(|window| match (window.from.late, window.closes) {
            (Some(opens), Some(closes)) => opens < closes,
            _ => true,
        });
        windows
    }

    /// The room was below the floor before the film could bear it: it is spoiled.
    pub fn is_spoiled(&self, facts: &Facts) -> bool {
        let spoiling = self.laid.product.filter(|product| product.mechanism.spoils());
        let Some(product) = spoiling.filter(|product| product.drying_floor.is_some()) else {
            return false;
        };
        let bears = required_stage(product).and_then(|stage| self.reached(stage).late);
        let until = bears.unwrap_or(facts.now).min(facts.now + Span(1));
        let from = self.laid.done.end.max(facts.air.first());
        let below = self.laid.clock.and_then(|clock| clock.begins_below(from));
        below.is_some_and(|below| below < until)
    }

    /// When so many stated minutes have counted; from the first minute the air is known for, where the film
    /// is older than that.
    fn after(&self, minutes: f64) -> Option<Moment> {
        let clock = self.laid.clock?;
        clock.reached(self.laid.done.end.max(clock.first()), minutes)
    }

    /// When so many may have counted already.
    fn sooner(&self, minutes: f64) -> Option<Moment> {
        let clock = self.laid.clock?;
        clock.perhaps(self.laid.done.end.max(clock.first()), minutes)
    }

    /// The estimate for a rung with this figure; `trust` is whether tests that say dry count.
    fn estimate(&self, stage: Stage, stated: &Figure, trust: bool) -> Reached {
        // rungs that stand side by side say nothing of each other
        let bearing = |test: &&Test| {
            let (tested, here) = (height(test.stage), height(stage));
            let onward = if test.dry { tested > here } else { tested < here };
            (test.stage == stage || onward) && (trust || !test.dry)
        };
        let tests = self.tests.iter().filter(bearing);
        let (not_at, by) = bounds(tests.clone());
        let mut early = (stated.low * self.pace.fast).max(not_at.map_or(0.0, |test| test.most));
        let mut late = (stated.high * self.pace.slow).max(not_at.map_or(0.0, |test| test.age));
        if let Some(by) = by {
            (early, late) = (early.min(by.most), late.min(by.age));
        }
        // a test holds until past its own minute, even where the clock stood still before it
        let held = tests.filter(|test| !test.dry).map(|test| test.at + Span(1)).max();
        let after = |at: Moment| held.map_or(at, |held| at.max(held));
        let early = self.sooner(early).map(after);
        let late = self.after(late).map(after);
        Reached {
            // a stretch of warmth between the two hands' readings must not turn them round
            early: early.map(|early| late.map_or(early, |late| early.min(late))),
            late,
        }
    }
}
