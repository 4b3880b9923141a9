//! Finish schedules and products: files in, checked values out.
//!
//! Invariant: every figure carries where it comes from, how far it was checked, and the conditions it
//! was stated for; nothing here knows about a particular job.

pub mod figure;
mod figure_text;
pub mod given_off;
pub mod grit;
mod grit_text;
pub mod landing;
pub mod product;
pub mod schedule;
pub mod words;

pub use figure::{Conditions, Figure, Status};
pub use figure_text::{FigureUnit, STATUSES, figure_range};
pub use given_off::GivenOff;
pub use grit::{Grade, Grit, Scale};
pub use landing::Landing;
pub use product::{Mechanism, Method, Opening, Prepare, Product, RecoatWindow, Stage, StageTime, Wipe};
pub use schedule::{Phase, Schedule, Step, StepKind};
