//! One product: how much lands, how much is lost, tins, coats, mixes.
//!
//! Invariant: needed = on the work ÷ what lands ÷ (1 − waste), by coat and in all.

use super::fate::Counted;
use super::rates::Rates;
use super::shelf::BatchOnHand;
use super::tins::{Tin, tins};
use crate::dayplan::document::{Operation, Stamp};
use crate::finish::{Landing, Mechanism, Product, StepKind};
use crate::job::Job;
use crate::science::film::volume_to_buy;
use crate::units::{Millilitres, Percent};
use chrono::TimeDelta;
use serde::Serialize;

/// One coat level.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CoatNeed {
    /// Coat number; `null` for wax, colour and filler.
    pub coat: Option<u8>,
    /// mL on the work.
    pub on_work_ml: f64,
    /// mL out of the tin.
    pub needed_ml: f64,
}

/// One mix of a two-part product.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct MixNeed {
    /// Id, such as `varnish/mix-1`.
    pub id: String,
    /// Product.
    pub product: String,
    /// Mixed at.
    pub at: Stamp,
    /// Usable until (the low end of the pot life).
    pub until: Stamp,
    /// mL, losses included.
    pub volume_ml: f64,
    /// Operations it is for.
    pub operations: Vec<String>,
}

/// One product.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ProductNeed {
    /// Id.
    pub product: String,
    /// Name.
    pub name: String,
    /// What lands, by the way it is put on.
    pub landing: Landing,
    /// Left in tin and tools, %.
    pub waste_percent: f64,
    /// mL on the work; `null` where no operation has a volume.
    pub on_work_ml: Option<f64>,
    /// mL out of the tin: best, reckoned, worst.
    pub needed_ml: Option<[f64; 3]>,
    /// mL already used by what is done or begun.
    pub used_ml: Option<f64>,
    /// mL still wanted.
    pub left_ml: Option<f64>,
    /// By coat.
    pub coats: Vec<CoatNeed>,
    /// mL to keep back so that the last coat is of one batch.
    pub keep_for_last_coat_ml: Option<f64>,
    /// Tins to buy for all of it.
    pub tins: Vec<Tin>,
    /// mL on the shelf, where the maker says.
    pub on_hand_ml: Option<f64>,
    /// Whether the shelf lasts for what is still wanted.
    pub lasts: Option<bool>,
    /// mL the shelf is short of.
    pub short_ml: Option<f64>,
    /// Tins to buy for what the shelf is short of.
    pub buy: Vec<Tin>,
    /// What all of it costs, where every tin of it is priced.
    pub cost: Option<f64>,
    /// What is on the shelf by batch, as it stood when the job began.
    pub batches: Vec<BatchOnHand>,
    /// Mixes, for two-part products with a pot life.
    pub mixes: Vec<MixNeed>,
    /// Operations whose volume is not known.
    pub without_volume: Vec<String>,
}

/// Whether an operation takes product out of a tin.
pub(super) fn takes(operation: &Operation) -> bool {
    matches!(
        operation.step,
        StepKind::Seal | StepKind::Coat | StepKind::Colour | StepKind::Fill | StepKind::Wax
    )
}

fn out_of_tin(on_work: f64, landing: f64, waste: f64) -> Option<f64> {
    let share = Percent(100.0 * landing);
    volume_to_buy(Millilitres(on_work), share, Percent(waste)).map(|volume| volume.0)
}

