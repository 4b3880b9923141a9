//! What stands on the shelf and what can be bought, as the maker says.
//!
//! Invariant: every tin and every size is of a product some finish schedule at hand has; no tin holds more than its size.

use crate::units::Millilitres;
use std::collections::BTreeMap;

/// A tin that is there, or several alike.
#[derive(Clone, Debug, PartialEq)]
pub struct TinOnHand {
    /// Product.
    pub product: String,
    /// What it holds when full.
    pub size: Millilitres,
    /// What is left in each.
    pub left: Millilitres,
    /// How many of these.
    pub count: u32,
    /// The maker's batch number on it.
    pub batch: Option<String>,
}

/// A size a product is sold in.
#[derive(Clone, Debug, PartialEq)]
pub struct TinForSale {
    /// Product.
    pub product: String,
    /// Size.
    pub size: Millilitres,
    /// What one costs, in the job's money.
    pub price: Option<f64>,
}

/// The shelf.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Shelf {
    /// Tins.
    pub tins: Vec<TinOnHand>,
    /// Sizes for sale.
    pub sizes: Vec<TinForSale>,
    /// Sheets and pads by grit, as grits are written (`P180`, `P320 wet`, `0000 wool`).
    pub abrasives: BTreeMap<String, f64>,
    /// Cloths, rags, tape, plugs and wax, by the names of [`SUNDRIES`].
    pub sundries: BTreeMap<&'static str, f64>,
    /// What prices are in, as written.
    pub money: Option<String>,
}

/// What else is used up, with its unit.
pub const SUNDRIES: [(&str, &str); 5] = [
    ("tack cloth", "cloths"),
    ("rag, lint-free", "rags"),
    ("masking tape", "m"),
    ("plug", "plugs"),
    ("paste wax", "g"),
];
