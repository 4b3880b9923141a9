//! Runs that take turns: where a pool has room for so many at once, its runs share out over so many places, and on
//! each of them one follows the other.
//!
//! Invariant: "too late" is said only where no sharing out lets every run begin in time. Hours, clocks and limits count
//! as they stand when a run has its turn, which the sum of all minutes knows nothing of.

use super::BoundReason;
use super::lasting::Lasting;
use super::run::Run;
use crate::planner::layout::Layout;
use crate::planner::network::{Chain, PoolId, TaskId, Tick};
use foldhash::{HashMap, HashMapExt, HashSet, HashSetExt};
use std::rc::Rc;

/// Work done on one question before it is left open: ways of sharing out, times what there is to share out.
const MOST_WORK: usize = 60_000;

/// The runs of one pool, or of pools that stand in for each other.
pub(super) struct Turns {
    pub(super) reason: BoundReason,
    /// Runs at once at the most.
    places: usize,
    /// The first task of each run and its kind.
    firsts: Vec<(TaskId, usize)>,
    kinds: Vec<Kind>,
}

/// Runs that last alike.
struct Kind {
    run: Rc<Run>,
    first: TaskId,
    /// When the place is free again, by start.
    ends: HashMap<Tick, Option<Tick>>,
}

/// Runs of a kind that can begin and must have begun at the same ticks.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Group {
    kind: usize,
    head: Tick,
    last: Tick,
    count: usize,
}

impl Turns {
    /// The turns in every pool, and in every set of pools of which some run takes one.
    pub(super) fn of(layout: &Layout, lasting: &mut Lasting) -> Vec<Self> {
        let mut sets: Vec<Vec<PoolId>> = layout.network.chains.iter().map(pools).collect();
        sets.sort_unstable();
        sets.dedup();
        let turns = sets.into_iter().filter_map(|set| Self::within(layout, &set, lasting));
        turns.collect()
    }

    /// The turns of the runs that take a place in the set for certain; `None` where all of them fit at once.
    fn within(layout: &Layout, set: &[PoolId], lasting: &mut Lasting) -> Option<Self> {
        let network = layout.network;
        let is_bound = |chain: &Chain| {
            chain.amount > 0
                && chain.pools().all(|pool| set.contains(&pool))
                && !layout.is_fixed(chain.first)
                && !layout.is_optional(chain.first)
        };
        let chains = || network.chains.iter().enumerate().filter(|(_, chain)| is_bound(chain));
        let least = chains().map(|(_, chain)| chain.amount).min()?;
        let room = set.iter().map(|&pool| network.pools[pool as usize].capacity / least);
        let places = room.fold(0_u32, u32::saturating_add) as usize;
        if places == 0 || chains().count() <= places {
            return None;
        }
        let mut known: HashMap<Rc<Run>, usize> = HashMap::new();
        let (mut firsts, mut kinds) = (Vec::new(), Vec::new());
        for (at, chain) in chains() {
            let run = lasting.run(layout, at);
            let kind = *known.entry(run.clone()).or_insert(kinds.len());
            if kind == kinds.len() {
                kinds.push(Kind {
                    run,
                    first: chain.first,
                    ends: HashMap::new(),
                });
            }
            firsts.push((chain.first, kind));
        }
        Some(Self {
            reason: BoundReason::Places(*set.first()?),
            places,
            firsts,
            kinds,
        })
    }

    /// Whether some run begins too late, however they take turns.
    pub(super) fn fall_short(&mut self, layout: &Layout, heads: &[Tick], lasts: &[Option<Tick>]) -> bool {
        let mut groups: Vec<Group> = Vec::with_capacity(self.firsts.len());
        for &(task, kind) in &self.firsts {
            let Some(last) = lasts[task as usize] else {
                return true;
            };
            groups.push(Group {
                kind,
                head: heads[task as usize],
                last,
                count: 1,
            });
        }
        groups.sort_unstable();
        groups.dedup_by(|next, first| {
            let alike = (next.kind, next.head, next.last) == (first.kind, first.head, first.last);
            first.count += usize::from(alike);
            alike
        });
        let mut left: Vec<usize> = groups.iter().map(|group| group.count).collect();
        let mut sharing = Sharing {
            layout,
            kinds: &mut self.kinds,
            ways: MOST_WORK / (groups.len() + self.places),
            groups,
            hopeless: HashSet::new(),
        };
        !sharing.can(&mut left, &vec![0; self.places])
    }
}

/// A sharing out as it is looked for.
struct Sharing<'a, 'l> {
    layout: &'a Layout<'l>,
    kinds: &'a mut [Kind],
    groups: Vec<Group>,
    /// What was left by group, and when the places were free, where no way on was found.
    hopeless: HashSet<(Vec<usize>, Vec<Tick>)>,
    /// Ways still to be looked at.
    ways: usize,
}

impl Sharing<'_, '_> {
    /// Whether what is left by group can begin in time on places that are free at these ticks (sorted); taken in order
    /// of their starts, each run is best put on the place that is free first. Yes where that was not found out.
    fn can(&mut self, left: &mut Vec<usize>, free: &[Tick]) -> bool {
        let Some(ways) = self.ways.checked_sub(1) else {
            return true;
        };
        self.ways = ways;
        // when each group could begin next
        let mut next: Vec<(Tick, usize)> = Vec::with_capacity(left.len());
        for (at, group) in self.groups.iter().enumerate().filter(|(at, _)| left[*at] > 0) {
            let first = self.kinds[group.kind].first;
            let begin = self.layout.openings().first(first, free[0].max(group.head));
            match begin.filter(|&begin| begin <= group.last) {
                Some(begin) => next.push((begin, at)),
                None => return false,
            }
        }
        if next.is_empty() {
            return true;
        }
        let state = (left.clone(), free.to_vec());
        if self.hopeless.contains(&state) {
            return false;
        }
        next.sort_unstable();
        for (begin, at) in next {
            let kind = &mut self.kinds[self.groups[at].kind];
            let end = kind.ends.entry(begin);
            let Some(end) = *end.or_insert_with(|| kind.run.end(self.layout, begin)) else {
                continue;
            };
            let mut after: Vec<Tick> = free[1..].to_vec();
            after.insert(after.partition_point(|&tick| tick <= end), end);
            left[at] -= 1;
            let can = self.can(left, &after);
            left[at] += 1;
            if can {
                return true;
            }
        }
        self.hopeless.insert(state);
        false
    }
}

fn pools(chain: &Chain) -> Vec<PoolId> {
    let mut pools: Vec<PoolId> = chain.pools().collect();
    pools.sort_unstable();
    pools.dedup();
    pools
}
