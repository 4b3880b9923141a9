//! What a plan uses against what the job says stands on the shelf, and what is to be bought.
//!
//! Invariant: the shelf is what stood there when the job began, with every tin bought since written in; what has
//! been used is taken off it here, so that a maker need not keep count twice.

use super::needs::{OnHand, Stores, with};
use super::product::ProductNeed;
use super::rates::Rates;
use super::tins::{Tin, from_sizes, tins};
use crate::dayplan::{History, Plan};
use crate::job::{Job, Shelf};
use serde::Serialize;

/// Tins of one batch on the shelf.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BatchOnHand {
    /// Batch number; `null` where the maker gives none.
    pub batch: Option<String>,
    /// Tins.
    pub tins: u32,
    /// mL in them.
    pub volume_ml: f64,
}

/// What a plan uses, by the usual rates, against the job's shelf and with what has happened.
pub fn of_shelf(job: &Job, plan: &Plan, history: Option<&History>) -> Stores {
    let rates = Rates::default();
    // once without a shelf, to know what has been used of it
    let bare = with(job, plan, history, &rates, &OnHand::new());
    let mut stores = with(job, plan, history, &rates, &on_hand(&job.shelf, &bare));
    for need in &mut stores.products {
        need.batches = batches(&job.shelf, &need.product);
        let sizes: Vec<(f64, Option<f64>)> = job
            .shelf
            .sizes
            .iter()
            .filter(|sold| sold.product == need.product)
            .map(|sold| (sold.size.0, sold.price))
            .collect();
        fit_tins(need, &sizes, job.shown_in.us_volume);
    }
    stores.money.clone_from(&job.shelf.money);
    let costs: Vec<f64> = stores.products.iter().filter_map(|need| need.cost).collect();
    // a sum of some of them would read as the whole
    let all_priced = !stores.products.is_empty() && costs.len() == stores.products.len();
    stores.cost = all_priced.then(|| costs.iter().sum());
    stores
}

/// What is on the shelf now: what stood there less what has been used.
fn on_hand(shelf: &Shelf, bare: &Stores) -> OnHand {
    let mut there = OnHand::new();
    for tin in &shelf.tins {
        *there.entry(tin.product.clone()).or_default() += tin.left.0 * f64::from(tin.count);
    }
    for (grit, sheets) in &shelf.abrasives {
        there.insert(format!("abrasive {grit}"), *sheets);
    }
    for (item, amount) in &shelf.sundries {
        there.insert((*item).to_owned(), *amount);
    }
    let mut take = |item: &str, used: f64| {
        if let Some(amount) = there.get_mut(item) {
            *amount = (*amount - used).max(0.0);
        }
    };
    for need in &bare.products {
        take(&need.product, need.used_ml.unwrap_or(0.0));
    }
    for need in &bare.abrasives {
        take(&format!("abrasive {}", need.grit), need.needed - need.left);
    }
    for need in &bare.sundries {
        take(need.item, need.needed - need.left);
    }
    there
}

fn batches(shelf: &Shelf, product: &str) -> Vec<BatchOnHand> {
    let mut found: Vec<BatchOnHand> = Vec::new();
    for tin in shelf.tins.iter().filter(|tin| tin.product == product) {
        let volume = tin.left.0 * f64::from(tin.count);
        match found.iter_mut().find(|one| one.batch == tin.batch) {
            Some(one) => {
                one.tins += tin.count;
                one.volume_ml += volume;
            }
            None => found.push(BatchOnHand {
                batch: tin.batch.clone(),
                tins: tin.count,
                volume_ml: volume,
            }),
        }
    }
    found
}

/// Tins for the whole job and for what the shelf is short of, in the sizes for sale; the cost of the whole where
/// all of it is priced.
fn fit_tins(need: &mut ProductNeed, sizes: &[(f64, Option<f64>)], us: bool) {
    let fit = |volume: f64| {
        if sizes.is_empty() {
            tins(volume, us)
        } else {
            from_sizes(volume, sizes)
        }
    };
    if let Some([_, usual, _]) = need.needed_ml {
        need.tins = fit(usual);
        need.cost = price(&need.tins, sizes);
    }
    if let Some(short) = need.short_ml {
        need.buy = fit(short);
    }
}

fn price(tins: &[Tin], sizes: &[(f64, Option<f64>)]) -> Option<f64> {
    let one = |tin: &Tin| {
        let sold = sizes.iter().find(|(size, _)| (size - tin.size_ml).abs() < 1e-6)?;
        Some(sold.1? * f64::from(tin.count))
    };
    let all: Option<Vec<f64>> = tins.iter().map(one).collect();
    all.filter(|all| !all.is_empty()).map(|all| all.iter().sum())
}
