//! Orders by piece: in waves of as many as the places hold, or those that take longest first.
//!
//! Invariant: a piece is in one wave; within a wave, or among pieces that take as many days, the work goes campaign
//! by campaign, so rounds stay whole.

use super::frame::Frame;
use crate::job::PlaceKind;
use crate::planner::{Network, TaskId, Tick};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Minutes.
const DAY: Tick = 24 * 60;

/// The order of all tasks, wave by wave: sections due first and weighing most go first.
pub(super) fn order(frame: &Frame, network: &Network) -> Vec<TaskId> {
    let section = |piece: usize| {
        let section = frame.job.pieces.get(piece);
        let section = section.and_then(|piece| frame.job.sections.get(piece.section));
        let due = section.and_then(|section| section.due);
        (due.is_none(), due, Reverse(section.map_or(0, |section| section.weight)))
    };
    let waves = waves(frame, section);
    by_piece(frame, network, |piece| waves.get(piece).copied())
}

/// The order of all tasks by the days their piece takes, most first, from the last starts that leave time for all of it:
/// the others are done in what that leaves free.
pub(super) fn longest_first(frame: &Frame, network: &Network, lasts: &[Option<Tick>]) -> Vec<TaskId> {
    let days = days(frame, lasts);
    by_piece(frame, network, |piece| days.get(piece).copied())
}

/// The order of all tasks, wave by wave, the pieces that take most days in the first waves.
pub(super) fn longest_waves(frame: &Frame, network: &Network, lasts: &[Option<Tick>]) -> Vec<TaskId> {
    let days = days(frame, lasts);
    let waves = waves(frame, |piece| days.get(piece).copied());
    by_piece(frame, network, |piece| waves.get(piece).copied())
}

/// All tasks by a number of their piece, then campaign by campaign; what is no piece's comes last.
fn by_piece(frame: &Frame, network: &Network, number: impl Fn(usize) -> Option<u32>) -> Vec<TaskId> {
    let mut order: Vec<TaskId> = (0..network.tasks.len() as TaskId).collect();
    order.sort_by_key(|&task| {
        let operation = frame.work.operations.get(task as usize);
        let number = operation.and_then(|operation| operation.piece).and_then(&number);
        let rank = network.tasks.get(task as usize).map_or(0, |task| task.rank);
        (number.unwrap_or(u32::MAX), rank, task)
    });
    order
}

/// By piece: the day on which it has to be begun at the latest, if there is to be time for all of it.
fn days(frame: &Frame, lasts: &[Option<Tick>]) -> Vec<u32> {
    let mut days = vec![u32::MAX; frame.job.pieces.len()];
    for (operation, last) in frame.work.operations.iter().zip(lasts) {
        let day = operation.piece.and_then(|piece| days.get_mut(piece));
        if let Some((day, last)) = day.zip(*last) {
            *day = (*day).min(last / DAY);
        }
    }
    days
}

/// The wave of each piece, those first by the key: a piece whose kind of place is full waits for the next wave.
fn waves<K: Ord>(frame: &Frame, key: impl Fn(usize) -> K) -> Vec<u32> {
    let job = frame.job;
    let slots: BTreeMap<usize, (PlaceKind, u32)> = frame
        .work
        .places
        .iter()
        .map(|place| (place.piece, (place.kind, place.slots)))
        .collect();
    let mut pieces: Vec<usize> = (0..job.pieces.len()).collect();
    pieces.sort_by_key(|&piece| (key(piece), piece));
    let mut waves = vec![0; job.pieces.len()];
    let mut taken: BTreeMap<PlaceKind, u32> = BTreeMap::new();
    for piece in pieces {
        let Some(&(kind, slots)) = slots.get(&piece) else {
            continue;
        };
        let Some(capacity) = job.room.places.of(kind).filter(|capacity| *capacity > 0) else {
            continue;
        };
        let taken = taken.entry(kind).or_insert(0);
        // a piece is never split over two waves
        if *taken % capacity + slots > capacity {
            *taken = taken.next_multiple_of(capacity);
        }
        if let Some(wave) = waves.get_mut(piece) {
            *wave = *taken / capacity;
        }
        *taken = taken.saturating_add(slots);
    }
    waves
}
