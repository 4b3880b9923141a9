//! Places in the network: pools of each kind, wet runs that hold one, and racks for what is dry.
//!
//! Invariant: a piece holds one place from its first coat until it may be handled; where it stands already it stays.

use super::frame::Frame;
use crate::finish::Stage;
use crate::job::PlaceKind;
use crate::planner::{Chain, Demand, Edge, Network, Pool, PoolId, Stretch, TaskId};
use crate::work::Delay;

/// Wet pieces hold a place from their first coat until they may be handled; what stands somewhere already stays
/// there.
pub(super) fn wet_runs(frame: &Frame, pools: &[PlaceKind], network: &mut Network) -> Vec<Option<u32>> {
    let pool_of = |kind: PlaceKind| pools.iter().position(|known| *known == kind).map(|at| at as PoolId);
    let mut runs = Vec::with_capacity(frame.work.places.len());
    for place in &frame.work.places {
        // another holding since then moves it to a place of that kind
        let stands = frame.fate(place.first).and_then(|_| stands_on(frame, place.first));
        let stands = stands.filter(|kind| *kind == place.kind || place.or_on.contains(kind));
        let kinds = match stands {
            Some(kind) => vec![kind],
            None => std::iter::once(place.kind).chain(place.or_on.iter().copied()).collect(),
        };
        let mut kinds = kinds.into_iter().filter_map(pool_of);
        // a kind without a limit always has room
        let Some(pool) = kinds
            .next()
            .filter(|_| stands.is_some() || pool_of(place.kind).is_some())
        else {
            runs.push(None);
            continue;
        };
        let tail = |&last: &usize| (last as TaskId, frame.tail(last, Delay::Film(Stage::DryToHandle)));
        network.chains.push(Chain {
            pool,
            or: kinds.collect(),
            amount: place.slots,
            first: place.first as TaskId,
            last: place.last.iter().map(tail).collect(),
        });
        runs.push(Some(network.chains.len() as u32 - 1));
    }
    runs
}

/// Where the plan in force put a piece down with its first coat.
fn stands_on(frame: &Frame, first: usize) -> Option<PlaceKind> {
    let plan = frame.history.plan.as_deref()?;
    let id = &frame.work.operations.get(first)?.id;
    let operation = plan.operations.iter().find(|operation| operation.id == *id)?;
    let place = operation.place.as_ref()?;
    plan.places.iter().find(|line| line.id == *place).map(|line| line.kind)
}

pub(super) fn pools(frame: &Frame, network: &mut Network) -> Vec<PlaceKind> {
    let places = frame.job.room.places;
    let mut kinds = Vec::new();
    for kind in [
        PlaceKind::Bearers,
        PlaceKind::Points,
        PlaceKind::Hooks,
        PlaceKind::Racks,
    ] {
        let pieces = || frame.job.pieces.iter();
        // a kind without a limit is looked at only where it stands in for another, and then has room for all
        let all = || pieces().map(|piece| piece.slots).fold(0, u32::saturating_add);
        let stands_in = pieces().any(|piece| piece.or_on.contains(&kind));
        let Some(capacity) = places.of(kind).or_else(|| stands_in.then(all)) else {
            continue;
        };
        let taken = frame.job.room.occupied.iter().filter(|other| other.kind == kind);
        let taken = taken.map(|other| {
            let stretch = Stretch {
                from: frame.tick(other.from),
                until: frame.tick(other.until),
            };
            (stretch, other.count.min(capacity))
        });
        network.pools.push(Pool {
            capacity,
            taken: taken.collect(),
        });
        kinds.push(kind);
    }
    kinds
}

/// Dry pieces stand on racks until they may be stacked.
pub(super) fn racks(frame: &Frame, pools: &[PlaceKind], network: &mut Network) {
    let Some(pool) = pools.iter().position(|kind| *kind == PlaceKind::Racks) else {
        return;
    };
    for place in &frame.work.places {
        let until = |&last: &usize| (last as TaskId, frame.tail(last, Delay::Film(Stage::DryToStack)));
        match place.last.as_slice() {
            [] => {}
            &[last] => {
                let Some(task) = network.tasks.get_mut(last) else {
                    continue;
                };
                let from = Edge::After(frame.tail(last, Delay::Film(Stage::DryToHandle)));
                let until = Edge::After(until(&last).1);
                task.demands.push(Demand {
                    pool: pool as PoolId,
                    amount: place.slots,
                    from,
                    until,
                });
            }
            // of several films any may be the last to be stacked: the rack is kept from the last coat on
            several => {
                let first = several.iter().max().copied().unwrap_or(place.first) as TaskId;
                let last = several.iter().map(until).collect();
                network.chains.push(Chain {
                    pool: pool as PoolId,
                    or: Vec::new(),
                    amount: place.slots,
                    first,
                    last,
                });
            }
        }
    }
}
