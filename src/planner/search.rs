//! The search for a better plan: change the order, fill the shop again, keep what is no worse.
//!
//! Invariant: the same layout, seed and number of orders give the same best plan; the best plan kept has
//! always been decoded in full.

use super::bound::{self, Bound};
use super::construct::{self, Runs};
use super::decode::{Decoder, Key};
use super::dice::Dice;
use super::layout::{Layout, NONE};
use super::network::{PoolId, TaskId, Tick};
use super::reason::Infeasible;
use super::score::Score;
use super::shop::Shop;
use super::solution::Solution;

/// A plan as the shop takes it up again.
#[derive(Clone, Debug)]
pub(super) struct Placing {
    pub(super) starts: Vec<Option<Tick>>,
    pub(super) workers: Vec<u64>,
    pub(super) pools: Vec<PoolId>,
}

/// How much later than the plan in hand a plan may be ready and still be filled to the end.
const SLACK: u64 = 30;
/// One order in so many is taken up although it is worse, so that the search does not stay in one valley.
const DRIFT: usize = 500;

/// One line of search.
#[derive(Debug)]
pub(super) struct Search<'l, 'n> {
    decoder: Decoder<'l, 'n>,
    layout: &'l Layout<'n>,
    whole: bool,
    /// Units that belong together: bundles taken apart, runs of a held place.
    runs: Vec<Vec<u32>>,
    /// Units of one rank.
    campaigns: Vec<Vec<u32>>,
    dice: Dice,
    keys: Vec<Key>,
    trial: Vec<Key>,
    /// Score and pace of the order being changed.
    current: Option<(Score, u64)>,
    cut: u64,
    /// Best so far.
    pub(super) best: Option<(Score, Placing)>,
}

impl<'l, 'n> Search<'l, 'n> {
    pub(super) fn new(layout: &'l Layout<'n>, whole: bool, seed: u64, stream: u64) -> Self {
        Self {
            decoder: Decoder::new(layout, whole),
            layout,
            whole,
            runs: Vec::new(),
            campaigns: Vec::new(),
            dice: Dice::new(seed, stream),
            keys: Vec::new(),
            trial: Vec::new(),
            current: None,
            cut: u64::MAX,
            best: None,
        }
    }

    /// Finds what moves together.
    pub(super) fn find_groups(&mut self) {
        let (layout, graph) = (self.layout, self.decoder.graph());
        self.runs = self.bundles();
        self.runs.extend(Runs::of(layout, graph).units);
        self.runs.retain(|units| units.len() > 1);
        self.campaigns = groups(graph.tasks.len(), |unit| {
            graph.tasks[unit as usize]
                .first()
                .map(|&task| layout.network.tasks[task as usize].rank)
        });
        self.campaigns
            .retain(|units| units.len() > 1 && units.len() < graph.tasks.len());
    }

    /// Units of the bundles taken apart.
    fn bundles(&self) -> Vec<Vec<u32>> {
        let graph = self.decoder.graph();
        groups(graph.tasks.len(), |unit| {
            let first = graph.tasks[unit as usize].first();
            let bundle = first.map_or(NONE, |&task| self.layout.bundle_of[task as usize]);
            (bundle != NONE && !self.whole).then_some(u64::from(bundle))
        })
    }

    /// The best plan so far in full.
    pub(super) fn plan(&mut self, bound: Bound) -> Option<Solution> {
        let (score, placing) = self.best.as_ref()?;
        let shop = &mut self.decoder.shop;
        shop.take_in(placing);
        Some(shop.solution(*score, bound, self.decoder.tries))
    }

    /// The shop, for what comes after the search.
    pub(super) fn into_shop(self) -> Shop<'l, 'n> {
        self.decoder.shop
    }

    pub(super) fn tries(&self) -> u64 {
        self.decoder.tries
    }

    /// Orders worth trying before any chance: the one given, by rank, run by run in waves of several sizes,
    /// by the length of what follows.
    pub(super) fn first_orders(&self, given: Option<&[TaskId]>, only: bool) -> Vec<Vec<Key>> {
        let graph = self.decoder.graph();
        let layout = self.layout;
        let mut orders = Vec::new();
        if let Some(order) = given {
            orders.push(construct::by_tasks(layout, graph, order));
            if only {
                return orders;
            }
        }
        orders.push(construct::by_rank(layout, graph));
        let runs = Runs::of(layout, graph);
        if !runs.units.is_empty() {
            let mut wave = 1;
            while wave < runs.units.len() {
                orders.push(construct::by_runs(layout, graph, &runs, wave));
                wave *= 2;
            }
            orders.push(construct::by_runs(layout, graph, &runs, 1));
        }
        let bundles = self.bundles();
        if !bundles.is_empty() {
            orders.extend(construct::by_days(layout, graph, &bundles));
            orders.extend(construct::by_bundles(layout, graph, &bundles));
        }
        orders
    }

    /// Decodes an order as it is and takes it up when it is the best.
    pub(super) fn decode(&mut self, keys: &[Key]) -> Result<bool, Infeasible> {
        self.decoder.deadlines.clear();
        if let Err(refused) = self.decoder.decode(keys) {
            return Err(if self.best.is_none() {
                self.decoder.diagnose(keys, refused)
            } else {
                refused
            });
        }
        let score = self.decoder.shop.score();
        Ok(self.take_up(score))
    }

