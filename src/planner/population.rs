//! Search with a population of plans, for plain networks.
//!
//! Invariant: every member is a plan that was decoded; the same seed gives the same members. A child takes a
//! stretch in which the mother's pools are full and the father's order around it (after the peak crossover
//! of Valls, Ballestín and Quintanilla, 2008, European Journal of Operational Research 185, 495-508).

use super::dice::Dice;
use super::plain::{Bench, Plain};

/// Members of a population for each task, within bounds: larger networks take longer to settle (measured on
/// published sets of 60 and 120 tasks at about a million orders).
const MEMBERS_A_TASK: usize = 9;
const FEWEST_MEMBERS: usize = 150;
const MOST_MEMBERS: usize = 750;
/// Children without a better plan, in populations, after which all but the best plan starts afresh: fewer on small
/// networks, which settle early (measured on published sets of 60 and 120 tasks).
fn stall(tasks: usize) -> usize {
    (tasks * 2 / 3).saturating_sub(20).max(20)
}

/// How good a plan is, smaller first: its length, then how late its minutes lie, squared, because of two
/// plans of one length the one with more room at its end is nearer to a shorter one.
type Rank = (u32, u64);

#[derive(Clone, Debug)]
struct Member {
    start: Vec<u32>,
    rank: Rank,
}

fn rank(start: &[u32], minutes: &[u32]) -> Rank {
    let mut rank = (0, 0);
    for (&start, &minutes) in start.iter().zip(minutes) {
        let end = start + minutes;
        rank.0 = rank.0.max(end);
        rank.1 += u64::from(minutes) * u64::from(end) * u64::from(end);
    }
    rank
}

/// Tasks in order of their starts, those of one start as the waits have them.
fn ordered(plain: &Plain, start: &[u32], into: &mut Vec<i64>) {
    into.clear();
    let pack = |(place, &id): (usize, &u16)| i64::from(start[id as usize]) << 32 | (place as i64) << 16 | i64::from(id);
    into.extend(plain.sequence.iter().enumerate().map(pack));
    into.sort_unstable();
}

/// A population.
#[derive(Debug)]
pub(super) struct Population {
    plain: Plain,
    bench: Bench,
    dice: Dice,
    members: Vec<Member>,
    /// How many there are once it is full.
    most: usize,
    best_here: u32,
    stalled: usize,
    child: Vec<u16>,
    keys: Vec<i64>,
    load: Vec<u64>,
    /// Tasks with what they are sorted by, a word each.
    packed: Vec<i64>,
    other: Vec<i64>,
    taken: Vec<bool>,
}

impl Population {
    pub(super) fn new(plain: Plain, seed: u64, stream: u64) -> Self {
        let bench = Bench::new(&plain);
        let count = plain.count();
        Self {
            plain,
            bench,
            dice: Dice::new(seed, stream),
            members: Vec::new(),
            most: (MEMBERS_A_TASK * count).clamp(FEWEST_MEMBERS, MOST_MEMBERS),
            best_here: u32::MAX,
            stalled: 0,
            child: Vec::with_capacity(count),
            keys: vec![0; count],
            load: Vec::new(),
            packed: Vec::with_capacity(count),
            other: Vec::with_capacity(count),
            taken: Vec::with_capacity(count),
        }
    }

    pub(super) fn tries(&self) -> u64 {
        self.bench.tries
    }

    /// Takes a plan found elsewhere in.
    pub(super) fn welcome(&mut self, start: Vec<u32>) {
        let rank = rank(&start, &self.plain.minutes);
        if self.members.len() < self.most {
            self.members.push(Member { start, rank });
        } else {
            let at = self.dice.below(self.most);
            self.members[at] = Member { start, rank };
        }
        self.best_here = self.best_here.min(rank.0);
    }

    /// One new plan: its length; its starts are in [`Population::latest`].
    pub(super) fn step(&mut self) -> u32 {
        if self.members.len() < self.most {
            self.sample();
            let length = self.decode();
            self.members.push(Member {
                start: self.bench.start.clone(),
                rank: rank(&self.bench.start, &self.plain.minutes),
            });
            self.best_here = self.best_here.min(length);
            return length;
        }
        let mother = self.tournament();
        let mut father = self.tournament();
        while father == mother {
            father = self.dice.below(self.most);
        }
        if self.dice.below(10) < 7 {
            self.peak(mother, father);
        } else {
            self.two_points(mother, father);
        }
        self.disturb();
        let length = self.decode();
        let (one, other) = (self.dice.below(self.most), self.dice.below(self.most));
        let out = if self.members[one].rank >= self.members[other].rank {
            one
        } else {
            other
        };
        let rank = rank(&self.bench.start, &self.plain.minutes);
        let known = |member: &Member| member.rank == rank && member.start == self.bench.start;
        if rank <= self.members[out].rank && !self.members.iter().any(known) {
            self.members[out].start.copy_from_slice(&self.bench.start);
            self.members[out].rank = rank;
        }
        if length < self.best_here {
            self.best_here = length;
            self.stalled = 0;
        } else {
            self.stalled += 1;
            if self.stalled > stall(self.plain.count()) * self.most {
                self.members.clear();
                self.best_here = u32::MAX;
                self.stalled = 0;
            }
        }
        length
    }

    /// Starts of the plan made last.
    pub(super) fn latest(&self) -> &[u32] {
        &self.bench.start
    }

    fn decode(&mut self) -> u32 {
        self.bench.justify(&self.plain, &mut self.child, 2)
    }

