//! What burns and from where: flash points, lower explosive limits, molar masses of finish solvents.
//!
//! Invariant: [`Substance::lel`] is the lowest published limit that is not a plain misprint, and
//! [`Substance::flash`] the lowest measured closed-cup value; every solvent of `science::solvent` except water
//! is here.
//!
//! Sources: IEC 60079-20-1 (2010) and NFPA 497 (2008) as carried by the Python package `chemicals` 1.5.2
//! (`tests/values/solvent_hazards.py` writes them, `tests/science/vapour.rs` compares); limits named NIOSH were
//! read on its pages of dangerous concentrations and its pocket guide. NFPA 497's flash point of −40 °C for
//! isobutanol and its limit of 2.4 % for isobutyl acetate (NIOSH 1.3 %) are left aside.

use crate::science::published::{Evidence, Published, published};

const IEC: &str = "IEC 60079-20-1 (2010)";
const NFPA: &str = "NFPA 497 (2008)";
const DIPPR: &str = "DIPPR values of Serat (2017)";
const TYPICAL: &str = "typical of the blend, recalled";

/// One solvent's vapour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Substance {
    /// Its name, as in schedule files.
    pub name: &'static str,
    /// Other names files may use.
    pub also: &'static [&'static str],
    /// Number in the Chemical Abstracts registry.
    pub cas: &'static str,
    /// Grams per mole; a blend has that of its middle.
    pub molar_mass: f64,
    /// Closed-cup flash point, °C.
    pub flash: Published,
    /// Lower explosive limit, per cent of the air by volume.
    pub lel: Published,
}

impl Substance {
    /// The lower explosive limit in grams per cubic metre of air at 25 °C and sea level.
    pub fn lel_grams(&self) -> f64 {
        self.lel.value / 100.0 * 1000.0 * self.molar_mass / super::volume::MOLAR_VOLUME_25
    }

    /// How many times heavier than air the vapour is.
    pub fn heavier_than_air(&self) -> f64 {
        // mean molar mass of dry air, g/mol (ASHRAE Fundamentals 2017, chapter 1)
        self.molar_mass / 28.966
    }
}

/// The substance of this name, capitals and spaces at the ends aside.
pub fn find(name: &str) -> Option<&'static Substance> {
    let name = name.trim().to_lowercase();
    SUBSTANCES
        .iter()
        .find(|substance| substance.name == name || substance.also.contains(&name.as_str()))
}

/// Whether a part of a product gives off nothing that burns or is limited (water).
pub fn harmless(name: &str) -> bool {
    name.trim().eq_ignore_ascii_case("water")
}

/// Every substance known.
pub fn all() -> &'static [Substance] {
    SUBSTANCES
}

const fn row(
    name: &'static str,
    also: &'static [&'static str],
    cas: &'static str,
    molar_mass: f64,
    flash: Published,
    lel: Published,
) -> Substance {
    Substance {
        name,
        also,
        cas,
        molar_mass,
        flash,
        lel,
    }
}

const fn library(value: f64, source: &'static str) -> Published {
    published(value, Evidence::Library, source)
}

const fn memory(value: f64, source: &'static str) -> Published {
    published(value, Evidence::Memory, source)
}

