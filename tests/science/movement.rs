//! How timbers move: the Wood Handbook's tables against each other, and words for timbers.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use denib::science::movement::{Sawn, all, change, coefficient_of_shrinkage, timber};
use denib::units::{Millimetres, Percent};

fn number(cell: &str) -> f64 {
    cell.parse().expect(cell)
}

// Shrinkage of table 4-3 (read) gives the coefficients of table 13-5 (read) by C = S/(100(30 − 0.2 S)): 15 of 16 timbers
// within 0.5 %, the commercial white oaks within 8 %.
#[test]
fn coefficients_follow_from_shrinkage() {
    let mut close = 0;
    for line in include_str!("../values/shrinkage.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(';').collect();
        let name = cells[0].split(" (").next().expect("a name");
        let row = all()
            .iter()
            .find(|row| row.name == name || row.name == "hickory, pecan" && name.contains("pecan"));
        let row = row.unwrap_or_else(|| unreachable!("{name}"));
        let derived = |cell: &str| coefficient_of_shrinkage(Percent(number(cell))).expect("a shrinkage");
        let off = (derived(cells[1]) / row.radial - 1.0)
            .abs()
            .max((derived(cells[2]) / row.tangential - 1.0).abs());
        assert!(off < 0.08, "{line}: {off}");
        close += usize::from(off < 0.005);
    }
    assert_eq!(close, 15);
}

// Wood Handbook, section on dimensional change, worked as eq. 13-2: white oak flooring, flat-sawn, 57 mm, from 9 to 8 %,
// about 0.2 mm (recalled: C_T 0.00365).
#[test]
fn a_width_and_its_change() {
    let oak = timber("white oak, flat-sawn").expect("known");
    let [low, usual, high] = oak.coefficients().expect("coefficients");
    assert!((low - high).abs() < 1e-12 && oak.sawn == Sawn::Flat);
    let shrinks = change(Millimetres(57.0), usual, Percent(9.0), Percent(8.0)).0;
    assert!((shrinks + 0.208).abs() < 1e-3, "{shrinks}");
    // a 900 mm top of sugar maple between 7 and 11 %: 12.7 mm
    let maple = timber("hard maple")
        .expect("known")
        .coefficients()
        .expect("coefficients");
    assert!((change(Millimetres(900.0), maple[2], Percent(7.0), Percent(11.0)).0 - 12.708).abs() < 1e-6);
}

#[test]
fn words_are_matched_and_never_guessed() {
    let names = |word: &str| -> Vec<&str> {
        timber(word).map_or_else(Vec::new, |meant| {
            meant.timbers.iter().map(|timber| timber.name).collect()
        })
    };
    assert_eq!(names("Black walnut"), ["walnut, black"]);
    assert_eq!(names("oak"), ["oak, red", "oak, white"]);
    assert_eq!(names("quarter-sawn white oak boards"), ["oak, white"]);
    assert_eq!(names("soft maple"), ["maple, red", "maple, silver"]);
    assert_eq!(names("ash"), ["ash, white", "ash, black"]);
    assert_eq!(names("African mahogany"), ["mahogany, African"]);
    assert_eq!(names("Douglas fir"), ["Douglas-fir, coast"]);
    // not in the table, though a part of the word is
    for unknown in [
        "European oak",
        "bog oak",
        "English walnut",
        "plane",
        "oak veneer on ply",
        "",
        "wenge",
        "teak-faced MDF",
    ] {
        assert!(timber(unknown).is_none(), "{unknown}");
    }
    let quarter = timber("rift oak").expect("known");
    assert_eq!(quarter.sawn, Sawn::Quarter);
    assert!(quarter.coefficients().expect("coefficients")[2] < 0.002);
}

#[test]
fn tangential_movement_is_larger_than_radial() {
    assert!(all().iter().all(|row| row.tangential > row.radial && row.radial > 0.0));
    assert_eq!(coefficient_of_shrinkage(Percent(0.0)), None);
}
