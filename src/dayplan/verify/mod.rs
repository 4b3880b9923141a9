//! The trade verifier: a plan document laid beside the job and judged from the definitions of the trade.
//!
//! Invariant: nothing here is shared with whatever made the plan (neither the planner nor the generator of
//! operations); every rule is read from the job, its schedules and the room's air, and every rule can fail.
//!
//! What has happened already is a fact: an operation that is done or running is never reproached, only
//! built upon, and the stages written down for its film are believed (a touch test may have moved them).
//! Slow estimates open, fast ones close.

mod abrading;
mod assemblies;
mod balance;
mod coats;
mod crew;
mod drying;
mod dust;
mod families;
mod hours;
mod joints;
mod lines;
mod milestones;
mod mixing;
mod places;
mod recoat;
mod room;
mod rounds;
mod rule;
mod sameness;
mod sample;
mod sequence;
mod sheet;
mod stale;
mod stamps;
mod vapour;
mod wipe;

pub use rule::{Breach, Rule};

use super::document::Plan;
use crate::clock::{Air, DryingClock};
use crate::finish::{Product, Stage};
use crate::job::Job;
use crate::units::{Moment, Span};
use rule::Breaches;
use sheet::Sheet;

/// Checks a plan against the job, its schedules and the air the job foresees for the room. Empty: the plan
/// keeps every [`Rule`].
pub fn verify(plan: &Plan, job: &Job) -> Vec<Breach> {
    let (from, until) = span_of(plan, job);
    let air = Air::of(job, &[], from, until);
    verify_in(plan, job, &air)
}

/// The same in an air that is known better, such as one with readings taken in the room.
pub fn verify_in(plan: &Plan, job: &Job, air: &Air) -> Vec<Breach> {
    judge(&Sheet::lay_out(plan, job, air, &[]))
}

/// The same with drying clocks of this air that are wound already.
pub(super) fn verify_by(plan: &Plan, job: &Job, air: &Air, clocks: &[(Product, DryingClock)]) -> Vec<Breach> {
    judge(&Sheet::lay_out(plan, job, air, clocks))
}

type Check = fn(&Sheet<'_>, &mut Breaches);

/// What is judged line by line, and from film to film: about half of the work.
const OF_LINES: [Check; 7] = [
    lines::check,
    sameness::check,
    rounds::check,
    sequence::check,
    abrading::check,
    recoat::check,
    stamps::check,
];

/// What is judged of coats, of the shop and of whole pieces: the other half.
const OF_THE_SHOP: [Check; 17] = [
    coats::check,
    drying::check,
    room::check,
    hours::check,
    crew::check,
    families::check,
    mixing::check,
    dust::check,
    vapour::check,
    places::check,
    joints::check,
    stale::check,
    wipe::check,
    balance::check,
    sample::check,
    milestones::check,
    assemblies::check,
];

/// Half of it is judged beside the other.
fn judge(sheet: &Sheet<'_>) -> Vec<Breach> {
    let judged = |checks: &[Check]| {
        let mut found = Breaches::default();
        for check in checks {
            check(sheet, &mut found);
        }
        found
    };
    let found = std::thread::scope(|scope| {
        let beside = scope.spawn(|| judged(&OF_THE_SHOP));
        let found = judged(&OF_LINES);
        found.and(beside.join().unwrap_or_else(|_| judged(&OF_THE_SHOP)))
    });
    found.into_list()
}

/// How much air is needed: from before the first operation until long after the last one, so that even a
/// slow film in a cool room gets where it is going.
fn span_of(plan: &Plan, job: &Job) -> (Moment, Moment) {
    let starts = plan.operations.iter().map(|operation| Moment::of(&operation.start));
    let first = starts.min().unwrap_or(job.start).min(job.start);
    let ends = plan.operations.iter().map(|operation| Moment::of(&operation.end));
    let last = ends.max().unwrap_or(job.start).max(job.start);
    let products = job.schedules.values().flat_map(|schedule| &schedule.products);
    let rungs = products.flat_map(|product| &product.stages);
    let longest = rungs.map(|rung| {
        if rung.stage == Stage::Cured {
            0.0
        } else {
            rung.minutes.high
        }
    });
    let longest = longest.fold(0.0_f64, f64::max).min(366.0 * 1440.0);
    // cool rooms take about twice the stated time; what is not reached by then is said to be out of sight
    let until = last + Span((longest * 2.0) as i64) + Span::days(14);
    // a stamp in another century is a fault of the plan, and no reason to work out the air until then
    let from = (first + Span::days(-1)).max(job.start + Span::days(-366));
    (from, until.min(job.start + Span::days(3 * 366)))
}
