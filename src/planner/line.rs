//! One line of search, of either kind.
//!
//! Invariant: a line depends on its own seed and what it is given at meetings alone, so lines may run side
//! by side.

use super::layout::Layout;
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
}

impl<'l, 'n> Line<'l, 'n> {
    pub(super) fn breed(
        layout: &'l Layout<'n>,
        plain: Plain,
        seed: u64,
        stream: u64,
        score: Score,
        placing: &Placing,
    ) -> Self {
        let mut population = Population::new(plain, seed, stream);
        population.welcome(placing.0.iter().map(|start| start.unwrap_or(0)).collect());
        Self::Breeds(Box::new(Breeder {
            layout,
            population,
            best: (score, placing.clone()),
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
            Self::Breeds(_) => true,
        }
    }

    /// Tries at least one order more.
    pub(super) fn step(&mut self) {
        match self {
            Self::Moves(search) => {
                search.step();
            }
            Self::Breeds(breeder) => {
                let length = breeder.population.step();
                if u64::from(length) < breeder.best.0.ready {
                    let starts = plain::starts(breeder.population.latest());
                    let workers = vec![0; starts.len()];
                    let score = score::score(breeder.layout.network, |task| starts[task as usize], 0, 0);
                    breeder.best = (score, (starts, workers));
                }
            }
        }
    }

    /// Goes on from a plan found by another line.
    pub(super) fn adopt(&mut self, score: Score, placing: &Placing) {
        match self {
            Self::Moves(search) => search.adopt(score, placing),
            Self::Breeds(breeder) => {
                breeder
                    .population
                    .welcome(placing.0.iter().map(|start| start.unwrap_or(0)).collect());
                breeder.best = (score, placing.clone());
            }
        }
    }
}
