//! The limits themselves.
//!
//! Invariant: a row marked as seen was read on the page its source names; all others say that they were
//! recalled.
//!
//! The British table was not read: only its front matter was. Rows marked as checked agree with an unofficial
//! list that was read, which is weak; the one row that differs from it says so. No limit exists there for white
//! spirit; the row is a paint maker's health advice. All of these want a person's eye on the current edition.

use super::{Amount, Averaged, Country, Force, Limit};
use crate::science::published::Evidence;
use Amount::{MgM3, Ppm};
use Averaged::{EightHours, FifteenMinutes};
use Evidence::{Memory, MemoryChecked, MemoryConflict, Seen, SeenSecondary};
use Force::{Advice, Law};

const EH40: &str = "EH40/2005 table 1, 4th edition (recalled)";
const EH40_LISTED: &str = "EH40/2005 table 1, 4th edition (recalled; an unofficial list agrees)";
const Z_1: &str = "29 CFR 1910.1000 table Z-1";
const POCKET: &str = "NIOSH Pocket Guide (recalled)";
const IDLH: &str = "OSHA and NIOSH limits as listed on NIOSH's page of dangerous concentrations";

/// Every limit known.
pub fn all() -> &'static [Limit] {
    LIMITS
}

#[allow(clippy::too_many_arguments, reason = "a row of a table")]
const fn row(
    substance: &'static str,
    country: Country,
    averaged: Averaged,
    amount: Amount,
    force: Force,
    skin: bool,
    evidence: Evidence,
    source: &'static str,
    year: u16,
) -> Limit {
    Limit {
        substance,
        country,
        averaged,
        amount,
        force,
        skin,
        evidence,
        source,
        year,
    }
}

/// A row of the British table.
const fn gb(substance: &'static str, averaged: Averaged, ppm: f64, skin: bool, evidence: Evidence) -> Limit {
    let source = match evidence {
        MemoryChecked => EH40_LISTED,
        MemoryConflict => "EH40/2005 table 1, 4th edition (recalled; an unofficial list says 50 and 100 ppm)",
        _ => EH40,
    };
    row(
        substance,
        Country::GreatBritain,
        averaged,
        Ppm(ppm),
        Law,
        skin,
        evidence,
        source,
        2020,
    )
}

/// A permissible limit of the United States.
const fn pel(
    substance: &'static str,
    ppm: f64,
    skin: bool,
    evidence: Evidence,
    source: &'static str,
    year: u16,
) -> Limit {
    row(
        substance,
        Country::UnitedStates,
        EightHours,
        Ppm(ppm),
        Law,
        skin,
        evidence,
        source,
        year,
    )
}

/// A recommended limit of the United States.
const fn rel(
    substance: &'static str,
    averaged: Averaged,
    amount: Amount,
    skin: bool,
    evidence: Evidence,
    source: &'static str,
    year: u16,
) -> Limit {
    row(
        substance,
        Country::UnitedStates,
        averaged,
        amount,
        Advice,
        skin,
        evidence,
        source,
        year,
    )
}

