//! How fast solvents leave beside one another, and what a slow one does to a film: thinners and retarders.
//!
//! Invariant: rates are those of n-butyl acetate = 1 (ASTM D3539); low is never above high; a retarder never makes
//! a film dry faster.
//!
//! Low and high span what tables print and what vapour pressure times molar mass gives at 23 °C (Mackay and van
//! Wesenbeeck 2014; the pressures from the Python package `thermo` 0.6.1). The latter overstates the quickest, which
//! cool themselves. Densities at 20 °C: the package `chemicals` 1.5.2; white spirit and 2-butoxyethanol recalled.

use super::drying::Worth;

/// A solvent somebody thins or retards with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volatile {
    /// Its name, as in schedule files.
    pub name: &'static str,
    /// Rate of evaporation against n-butyl acetate, lowest and highest.
    pub rate: (f64, f64),
    /// kg/L at 20 °C.
    pub density: f64,
    /// Where its rates come from.
    pub source: &'static str,
}

/// The solvent of this name, capitals and spaces at the ends aside.
pub fn find(name: &str) -> Option<&'static Volatile> {
    let name = name.trim();
    VOLATILES.iter().find(|one| one.name.eq_ignore_ascii_case(name))
}

/// Every one known, quickest first.
pub fn all() -> &'static [Volatile] {
    VOLATILES
}

/// The factor on a film's times when `parts` of every 100 parts of its solvent are this retarder: it leaves after
/// the rest, at its own rate. (Stacking times double with slow thinner, says the trade: that is five to eight parts
/// of 2-butoxyethanol in a lacquer.)
pub fn retarded(parts: f64, leading: &Volatile, retarder: &Volatile) -> Option<Worth> {
    if !(0.0..=100.0).contains(&parts) {
        return None;
    }
    let share = parts / 100.0;
    let factor = |slower: f64| (1.0 - share + share * slower).max(1.0);
    Some(Worth {
        slow: factor(leading.rate.1 / retarder.rate.0),
        fast: factor(leading.rate.0 / retarder.rate.1),
    })
}

const fn row(name: &'static str, rate: (f64, f64), density: f64, source: &'static str) -> Volatile {
    Volatile {
        name,
        rate,
        density,
        source,
    }
}

/// Rates beside n-butyl acetate, low and high, and densities; each row names its source.
const VOLATILES: &[Volatile] = &[
    row("acetone", (5.6, 9.74), 0.792, "5.6 read on two pages; 9.74 computed"),
    row(
        "ethyl acetate",
        (2.8, 6.0),
        0.900,
        "2.8 read, 4.1 recalled; 6.0 computed",
    ),
    row("methyl ethyl ketone", (3.8, 4.72), 0.805, "3.8 read; 4.72 computed"),
    row("toluene", (1.88, 2.0), 0.869, "1.9 to 2.0 recalled; 1.88 computed"),
    row(
        "2-propanol",
        (1.5, 1.97),
        0.787,
        "1.7 read, 1.5 recalled; 1.82 computed, 1.97 by our fit",
    ),
    row("ethanol", (1.4, 1.92), 0.790, "1.4 read, 1.7 recalled; 1.92 computed"),
    row("n-butyl acetate", (1.0, 1.0), 0.881, "by definition"),
    row("xylene", (0.6, 0.7), 0.864, "0.6 and 0.7 read; 0.63 computed"),
    row(
        "n-butanol",
        (0.3, 0.46),
        0.808,
        "0.3 read, 0.43 to 0.46 recalled; 0.35 computed",
    ),
    row("water", (0.3, 0.31), 0.998, "0.3 read and computed"),
    row(
        "white spirit",
        (0.1, 0.14),
        0.77,
        "0.1 read; 0.13 computed for n-decane",
    ),
    row(
        "2-butoxyethanol",
        (0.06, 0.09),
        0.90,
        "0.06 to 0.08 recalled; 0.09 computed",
    ),
];
