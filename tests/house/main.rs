//! How the house is kept.

mod figures;
mod kept;
mod layering;
mod named;