/// Flash points and limits; each row names its source.
const SUBSTANCES: &[Substance] = &[
    row(
        "acetone",
        &["propanone"],
        "67-64-1",
        58.079,
        library(-20.0, IEC),
        library(2.5, IEC),
    ),
    row(
        "methyl ethyl ketone",
        &["mek", "butanone"],
        "78-93-3",
        72.106,
        library(-10.0, IEC),
        library(1.4, NFPA),
    ),
    row(
        "methyl isobutyl ketone",
        &["mibk"],
        "108-10-1",
        100.159,
        library(16.0, IEC),
        library(1.2, IEC),
    ),
    row(
        "ethyl acetate",
        &[],
        "141-78-6",
        88.105,
        library(-4.0, IEC),
        library(2.0, IEC),
    ),
    row(
        "n-butyl acetate",
        &["butyl acetate"],
        "123-86-4",
        116.158,
        library(22.0, IEC),
        library(1.2, IEC),
    ),
    row(
        "isobutyl acetate",
        &[],
        "110-19-0",
        116.158,
        library(18.0, NFPA),
        published(1.3, Evidence::Seen, "NIOSH, dangerous concentrations, 110-19-0 (1994)"),
    ),
    row(
        "methanol",
        &["methyl alcohol"],
        "67-56-1",
        32.042,
        library(9.0, IEC),
        library(6.0, IEC),
    ),
    row(
        "ethanol",
        &["ethyl alcohol", "alcohol", "denatured alcohol"],
        "64-17-5",
        46.068,
        library(12.0, IEC),
        library(3.1, IEC),
    ),
    row(
        "2-propanol",
        &["isopropanol", "isopropyl alcohol"],
        "67-63-0",
        60.095,
        library(12.0, IEC),
        library(2.0, IEC),
    ),
    row(
        "n-butanol",
        &["butanol", "n-butyl alcohol"],
        "71-36-3",
        74.122,
        library(35.0, IEC),
        library(1.4, IEC),
    ),
    row(
        "isobutanol",
        &["isobutyl alcohol"],
        "78-83-1",
        74.122,
        library(28.0, IEC),
        library(1.2, NFPA),
    ),
    row("toluene", &[], "108-88-3", 92.138, library(4.0, IEC), library(1.0, IEC)),
    row(
        "xylene",
        &["xylenes"],
        "1330-20-7",
        106.165,
        library(25.0, NFPA),
        library(0.9, NFPA),
    ),
    row(
        "ethylbenzene",
        &[],
        "100-41-4",
        106.165,
        library(15.0, IEC),
        library(0.8, IEC),
    ),
    row(
        "2-butoxyethanol",
        &["butyl glycol"],
        "111-76-2",
        118.174,
        library(61.0, IEC),
        library(1.1, IEC),
    ),
    row(
        "dipropylene glycol methyl ether",
        &["dpm"],
        "34590-94-8",
        148.2,
        library(74.0, IEC),
        library(1.1, IEC),
    ),
    row(
        "1-methoxy-2-propanol",
        &["propylene glycol methyl ether"],
        "107-98-2",
        90.121,
        memory(32.0, "handbooks, recalled"),
        memory(1.5, "handbooks, recalled"),
    ),
    row(
        "1-methoxy-2-propyl acetate",
        &["propylene glycol methyl ether acetate"],
        "108-65-6",
        132.158,
        library(42.85, DIPPR),
        memory(1.5, "handbooks, recalled"),
    ),
    row(
        "diacetone alcohol",
        &[],
        "123-42-2",
        116.158,
        library(58.0, IEC),
        library(1.8, IEC),
    ),
    row(
        "n-nonane",
        &["nonane"],
        "111-84-2",
        128.255,
        library(30.0, IEC),
        library(0.7, IEC),
    ),
    row(
        "n-decane",
        &["decane"],
        "124-18-5",
        142.282,
        library(46.0, IEC),
        library(0.7, IEC),
    ),
    row(
        "alpha-pinene",
        &["pinene"],
        "80-56-8",
        136.234,
        library(30.61, DIPPR),
        memory(0.8, "handbooks, recalled"),
    ),
    row(
        "d-limonene",
        &["limonene", "citrus terpene"],
        "5989-27-5",
        136.234,
        library(47.85, DIPPR),
        memory(0.7, "handbooks, recalled"),
    ),
    row(
        "white spirit",
        &[
            "mineral spirits",
            "stoddard solvent",
            "paint thinner",
            "dearomatised white spirit",
        ],
        "8052-41-3",
        140.0,
        published(
            38.0,
            Evidence::MemoryChecked,
            "38 °C is the least its definition allows; OSHA's 1989 rule says 39 to 43 °C (seen)",
        ),
        library(
            0.7,
            "its main parts, nonane and decane, in IEC 60079-20-1 (2010); 0.8 is recalled for the blend",
        ),
    ),
    row(
        "naphtha",
        &["vm&p naphtha"],
        "8032-32-4",
        110.0,
        memory(7.0, TYPICAL),
        memory(0.9, TYPICAL),
    ),
    row(
        "turpentine",
        &["gum turpentine"],
        "8006-64-2",
        136.0,
        library(35.0, IEC),
        library(0.8, IEC),
    ),
];
