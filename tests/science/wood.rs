//! Equilibrium moisture content against the printed table of the Wood Handbook (FPL-GTR-190, Table 4-2).

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use crate::values::{number, rows};
use denib::science::MoistAir;
use denib::science::wood::equilibrium_moisture;
use proptest::prelude::*;

#[test]
fn all_342_cells_of_table_4_2() {
    let mut cells = 0;
    for row in rows(include_str!("../values/moisture_content_table.csv")) {
        let fahrenheit = number(row[0]);
        let celsius = (fahrenheit - 32.0) / 1.8;
        // the table prints the Celsius temperatures to a tenth
        assert!((celsius - number(row[1])).abs() < 0.06, "{row:?}");
        let found = equilibrium_moisture(MoistAir::new(celsius, number(row[2]))).0;
        assert!((found - number(row[3])).abs() < 0.1, "{row:?}: {found}");
        cells += 1;
    }
    assert_eq!(cells, 342);
}

proptest! {
    #[test]
    fn damper_air_makes_wetter_wood(t in -1.0..54.0_f64, rh in 0.0..94.0_f64) {
        let drier = equilibrium_moisture(MoistAir::new(t, rh)).0;
        let damper = equilibrium_moisture(MoistAir::new(t, rh + 1.0)).0;
        prop_assert!(drier >= 0.0 && damper > drier);
    }
}
