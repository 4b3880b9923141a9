//! Moist air against `PsychroLib` 2.5.0 (values and script in `tests/values`).

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use crate::values::{number, rows};
use denib::science::MoistAir;
use denib::science::psychrometrics::{SEA_LEVEL, saturation_over_ice, saturation_over_water, saturation_pressure};
use denib::units::Celsius;
use proptest::prelude::*;

#[test]
fn agrees_with_psychrolib_over_the_whole_range() {
    let (mut dew, mut frost) = (0, 0);
    for row in rows(include_str!("../values/psychrometrics.csv")) {
        let cells: Vec<f64> = row.iter().map(|cell| number(cell)).collect();
        let [t, rh, saturation, point, wet, ratio] = cells[..] else {
            panic!("{row:?}")
        };
        let air = MoistAir::new(t, rh);
        let relative = saturation_pressure(Celsius(t)).0 / saturation - 1.0;
        assert!(relative.abs() < 1e-6, "{row:?}: saturation off by {relative}");
        let found = if point > 0.01 {
            dew += 1;
            air.dew_point()
        } else {
            frost += 1;
            air.frost_point()
        };
        let found = found.unwrap_or_else(|| panic!("{row:?}: no dew or frost point")).0;
        assert!((found - point).abs() < 0.005, "{row:?}: point {found}");
        let found = air.wet_bulb(SEA_LEVEL).0;
        assert!((found - wet).abs() < 0.005, "{row:?}: wet bulb {found}");
        let found = air.humidity_ratio(SEA_LEVEL);
        assert!((found - ratio).abs() < 1e-4, "{row:?}: ratio {found}");
    }
    assert!(
        dew > 200 && frost > 100,
        "the table covers both sides of freezing: {dew} and {frost}"
    );
}

#[test]
fn settles_on_the_root_it_has_found() {
    // a step of the search that lands on the answer to the last digit must not be thrown away; PsychroLib 2.5.0
    let wet = MoistAir::new(40.900_592_544_234_46, 46.987_010_339_366_78)
        .wet_bulb(SEA_LEVEL)
        .0;
    assert!((wet - 30.324_049).abs() < 0.005, "{wet}");
}

#[test]
fn warming_air_at_constant_moisture_agrees_with_psychrolib() {
    for row in rows(include_str!("../values/warming.csv")) {
        let cells: Vec<f64> = row.iter().map(|cell| number(cell)).collect();
        let [t, rh, to, wanted] = cells[..] else {
            panic!("{row:?}")
        };
        let found = MoistAir::new(t, rh).warmed_to(Celsius(to)).humidity.0;
        assert!((found - wanted).abs() < 0.01, "{row:?}: {found}");
    }
}

#[test]
fn water_and_ice_meet_at_the_triple_point() {
    // 611.657 Pa at 0.01 °C: IAPWS, Revised Release on the Pressure along the Melting and Sublimation Curves
    let water = saturation_over_water(Celsius(0.01)).0;
    let ice = saturation_over_ice(Celsius(0.01)).0;
    assert!((water - 611.657).abs() < 0.2, "{water}");
    assert!((ice - 611.657).abs() < 0.2, "{ice}");
}

#[test]
fn dry_and_saturated_air_are_no_trouble() {
    assert_eq!(MoistAir::new(20.0, 0.0).dew_point(), None);
    assert_eq!(MoistAir::new(20.0, 0.0).frost_point(), None);
    assert_eq!(MoistAir::new(20.0, 60.0).frost_point(), None);
    let soaked = MoistAir::new(20.0, 100.0);
    assert!((soaked.wet_bulb(SEA_LEVEL).0 - 20.0).abs() < 1e-6);
    assert!((soaked.dew_point().expect("damp").0 - 20.0).abs() < 1e-6);
}

proptest! {
    /// Dew point ≤ wet bulb ≤ air temperature, as in every chart, and both rise with the humidity.
    #[test]
    fn points_stand_in_their_order(t in 1.0..45.0_f64, rh in 5.0..99.0_f64) {
        let air = MoistAir::new(t, rh);
        let damper = MoistAir::new(t, rh + 1.0);
        let (dew, wet) = (air.dew_point().expect("moist").0, air.wet_bulb(SEA_LEVEL).0);
        prop_assert!(wet <= t + 1e-9);
        // below freezing the wick is ice and the dew point supercooled: compared above only
        if dew > 0.01 {
            prop_assert!(dew <= wet + 1e-6, "{dew} {wet}");
        }
        prop_assert!(damper.dew_point().expect("moist").0 > dew);
        prop_assert!(damper.wet_bulb(SEA_LEVEL).0 >= wet - 0.02);
    }
}