    fn tournament(&mut self) -> usize {
        let (one, other) = (self.dice.below(self.most), self.dice.below(self.most));
        if self.members[one].rank <= self.members[other].rank {
            one
        } else {
            other
        }
    }

    /// An order drawn task by task, those that must end soon with more chance.
    fn sample(&mut self) {
        let plain = &self.plain;
        let mut left: Vec<usize> = (0..plain.count() as u32).map(|id| plain.before.of(id).len()).collect();
        let mut open: Vec<u16> = (0..plain.count() as u16).filter(|&id| left[id as usize] == 0).collect();
        self.child.clear();
        while !open.is_empty() {
            let latest = open.iter().map(|&id| plain.latest_end[id as usize]).max().unwrap_or(0);
            let chance = |id: u16| {
                let regret = u64::from(latest - plain.latest_end[id as usize]) + 1;
                regret * regret
            };
            let all: u64 = open.iter().map(|&id| chance(id)).sum();
            let mut draw = self.dice.below(usize::try_from(all).unwrap_or(usize::MAX)) as u64;
            let mut pick = open.len() - 1;
            for (place, &id) in open.iter().enumerate() {
                let chance = chance(id);
                if draw < chance {
                    pick = place;
                    break;
                }
                draw -= chance;
            }
            let id = open.swap_remove(pick);
            self.child.push(id);
            for &(next, _) in plain.after.of(u32::from(id)) {
                left[next as usize] -= 1;
                if left[next as usize] == 0 {
                    open.push(next);
                }
            }
        }
    }

    /// The mother's order where her pools are fullest, the father's around it.
    fn peak(&mut self, mother: usize, father: usize) {
        let plain = &self.plain;
        let (mother, father) = (&self.members[mother], &self.members[father]);
        let length = mother.rank.0 as usize;
        let part = (length * (100 + self.dice.below(401)) / 1000).clamp(1, length.max(1));
        // load before each minute, so that a stretch is one subtraction
        self.load.clear();
        self.load.resize(length + 2, 0);
        for (id, &start) in mother.start.iter().enumerate() {
            let weight = u64::from(plain.weight[id]);
            let end = start + plain.minutes[id];
            self.load[start as usize + 1] = self.load[start as usize + 1].wrapping_add(weight);
            self.load[end as usize + 1] = self.load[end as usize + 1].wrapping_sub(weight);
        }
        for _ in 0..2 {
            let mut sum = 0_u64;
            for load in &mut self.load {
                sum = sum.wrapping_add(*load);
                *load = sum;
            }
        }
        let mut best = (0, 0);
        for _ in 0..3 {
            let from = self.dice.below(length - part + 1);
            let load = self.load[from + part].wrapping_sub(self.load[from]);
            if load >= best.0 {
                best = (load, from);
            }
        }
        let (from, until) = (best.1 as u32, (best.1 + part) as u32);
        let far = 1_i64 << 32;
        for (id, &start) in mother.start.iter().enumerate() {
            let end = start + plain.minutes[id];
            let inside = start >= from && end <= until;
            let cut = start < until && end > from;
            self.keys[id] = if inside || (cut && self.dice.below(2) == 0) {
                i64::from(start)
            } else if start < from {
                i64::from(father.start[id]) - far
            } else {
                i64::from(father.start[id]) + far
            };
        }
        self.child_from_keys();
    }

    fn child_from_keys(&mut self) {
        let plain = &self.plain;
        for key in &mut self.keys {
            *key *= 64;
        }
        for &id in &plain.sequence {
            let id = id as usize;
            for &(earlier, _) in plain.before.of(id as u32) {
                self.keys[id] = self.keys[id].max(self.keys[earlier as usize] + 1);
            }
        }
        // keys are of 40 places and a sign: with the task behind they fill a word
        self.packed.clear();
        let pack = |(id, key): (usize, &i64)| key << 16 | id as i64;
        self.packed.extend(self.keys.iter().enumerate().map(pack));
        self.packed.sort_unstable();
        self.child.clear();
        self.child.extend(self.packed.iter().map(|&packed| packed as u16));
    }

    /// The mother's order up to one point and after another, the father's between.
    fn two_points(&mut self, mother: usize, father: usize) {
        let count = self.plain.count();
        let (one, other) = (self.dice.below(count), self.dice.below(count));
        let (from, until) = (one.min(other), one.max(other));
        ordered(&self.plain, &self.members[mother].start, &mut self.packed);
        self.taken.clear();
        self.taken.resize(count, false);
        self.child.clear();
        for &packed in &self.packed[..from] {
            let id = packed as u16;
            self.taken[id as usize] = true;
            self.child.push(id);
        }
        ordered(&self.plain, &self.members[father].start, &mut self.other);
        for &packed in &self.other {
            if self.child.len() >= until {
                break;
            }
            let id = packed as u16;
            if !std::mem::replace(&mut self.taken[id as usize], true) {
                self.child.push(id);
            }
        }
        let left = self.packed.iter().map(|&packed| packed as u16);
        self.child.extend(left.filter(|&id| !self.taken[id as usize]));
    }

    /// Swaps one neighbour in twenty where no wait stands between.
    fn disturb(&mut self) {
        for at in 1..self.child.len().saturating_sub(2) {
            if self.dice.below(20) == 0 {
                let (one, other) = (self.child[at], self.child[at + 1]);
                if !self.plain.after.of(u32::from(one)).iter().any(|next| next.0 == other) {
                    self.child.swap(at, at + 1);
                }
            }
        }
    }
}