    /// Starts from a plan found elsewhere.
    pub(super) fn adopt(&mut self, score: Score, placing: &Placing) {
        self.keys.clear();
        let starts = self.decoder.graph().tasks.iter().map(|tasks| {
            tasks
                .iter()
                .filter_map(|&task| placing.starts[task as usize])
                .map(Key::from)
                .min()
                .unwrap_or(0)
        });
        self.keys.extend(starts);
        // the pace of a plan from elsewhere is not known here: whatever is as good is taken up
        self.current = Some((score, u64::MAX));
        if self.best.as_ref().is_none_or(|(best, _)| score < *best) {
            self.best = Some((score, placing.clone()));
        }
    }

    fn take_up(&mut self, score: Score) -> bool {
        let drift = self.current.is_some() && self.dice.below(DRIFT) == 0;
        let pace = self.decoder.shop.pace();
        let rate = |(score, pace): (Score, u64)| (score.late, score.ready, score.early, pace);
        if drift || self.current.is_none_or(|current| rate((score, pace)) <= rate(current)) {
            self.current = Some((score, pace));
            self.keys_from_starts();
        }
        let better = self.best.as_ref().is_none_or(|(best, _)| score < *best);
        if better {
            self.best = Some((score, self.decoder.shop.snapshot()));
        }
        better
    }

    /// The order in hand becomes that of the starts: moves then work in minutes.
    fn keys_from_starts(&mut self) {
        let shop = &self.decoder.shop;
        let starts = self.decoder.graph().tasks.iter().map(|tasks| {
            tasks
                .iter()
                .map(|&task| Key::from(shop.start[task as usize]))
                .min()
                .unwrap_or(0)
        });
        self.keys.clear();
        self.keys.extend(starts);
    }

    /// Whether there is an order to change.
    pub(super) fn can_move(&self) -> bool {
        self.keys.len() > 1
    }

    /// One changed order. Whether the best plan became better.
    pub(super) fn step(&mut self) -> bool {
        self.set_deadlines();
        self.trial.clone_from(&self.keys);
        self.change();
        let trial = std::mem::take(&mut self.trial);
        let outcome = self.decoder.decode(&trial);
        self.trial = trial;
        if outcome.is_err() {
            return false;
        }
        let score = self.decoder.shop.score();
        self.take_up(score)
    }

    /// Plans that are ready much later than the one in hand need not be filled to the end; while something
    /// is late, being ready does not decide, so all are.
    fn set_deadlines(&mut self) {
        let Some((current, _)) = self.current else { return };
        let cut = if current.late > 0 {
            u64::MAX
        } else {
            current.ready + SLACK
        };
        if cut == self.cut {
            return;
        }
        self.cut = cut;
        self.decoder.deadlines.clear();
        if let Ok(cut) = Tick::try_from(cut) {
            let lasts = bound::tails(self.layout, cut);
            self.decoder
                .deadlines
                .extend(lasts.into_iter().map(|last| last.unwrap_or(0)));
        }
    }

    /// Changes the order by one move. How often each kind comes was measured on a load of 40 parts with two dozen seeds:
    /// small moves and taking another's times lead out of a valley where moves of whole runs do not.
    fn change(&mut self) {
        match self.dice.below(20) {
            0 if !self.runs.is_empty() => {
                let run = self.dice.below(self.runs.len());
                let shift = self.shift(-2400, 1600);
                for &unit in &self.runs[run] {
                    self.trial[unit as usize] += shift;
                }
            }
            1 if !self.campaigns.is_empty() => {
                let campaign = self.dice.below(self.campaigns.len());
                let shift = self.shift(-1500, 900);
                for &unit in &self.campaigns[campaign] {
                    self.trial[unit as usize] += shift;
                }
            }
            2..7 if self.runs.len() > 1 => self.take_times(),
            7..11 => self.shake(),
            _ => {
                let count = self.trial.len();
                for _ in 0..=self.dice.below(4) {
                    let unit = self.dice.below(count);
                    self.trial[unit] += self.shift(-900, 600);
                }
            }
        }
    }

    /// Far or near: the stretch to draw from is halved up to five times.
    fn shift(&mut self, low: i64, high: i64) -> i64 {
        let halves = self.dice.below(6);
        self.dice.between(low >> halves, (high >> halves) + 1)
    }

    /// One run goes when another one goes, stage by stage.
    fn take_times(&mut self) {
        let (one, other) = (self.dice.below(self.runs.len()), self.dice.below(self.runs.len()));
        for (&unit, &like) in self.runs[one].iter().zip(&self.runs[other]) {
            self.trial[unit as usize] = self.trial[like as usize];
        }
    }

    /// Mixes what goes within some hours of one unit.
    fn shake(&mut self) {
        let count = self.trial.len();
        let middle = self.trial[self.dice.below(count)];
        let width = 30 + self.dice.between(0, 400);
        let spread = 1 + self.dice.between(0, 150);
        for unit in 0..count {
            if (self.trial[unit] - middle).abs() < width {
                self.trial[unit] += self.dice.between(-spread, spread + 1);
            }
        }
    }
}

/// Units that share a value, in order of their first.
fn groups(units: usize, of: impl Fn(u32) -> Option<u64>) -> Vec<Vec<u32>> {
    let mut sorted: Vec<(u64, u32)> = (0..units as u32).filter_map(|unit| Some((of(unit)?, unit))).collect();
    sorted.sort_unstable();
    sorted
        .chunk_by(|one, other| one.0 == other.0)
        .map(|chunk| chunk.iter().map(|one| one.1).collect())
        .collect()
}
