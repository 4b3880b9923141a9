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

/// All nogoods.
#[derive(Debug)]
pub(super) struct Nogoods {
    nogoods: Vec<Nogood>,
    /// By side: which nogood, and from where on its atom holds.
    watches: Vec<Vec<(u32, i32)>>,
    step: f64,
    most: usize,
}

impl Nogoods {
    pub(super) fn new(sides: usize) -> Self {
        Self {
            nogoods: Vec::new(),
            watches: vec![Vec::new(); sides],
            step: 1.0,
            most: KEPT,
        }
    }

    pub(super) fn atoms(&self, id: u32) -> &[Atom] {
        &self.nogoods[id as usize].atoms
    }

    /// Takes a nogood of two atoms or more in; its first two are watched.
    pub(super) fn add(&mut self, atoms: Vec<Atom>) -> u32 {
        let id = self.nogoods.len() as u32;
        for atom in &atoms[..2] {
            self.watches[atom.side as usize].push((id, atom.least));
        }
        self.nogoods.push(Nogood { atoms, used: self.step });
        id
    }

    pub(super) fn use_again(&mut self, id: u32) {
        let used = &mut self.nogoods[id as usize].used;
        *used += self.step;
        if *used > 1e100 {
            self.nogoods.iter_mut().for_each(|nogood| nogood.used *= 1e-100);
            self.step *= 1e-100;
        }
    }

    pub(super) fn grow_old(&mut self) {
        self.step /= 0.999;
    }

    /// What follows from one side having grown from `old` to `new`.
    pub(super) fn draw(&mut self, trail: &mut Trail, side: u32, old: i32, new: i32) -> Result<(), Conflict> {
        let mut watches = std::mem::take(&mut self.watches[side as usize]);
        let mut kept = 0;
        let mut outcome = Ok(());
        let mut at = 0;
        while at < watches.len() {
            let (id, least) = watches[at];
            at += 1;
            if least <= old || least > new {
                watches[kept] = (id, least);
                kept += 1;
                continue;
            }
            let atoms = &mut self.nogoods[id as usize].atoms;
            if atoms[0].side == side && atoms[0].least == least {
                atoms.swap(0, 1);
            }
            let other = atoms[0];
            if !trail.holds(other.not())
                && let Some(next) = (2..atoms.len()).find(|&next| !trail.holds(atoms[next]))
            {
                atoms.swap(1, next);
                let atom = atoms[1];
                if atom.side == side {
                    // not yet holding on the same side: watched from here as before
                    watches[kept] = (id, atom.least);
                    kept += 1;
                } else {
                    self.watches[atom.side as usize].push((id, atom.least));
                }
                continue;
            }
            watches[kept] = (id, least);
            kept += 1;
            if trail.holds(other.not()) {
                continue;
            }
            if trail.holds(other) {
                outcome = Err(atoms.clone());
                break;
            }
            trail.push(other.not(), Why::Nogood(id));
        }
        while at < watches.len() {
            watches[kept] = watches[at];
            kept += 1;
            at += 1;
        }
        watches.truncate(kept);
        // what was added to this side meanwhile stays
        let added = std::mem::replace(&mut self.watches[side as usize], watches);
        self.watches[side as usize].extend(added);
        outcome
    }

    /// Forgets the least useful half when there are too many. Only with nothing decided: no entry then needs
    /// its nogood any more.
    pub(super) fn forget(&mut self) {
        if self.nogoods.len() < self.most {
            return;
        }
        self.most += self.most / 10;
        let mut nogoods = std::mem::take(&mut self.nogoods);
        nogoods.sort_by(|one, other| {
            let short = |nogood: &Nogood| nogood.atoms.len() <= 2;
            short(other).cmp(&short(one)).then(other.used.total_cmp(&one.used))
        });
        nogoods.truncate(nogoods.len() / 2);
        self.watches.iter_mut().for_each(Vec::clear);
        for nogood in nogoods {
            let used = nogood.used;
            let id = self.add(nogood.atoms);
            self.nogoods[id as usize].used = used;
        }
    }
}
