//! The search for a better plan: change the order, fill the shop again, keep what is no worse.
//!
//! Invariant: the same layout, seed and number of orders give the same best plan; the best plan kept has
//! always been decoded in full.

use super::construct::{self, Runs};
use super::decode::{Decoder, Key};
use super::dice::Dice;
use super::layout::{Layout, NONE};
use super::network::{TaskId, Tick};
use super::reason::Infeasible;
use super::score::Score;

/// A plan as starts and workers.
pub(super) type Placing = (Vec<Option<Tick>>, Vec<u64>);

/// One line of search.
#[derive(Debug)]
pub(super) struct Search<'l, 'n> {
    decoder: Decoder<'l, 'n>,
    layout: &'l Layout<'n>,
    runs: Vec<Vec<u32>>,
    campaigns: Vec<Vec<u32>>,
    dice: Dice,
    keys: Vec<Key>,
    trial: Vec<Key>,
    /// Score of the order being changed.
    current: Option<Score>,
    /// Best so far.
    pub(super) best: Option<(Score, Placing)>,
    since: u32,
}

impl<'l, 'n> Search<'l, 'n> {
    pub(super) fn new(layout: &'l Layout<'n>, whole: bool, seed: u64, stream: u64) -> Self {
        let decoder = Decoder::new(layout, whole);
        let graph = decoder.graph();
        let mut runs = groups(graph.tasks.len(), |unit| {
            let bundle = graph.tasks[unit as usize]
                .first()
                .map_or(NONE, |&task| layout.bundle_of[task as usize]);
            (bundle != NONE && !whole).then_some(u64::from(bundle))
        });
        runs.extend(Runs::of(layout, graph).units);
        runs.retain(|units| units.len() > 1);
        let mut campaigns = groups(graph.tasks.len(), |unit| {
            graph.tasks[unit as usize]
                .first()
                .map(|&task| layout.network.tasks[task as usize].rank)
        });
        campaigns.retain(|units| units.len() > 1);
        Self {
            decoder,
            layout,
            runs,
            campaigns,
            dice: Dice::new(seed, stream),
            keys: Vec::new(),
            trial: Vec::new(),
            current: None,
            best: None,
            since: 0,
        }
    }

    pub(super) fn tries(&self) -> u64 {
        self.decoder.tries
    }

    /// Orders worth trying before any chance: by rank, then run by run in waves, then by length of path.
    pub(super) fn first_orders(&self, given: Option<&[TaskId]>) -> Vec<Vec<Key>> {
        let graph = self.decoder.graph();
        let layout = self.layout;
        let runs = Runs::of(layout, graph);
        let mut orders = Vec::new();
        if let Some(order) = given {
            orders.push(construct::by_tasks(layout, graph, order));
        }
        orders.push(construct::by_rank(layout, graph));
        if !runs.units.is_empty() {
            let mut wave = 1;
            while wave < runs.units.len() {
                orders.push(construct::by_runs(layout, graph, &runs, wave));
                wave *= 2;
            }
            orders.push(construct::by_runs(layout, graph, &runs, 1));
        }
        orders
    }

    /// Decodes an order as it is and takes it up when it is the best.
    pub(super) fn decode(&mut self, keys: &[Key]) -> Result<bool, Infeasible> {
        self.decoder.decode(keys)?;
        let score = self.decoder.shop.score();
        Ok(self.take_up(score))
    }

    fn take_up(&mut self, score: Score) -> bool {
        if self.current.is_none_or(|current| score <= current) {
            self.since = if self.current == Some(score) { self.since + 1 } else { 0 };
            self.current = Some(score);
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

    fn change(&mut self) {
        let count = self.trial.len();
        match self.dice.below(10) {
            0..4 if !self.runs.is_empty() => {
                let run = self.dice.below(self.runs.len());
                let shift = self.dice.between(-2400, 1600);
                for &unit in &self.runs[run] {
                    self.trial[unit as usize] += shift;
                }
            }
            4..5 if !self.campaigns.is_empty() => {
                let campaign = self.dice.below(self.campaigns.len());
                let shift = self.dice.between(-1500, 900);
                for &unit in &self.campaigns[campaign] {
                    self.trial[unit as usize] += shift;
                }
            }
            5..7 => {
                let middle = self.trial[self.dice.below(count)];
                let width = 30 + self.dice.between(0, 400);
                let spread = 1 + self.dice.between(0, 150);
                for unit in 0..count {
                    if (self.trial[unit] - middle).abs() < width {
                        self.trial[unit] += self.dice.between(-spread, spread + 1);
                    }
                }
            }
            _ => {
                for _ in 0..=self.dice.below(4) {
                    let unit = self.dice.below(count);
                    self.trial[unit] += self.dice.between(-900, 600);
                }
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
