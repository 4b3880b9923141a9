//! What touch tests say about a product's rate in this room.
//!
//! Invariant: a test is a bound and nothing more: it never shortens a slow figure other than of the film it
//! was made on, and never lengthens a fast one.
//!
//! A test of a film that counted `age` stated minutes on its drying clock (so the room's warmth is already in
//! it) says of the rung it was made for: not reached at `age`, or reached by `age`. Slow figures are measured
//! with the clock's slow hand, fast ones with its fast hand.
//!
//! - *Not yet*, and `age` below the slow figure: nothing new about the product; this film simply is in the
//!   later part of its range.
//! - *Not yet*, and `age` at or past the slow figure `high`: the product is slower here than its figures say,
//!   by at least `age / high`. How much slower the test does not say. Until a test says it is dry, the rung
//!   is put at `age` plus the width of the stated range (at least a quarter of `high`; own choice, no source),
//!   itself stretched by `age / high`; every slow figure of the product is stretched as much. Once a later
//!   test says dry at `by`, the stretch is `by / high`.
//! - *Dry already*, and `age` below the fast figure `low`: the product can be faster here than its figures
//!   say: every fast figure of it is shortened to `age / low`, so that windows are taken to close sooner. No
//!   slow figure moves: one quick film does not open the next window earlier.

use super::facts::{Facts, Laid, same_round};
use crate::clock::Air;
use crate::dayplan::Plan;
use crate::dayplan::history::{Bound, History};
use crate::finish::{Figure, Opening, Product, Stage};
use crate::job::Job;
use crate::units::Moment;
use std::collections::BTreeMap;

/// Factors on a product's stated waits in this room.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    /// On the slow figures: 1 or more.
    pub slow: f64,
    /// On the fast figures: 1 or less.
    pub fast: f64,
}

impl Pace {
    /// As stated.
    pub const STATED: Self = Self { slow: 1.0, fast: 1.0 };
}

/// The least width of what is left after a slow figure has proved too short, as a share of it.
const LEAST_WIDTH: f64 = 0.25;

/// Stated minutes: younger films are taken to be this old, as the log keeps whole minutes.
const SHORTEST_AGE: f64 = 1.0;

/// A touch test on the drying clock of the film.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Test {
    pub stage: Stage,
    /// Stated minutes that had surely counted.
    pub age: f64,
    /// ...and that may have counted at most.
    pub most: f64,
    pub at: Moment,
    pub dry: bool,
}

/// The paces of products that tests say something of, by product.
pub fn paces(
    job: &Job,
    history: &History,
    plan: Option<&Plan>,
    air: &Air,
    clocks: &super::Clocks,
    now: Moment,
) -> BTreeMap<String, Pace> {
    of(&Facts::new(job, history, plan, air, clocks, now))
}

/// The same from gathered facts.
pub(super) fn of(facts: &Facts) -> BTreeMap<String, Pace> {
    let mut paces = BTreeMap::new();
    for bound in &facts.history.bounds {
        let Some(laid) = facts.film(&bound.operation) else {
            continue;
        };
        let Some(product) = laid.product else { continue };
        let Some(figure) = figure(product, bound.stage, laid.coat) else {
            continue;
        };
        let tests = tests(facts, &laid);
        let mine = tests.iter().filter(|test| test.stage == bound.stage);
        let pace: &mut Pace = paces.entry(product.id.clone()).or_insert(Pace::STATED);
        let (not_at, by) = bounds(mine);
        if let Some(age) = not_at.map(|test| test.age)
            && figure.high > 0.0
            && age >= figure.high
        {
            let width = (figure.high - figure.low).max(LEAST_WIDTH * figure.high) * age / figure.high;
            pace.slow = pace.slow.max(by.map_or(age + width, |by| by.age) / figure.high);
        }
        if let Some(by) = by
            && figure.low > 0.0
        {
            pace.fast = pace.fast.min(by.most.max(SHORTEST_AGE) / figure.low);
        }
    }
    paces
}

/// The tests that bear on a film: those of any film laid in its round. A test dated after now releases
/// nothing yet, but one that says *not yet* holds.
pub(super) fn tests(facts: &Facts, laid: &Laid) -> Vec<Test> {
    let test = |bound: &Bound| {
        let tested = facts.film(&bound.operation).filter(|tested| same_round(tested, laid))?;
        let (age, most) = (
            tested.clock?.passed(tested.done.end, bound.at),
            tested.clock?.at_most(tested.done.end, bound.at),
        );
        let counts = bound.at >= tested.done.end && (!bound.dry || bound.at <= facts.now);
        counts.then_some(Test {
            stage: bound.stage,
            age,
            most,
            at: bound.at,
            dry: bound.dry,
        })
    };
    facts.history.bounds.iter().filter_map(test).collect()
}

/// The latest *not yet* and the earliest *dry* after it: a test that says not yet overrules an earlier one
/// that said dry.
pub(super) fn bounds<'t>(tests: impl Iterator<Item = &'t Test> + Clone) -> (Option<&'t Test>, Option<&'t Test>) {
    let age = |one: &&Test, other: &&Test| one.age.total_cmp(&other.age);
    let not_at = tests.clone().filter(|test| !test.dry).max_by(age);
    let dry = tests.filter(|test| test.dry && not_at.is_none_or(|not_at| test.age > not_at.age));
    (not_at, dry.min_by(age))
}

/// The stated time to a rung. When the next coat may go on, the product's first window says rather than the
/// ladder: that is what a test for recoating tries.
pub(super) fn figure(product: &Product, stage: Stage, coat: u8) -> Option<&Figure> {
    let window = product.windows.iter().find(|window| window.next.is_none());
    match window
        .filter(|_| stage == Stage::DryToRecoat)
        .map(|window| &window.opens)
    {
        Some(Opening::After(figure)) => Some(figure),
        Some(Opening::Stage(opens)) => product.time_to(*opens, coat),
        None => product.time_to(stage, coat),
    }
}
