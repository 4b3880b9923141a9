//! Film thickness, solids and how far a tin goes.
//!
//! Invariant: thicknesses and solids are positive; a function that would divide by nothing returns `None`.
//!
//! Source: the spreading-rate relations of the coating trade, 10·VS/DFT in m²/L and WFT = 100·DFT/VS, read
//! in three coating guides with worked examples (checked in `tests/science/film.rs`).

use super::measure::{Micrometres, SquareMetresPerLitre};
use crate::units::{Millilitres, Percent, SquareMillimetres};

/// The dry film a wet film leaves.
pub fn dry_film(wet: Micrometres, volume_solids: Percent) -> Micrometres {
    Micrometres(wet.0 * volume_solids.0 / 100.0)
}

/// The wet film that leaves this dry film.
pub fn wet_film(dry: Micrometres, volume_solids: Percent) -> Option<Micrometres> {
    (volume_solids.0 > 0.0).then(|| Micrometres(100.0 * dry.0 / volume_solids.0))
}

/// How far a litre goes at this dry film, nothing lost.
pub fn spreading_rate(dry: Micrometres, volume_solids: Percent) -> Option<SquareMetresPerLitre> {
    (dry.0 > 0.0).then(|| SquareMetresPerLitre(10.0 * volume_solids.0 / dry.0))
}

/// Volume solids after thinning with `thinner` parts of solvent to one part of product, by volume.
pub fn thinned_solids(volume_solids: Percent, thinner: f64) -> Option<Percent> {
    (thinner >= 0.0).then(|| Percent(volume_solids.0 / (1.0 + thinner)))
}

/// What a wet film over an area takes, nothing lost. 1 µm over 1 m² is 1 mL.
pub fn volume_on(area: SquareMillimetres, wet: Micrometres) -> Millilitres {
    Millilitres(area.square_metres() * wet.0)
}

/// What must be bought: the film's volume, over the share that lands (`transfer`), over the share not left
/// in tin, brush and gun (`waste`).
pub fn volume_to_buy(on_the_work: Millilitres, transfer: Percent, waste: Percent) -> Option<Millilitres> {
    let kept = transfer.0 / 100.0 * (1.0 - waste.0 / 100.0);
    (kept > 0.0).then(|| Millilitres(on_the_work.0 / kept))
}
