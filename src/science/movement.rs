//! How timbers move across the grain, and which timber a maker's word means.
//!
//! Invariant: a timber that is not in the table is answered with nothing, never with a likely one; a word that
//! several rows answer to gives all of them.
//!
//! Sources: dimensional change ΔD = D C (M₁ − M₀), valid for 6 to 14 % moisture, Wood Handbook, FPL-GTR-190,
//! eq. 13-2 (recalled), coefficients of its table 13-5 (hardwoods read there, softwoods recalled or from lists
//! quoting it). Rows marked as computed follow from shrinkage, C = S / (100 (30 − 0.2 S)), which agrees within
//! 0.5 % for 15 of the 16 timbers with both figures read. Mahogany is printed with two figures; the larger is here.

use super::published::Evidence;
use crate::units::{Millimetres, Percent};
use Evidence::{Computed, MemoryChecked, MemoryConflict, Seen, SeenSecondary};
use serde::Serialize;

/// One timber.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Timber {
    /// Its name, for reading.
    pub name: &'static str,
    /// Its botanical name.
    pub latin: &'static str,
    /// Change of width per unit for one per cent of moisture, quarter-sawn (radial).
    pub radial: f64,
    /// The same, flat-sawn (tangential).
    pub tangential: f64,
    /// How far the coefficients were checked.
    pub evidence: Evidence,
    /// What it is called, alone.
    #[serde(skip)]
    kind: &'static [&'static str],
    /// Words that may stand with it.
    #[serde(skip)]
    which: &'static [&'static str],
}

/// How the boards are cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sawn {
    /// The maker does not say: either may be.
    Unsaid,
    /// Flat-sawn: the width moves tangentially.
    Flat,
    /// Quarter-sawn: the width moves radially.
    Quarter,
}

/// What a maker's word for a timber means.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Meant {
    /// The rows it answers to; more than one where the word leaves it open.
    pub timbers: Vec<&'static Timber>,
    /// How the boards are cut.
    pub sawn: Sawn,
}

impl Meant {
    /// The coefficients it leaves open: least, usual, most. Where the cut is not said the usual one lies between
    /// quarter-sawn and flat-sawn, as glued-up boards of every cut do.
    pub fn coefficients(&self) -> Option<[f64; 3]> {
        let count = self.timbers.len() as f64;
        let least = |timber: &Timber| {
            if self.sawn == Sawn::Flat {
                timber.tangential
            } else {
                timber.radial
            }
        };
        let most = |timber: &Timber| {
            if self.sawn == Sawn::Quarter {
                timber.radial
            } else {
                timber.tangential
            }
        };
        let timbers = || self.timbers.iter().copied();
        let usual: f64 = timbers().map(|timber| f64::midpoint(least(timber), most(timber))).sum();
        (!self.timbers.is_empty()).then(|| {
            [
                timbers().map(least).fold(f64::MAX, f64::min),
                usual / count,
                timbers().map(most).fold(0.0, f64::max),
            ]
        })
    }
}

/// Words that say nothing about the timber.
const SILENT: &[&str] = &[
    "solid", "timber", "wood", "board", "boards", "panel", "glued", "up", "kiln", "dried", "air", "edge", "jointed",
    "clear", "prime", "select", "figured", "rippled", "lumber", "stock", "the", "of", "in",
];

/// The timber a maker's word means: the rows whose name is in it and that every other word agrees with.
pub fn timber(written: &str) -> Option<Meant> {
    let lower = written.to_lowercase();
    let mut words: Vec<&str> = lower
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty() && !SILENT.contains(word))
        .collect();
    let quarter = ["quarter", "quartersawn", "rift"]
        .iter()
        .any(|word| words.contains(word));
    let flat = ["flat", "flatsawn", "plain", "plainsawn"]
        .iter()
        .any(|word| words.contains(word));
    words.retain(|word| {
        ![
            "quarter",
            "quartersawn",
            "rift",
            "flat",
            "flatsawn",
            "plain",
            "plainsawn",
            "sawn",
        ]
        .contains(word)
    });
    let sawn = match (quarter, flat) {
        (true, false) => Sawn::Quarter,
        (false, true) => Sawn::Flat,
        _ => Sawn::Unsaid,
    };
    let answers = |timber: &&Timber| {
        words.iter().any(|word| timber.kind.contains(word))
            && words
                .iter()
                .all(|word| timber.kind.contains(word) || timber.which.contains(word))
    };
    let timbers: Vec<&'static Timber> = TIMBERS.iter().filter(answers).collect();
    (!timbers.is_empty()).then_some(Meant { timbers, sawn })
}

/// Every timber of the table.
pub fn all() -> &'static [Timber] {
    TIMBERS
}

/// Change of a width between two moisture contents; larger where it grows.
pub fn change(width: Millimetres, coefficient: f64, from: Percent, to: Percent) -> Millimetres {
    Millimetres(width.0 * coefficient * (to.0 - from.0))
}

/// The coefficient that follows from shrinkage from green to oven-dry, per cent. `None` for a shrinkage that is
/// none.
pub fn coefficient_of_shrinkage(shrinkage: Percent) -> Option<f64> {
    (shrinkage.0 > 0.0 && shrinkage.0 < 100.0).then(|| shrinkage.0 / (100.0 * (30.0 - 0.2 * shrinkage.0)))
}

const fn row(
    name: &'static str,
    latin: &'static str,
    coefficients: (f64, f64),
    evidence: Evidence,
    kind: &'static [&'static str],
    which: &'static [&'static str],
) -> Timber {
    Timber {
        name,
        latin,
        radial: coefficients.0,
        tangential: coefficients.1,
        evidence,
        kind,
        which,
    }
}

