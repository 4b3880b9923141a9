//! The vapour of planned coats as draws on an allowance of the room.
//!
//! Invariant: coats whose draws stay within the allowance keep the well-mixed room under the job's cap; what a
//! coat lets go of below the floor is paid for by the hundredth of the cap that is kept back.
//!
//! Without the room's size or its air changes there is no allowance, and in a room that is as good as shut
//! ([`Room::clears`]) none either: there no order of coats helps, and the cautions say so.

use super::frame::Frame;
use crate::job::Job;
use crate::planner::{Network, Tick};
use crate::science::vapour::draw::within;
use crate::science::vapour::{Courses, Room, budget, draws};
use crate::units::{Grams, Millilitres};
use crate::work::{Work, WorkOperation};
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// Share of the cap kept back for the tails of coats that are let go of.
const KEPT_BACK: f64 = 0.01;

/// The room of a job that has an allowance.
fn room(job: &Job) -> Option<Room> {
    job.room.mixed(job.room.rules.mixing).filter(Room::clears)
}

/// A volume as documents write it, so that what is planned with and what is written down is the same.
pub(super) fn written(volume: Millilitres) -> f64 {
    (volume.0 * 10.0).round() / 10.0
}

/// What of a coat's product is in the air: what lands, and what a gun misses.
fn in_the_air(job: &Job, operation: &WorkOperation) -> Option<Millilitres> {
    let product = operation.product.as_deref().filter(|_| operation.lays_film())?;
    let lands = Millilitres(written(operation.volume?));
    Some(job.in_the_air(product, operation.step, lands))
}

/// Solvent a coat gives off; `None` where its volume, density or solvents are not known.
pub(super) fn solvent(job: &Job, operation: &WorkOperation) -> Option<Grams> {
    let product = job.product(operation.product.as_deref()?)?;
    Some(product.given_off(in_the_air(job, operation)?)?.total())
}

/// Days in which the room at its cap carries off the vapour of all the work: no plan is shorter.
pub(super) fn days(job: &Job, work: &Work) -> f64 {
    let Some(room) = room(job) else { return 0.0 };
    let share = |operation: &WorkOperation| -> Option<f64> {
        let product = job.product(operation.product.as_deref()?)?;
        let parts = product.vapour_parts(in_the_air(job, operation)?, operation.coat.unwrap_or(1))?;
        Some(
            parts
                .iter()
                .map(|part| 100.0 * part.grams / part.lel / room.volume)
                .sum(),
        )
    };
    let all: f64 = work.operations.iter().filter_map(share).sum();
    all / job.room.rules.cap.0.max(0.1) / room.pace() / 24.0
}

/// Coats of a job that draw alike: product, coat number, the bits of their volume, minutes of hands; drawn down to the
/// same floor (its bits) on a line as long.
type Key = (String, u8, u64, u32, u64, Tick);

/// What coats of one job draw.
pub(super) type Stairs = Mutex<BTreeMap<Key, Vec<(u32, u32, Tick)>>>;

/// Gives the network its allowance and every coat its draws.
pub(super) fn allow(frame: &Frame, network: &mut Network) {
    let job = frame.job;
    let Some(room) = room(job) else { return };
    let cap = job.room.rules.cap.0;
    let all = budget(cap * (1.0 - KEPT_BACK));
    let coats = frame.work.operations.iter().filter(|operation| operation.lays_film());
    let floor = KEPT_BACK * cap / coats.count().max(1) as f64;
    let mut known = frame.stairs.lock().unwrap_or_else(PoisonError::into_inner);
    let mut courses = Courses::new(&room);
    let mut any = false;
    for (operation, task) in frame.work.operations.iter().zip(&mut network.tasks) {
        let Some(volume) = in_the_air(job, operation) else {
            continue;
        };
        let Some(product) = operation.product.as_deref().and_then(|id| job.product(id)) else {
            continue;
        };
        // a coat left out by the maker gives off nothing
        if task.crew.count == 0 {
            continue;
        }
        let coat = operation.coat.unwrap_or(1);
        let drawn = (floor.to_bits(), network.horizon);
        let key = (
            product.id.clone(),
            coat,
            volume.0.to_bits(),
            task.minutes,
            drawn.0,
            drawn.1,
        );
        let stair = known.entry(key).or_insert_with(|| {
            let parts = product.vapour_parts(volume, coat).unwrap_or_default();
            let stair = within(&draws(&mut courses, &parts, task.minutes, floor, network.horizon), all);
            stair.iter().map(|draw| (0, draw.amount, draw.minutes)).collect()
        });
        any |= !stair.is_empty();
        task.draws.clone_from(stair);
    }
    if any {
        network.budgets.push(all);
    }
}
