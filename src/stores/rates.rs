//! How far things go: common practice, no source, all of them; a maker's own figures come first.
//!
//! Invariant: every rate is above zero.

use crate::finish::{Grade, Scale};
use serde::Serialize;

/// What is said of every rate here.
pub const SOURCE: &str = "common practice, no source";

/// Rates of wear and waste.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Rates {
    /// Left in tin, brush, tray and gun, % (reference range 5 to 15).
    pub waste_percent: f64,
    /// m² of bare wood a full sheet (230 × 280 mm) lasts, up to P120.
    pub coarse_sheet_m2: f64,
    /// The same for finer paper on bare wood.
    pub fine_sheet_m2: f64,
    /// m² of film a sheet lasts, dry.
    pub film_sheet_m2: f64,
    /// The same, wet.
    pub wet_sheet_m2: f64,
    /// m² a pad of steel wool lasts.
    pub wool_pad_m2: f64,
    /// m² a non-woven pad lasts.
    pub hand_pad_m2: f64,
    /// m² a tack cloth takes.
    pub tack_cloth_m2: f64,
    /// m² of excess one rag takes off.
    pub wipe_rag_m2: f64,
    /// m² one rag buffs, checks or dusts.
    pub clean_rag_m2: f64,
    /// g of paste wax a m², where the schedule gives no film.
    pub wax_g_m2: f64,
    /// m of tape round a joint whose size is not given.
    pub tape_m_joint: f64,
}

impl Default for Rates {
    fn default() -> Self {
        Self {
            waste_percent: 10.0,
            coarse_sheet_m2: 1.5,
            fine_sheet_m2: 2.0,
            film_sheet_m2: 2.5,
            wet_sheet_m2: 3.0,
            wool_pad_m2: 1.5,
            hand_pad_m2: 4.0,
            tack_cloth_m2: 8.0,
            wipe_rag_m2: 1.0,
            clean_rag_m2: 4.0,
            wax_g_m2: 10.0,
            tape_m_joint: 0.25,
        }
    }
}

impl Rates {
    /// m² one piece of an abrasive lasts, and what a piece of it is called.
    pub fn abrasive(&self, grade: Grade, wet: bool, on_film: bool) -> (f64, &'static str) {
        match grade.scale {
            Scale::Wool => (self.wool_pad_m2, "pads"),
            Scale::Pad => (self.hand_pad_m2, "pads"),
            Scale::P | Scale::Cami if wet => (self.wet_sheet_m2, "sheets"),
            Scale::P | Scale::Cami if on_film => (self.film_sheet_m2, "sheets"),
            Scale::P | Scale::Cami if grade.number <= 120 => (self.coarse_sheet_m2, "sheets"),
            Scale::P | Scale::Cami => (self.fine_sheet_m2, "sheets"),
        }
    }
}
