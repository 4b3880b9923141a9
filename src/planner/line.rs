//! One line of search, of either kind.
//!
//! Invariant: a line depends on its own seed and what it is given at meetings alone, so lines may run side
//! by side.

use super::exact::{Exact, Outcome};
use super::layout::Layout;
use super::network::Tick;
use super::plain::{self, Plain};
use super::population::Population;
use super::score::{self, Score};
use super::search::{Placing, Search};

/// A line of search.
#[derive(Debug)]
pub(super) enum Line<'l, 'n> {
    /// Changes one order.
    Moves(Box<Search<'l, 'n>>),
    /// Breeds plans of a plain network.
    Breeds(Box<Breeder<'l, 'n>>),
}

/// A population and the best it has brought.
#[derive(Debug)]
pub(super) struct Breeder<'l, 'n> {
    layout: &'l Layout<'n>,
    population: Population,
    best: (Score, Placing),
    exact: Option<Exact>,
    /// Children bred for each step of the exact search, and bred since the last.
    share: u32,
    bred: u32,
    /// No plan is shorter than the best one.
    proved: bool,
}

/// Tasks up to which the exact search gets a step a child; it gets fewer the larger the network.
const SMALL: usize = 36;

impl<'l, 'n> Line<'l, 'n> {
    pub(super) fn breed(
        layout: &'l Layout<'n>,
        plain: Plain,
        seed: u64,
        stream: u64,
        score: Score,
        placing: &Placing,
    ) -> Self {
        // one line in all looks for the proof
        let length = u32::try_from(score.ready).unwrap_or(u32::MAX);
        let exact = (stream == 0).then(|| Exact::new(&plain, length));
        let share = plain.count().div_ceil(SMALL).pow(2) as u32;
        let mut population = Population::new(plain, seed, stream);
        population.welcome(placing.starts.iter().map(|start| start.unwrap_or(0)).collect());
        Self::Breeds(Box::new(Breeder {
            layout,
            population,
            best: (score, placing.clone()),
            exact,
            share,
            bred: 0,
            proved: false,
        }))
    }

    pub(super) fn tries(&self) -> u64 {
        match self {
            Self::Moves(search) => search.tries(),
            Self::Breeds(breeder) => breeder.population.tries(),
        }
    }

    pub(super) fn best(&self) -> Option<&(Score, Placing)> {
        match self {
            Self::Moves(search) => search.best.as_ref(),
            Self::Breeds(breeder) => Some(&breeder.best),
        }
    }

    pub(super) fn can_move(&self) -> bool {
        match self {
            Self::Moves(search) => search.can_move(),
            Self::Breeds(breeder) => !breeder.proved,
        }
    }

    /// Whether no plan is shorter than the best one.
    pub(super) fn has_proved(&self) -> bool {
        matches!(self, Self::Breeds(breeder) if breeder.proved)
    }

    /// Tries at least one order more.
    pub(super) fn step(&mut self) {
        match self {
            Self::Moves(search) => {
                search.step();
            }
            Self::Breeds(breeder) => breeder.step(),
        }
    }

    /// Goes on from a plan found by another line.
    pub(super) fn adopt(&mut self, score: Score, placing: &Placing) {
        match self {
            Self::Moves(search) => search.adopt(score, placing),
            Self::Breeds(breeder) => {
                breeder
                    .population
                    .welcome(placing.starts.iter().map(|start| start.unwrap_or(0)).collect());
                breeder.best = (score, placing.clone());
            }
        }
    }
}

impl Breeder<'_, '_> {
    fn step(&mut self) {
        let length = self.population.step();
        if u64::from(length) < self.best.0.ready {
            let starts = plain::starts(self.population.latest());
            self.take_up(starts);
        }
        self.bred += 1;
        if self.bred >= self.share && !self.proved {
            self.bred = 0;
            self.prove();
        }
    }

    fn prove(&mut self) {
        let Some(exact) = &mut self.exact else { return };
        exact.beat(u32::try_from(self.best.0.ready).unwrap_or(u32::MAX));
        match exact.run(1) {
            Outcome::Open => {}
            Outcome::Proved => self.proved = true,
            Outcome::Shorter(starts) => {
                self.take_up(plain::starts(&starts));
                self.population.welcome(starts);
            }
        }
    }

    fn take_up(&mut self, starts: Vec<Option<Tick>>) {
        let workers = vec![0; starts.len()];
        let score = score::score(self.layout.network, |task| starts[task as usize], 0, 0);
        let pools = Vec::new();
        self.best = (score, Placing { starts, workers, pools });
    }
}
