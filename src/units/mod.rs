//! Typed quantities: what a number means is part of its type at every public boundary.
//!
//! Invariant: values inside the program are in one system (mm, mm², mL, g, °C, % RH, minutes);
//! other units exist only where text is parsed or printed.

mod moment;
mod quantity;
mod refusal;
pub mod text;
mod zoned;

pub use moment::{Moment, Span};
pub use quantity::{Celsius, Grams, MetresPerSecond, Millilitres, Millimetres, Percent, SquareMillimetres};
pub use refusal::Refusal;
pub use zoned::{Edge, last_shown, resolve, shown};
