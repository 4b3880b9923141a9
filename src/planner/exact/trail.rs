//! How early and how late each task may start, with the reason of every narrowing.
//!
//! Invariant: a side only grows along the trail; every entry but a decision has a reason whose atoms were true
//! before it. Side 2i is the first start of task i, side 2i + 1 its last start with the sign turned, so that
//! both grow as the task is narrowed.

/// A side of a task.
pub(super) type Side = u32;

/// "The side is at least this."
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Atom {
    pub(super) side: Side,
    pub(super) least: i32,
}

impl Atom {
    /// What holds when this does not.
    pub(super) fn not(self) -> Self {
        Self {
            side: self.side ^ 1,
            least: 1 - self.least,
        }
    }
}

/// Why a side was narrowed.
#[derive(Clone, Copy, Debug)]
pub(super) enum Why {
    /// Tried.
    Decision,
    /// A wait: the other side, plus ticks.
    Wait(Side, i32),
    /// A nogood (index), all of whose other atoms hold.
    Nogood(u32),
    /// Atoms written down in the arena.
    Written(u32, u32),
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    pub(super) side: Side,
    pub(super) old: i32,
    pub(super) new: i32,
    /// The entry before it on the same side.
    previous: u32,
    pub(super) why: Why,
}

/// No entry: it held from the outset.
pub(super) const OUTSET: u32 = u32::MAX;

/// Why there is no way on: atoms that hold and cannot hold together.
pub(super) type Conflict = Vec<Atom>;

/// The trail.
#[derive(Debug)]
pub(super) struct Trail {
    pub(super) sides: Vec<i32>,
    pub(super) entries: Vec<Entry>,
    last: Vec<u32>,
    /// Entries before each decision, and what was written by then.
    levels: Vec<(usize, usize)>,
    written: Vec<Atom>,
    /// Entries whose consequences have been drawn.
    pub(super) seen: usize,
}

impl Trail {
    pub(super) fn new(sides: Vec<i32>) -> Self {
        Self {
            last: vec![OUTSET; sides.len()],
            sides,
            entries: Vec::new(),
            levels: Vec::new(),
            written: Vec::new(),
            seen: 0,
        }
    }

    pub(super) fn level(&self) -> usize {
        self.levels.len()
    }

    pub(super) fn holds(&self, atom: Atom) -> bool {
        self.sides[atom.side as usize] >= atom.least
    }

    pub(super) fn first(&self, task: usize) -> i32 {
        self.sides[2 * task]
    }

    pub(super) fn last_start(&self, task: usize) -> i32 {
        -self.sides[2 * task + 1]
    }

    /// Begins a level.
    pub(super) fn decide(&mut self, atom: Atom) {
        self.levels.push((self.entries.len(), self.written.len()));
        self.push(atom, Why::Decision);
    }

    /// Narrows a side; the atoms that cannot hold together when nothing is left of it.
    pub(super) fn narrow(&mut self, atom: Atom, why: Why) -> Result<(), Conflict> {
        if self.holds(atom) {
            return Ok(());
        }
        let not = atom.not();
        if self.holds(not) {
            let mut conflict = vec![not];
            self.reason((why, atom.least), atom, |_| &[], &mut conflict);
            return Err(conflict);
        }
        self.push(atom, why);
        Ok(())
    }

    pub(super) fn push(&mut self, atom: Atom, why: Why) {
        let side = atom.side as usize;
        self.entries.push(Entry {
            side: atom.side,
            old: self.sides[side],
            new: atom.least,
            previous: self.last[side],
            why,
        });
        self.last[side] = (self.entries.len() - 1) as u32;
        self.sides[side] = atom.least;
    }

    /// Writes a reason down.
    pub(super) fn write(&mut self, atoms: impl Iterator<Item = Atom>) -> Why {
        let from = self.written.len() as u32;
        self.written.extend(atoms);
        Why::Written(from, self.written.len() as u32)
    }

    /// The atoms from which `atom` follows, when the side grew to `new` for this reason. (`nogood` looks one up.)
    pub(super) fn reason<'a>(
        &self,
        (why, new): (Why, i32),
        atom: Atom,
        nogood: impl FnOnce(u32) -> &'a [Atom],
        into: &mut Vec<Atom>,
    ) {
        match why {
            Why::Decision => {}
            Why::Wait(side, ticks) => into.push(Atom {
                side,
                least: atom.least - ticks,
            }),
            Why::Nogood(id) => {
                // all its atoms but the one that this entry denies
                let denied = Atom {
                    side: atom.side,
                    least: new,
                }
                .not();
                into.extend(nogood(id).iter().filter(|&&one| one != denied));
            }
            Why::Written(from, until) => into.extend_from_slice(&self.written[from as usize..until as usize]),
        }
    }

    /// The entry that made an atom hold, or [`OUTSET`].
    pub(super) fn entry_of(&self, atom: Atom) -> u32 {
        let mut at = self.last[atom.side as usize];
        while at != OUTSET {
            let entry = &self.entries[at as usize];
            if entry.old < atom.least {
                break;
            }
            at = entry.previous;
        }
        at
    }

    /// The level of an entry.
    pub(super) fn level_of(&self, entry: u32) -> usize {
        if entry == OUTSET {
            return 0;
        }
        self.levels.partition_point(|&(before, _)| before <= entry as usize)
    }

    /// Back to a level.
    pub(super) fn back_to(&mut self, level: usize) {
        let Some(&(entries, written)) = self.levels.get(level) else {
            return;
        };
        while self.entries.len() > entries {
            if let Some(entry) = self.entries.pop() {
                self.sides[entry.side as usize] = entry.old;
                self.last[entry.side as usize] = entry.previous;
            }
        }
        self.written.truncate(written);
        self.levels.truncate(level);
        self.seen = self.seen.min(entries);
    }
}