/// What a plan needs of one product.
pub(super) fn need(
    job: &Job,
    counted: &[Counted<'_>],
    product: &Product,
    rates: &Rates,
    on_hand: Option<f64>,
) -> Option<ProductNeed> {
    let of = |one: &&Counted| takes(one.operation) && one.operation.product.as_deref() == Some(product.id.as_str());
    let operations: Vec<Counted> = counted.iter().filter(of).copied().collect();
    if operations.is_empty() {
        return None;
    }
    let step = operations.first().map_or(StepKind::Coat, |one| one.operation.step);
    let landing = job.method_of(&product.id, step).landing();
    let waste = rates.waste_percent;
    let buy = |on_work: f64| out_of_tin(on_work, landing.usual, waste);
    let known = operations.iter().any(|one| one.operation.volume.is_some());
    let sum = |wanted: &dyn Fn(&Counted) -> bool| -> f64 {
        let wanted = operations.iter().filter(|one| wanted(one));
        wanted.filter_map(|one| one.operation.volume).sum()
    };
    let on_work = known.then(|| sum(&|_: &Counted| true));
    let used_ml = on_work.and_then(|_| buy(sum(&|one: &Counted| one.used)));
    let left_ml = on_work.and_then(|_| buy(sum(&|one: &Counted| !one.used)));
    let needed_ml = on_work.and_then(|on_work| {
        // best: most lands, least is left in the tin; worst the other way round (5 to 15 % about the usual 10)
        let (least, most) = (waste / 2.0, waste * 1.5);
        Some([
            out_of_tin(on_work, landing.high, least)?,
            buy(on_work)?,
            out_of_tin(on_work, landing.low, most)?,
        ])
    });
    let coats = coats(&operations, &buy);
    let short = on_hand.zip(left_ml).map(|(on_hand, left)| (left - on_hand).max(0.0));
    Some(ProductNeed {
        product: product.id.clone(),
        name: product.name.clone(),
        landing,
        waste_percent: waste,
        on_work_ml: on_work,
        needed_ml,
        used_ml,
        left_ml,
        keep_for_last_coat_ml: coats
            .iter()
            .filter(|coat| coat.coat.is_some())
            .max_by_key(|coat| coat.coat)
            .map(|coat| coat.needed_ml),
        coats,
        tins: needed_ml.map_or_else(Vec::new, |needed| tins(needed[1], job.shown_in.us_volume)),
        on_hand_ml: on_hand,
        lasts: short.map(|short| short <= 0.0),
        short_ml: short,
        buy: Vec::new(),
        cost: None,
        batches: Vec::new(),
        mixes: mixes(product, &operations, &buy),
        without_volume: operations
            .iter()
            .filter(|one| one.operation.volume.is_none())
            .map(|one| one.operation.id.clone())
            .collect(),
    })
}

fn coats(operations: &[Counted<'_>], buy: &impl Fn(f64) -> Option<f64>) -> Vec<CoatNeed> {
    let mut numbers: Vec<Option<u8>> = operations.iter().map(|one| one.operation.coat).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let of = |coat: Option<u8>| {
        let here = operations
            .iter()
            .map(|one| one.operation)
            .filter(|operation| operation.coat == coat);
        let on_work_ml: f64 = here.clone().filter_map(|operation| operation.volume).sum();
        let known = here.clone().any(|operation| operation.volume.is_some());
        let needed_ml = buy(on_work_ml).filter(|_| known)?;
        Some(CoatNeed {
            coat,
            on_work_ml,
            needed_ml,
        })
    };
    numbers.into_iter().filter_map(of).collect()
}

/// One mix after the other: a new one where an operation would end after the pot life of the last.
fn mixes(product: &Product, operations: &[Counted<'_>], buy: &impl Fn(f64) -> Option<f64>) -> Vec<MixNeed> {
    // dissolved shellac keeps for months and has a life too, but nobody mixes it by the hour
    let Some(life) = product
        .pot_life
        .as_ref()
        .filter(|_| product.mechanism == Mechanism::TwoPack)
    else {
        return Vec::new();
    };
    let life = TimeDelta::minutes(life.low.floor() as i64);
    let mut order: Vec<_> = operations.iter().map(|one| one.operation).collect();
    order.sort_by_key(|operation| operation.start);
    let mut mixes: Vec<MixNeed> = Vec::new();
    for operation in order {
        let volume = operation.volume.and_then(buy).unwrap_or(0.0);
        // where the plan names the mix, that; else as long as the last one may be used
        let same = |mix: &MixNeed| match &operation.mix {
            Some(named) => mix.id == *named,
            None => operation.end <= mix.until,
        };
        match mixes.last_mut() {
            Some(mix) if same(mix) => {
                mix.volume_ml += volume;
                mix.operations.push(operation.id.clone());
            }
            _ => mixes.push(MixNeed {
                id: operation
                    .mix
                    .clone()
                    .unwrap_or_else(|| format!("{}/mix-{}", product.id, mixes.len() + 1)),
                product: product.id.clone(),
                at: operation.start,
                until: operation.start + life,
                volume_ml: volume,
                operations: vec![operation.id.clone()],
            }),
        }
    }
    mixes
}
