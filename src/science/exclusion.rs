//! How well a finish keeps moisture out of wood.
//!
//! Invariant: effectiveness is per cent of the moisture bare wood takes up in the same time that the finished
//! wood does not; it never rises with time and never falls with coats.
//!
//! Source: moisture-excluding effectiveness after Feist, Little and Wennesheimer (Forest Products Laboratory,
//! FPL-462, 1985), as printed in the Wood Handbook, FPL-GTR-190, table 16-3: ponderosa pine sapwood, 30 to 90 %
//! relative humidity at 27 °C. Rows marked as seen were read in that table; two-coat rows marked at second hand
//! in a magazine citing it; the rest is recalled. Nitrocellulose, three coats: 19 recalled, 10 in one list.

use super::published::Evidence;
use Evidence::{Memory, MemoryChecked, MemoryConflict, Seen, SeenSecondary};
use serde::Serialize;

/// The finishes of the table that furniture gets, and bare wood.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Finish {
    /// Linseed oil.
    LinseedOil,
    /// Tung oil.
    TungOil,
    /// Paste furniture wax.
    PasteWax,
    /// Shellac.
    Shellac,
    /// Nitrocellulose lacquer.
    Nitrocellulose,
    /// Spar varnish (soya alkyd).
    SparVarnish,
    /// Oil-modified urethane varnish.
    UrethaneVarnish,
    /// Clear two-component polyurethane.
    TwoPartPolyurethane,
    /// Clear two-component epoxy.
    Epoxy,
    /// Acrylic latex, flat house paint: the nearest the table has to a waterborne clear coat.
    AcrylicLatex,
}

impl Finish {
    /// Its name in the table.
    pub const fn name(self) -> &'static str {
        match self {
            Self::LinseedOil => "linseed oil",
            Self::TungOil => "tung oil",
            Self::PasteWax => "paste furniture wax",
            Self::Shellac => "shellac",
            Self::Nitrocellulose => "nitrocellulose lacquer",
            Self::SparVarnish => "spar varnish (soya alkyd)",
            Self::UrethaneVarnish => "urethane varnish (oil-modified)",
            Self::TwoPartPolyurethane => "two-component polyurethane, clear",
            Self::Epoxy => "epoxy, clear, two-component",
            Self::AcrylicLatex => "acrylic latex flat house paint",
        }
    }
}

/// One row: a finish in so many coats.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Exclusion {
    /// Finish.
    pub finish: Finish,
    /// Coats.
    pub coats: u8,
    /// Per cent after 1, 7 and 14 days.
    pub percent: [f64; 3],
    /// How far it was checked.
    pub evidence: Evidence,
}

/// The days of [`Exclusion::percent`] (source above).
pub const DAYS: [f64; 3] = [1.0, 7.0, 14.0];

/// The row for a finish and a number of coats; more coats than the table has take its last row (more coats
/// keep out more, so this errs towards less). `None` for no coats or where the table begins with more.
pub fn of(finish: Finish, coats: u32) -> Option<&'static Exclusion> {
    let rows = TABLE
        .iter()
        .filter(|row| row.finish == finish && u32::from(row.coats) <= coats);
    rows.max_by_key(|row| row.coats)
}

/// Every row.
pub fn all() -> &'static [Exclusion] {
    TABLE
}

const fn row(finish: Finish, coats: u8, percent: [f64; 3], evidence: Evidence) -> Exclusion {
    Exclusion {
        finish,
        coats,
        percent,
        evidence,
    }
}

/// Per cent kept out after 1, 7 and 14 days; each row names its source by how far it was checked (source above).
const TABLE: &[Exclusion] = &[
    row(Finish::LinseedOil, 1, [12.0, 0.0, 0.0], Seen),
    row(Finish::LinseedOil, 2, [22.0, 0.0, 0.0], Seen),
    row(Finish::LinseedOil, 3, [33.0, 2.0, 0.0], Seen),
    row(Finish::TungOil, 1, [34.0, 0.0, 0.0], Memory),
    row(Finish::TungOil, 2, [46.0, 2.0, 0.0], SeenSecondary),
    row(Finish::TungOil, 3, [52.0, 6.0, 2.0], MemoryChecked),
    row(Finish::PasteWax, 1, [6.0, 0.0, 0.0], Memory),
    row(Finish::PasteWax, 2, [11.0, 0.0, 0.0], Memory),
    row(Finish::PasteWax, 3, [17.0, 0.0, 0.0], MemoryChecked),
    row(Finish::Shellac, 1, [65.0, 10.0, 3.0], Memory),
    row(Finish::Shellac, 2, [84.0, 43.0, 20.0], SeenSecondary),
    row(Finish::Shellac, 3, [91.0, 64.0, 42.0], MemoryChecked),
    row(Finish::Shellac, 4, [93.0, 75.0, 58.0], Memory),
    row(Finish::Shellac, 5, [94.0, 81.0, 67.0], Memory),
    row(Finish::Shellac, 6, [95.0, 85.0, 73.0], Memory),
    row(Finish::Nitrocellulose, 1, [40.0, 4.0, 1.0], Memory),
    row(Finish::Nitrocellulose, 2, [70.0, 22.0, 8.0], SeenSecondary),
    row(Finish::Nitrocellulose, 3, [79.0, 37.0, 19.0], MemoryConflict),
    row(Finish::SparVarnish, 1, [48.0, 6.0, 0.0], Memory),
    row(Finish::SparVarnish, 2, [80.0, 36.0, 15.0], SeenSecondary),
    row(Finish::SparVarnish, 3, [87.0, 53.0, 30.0], MemoryChecked),
    row(Finish::UrethaneVarnish, 1, [55.0, 10.0, 2.0], Seen),
    row(Finish::UrethaneVarnish, 2, [83.0, 43.0, 23.0], Seen),
    row(Finish::UrethaneVarnish, 3, [90.0, 64.0, 44.0], Seen),
    row(Finish::UrethaneVarnish, 4, [91.0, 68.0, 51.0], Seen),
    row(Finish::UrethaneVarnish, 5, [93.0, 72.0, 57.0], Seen),
    row(Finish::UrethaneVarnish, 6, [93.0, 76.0, 62.0], Seen),
    row(Finish::TwoPartPolyurethane, 1, [48.0, 6.0, 0.0], Memory),
    row(Finish::TwoPartPolyurethane, 2, [90.0, 66.0, 46.0], SeenSecondary),
    row(Finish::TwoPartPolyurethane, 3, [94.0, 81.0, 66.0], MemoryChecked),
    row(Finish::Epoxy, 2, [98.0, 93.0, 88.0], SeenSecondary),
    row(Finish::Epoxy, 3, [98.0, 95.0, 91.0], MemoryChecked),
    row(Finish::AcrylicLatex, 1, [52.0, 12.0, 5.0], Seen),
    row(Finish::AcrylicLatex, 2, [77.0, 28.0, 11.0], Seen),
    row(Finish::AcrylicLatex, 3, [84.0, 39.0, 16.0], Seen),
];
