//! What has to be on the shelf: litres and tins, mixes, abrasives, cloths, rags, tape, wax, and what is used.
//!
//! Invariant: what the plan counts as done or begun is used, the rest is still wanted; a product whose volume
//! is not known is listed without one, never with nothing; rates without a source say so.

mod cautions;
mod fate;
pub mod needs;
pub mod product;
pub mod rates;
pub mod shelf;
pub mod tins;

pub use cautions::of as cautions;
pub use needs::{AbrasiveNeed, OnHand, Stores, SundryNeed, document, mixes, of, with};
pub use product::{MixNeed, ProductNeed};
pub use rates::Rates;
pub use shelf::{BatchOnHand, of_shelf};
pub use tins::{Tin, tins};