/// Radial and tangential coefficients; each row names its source by how far it was checked.
const TIMBERS: &[Timber] = &[
    row(
        "maple, sugar",
        "Acer saccharum",
        (0.001_65, 0.003_53),
        Seen,
        &["maple"],
        &["sugar", "hard", "rock"],
    ),
    row(
        "maple, red",
        "Acer rubrum",
        (0.001_37, 0.002_89),
        Seen,
        &["maple"],
        &["red", "soft"],
    ),
    row(
        "maple, silver",
        "Acer saccharinum",
        (0.001_02, 0.002_52),
        Seen,
        &["maple"],
        &["silver", "soft"],
    ),
    row(
        "oak, red",
        "Quercus, the red oaks",
        (0.001_58, 0.003_69),
        Seen,
        &["oak"],
        &["red", "american"],
    ),
    row(
        "oak, white",
        "Quercus, the white oaks",
        (0.001_80, 0.003_65),
        Seen,
        &["oak"],
        &["white", "american"],
    ),
    row(
        "walnut, black",
        "Juglans nigra",
        (0.001_90, 0.002_74),
        Seen,
        &["walnut"],
        &["black", "american"],
    ),
    row(
        "cherry, black",
        "Prunus serotina",
        (0.001_26, 0.002_48),
        Seen,
        &["cherry"],
        &["black", "american"],
    ),
    row(
        "ash, white",
        "Fraxinus americana",
        (0.001_69, 0.002_74),
        Seen,
        &["ash"],
        &["white", "american"],
    ),
    row(
        "ash, black",
        "Fraxinus nigra",
        (0.001_72, 0.002_74),
        Seen,
        &["ash"],
        &["black", "american"],
    ),
    row(
        "beech, American",
        "Fagus grandifolia",
        (0.001_90, 0.004_31),
        Seen,
        &["beech"],
        &["american"],
    ),
    row(
        "birch, yellow",
        "Betula alleghaniensis",
        (0.002_56, 0.003_38),
        Seen,
        &["birch"],
        &["yellow", "american"],
    ),
    row(
        "birch, paper",
        "Betula papyrifera",
        (0.002_19, 0.003_04),
        Seen,
        &["birch"],
        &["paper", "white", "american"],
    ),
    row(
        "alder, red",
        "Alnus rubra",
        (0.001_51, 0.002_56),
        Seen,
        &["alder"],
        &["red", "american"],
    ),
    row(
        "basswood, American",
        "Tilia americana",
        (0.002_30, 0.003_30),
        Seen,
        &["basswood"],
        &["american"],
    ),
    row(
        "butternut",
        "Juglans cinerea",
        (0.001_16, 0.002_23),
        Seen,
        &["butternut"],
        &["walnut"],
    ),
    row(
        "chestnut, American",
        "Castanea dentata",
        (0.001_16, 0.002_34),
        Seen,
        &["chestnut"],
        &["american", "sweet"],
    ),
    row(
        "elm, American",
        "Ulmus americana",
        (0.001_44, 0.003_38),
        Seen,
        &["elm"],
        &["american", "white"],
    ),
    row(
        "sycamore, American",
        "Platanus occidentalis",
        (0.001_72, 0.002_96),
        Seen,
        &["sycamore"],
        &["american"],
    ),
    row(
        "sweetgum",
        "Liquidambar styraciflua",
        (0.001_83, 0.003_65),
        Seen,
        &["sweetgum"],
        &["american"],
    ),
    row(
        "hickory, pecan",
        "Carya illinoinensis",
        (0.001_69, 0.003_15),
        Seen,
        &["hickory", "pecan"],
        &["american"],
    ),
    row(
        "apple",
        "Malus sylvestris",
        (0.002_05, 0.003_76),
        Seen,
        &["apple", "applewood"],
        &[],
    ),
    row(
        "yellow-poplar",
        "Liriodendron tulipifera",
        (0.001_58, 0.002_89),
        MemoryChecked,
        &["poplar", "tulipwood"],
        &["yellow", "tulip", "american"],
    ),
    row(
        "mahogany, American",
        "Swietenia macrophylla",
        (0.001_72, 0.002_38),
        MemoryConflict,
        &["mahogany"],
        &["american", "honduras", "genuine"],
    ),
    row(
        "mahogany, African",
        "Khaya species",
        (0.000_85, 0.001_55),
        Computed,
        &["mahogany", "khaya"],
        &["african"],
    ),
    row(
        "teak",
        "Tectona grandis",
        (0.001_01, 0.001_86),
        SeenSecondary,
        &["teak"],
        &["burma"],
    ),
    row(
        "Douglas-fir, coast",
        "Pseudotsuga menziesii",
        (0.001_65, 0.002_67),
        SeenSecondary,
        &["fir"],
        &["douglas", "coast"],
    ),
    row(
        "pine, eastern white",
        "Pinus strobus",
        (0.000_71, 0.002_12),
        MemoryChecked,
        &["pine"],
        &["white", "eastern"],
    ),
    row(
        "pine, ponderosa",
        "Pinus ponderosa",
        (0.001_33, 0.002_16),
        MemoryChecked,
        &["pine"],
        &["ponderosa"],
    ),
    row(
        "pine, southern longleaf",
        "Pinus palustris",
        (0.001_76, 0.002_63),
        SeenSecondary,
        &["pine"],
        &["southern", "longleaf", "pitch", "yellow", "heart"],
    ),
    row(
        "redcedar, western",
        "Thuja plicata",
        (0.000_81, 0.001_72),
        Computed,
        &["cedar", "redcedar"],
        &["western", "red"],
    ),
    row(
        "redcedar, eastern",
        "Juniperus virginiana",
        (0.001_06, 0.001_62),
        Computed,
        &["cedar", "redcedar"],
        &["eastern", "red", "aromatic"],
    ),
];
