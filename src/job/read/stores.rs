//! The shelf: tins that are there, sizes and prices to buy at, abrasives, cloths, rags, tape, wax.
//!
//! Invariant: every line names a product of some finish schedule at hand, a grit that is one, or a thing the
//! stores keep count of; nothing is left out silently.

use super::names;
use crate::finish::{Grit, Schedule};
use crate::job::shelf::{SUNDRIES, Shelf, TinForSale, TinOnHand};
use crate::source::{Code, Extent, Found, Problem, Table, Value, nearest};
use crate::units::Millilitres;
use std::collections::BTreeMap;

/// The most of one thing on a shelf.
const MOST: f64 = 1e6;

/// Reads `[stores]`: `[[stores.tin]]` with `product` and `holds`, and if wanted `left` (left out: full), `count` (1) and
/// `batch`; `[[stores.buy]]` with `product`, `holds` and if wanted `price`; `[stores.abrasives]` and
/// `[stores.sundries]`, what there is of each; `money`. Absent: nothing is known of the shelf.
pub(super) fn read(top: &mut Table<'_>, schedules: &BTreeMap<String, Schedule>) -> Shelf {
    let mut shelf = Shelf::default();
    let Some(mut stores) = top.may_table("stores") else {
        return shelf;
    };
    stores.call("`stores`");
    shelf.money = stores.may("money").and_then(Value::text).map(|money| money.value);
    for tin in stores.tables("tin") {
        shelf.tins.extend(read_tin(tin, schedules));
    }
    let mut priced: Option<Extent> = None;
    let mut sizes: Vec<(TinForSale, Extent)> = Vec::new();
    for line in stores.tables("buy") {
        let Some((sold, at)) = read_sold(line, schedules, &mut priced) else {
            continue;
        };
        let same = |other: &&(TinForSale, Extent)| {
            other.0.product == sold.product && (other.0.size.0 - sold.size.0).abs() < 1e-6
        };
        if let Some((_, first)) = sizes.iter().find(same) {
            let problem = Problem::new(Code::SizeTwice, "one size of one product is for sale twice")
                .at(at, "again here")
                .at(first.clone(), "first here")
                .accepts("one line for each size, with its price");
            stores.problems().push(problem);
            continue;
        }
        sizes.push((sold, at));
    }
    if let (Some(at), None) = (priced, &shelf.money) {
        let problem = Problem::new(Code::PriceWithoutMoney, "a price, and nothing says in which money")
            .at(at, "of what?")
            .accepts("money = \"GBP\" under [stores], or whatever you pay in");
        stores.problems().push(problem);
    }
    shelf.sizes = sizes.into_iter().map(|(sold, _)| sold).collect();
    if let Some(table) = stores.may_table("abrasives") {
        shelf.abrasives = read_abrasives(table);
    }
    if let Some(table) = stores.may_table("sundries") {
        shelf.sundries = read_sundries(table);
    }
    shelf
}

fn product(value: Value<'_>, schedules: &BTreeMap<String, Schedule>) -> Option<String> {
    let written = value.text()?;
    let mut ids: Vec<&str> = Vec::new();
    for product in schedules.values().flat_map(|schedule| &schedule.products) {
        if product.id == written.value {
            return Some(written.value);
        }
        if !ids.contains(&product.id.as_str()) {
            ids.push(&product.id);
        }
    }
    ids.sort_unstable();
    names::unknown(
        &value,
        Code::UnknownProduct,
        "product in the finishes at hand called",
        &ids,
    );
    None
}

fn size(value: Value<'_>) -> Option<Found<Millilitres>> {
    let found = value.volume()?;
    if found.value.0 > 0.0 {
        return Some(found);
    }
    let message = format!("`{}` is nothing", value.key());
    value.refuse(Problem::new(Code::SizeNotPositive, message).accepts("a tin that holds something, such as \"1 L\""));
    None
}

fn read_tin(mut table: Table<'_>, schedules: &BTreeMap<String, Schedule>) -> Option<TinOnHand> {
    table.call("the tin");
    let product = table.need("product").and_then(|value| product(value, schedules));
    let size = table.need("holds").and_then(size);
    let left = table.may("left").map(Value::volume);
    let count = table.may("count").map(|value| value.whole_within(1..=10_000));
    let batch = table.may("batch").and_then(Value::text);
    if let (Some(size), Some(Some(left))) = (&size, &left)
        && left.value.0 > size.value.0 * (1.0 + 1e-9)
    {
        let problem = Problem::new(Code::MoreLeftThanTin, "more is left than the tin holds")
            .at(left.extent.clone(), "left")
            .at(size.extent.clone(), "the tin when full")
            .accepts("no more than the size of the tin; without `left` it is full");
        table.problems().push(problem);
        return None;
    }
    let size = size?.value;
    Some(TinOnHand {
        product: product?,
        size,
        left: match left {
            Some(left) => left?.value,
            None => size,
        },
        count: match count {
            Some(count) => count?.value,
            None => 1,
        },
        batch: batch.map(|batch| batch.value),
    })
}

fn read_sold(
    mut table: Table<'_>,
    schedules: &BTreeMap<String, Schedule>,
    priced: &mut Option<Extent>,
) -> Option<(TinForSale, Extent)> {
    table.call("the size for sale");
    let product = table.need("product").and_then(|value| product(value, schedules));
    let size = table.need("holds").and_then(size);
    let price = table
        .may("price")
        .map(|value| value.number_within(0.0..=MOST, "for one"));
    if let Some(Some(price)) = &price
        && priced.is_none()
    {
        *priced = Some(price.extent.clone());
    }
    let size = size?;
    let sold = TinForSale {
        product: product?,
        size: size.value,
        price: match price {
            Some(price) => Some(price?.value),
            None => None,
        },
    };
    Some((sold, size.extent))
}

fn read_abrasives(mut table: Table<'_>) -> BTreeMap<String, f64> {
    let mut found = BTreeMap::new();
    for (key, value) in table.entries() {
        let grit = match Grit::parse(key.value) {
            Ok(grit) => grit,
            Err(refusal) => {
                let problem = Problem::new(Code::NoSuchGrade, format!("\"{}\" {}", key.value, refusal.why))
                    .at(key.extent, "not a grit")
                    .accepts(refusal.accepted)
                    .nearest(refusal.nearest);
                value.problems().push(problem);
                continue;
            }
        };
        if let Some(sheets) = value.number_within(0.0..=MOST, "sheets or pads") {
            found.insert(grit.to_string(), sheets.value);
        }
    }
    found
}

fn read_sundries(mut table: Table<'_>) -> BTreeMap<&'static str, f64> {
    let mut found = BTreeMap::new();
    for (key, value) in table.entries() {
        let Some((item, unit)) = SUNDRIES.iter().find(|(item, _)| *item == key.value) else {
            let near = nearest(key.value, SUNDRIES.iter().map(|(item, _)| *item)).map(|item| format!("\"{item}\""));
            let listed: Vec<String> = SUNDRIES
                .iter()
                .map(|(item, unit)| format!("\"{item}\" ({unit})"))
                .collect();
            let problem = Problem::new(Code::UnknownStore, format!("no count is kept of \"{}\"", key.value))
                .at(key.extent, "not among the stores")
                .accepts(listed.join(", "))
                .nearest(near);
            value.problems().push(problem);
            continue;
        };
        if let Some(amount) = value.number_within(0.0..=MOST, unit) {
            found.insert(*item, amount.value);
        }
    }
    found
}
