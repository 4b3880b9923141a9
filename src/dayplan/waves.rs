//! An order in waves: as many pieces at a time as the places hold, each wave from its first grit to its last coat.
//!
//! Invariant: a piece is in one wave; within a wave the work goes campaign by campaign, so rounds stay whole.

use super::frame::Frame;
use crate::job::PlaceKind;
use crate::planner::{Network, TaskId};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// The order of all tasks, wave by wave.
pub(super) fn order(frame: &Frame, network: &Network) -> Vec<TaskId> {
    let waves = waves(frame);
    let last = waves.iter().max().map_or(0, |last| last + 1);
    let mut order: Vec<TaskId> = (0..network.tasks.len() as TaskId).collect();
    order.sort_by_key(|&task| {
        let operation = frame.work.operations.get(task as usize);
        let piece = operation.and_then(|operation| operation.piece);
        let wave = piece.and_then(|piece| waves.get(piece)).copied();
        let rank = network.tasks.get(task as usize).map_or(0, |task| task.rank);
        (wave.unwrap_or(last), rank, task)
    });
    order
}

/// The wave of each piece: sections due first and weighing most go first; a piece whose kind of place is full
/// waits for the next wave.
fn waves(frame: &Frame) -> Vec<u32> {
    let job = frame.job;
    let slots: BTreeMap<usize, (PlaceKind, u32)> = frame
        .work
        .places
        .iter()
        .map(|place| (place.piece, (place.kind, place.slots)))
        .collect();
    let mut pieces: Vec<usize> = (0..job.pieces.len()).collect();
    pieces.sort_by_key(|&piece| {
        let section = job.pieces.get(piece).and_then(|piece| job.sections.get(piece.section));
        let due = section.and_then(|section| section.due);
        (
            due.is_none(),
            due,
            Reverse(section.map_or(0, |section| section.weight)),
            piece,
        )
    });
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
