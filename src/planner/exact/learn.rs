//! What a dead end teaches, and where to go on.
//!
//! Invariant: the atoms learnt cannot hold together, all of them held at the dead end, and exactly the first
//! began to hold on its last level (the first unique point through which every way to the dead end runs).

use super::nogoods::Nogoods;
use super::trail::{Atom, Conflict, OUTSET, Trail, Why};
use std::collections::BinaryHeap;

/// What was learnt: atoms, the second of which began to hold on the level to go back to.
pub(super) struct Learnt {
    pub(super) atoms: Vec<Atom>,
    pub(super) level: usize,
}

/// Room to learn in, and how much each task had to do with dead ends of late.
#[derive(Debug)]
pub(super) struct Learner {
    /// By entry: what is needed of it, when it is needed at all.
    needed: Vec<Option<i32>>,
    heap: BinaryHeap<u32>,
    reasons: Vec<Atom>,
    /// By side: what the atoms kept say, and the entry of it.
    kept: Vec<(i32, u32)>,
    weight: Vec<f64>,
    step: f64,
}

impl Learner {
    pub(super) fn new(tasks: usize) -> Self {
        Self {
            needed: Vec::new(),
            heap: BinaryHeap::new(),
            reasons: Vec::new(),
            kept: vec![(i32::MIN, OUTSET); 2 * tasks],
            weight: vec![0.0; tasks],
            step: 1.0,
        }
    }

    /// The open task that had most to do with dead ends; of equals the one that can start first.
    pub(super) fn pick(&self, trail: &Trail) -> Option<usize> {
        let open = (0..self.weight.len()).filter(|&task| trail.first(task) < trail.last_start(task));
        open.max_by(|&one, &other| {
            self.weight[one]
                .total_cmp(&self.weight[other])
                .then(trail.first(other).cmp(&trail.first(one)))
                .then(trail.last_start(other).cmp(&trail.last_start(one)))
        })
    }

    fn need(&mut self, trail: &Trail, atom: Atom) {
        let entry = trail.entry_of(atom);
        if entry == OUTSET || trail.level_of(entry) == 0 {
            return;
        }
        let needed = &mut self.needed[entry as usize];
        if needed.is_none() {
            self.heap.push(entry);
        }
        *needed = Some(needed.map_or(atom.least, |least| least.max(atom.least)));
    }

    fn blame(&mut self, task: usize) {
        self.weight[task] += self.step;
        if self.weight[task] > 1e100 {
            self.weight.iter_mut().for_each(|weight| *weight *= 1e-100);
            self.step *= 1e-100;
        }
    }

    /// Learns from a dead end; `None` when nothing decided has part in it.
    pub(super) fn learn(&mut self, trail: &mut Trail, nogoods: &mut Nogoods, conflict: Conflict) -> Option<Learnt> {
        let level = conflict
            .iter()
            .map(|&atom| trail.level_of(trail.entry_of(atom)))
            .max()?;
        if level == 0 {
            return None;
        }
        if level < trail.level() {
            trail.back_to(level);
        }
        self.needed.clear();
        self.needed.resize(trail.entries.len(), None);
        self.heap.clear();
        for atom in conflict {
            self.need(trail, atom);
        }
        let first = loop {
            let top = self.heap.pop()?;
            let entry = trail.entries[top as usize];
            let least = self.needed[top as usize].take()?;
            // what the same side held before follows from what it holds now
            while let Some(&next) = self.heap.peek()
                && trail.entries[next as usize].side == entry.side
            {
                self.heap.pop();
                self.needed[next as usize] = None;
            }
            self.blame(entry.side as usize / 2);
            let atom = Atom {
                side: entry.side,
                least,
            };
            if self.heap.peek().is_none_or(|&next| trail.level_of(next) < level) {
                break atom;
            }
            if let Why::Nogood(id) = entry.why {
                nogoods.use_again(id);
            }
            self.reasons.clear();
            let mut reasons = std::mem::take(&mut self.reasons);
            trail.reason((entry.why, entry.new), atom, |id| nogoods.atoms(id), &mut reasons);
            for &reason in &reasons {
                self.need(trail, reason);
            }
            self.reasons = reasons;
        };
        self.step /= 0.95;
        Some(self.gather(trail, nogoods, first))
    }

    /// The first atom and all needed below, without those that follow from the others.
    fn gather(&mut self, trail: &Trail, nogoods: &Nogoods, first: Atom) -> Learnt {
        let mut rest: Vec<(u32, Atom)> = Vec::with_capacity(self.heap.len());
        for entry in self.heap.drain() {
            let side = trail.entries[entry as usize].side;
            if let Some(least) = self.needed[entry as usize].take() {
                rest.push((entry, Atom { side, least }));
                let kept = &mut self.kept[side as usize];
                *kept = (*kept).max((least, entry));
            }
        }
        let sides: Vec<u32> = rest.iter().map(|one| one.1.side).collect();
        rest.retain(|(_, atom)| atom.least == self.kept[atom.side as usize].0);
        let mut reasons = std::mem::take(&mut self.reasons);
        rest.retain(|&(at, atom)| {
            let entry = trail.entries[at as usize];
            if matches!(entry.why, Why::Decision) {
                return true;
            }
            reasons.clear();
            trail.reason((entry.why, entry.new), atom, |id| nogoods.atoms(id), &mut reasons);
            // only from what came before it, or two could each be left out because of the other
            let follows = |reason: &Atom| {
                let (least, kept) = self.kept[reason.side as usize];
                (least >= reason.least && kept < at) || {
                    let entry = trail.entry_of(*reason);
                    entry == OUTSET || trail.level_of(entry) == 0
                }
            };
            !reasons.iter().all(follows)
        });
        self.reasons = reasons;
        for side in sides {
            self.kept[side as usize] = (i32::MIN, OUTSET);
        }
        rest.sort_unstable_by_key(|one| std::cmp::Reverse(one.0));
        let level = rest.first().map_or(0, |one| trail.level_of(one.0));
        let mut atoms = vec![first];
        atoms.extend(rest.iter().map(|one| one.1));
        Learnt { atoms, level }
    }
}
