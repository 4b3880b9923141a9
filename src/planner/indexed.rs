//! A network checked and indexed once, for all that is asked of it.
//!
//! Invariant: nothing is answered of a network that has not passed its checks.

use super::bound::{self, Bound};
use super::explain::{self, Because};
use super::explained::Explained;
use super::layout::Layout;
use super::network::{Network, Tick};
use super::placer::Placer;
use super::reason::Infeasible;
use super::solution::Solution;

/// A network that has passed its checks, indexed.
#[derive(Debug)]
pub struct Indexed<'n>(Layout<'n>);

impl<'n> Indexed<'n> {
    /// Checks and indexes a network.
    pub fn of(network: &'n Network) -> Result<Self, Infeasible> {
        Layout::of(network).map(Self)
    }

    /// Its lower bound.
    pub fn bound(&self) -> Bound {
        bound::bound(&self.0)
    }

    /// The last start of each task that leaves time for all that follows it before the end of the time looked at.
    pub fn lasts(&self) -> Vec<Option<Tick>> {
        bound::tails(&self.0, self.0.limit as Tick)
    }

    /// Who makes plans of orders in it; the bound, its own or that of a network of which this is a narrower form, is
    /// written into them.
    pub fn placer(&self, bound: Bound) -> Placer<'_, 'n> {
        Placer::new(&self.0, bound)
    }

    /// The reason for every task of a plan that is placed and no fact; those known already need not be found again.
    pub fn explain(&self, solution: &Solution, known: Option<&Explained>) -> Vec<Option<Because>> {
        explain::reasons(&self.0, solution, known)
    }
}
