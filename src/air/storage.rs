//! How much of what burns may stand where: information, not advice.
//!
//! Invariant: litres are those the plan puts on, so what stands in the shop is at least that; figures are the
//! published ones of the country asked for.

use super::coats::puts_on;
use crate::dayplan::Plan;
use crate::dayplan::document::{Caution, Severity};
use crate::finish::Product;
use crate::job::Job;
use crate::science::exposure::Country;
use std::collections::BTreeMap;

/// The hazard class of a flash point, by 29 CFR 1910.106 (boiling point not given: the higher class of two).
pub fn category(flash_celsius: f64) -> Option<&'static str> {
    match flash_celsius {
        flash if flash < 23.0 => Some("category 1 or 2 (flash point below 23 °C)"),
        flash if flash <= 60.0 => Some("category 3 (flash point 23 to 60 °C)"),
        flash if flash <= 93.0 => Some("category 4 (flash point 60 to 93 °C)"),
        _ => None,
    }
}

pub(super) fn of(job: &Job, plan: &Plan, country: Country, found: &mut Vec<Caution>) {
    let mut litres: BTreeMap<&str, f64> = BTreeMap::new();
    for operation in plan.operations.iter().filter(|operation| puts_on(operation)) {
        if let (Some(id), Some(volume)) = (operation.product.as_deref(), operation.volume) {
            *litres.entry(id).or_default() += volume / 1000.0;
        }
    }
    let burns = |(id, litres): (&&str, &f64)| -> Option<String> {
        let product: &Product = job.product(id)?;
        let category = category(product.flash_point.as_ref()?.low)?;
        Some(format!("{} {litres:.2} L, {category}", product.name))
    };
    let list: Vec<String> = litres.iter().filter_map(burns).collect();
    if list.is_empty() {
        return;
    }
    let (text, source) = match country {
        Country::GreatBritain => (
            "Keep no more in the workroom than half a day's or a shift's use, lids on; the rest in a fire-resisting cupboard that holds 110 % of the largest tin. Usual ceilings indoors: 50 L highly flammable, 250 L up to a flash point of 55 °C.",
            "pages quoting HSE guidance on storing flammable liquids (DSEAR), read",
        ),
        Country::UnitedStates => (
            "Outside a cabinet no more than 25 gallons (95 L) of category 1 in one room; a cabinet takes 60 gallons (227 L) of categories 1 to 3, 120 gallons (454 L) of category 4.",
            "29 CFR 1910.106(d)(3) as quoted on safety pages, read; 1910.106(e)(2) recalled",
        ),
    };
    found.push(Caution::new(
        "storage",
        Severity::Note,
        text.to_owned(),
        Some(list.join("; ")),
        source,
        Vec::new(),
    ));
}
