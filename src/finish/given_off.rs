//! What a coat of a product gives off.
//!
//! Invariant: a coat never gives off more than it weighs; a solvent that is not known is said, with its grams,
//! and one that is not given is not made up.
//!
//! Everything errs upwards: the high end of density and of every share, the fast end of the time to lose it.

use super::product::{Mechanism, Product, Stage};
use crate::science::vapour::{Part, Release, Substance, find, harmless};
use crate::units::{Grams, Millilitres};

/// Minutes in which the solvent of an oil varnish has gone: two to four hours, the fast end (trade page on
/// drying oils, read). A still film of 60 g/m² takes about as long by the evaporation law of Mackay and van
/// Wesenbeeck.
pub const OIL_SOLVENT_GONE: f64 = 120.0;

/// The solvent of a coat, by substance.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenOff {
    /// Known substances.
    pub parts: Vec<(&'static Substance, Grams)>,
    /// Names nothing is known of.
    pub unknown: Vec<(String, Grams)>,
}

impl GivenOff {
    /// All of it.
    pub fn total(&self) -> Grams {
        let known: Grams = self.parts.iter().map(|part| part.1).sum();
        known + self.unknown.iter().map(|part| part.1).sum()
    }
}

impl Product {
    /// What a volume of it gives off. `None` where its density or its solvents are not given; a product that
    /// names no solvent and has a flash point above 93 °C (the last class of flammable liquids, 29 CFR 1910.106)
    /// holds none to speak of.
    pub fn given_off(&self, volume: Millilitres) -> Option<GivenOff> {
        if self.solvents.is_empty() {
            let none = self.flash_point.as_ref().is_some_and(|flash| flash.low > 93.0);
            return none.then(|| GivenOff {
                parts: Vec::new(),
                unknown: Vec::new(),
            });
        }
        let density = self.density.as_ref()?;
        // 1 mL of 1 kg/L is 1 g
        let mass = volume.0 * density.high;
        let sum: f64 = self.solvents.iter().map(|solvent| solvent.1.high).sum();
        let scale = if sum > 100.0 { 100.0 / sum } else { 1.0 };
        let mut given = GivenOff {
            parts: Vec::new(),
            unknown: Vec::new(),
        };
        for (name, share) in &self.solvents {
            let grams = Grams(mass * share.high * scale / 100.0);
            if harmless(name) {
                continue;
            }
            match find(name) {
                Some(substance) => given.parts.push((substance, grams)),
                None => given.unknown.push((name.clone(), grams)),
            }
        }
        Some(given)
    }

    /// How fast a coat of it lets go. An oil or oil varnish has lost its solvent long before it is dry to touch,
    /// which waits for oxygen: see [`OIL_SOLVENT_GONE`]. Without a time to dry to touch, as fast as is told apart.
    pub fn release(&self, coat: u8) -> Release {
        let touch = self.fast_minutes(Stage::DryToTouch, coat);
        let gone = match self.mechanism {
            Mechanism::Oxidation => Some(touch.map_or(OIL_SOLVENT_GONE, |touch| touch.min(OIL_SOLVENT_GONE))),
            Mechanism::Evaporation | Mechanism::Coalescence | Mechanism::TwoPack => touch,
        };
        gone.map_or_else(|| Release::with_time_constant(Release::SHORTEST), Release::dry_to_touch)
    }

    /// A coat as the planner's allowance of vapour needs it (see [`crate::science::vapour::draws`]); unknown
    /// solvents are counted as the most flammable known one. `None` as for [`Product::given_off`].
    pub fn vapour_parts(&self, volume: Millilitres, coat: u8) -> Option<Vec<Part>> {
        let given = self.given_off(volume)?;
        let release = self.release(coat);
        let least = crate::science::vapour::substance::all()
            .iter()
            .map(Substance::lel_grams)
            .fold(f64::MAX, f64::min);
        let known = given
            .parts
            .iter()
            .map(|(substance, grams)| (grams.0, substance.lel_grams()));
        let unknown = given.unknown.iter().map(|(_, grams)| (grams.0, least));
        Some(
            known
                .chain(unknown)
                .map(|(grams, lel)| Part { grams, lel, release })
                .collect(),
        )
    }
}
