//! What a coat thicker, thinner or thinned against the stated one does to its times.
//!
//! Invariant: the stated coat has factors of 1; the fast factor is never above the slow one; thinning alone
//! never shortens the slow factor below what its extra solvent needs.
//!
//! Standard drying theory, from memory: while solvent leaves freely the time goes with how much of it there is;
//! what is left must come through the film, or oxygen into it, and that goes with the dry film to the power of
//! 1.5 to 2 (the trade: two thin coats beat one thick). A reaction of two parts is as fast in a thick film, but
//! the solvent in it is not. What bare wood drinks away is left aside.

use super::drying::Worth;
use super::film::thinned_solids;
use crate::units::Percent;

/// How a coat differs from the one the times were stated for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Laid {
    /// Its wet film over the stated wet film.
    pub wet_share: f64,
    /// Parts of thinner to one part of product, by volume.
    pub thinner: f64,
}

/// What sets the pace once the solvent has left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Through {
    /// Solvent or water through the film.
    Solvent,
    /// Oxygen through the film.
    Oxygen,
    /// A reaction of its own.
    Reaction,
}

/// Factors on stated times: `slow` for slow estimates (the greater), `fast` for fast ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Up to dry to touch.
    pub surface: Worth,
    /// From then on.
    pub through: Worth,
}

/// The factors for a coat of a product with these volume solids (a range). `None` for a film that is none, or
/// thinner in a product whose solids are not known.
pub fn stretch(laid: Laid, solids: Option<(Percent, Percent)>, through: Through) -> Option<Stretch> {
    let Laid { wet_share, thinner } = laid;
    if !(wet_share.is_finite() && wet_share > 0.0 && thinner.is_finite() && thinner >= 0.0) {
        return None;
    }
    let solvent = if thinner > 0.0 {
        let (low, high) = solids?;
        [solvent_share(low, thinner)?, solvent_share(high, thinner)?]
    } else {
        [1.0, 1.0]
    };
    let leaving = solvent.map(|share| share * wet_share);
    // a film that waits for oxygen or a reaction may not care how much solvent there was
    let indifferent = (through != Through::Solvent).then_some(1.0);
    let surface = range(leaving.into_iter().chain(indifferent));
    let dry = wet_share / (1.0 + thinner);
    let reaction = (through == Through::Reaction).then_some(1.0);
    let coming = [dry.powf(1.5), dry.powi(2)];
    let through = range(
        coming
            .into_iter()
            .chain(reaction)
            .chain((thinner > 0.0).then_some(surface.slow)),
    );
    Some(Stretch { surface, through })
}

/// How much solvent the thinned product holds over what it held. `None` for a product without solvent.
fn solvent_share(solids: Percent, thinner: f64) -> Option<f64> {
    let before = 100.0 - solids.0;
    let after = 100.0 - thinned_solids(solids, thinner)?.0;
    (before > 0.0).then(|| after / before)
}

fn range(each: impl Iterator<Item = f64>) -> Worth {
    let (fast, slow) = each.fold((f64::INFINITY, 0.0_f64), |(fast, slow), factor| {
        (fast.min(factor), slow.max(factor))
    });
    Worth { slow, fast }
}
