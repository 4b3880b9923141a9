//! Finish schedules and products: files in, checked values out.
//!
//! Invariant: every figure carries where it comes from, how far it was checked, and the conditions it
//! was stated for; nothing here knows about a particular job.

pub mod compat;
pub mod figure;
mod figure_text;
mod figures;
pub mod given_off;
pub mod grit;
mod grit_text;
pub mod ladder;
pub mod landing;
pub mod laid;
mod library;
pub mod product;
mod read;
pub mod schedule;
pub mod words;

pub use figure::{Conditions, Figure, Status};
pub use figure_text::{FigureUnit, STATUSES, figure_range};
pub use figures::Named;
pub use given_off::GivenOff;
pub use grit::{Grade, Grit, Scale};
pub use laid::LaidAs;
pub use landing::Landing;
pub use library::{SHIPPED, shipped, with_folder};
pub use product::{Mechanism, Method, Opening, Prepare, Product, RecoatWindow, Stage, StageTime, Wipe};
pub use read::{FORMAT, read};
pub use schedule::{Phase, Schedule, Step, StepKind};
