//! Both faces of wide panels: coats, hours unequal, and what an imbalance would bend.
//!
//! Invariant: narrow parts never warn; a timber or a film the tables do not have is named and nothing is
//! computed from a likely one; every bend is that of a free panel and so the most it can be.

pub mod cautions;
pub mod faces;
pub mod films;
pub mod panel;
pub mod predict;

pub use cautions::of as cautions;
pub use faces::{Faces, Stretch, Unequal};
pub use films::{FaceFilms, FilmCoats};
pub use panel::{Balance, Live, PanelBalance, SheetBalance, of};
pub use predict::{AirStep, Bend};

/// The trade's dispute, in one line.
pub const DISPUTE: &str = "The trade is not of one mind: some finishers hold that one-sided finish has never warped a panel and blame one-sided wetting, others report flat tops moving within days; equal coats cost little.";
