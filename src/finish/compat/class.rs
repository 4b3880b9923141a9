//! What kind of thing a product is, as far as what goes over what is concerned.
//!
//! Invariant: told from how the product dries and how it is used, never from its name, so that a maker's own
//! products are classed like the shipped ones.

use crate::finish::product::{Mechanism, Product};
use crate::finish::schedule::StepKind;

/// A kind of film.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Nothing sticks to it.
    Wax,
    /// Redissolves in alcohol.
    Shellac,
    /// Redissolves in its own thinner.
    Lacquer,
    /// Two parts react.
    Catalysed,
    /// Thinned with water.
    Waterborne,
    /// Cures by the air's oxygen and is left as a film.
    Varnish,
    /// Cures by the air's oxygen and is wiped off.
    Oil,
    /// Colour bound in oil.
    OilStain,
    /// Colour dissolved in water.
    WaterDye,
    /// Grain filler bound in oil.
    OilFiller,
}

impl Class {
    /// The class of a product used in a step.
    pub fn of(product: &Product, step: StepKind) -> Self {
        let water = product.leading_solvent.as_deref() == Some("water");
        let alcohol = matches!(product.leading_solvent.as_deref(), Some("ethanol" | "methanol"));
        match (product.mechanism, step) {
            _ if product.terminal => Self::Wax,
            (Mechanism::Coalescence, _) => Self::Waterborne,
            (Mechanism::TwoPack, _) => Self::Catalysed,
            (Mechanism::Oxidation, StepKind::Colour) => Self::OilStain,
            (Mechanism::Oxidation, StepKind::Fill) => Self::OilFiller,
            (Mechanism::Oxidation, _) if product.wipe.is_some() => Self::Oil,
            (Mechanism::Oxidation, _) => Self::Varnish,
            (Mechanism::Evaporation, _) if water => Self::WaterDye,
            (Mechanism::Evaporation, _) if alcohol => Self::Shellac,
            (Mechanism::Evaporation, _) => Self::Lacquer,
        }
    }

    /// Whether it goes on curing with the air's oxygen, and smells while it does.
    pub const fn takes_oxygen(self) -> bool {
        matches!(self, Self::Varnish | Self::Oil | Self::OilStain | Self::OilFiller)
    }

    /// The dry film the whole of it may reach, µm, with its source; `None` where no limit was found.
    pub const fn most_film(self) -> Option<(f64, &'static str)> {
        match self {
            Self::Lacquer => Some((
                125.0,
                "trade pages on film thickness, read: 75 to 100 µm dry in all, not above 125",
            )),
            Self::Catalysed => Some((
                125.0,
                "trade thread on film thickness, read: 75 µm dry is usual, others allow 100 to 125",
            )),
            _ => None,
        }
    }
}
