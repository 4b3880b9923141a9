//! The shelf of a job file: tins with batches, sizes for sale, prices, and what the plan leaves of them.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use crate::planned::{ROOM, coat, find, job, panel, plan};
use denib::dayplan::document::Severity;
use denib::job::{Job, TinForSale, TinOnHand};
use denib::stores::tins::from_sizes;
use denib::stores::{cautions, of_shelf};
use denib::units::Millilitres;
use proptest::prelude::*;

/// A top and a plan of two coats of shellac, 100 mL and 80 mL on the work.
fn shellacked(shelf: impl Fn(&mut Job)) -> denib::stores::Stores {
    let mut job = job(ROOM, &panel("top", [1200, 600, 20], "oak", "solid", ""));
    shelf(&mut job);
    let plan = plan(
        &job,
        vec![
            coat("top", &["face"], "shellac", 1, "09:00", 20, 100.0),
            coat("top", &["face"], "shellac", 2, "12:00", 20, 80.0),
        ],
    );
    of_shelf(&job, &plan, None)
}

fn tin(left: f64, batch: Option<&str>) -> TinOnHand {
    TinOnHand {
        product: "shellac".to_owned(),
        size: Millilitres(500.0),
        left: Millilitres(left),
        count: 1,
        batch: batch.map(str::to_owned),
    }
}

fn sold(size: f64, price: Option<f64>) -> TinForSale {
    TinForSale {
        product: "shellac".to_owned(),
        size: Millilitres(size),
        price,
    }
}

// brushed: 87.5 % lands (10 to 15 % lost), a tenth stays in tin and tools: 180 / 0.875 / 0.9 = 228.6 mL
const NEEDED: f64 = 180.0 / 0.875 / 0.9;

#[test]
fn an_unsaid_shelf_is_not_an_empty_one() {
    let stores = shellacked(|_| {});
    let need = stores.products.first().expect("shellac");
    assert!((need.needed_ml.expect("known")[1] - NEEDED).abs() < 1e-9);
    assert!(need.on_hand_ml.is_none() && need.lasts.is_none() && need.buy.is_empty() && need.cost.is_none());
    assert!(cautions(&stores).is_empty());
}

#[test]
fn what_is_short_is_bought_in_the_sizes_for_sale() {
    let stores = shellacked(|job| {
        job.shelf.tins = vec![tin(100.0, Some("A")), tin(60.0, Some("B"))];
        job.shelf.sizes = vec![sold(500.0, Some(12.0)), sold(125.0, Some(5.0))];
        job.shelf.money = Some("GBP".to_owned());
    });
    let need = stores.products.first().expect("shellac");
    assert!((need.on_hand_ml.expect("said") - 160.0).abs() < 1e-9 && need.lasts == Some(false));
    assert!((need.short_ml.expect("short") - (NEEDED - 160.0)).abs() < 1e-9);
    // 68.6 mL short: one small tin; all of it: 228.6 mL are two small tins for 10, cheaper than one of 500 for 12
    let told: Vec<(f64, u32)> = need.buy.iter().map(|tin| (tin.size_ml, tin.count)).collect();
    assert_eq!(told, [(125.0, 1)]);
    assert_eq!(need.cost, Some(10.0));
    assert_eq!(stores.cost, Some(10.0));
    let names: Vec<Option<&str>> = need.batches.iter().map(|one| one.batch.as_deref()).collect();
    assert_eq!(names, [Some("A"), Some("B")]);
    let found = cautions(&stores);
    let short = find(&found, "tin-short").expect("said");
    assert_eq!(short.severity, Severity::Warning);
    assert_eq!(short.figure.as_deref(), Some("160 mL there, 69 mL short"));
    assert!(find(&found, "batches").is_some_and(|one| one.text.contains("A, B")));
}

#[test]
fn a_tin_that_lasts_says_nothing() {
    let stores = shellacked(|job| job.shelf.tins = vec![tin(500.0, None)]);
    assert_eq!(stores.products.first().and_then(|need| need.lasts), Some(true));
    assert!(cautions(&stores).is_empty());
}

#[test]
fn a_price_missing_leaves_no_sum() {
    let stores = shellacked(|job| job.shelf.sizes = vec![sold(250.0, None)]);
    let need = stores.products.first().expect("shellac");
    assert!(need.cost.is_none() && stores.cost.is_none());
    assert_eq!(need.tins.len(), 1);
}

/// Every way to buy up to eight of each of three sizes, tried.
fn cheapest(need: f64, sizes: &[(f64, f64); 3]) -> f64 {
    let mut best = f64::MAX;
    for one in 0..9 {
        for two in 0..9 {
            for three in 0..9 {
                let counts = [f64::from(one), f64::from(two), f64::from(three)];
                let sum = |of: fn(&(f64, f64)) -> f64| -> f64 {
                    sizes.iter().zip(counts).map(|(size, count)| of(size) * count).sum()
                };
                if sum(|size| size.0) >= need - 1e-9 {
                    best = best.min(sum(|size| size.1));
                }
            }
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]
    #[test]
    fn tins_hold_what_is_needed_and_are_the_cheapest(
        need in 20.0..900.0_f64, sizes in prop::array::uniform3(12_u32..60), prices in prop::array::uniform3(1_u32..90),
    ) {
        let sizes: [(f64, f64); 3] =
            std::array::from_fn(|at| (f64::from(sizes[at]) * 10.0, f64::from(prices[at])));
        let sold: Vec<(f64, Option<f64>)> = sizes.iter().map(|(size, price)| (*size, Some(*price))).collect();
        let tins = from_sizes(need, &sold);
        let held: f64 = tins.iter().map(|tin| tin.size_ml * f64::from(tin.count)).sum();
        prop_assert!(held >= need - 1e-6, "{held} for {need}");
        let price: f64 = tins
            .iter()
            .map(|tin| sizes.iter().filter(|size| (size.0 - tin.size_ml).abs() < 1e-9).map(|size| size.1).fold(f64::MAX, f64::min) * f64::from(tin.count))
            .sum();
        prop_assert!(price <= cheapest(need, &sizes) + 1e-6, "{price} {tins:?}");
    }

    #[test]
    fn any_sizes_and_any_need_are_survived(
        need in -10.0..1e7_f64, sizes in prop::collection::vec((0.0..1e5_f64, prop::option::of(0.0..1e3_f64)), 0..4),
    ) {
        let tins = from_sizes(need, &sizes);
        let held: f64 = tins.iter().map(|tin| tin.size_ml * f64::from(tin.count)).sum();
        let fits = need > 0.0 && !sizes.is_empty() && sizes.iter().all(|(size, _)| *size > 0.0);
        prop_assert!(!fits || held >= need * (1.0 - 1e-9) || sizes.iter().all(|(size, _)| *size < need / 4e9), "{held} for {need}");
    }
}
