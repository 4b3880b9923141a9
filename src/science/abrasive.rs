//! Grain sizes of coated abrasives, and how large a step between two grits is.
//!
//! Invariant: on each scale the grain gets smaller as the number grows; a number that is no grade has no size.
//!
//! Sources: FEPA P grades of ISO 6344: P12 to P120 as a published table of average particle sizes gives
//! them, P150 to P220 as a trade chart rounds them to whole micrometres, P240 to P2000 the median sizes (ds50)
//! of ISO 6344-3 from memory, each agreeing with that chart. CAMI sizes (ANSI B74.18) from the same two
//! pages, 180 and finer partly from memory. Wool is a fibre, not a grain: its size is that of the fibre, from
//! a sheet of micron equivalents, and says little about its scratch.

use super::measure::Micrometres;

/// A step larger than this leaves scratches of the coarser grit (limit chosen here, no source; "skip
/// at most one grade" is what the trade says).
pub const STEP_WARNING: f64 = 1.7;
/// A step larger than this is a mistake (limit chosen here, no source).
pub const STEP_LIMIT: f64 = 2.0;

/// Every P grade, coarse to fine, with its mean grain in µm (sources above).
pub const P_GRADES: [(u16, f64); 28] = [
    (12, 1815.0),
    (16, 1324.0),
    (20, 1000.0),
    (24, 764.0),
    (30, 642.0),
    (36, 538.0),
    (40, 425.0),
    (50, 336.0),
    (60, 269.0),
    (80, 201.0),
    (100, 162.0),
    (120, 125.0),
    (150, 100.0),
    (180, 82.0),
    (220, 68.0),
    (240, 58.5),
    (280, 52.2),
    (320, 46.2),
    (360, 40.5),
    (400, 35.0),
    (500, 30.2),
    (600, 25.8),
    (800, 21.8),
    (1000, 18.3),
    (1200, 15.3),
    (1500, 12.6),
    (2000, 10.3),
    (2500, 8.4),
];

/// Every CAMI grade, coarse to fine, with its mean grain in µm (sources above).
pub const CAMI_GRADES: [(u16, f64); 23] = [
    (16, 1320.0),
    (20, 905.0),
    (24, 715.0),
    (30, 638.0),
    (36, 535.0),
    (40, 428.0),
    (50, 351.0),
    (60, 268.0),
    (80, 192.0),
    (100, 141.0),
    (120, 116.0),
    (150, 93.0),
    (180, 78.0),
    (220, 66.0),
    (240, 53.5),
    (280, 44.0),
    (320, 36.0),
    (360, 28.8),
    (400, 23.6),
    (500, 19.7),
    (600, 16.0),
    (800, 12.2),
    (1000, 9.2),
];

/// Steel wool by its noughts (0 to 4), with the fibre in µm and the P grades it is said to be near (sources
/// above).
pub const WOOL_GRADES: [(u16, f64, u16, u16); 4] = [
    (1, 50.0, 280, 320),
    (2, 40.0, 360, 400),
    (3, 35.0, 400, 600),
    (4, 25.0, 600, 2000),
];

/// Mean grain of a P grade.
pub fn p_grain(number: u16) -> Option<Micrometres> {
    grain(&P_GRADES, number)
}

/// Mean grain of a CAMI grade.
pub fn cami_grain(number: u16) -> Option<Micrometres> {
    grain(&CAMI_GRADES, number)
}

/// Fibre of steel wool with this many noughts.
pub fn wool_fibre(noughts: u16) -> Option<Micrometres> {
    let found = WOOL_GRADES.iter().find(|grade| grade.0 == noughts);
    found.map(|grade| Micrometres(grade.1))
}

/// How many times coarser the first is than the second.
pub fn step_ratio(coarser: Micrometres, finer: Micrometres) -> f64 {
    coarser.0 / finer.0
}

/// The P grades on either side of a number that is none: the coarser, then the finer. One of them is `None`
/// at the ends of the scale; both are the grade itself where the number is one.
pub fn p_neighbours(number: u16) -> (Option<u16>, Option<u16>) {
    let numbers = || P_GRADES.iter().map(|grade| grade.0);
    (
        numbers().rfind(|&one| one <= number),
        numbers().find(|&one| one >= number),
    )
}

/// The P grade whose grain is nearest in proportion.
pub fn nearest_p(grain: Micrometres) -> u16 {
    let distance = |size: f64| (size / grain.0).ln().abs();
    P_GRADES
        .iter()
        .min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))
        .map_or(0, |grade| grade.0)
}

fn grain(scale: &[(u16, f64)], number: u16) -> Option<Micrometres> {
    let found = scale.iter().find(|grade| grade.0 == number);
    found.map(|grade| Micrometres(grade.1))
}