/// Limits by substance; each row names its source, or how far it was checked.
const LIMITS: &[Limit] = &[
    gb("acetone", EightHours, 500.0, false, MemoryChecked),
    gb("acetone", FifteenMinutes, 1500.0, false, MemoryChecked),
    gb("methyl ethyl ketone", EightHours, 200.0, true, MemoryChecked),
    gb("methyl ethyl ketone", FifteenMinutes, 300.0, true, MemoryChecked),
    gb("methyl isobutyl ketone", EightHours, 50.0, true, MemoryChecked),
    gb("methyl isobutyl ketone", FifteenMinutes, 100.0, true, MemoryChecked),
    gb("ethyl acetate", EightHours, 200.0, false, MemoryChecked),
    gb("ethyl acetate", FifteenMinutes, 400.0, false, MemoryChecked),
    gb("n-butyl acetate", EightHours, 150.0, false, MemoryConflict),
    gb("n-butyl acetate", FifteenMinutes, 200.0, false, MemoryConflict),
    gb("isobutyl acetate", EightHours, 150.0, false, MemoryChecked),
    gb("isobutyl acetate", FifteenMinutes, 187.0, false, MemoryChecked),
    gb("methanol", EightHours, 200.0, true, MemoryChecked),
    gb("methanol", FifteenMinutes, 250.0, true, MemoryChecked),
    gb("ethanol", EightHours, 1000.0, false, MemoryChecked),
    gb("2-propanol", EightHours, 400.0, false, MemoryChecked),
    gb("2-propanol", FifteenMinutes, 500.0, false, MemoryChecked),
    gb("n-butanol", FifteenMinutes, 50.0, true, Memory),
    gb("isobutanol", EightHours, 50.0, false, MemoryChecked),
    gb("isobutanol", FifteenMinutes, 75.0, false, Memory),
    gb("toluene", EightHours, 50.0, true, MemoryChecked),
    gb("toluene", FifteenMinutes, 100.0, true, MemoryChecked),
    gb("xylene", EightHours, 50.0, true, MemoryChecked),
    gb("xylene", FifteenMinutes, 100.0, true, MemoryChecked),
    gb("ethylbenzene", EightHours, 100.0, true, Memory),
    gb("ethylbenzene", FifteenMinutes, 125.0, true, Memory),
    gb("2-butoxyethanol", EightHours, 25.0, true, MemoryChecked),
    gb("2-butoxyethanol", FifteenMinutes, 50.0, true, Memory),
    gb("dipropylene glycol methyl ether", EightHours, 50.0, true, Memory),
    gb("1-methoxy-2-propanol", EightHours, 100.0, true, Memory),
    gb("1-methoxy-2-propanol", FifteenMinutes, 150.0, true, Memory),
    gb("1-methoxy-2-propyl acetate", EightHours, 50.0, true, Memory),
    gb("1-methoxy-2-propyl acetate", FifteenMinutes, 100.0, true, Memory),
    gb("diacetone alcohol", EightHours, 50.0, false, Memory),
    gb("diacetone alcohol", FifteenMinutes, 75.0, false, Memory),
    gb("turpentine", EightHours, 100.0, false, Memory),
    gb("turpentine", FifteenMinutes, 150.0, false, Memory),
    row(
        "white spirit",
        Country::GreatBritain,
        EightHours,
        Ppm(100.0),
        Advice,
        false,
        SeenSecondary,
        "no workplace limit; 100 ppm is a paint maker's health advice",
        2020,
    ),
    pel("acetone", 1000.0, false, Seen, "OSHA chemical sampling page", 2008),
    rel(
        "acetone",
        EightHours,
        Ppm(250.0),
        false,
        Seen,
        "OSHA chemical sampling page",
        2008,
    ),
    pel(
        "methyl ethyl ketone",
        200.0,
        false,
        Seen,
        "OSHA analytical method 16",
        1980,
    ),
    rel(
        "methyl ethyl ketone",
        FifteenMinutes,
        Ppm(300.0),
        false,
        SeenSecondary,
        "a data sheet listing NIOSH's limits",
        2016,
    ),
    pel("methyl isobutyl ketone", 100.0, false, Memory, Z_1, 2016),
    rel(
        "methyl isobutyl ketone",
        EightHours,
        Ppm(50.0),
        false,
        Memory,
        POCKET,
        2016,
    ),
    rel(
        "methyl isobutyl ketone",
        FifteenMinutes,
        Ppm(75.0),
        false,
        Memory,
        POCKET,
        2016,
    ),
    pel("ethyl acetate", 400.0, false, Seen, IDLH, 1994),
    pel("n-butyl acetate", 150.0, false, Seen, IDLH, 1994),
    rel("n-butyl acetate", FifteenMinutes, Ppm(200.0), false, Seen, IDLH, 1994),
    pel("isobutyl acetate", 150.0, false, Seen, IDLH, 1994),
    pel("methanol", 200.0, false, Seen, IDLH, 1994),
    rel("methanol", FifteenMinutes, Ppm(250.0), true, Seen, IDLH, 1994),
    pel("ethanol", 1000.0, false, Seen, IDLH, 1994),
    pel(
        "2-propanol",
        400.0,
        false,
        Seen,
        "OSHA's 1989 rule on NIOSH's pages (the limit before it is in force)",
        1989,
    ),
    rel(
        "2-propanol",
        FifteenMinutes,
        Ppm(500.0),
        false,
        Seen,
        "OSHA's 1989 rule on NIOSH's pages",
        1989,
    ),
    pel(
        "n-butanol",
        100.0,
        false,
        Seen,
        "OSHA's 1989 rule on NIOSH's pages (the limit before it is in force)",
        1989,
    ),
    rel(
        "n-butanol",
        FifteenMinutes,
        Ppm(50.0),
        true,
        Seen,
        "OSHA's 1989 rule on NIOSH's pages (a ceiling)",
        1989,
    ),
    pel("isobutanol", 100.0, false, Memory, Z_1, 2016),
    rel("isobutanol", EightHours, Ppm(50.0), false, Memory, POCKET, 2016),
    pel(
        "toluene",
        200.0,
        false,
        SeenSecondary,
        "29 CFR 1910.1000 table Z-2, as quoted in a county's table",
        2016,
    ),
    rel("toluene", EightHours, Ppm(100.0), false, Memory, POCKET, 2016),
    rel("toluene", FifteenMinutes, Ppm(150.0), false, Memory, POCKET, 2016),
    pel(
        "xylene",
        100.0,
        false,
        SeenSecondary,
        "29 CFR 1910.1000 table Z-1, as quoted in a county's table",
        2016,
    ),
    rel("xylene", FifteenMinutes, Ppm(150.0), false, Memory, POCKET, 2016),
    pel("ethylbenzene", 100.0, false, Memory, Z_1, 2016),
    rel("ethylbenzene", FifteenMinutes, Ppm(125.0), false, Memory, POCKET, 2016),
    pel("2-butoxyethanol", 50.0, true, SeenSecondary, IDLH, 1994),
    rel("2-butoxyethanol", EightHours, Ppm(5.0), true, SeenSecondary, IDLH, 1994),
    pel("dipropylene glycol methyl ether", 100.0, true, Seen, IDLH, 1994),
    rel(
        "dipropylene glycol methyl ether",
        FifteenMinutes,
        Ppm(150.0),
        true,
        Seen,
        IDLH,
        1994,
    ),
    rel(
        "1-methoxy-2-propanol",
        EightHours,
        Ppm(100.0),
        false,
        Memory,
        POCKET,
        2016,
    ),
    rel(
        "1-methoxy-2-propanol",
        FifteenMinutes,
        Ppm(150.0),
        false,
        Memory,
        POCKET,
        2016,
    ),
    pel("diacetone alcohol", 50.0, false, Memory, Z_1, 2016),
    rel("n-nonane", EightHours, Ppm(200.0), false, Memory, POCKET, 2016),
    pel(
        "white spirit",
        500.0,
        false,
        Seen,
        "OSHA chemical sampling page, Stoddard solvent",
        2016,
    ),
    rel(
        "white spirit",
        EightHours,
        MgM3(350.0),
        false,
        Seen,
        "OSHA chemical sampling page, Stoddard solvent",
        2016,
    ),
    rel(
        "white spirit",
        FifteenMinutes,
        MgM3(1800.0),
        false,
        Seen,
        "OSHA chemical sampling page, Stoddard solvent",
        2016,
    ),
    rel(
        "naphtha",
        EightHours,
        MgM3(350.0),
        false,
        Seen,
        "OSHA chemical sampling page, VM&P naphtha (no OSHA limit)",
        2006,
    ),
    rel(
        "naphtha",
        FifteenMinutes,
        MgM3(1800.0),
        false,
        Seen,
        "OSHA chemical sampling page, VM&P naphtha (no OSHA limit)",
        2006,
    ),
    pel("turpentine", 100.0, false, Seen, "NIOSH Pocket Guide, turpentine", 2016),
];
