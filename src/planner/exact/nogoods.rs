//! What cannot hold together, learnt from dead ends.
//!
//! Invariant: each nogood watches two atoms (its first two); while it may still come true, neither of them
//! holds, so it is looked at only when one of them begins to.

use super::trail::{Atom, Conflict, Trail, Why};

/// Nogoods kept at the least; more are kept the longer the search goes on.
const KEPT: usize = 3_000;

#[derive(Debug)]
struct Nogood {
    atoms: Vec<Atom>,
    /// How often of late it has been of use.
    used: f64,
}

/// A nogood, and an atom of it other than the watched one: where that is denied, nothing need be looked up.
#[derive(Clone, Copy, Debug)]
struct Watch {
    id: u32,
    other: Atom,
}

/// All nogoods.
#[derive(Debug)]
pub(super) struct Nogoods {
    all: Vec<Nogood>,
    /// By side, and by how far above its first value an atom begins to hold: who watches it.
    watches: Vec<Vec<Vec<Watch>>>,
    first: Vec<i32>,
    step: f64,
    most: usize,
}

impl Nogoods {
    /// None yet, over sides that begin at these values.
    pub(super) fn new(sides: &[i32]) -> Self {
        Self {
            all: Vec::new(),
            watches: vec![Vec::new(); sides.len()],
            first: sides.to_vec(),
            step: 1.0,
            most: KEPT,
        }
    }

    fn watch(&mut self, atom: Atom, watch: Watch) {
        let side = atom.side as usize;
        let at = usize::try_from(atom.least - self.first[side]).unwrap_or(0);
        let watches = &mut self.watches[side];
        if watches.len() <= at {
            watches.resize_with(at + 1, Vec::new);
        }
        watches[at].push(watch);
    }

    pub(super) fn atoms(&self, id: u32) -> &[Atom] {
        &self.all[id as usize].atoms
    }

    /// Takes a nogood of two atoms or more in; its first two are watched.
    pub(super) fn add(&mut self, atoms: Vec<Atom>) -> u32 {
        let id = self.all.len() as u32;
        let (one, other) = (atoms[0], atoms[1]);
        self.watch(one, Watch { id, other });
        self.watch(other, Watch { id, other: one });
        self.all.push(Nogood { atoms, used: self.step });
        id
    }

    pub(super) fn use_again(&mut self, id: u32) {
        let used = &mut self.all[id as usize].used;
        *used += self.step;
        if *used > 1e100 {
            self.all.iter_mut().for_each(|nogood| nogood.used *= 1e-100);
            self.step *= 1e-100;
        }
    }

    pub(super) fn grow_old(&mut self) {
        self.step /= 0.999;
    }

    /// What follows from one side having grown from `old` to `new`.
    pub(super) fn draw(&mut self, trail: &mut Trail, side: u32, old: i32, new: i32) -> Result<(), Conflict> {
        for least in old + 1..=new {
            let at = usize::try_from(least - self.first[side as usize]).unwrap_or(0);
            let Some(list) = self.watches[side as usize].get_mut(at) else {
                break;
            };
            if list.is_empty() {
                continue;
            }
            let mut list = std::mem::take(list);
            let outcome = self.draw_one(trail, Atom { side, least }, &mut list);
            self.watches[side as usize][at] = list;
            outcome?;
        }
        Ok(())
    }

    /// The same for one atom that now holds.
    fn draw_one(&mut self, trail: &mut Trail, held: Atom, list: &mut Vec<Watch>) -> Result<(), Conflict> {
        let mut at = 0;
        while let Some(&Watch { id, other }) = list.get(at) {
            if trail.holds(other.not()) {
                at += 1;
                continue;
            }
            let atoms = &mut self.all[id as usize].atoms;
            if atoms[0] == held {
                atoms.swap(0, 1);
            }
            let other = atoms[0];
            list[at].other = other;
            if !trail.holds(other.not()) {
                if let Some(next) = (2..atoms.len()).find(|&next| !trail.holds(atoms[next])) {
                    atoms.swap(1, next);
                    let atom = atoms[1];
                    list.swap_remove(at);
                    self.watch(atom, Watch { id, other });
                    continue;
                }
                if trail.holds(other) {
                    return Err(atoms.clone());
                }
                trail.push(other.not(), Why::Nogood(id));
            }
            at += 1;
        }
        Ok(())
    }

    /// Forgets the least useful half when there are too many. Only with nothing decided: no entry then needs
    /// its nogood any more.
    pub(super) fn forget(&mut self) {
        if self.all.len() < self.most {
            return;
        }
        self.most += self.most / 10;
        let mut nogoods = std::mem::take(&mut self.all);
        nogoods.sort_by(|one, other| {
            let short = |nogood: &Nogood| nogood.atoms.len() <= 2;
            short(other).cmp(&short(one)).then(other.used.total_cmp(&one.used))
        });
        nogoods.truncate(nogoods.len() / 2);
        self.watches.iter_mut().flatten().for_each(Vec::clear);
        for nogood in nogoods {
            let used = nogood.used;
            let id = self.add(nogood.atoms);
            self.all[id as usize].used = used;
        }
    }
}
