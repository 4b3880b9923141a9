//! Vapour pressures and drying laws against the Python packages `thermo` and `PsychroLib`, and against the
//! rules of thumb the trade gives.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

mod values;

use denib::science::drying::{ACTIVATION, ACTIVATION_RANGE, Law, Pace, Thickness, thickness_factor};
use denib::science::{MoistAir, solvent};
use denib::units::Celsius;
use proptest::prelude::*;
use std::collections::BTreeSet;
use values::{number, rows};

const STATED: MoistAir = MoistAir::new(23.0, 50.0);

fn evaporation(name: &str) -> Law {
    Law::Evaporation(*solvent::find(name).expect(name))
}

#[test]
fn vapour_pressures_agree_with_thermo() {
    let mut seen = BTreeSet::new();
    let mut worst = 0.0_f64;
    for row in rows(include_str!("values/vapour_pressure.csv")) {
        let one = solvent::find(row[0]).unwrap_or_else(|| panic!("no solvent {}", row[0]));
        assert_eq!(one.cas, row[1]);
        assert!((one.molar_mass - number(row[2])).abs() < 0.01, "{row:?}");
        let found = one.vapour_pressure(Celsius(number(row[3]))).0;
        let off = found / number(row[4]) - 1.0;
        // the published fits differ among themselves: up to 5 % of their median, and never outside them all
        assert!(off.abs() < 0.05, "{row:?}: {found} is {:.2} % off", off * 100.0);
        let (lowest, highest) = (number(row[5]), number(row[6]));
        assert!(found > lowest * 0.999 && found < highest * 1.001, "{row:?}: {found}");
        worst = worst.max(off.abs());
        seen.insert(one.name);
    }
    println!("worst vapour pressure: {:.2} %", worst * 100.0);
    let all: BTreeSet<_> = solvent::all()
        .iter()
        .filter(|one| one.stands_in.is_none())
        .map(|one| one.name)
        .collect();
    assert_eq!(seen, all, "every solvent is checked");
    let white = solvent::find("white spirit").expect("known");
    let decane = solvent::find("n-decane").expect("known");
    assert_eq!(
        white.vapour_pressure(Celsius(20.0)),
        decane.vapour_pressure(Celsius(20.0))
    );
    assert_eq!(white.stands_in, Some(decane.name));
}

#[test]
fn time_factors_agree_with_the_reference_arithmetic() {
    let mut kinds = BTreeSet::new();
    for row in rows(include_str!("values/drying.csv")) {
        let law = match row[0].split_once(' ') {
            None => Law::Coalescence,
            Some(("arrhenius", energy)) => Law::Cure {
                activation: number(energy),
            },
            Some((_, name)) => evaporation(name),
        };
        let pace = Pace::new(law, STATED).expect("dries");
        let found = pace
            .time_factor(MoistAir::new(number(row[1]), number(row[2])))
            .expect("dries");
        let off = found / number(row[3]) - 1.0;
        // evaporation by another fit of the same vapour pressures: 5 %; the rest is plain arithmetic
        let within = if row[0].starts_with("evaporation") { 0.05 } else { 0.002 };
        assert!(off.abs() < within, "{row:?}: {found}");
        kinds.insert(row[0]);
    }
    assert_eq!(kinds.len(), 7);
}

#[test]
fn cure_doubles_for_every_ten_degrees_near_room_temperature() {
    // common rule for two-part coatings: twice the time at 10 °C as at 20 °C, half at 30 °C (secondary)
    let pace = Pace::new(Law::Cure { activation: ACTIVATION }, MoistAir::new(20.0, 50.0)).expect("cures");
    let cold = pace.time_factor(MoistAir::new(10.0, 50.0)).expect("cures");
    let warm = pace.time_factor(MoistAir::new(30.0, 50.0)).expect("cures");
    assert!((1.9..2.2).contains(&cold), "{cold}");
    assert!((0.46..0.54).contains(&warm), "{warm}");
    assert!(ACTIVATION_RANGE.0 < ACTIVATION && ACTIVATION < ACTIVATION_RANGE.1);
}

#[test]
fn cool_rooms_stretch_a_label_between_the_two_rules_of_the_trade() {
    // a finish maker's article: times double for every 12 °F (6.7 K) cooler; general rule: for every 10 K
    let pace = Pace::new(Law::Cure { activation: ACTIVATION }, MoistAir::new(25.0, 50.0)).expect("cures");
    for celsius in [8.0, 10.0, 12.0, 15.0, 18.0, 20.0_f64] {
        let found = pace.time_factor(MoistAir::new(celsius, 50.0)).expect("cures");
        let (slow, fast) = (
            2.0_f64.powf((25.0 - celsius) / 10.0),
            2.0_f64.powf((25.0 - celsius) / 6.7),
        );
        assert!(
            found > slow * 0.99 && found < fast * 1.01,
            "{celsius} °C: {found} outside {slow} to {fast}"
        );
    }
    // a varnish label of 3 h to touch and 12 h to recoat at 25 °C, as shops find it: at 15 °C 6 to 8.5 h and
    // 24 to 34 h, at 20 °C 4 to 5 h and 17 to 20 h (common practice, worked from the same two rules)
    let at = |celsius| pace.time_factor(MoistAir::new(celsius, 45.0)).expect("cures");
    let within = |hours: f64, low: f64, high: f64| assert!(hours >= low - 0.1 && hours <= high, "{hours}");
    within(3.0 * at(15.0), 6.0, 8.5);
    within(12.0 * at(15.0), 24.0, 34.0);
    within(3.0 * at(20.0), 4.0, 5.0);
    within(12.0 * at(20.0), 17.0, 20.0);
}

#[test]
fn relative_evaporation_rates_follow_pressure_times_mass() {
    // tabulated rates against n-butyl acetate (ASTM D3539), as two solvent guides print them: toluene 1.9 to 2.0,
    // xylene 0.6 to 0.7, water 0.3, mineral spirits about 0.1
    let flux = |name: &str| {
        let one = solvent::find(name).expect("known");
        one.vapour_pressure(Celsius(23.0)).0 * one.molar_mass
    };
    for (name, low, high) in [
        ("toluene", 1.9, 2.0),
        ("xylene", 0.6, 0.7),
        ("water", 0.3, 0.3),
        ("white spirit", 0.1, 0.1),
    ] {
        let found = flux(name) / flux("n-butyl acetate");
        assert!(found > low - 0.05 && found < high + 0.05, "{name}: {found}");
    }
}

#[test]
fn nothing_dries_in_soaked_air_and_no_time_can_be_stated_for_it() {
    let pace = Pace::new(Law::Coalescence, STATED).expect("dries");
    assert!(pace.at(MoistAir::new(20.0, 100.0)).abs() < 1e-9);
    assert_eq!(pace.time_factor(MoistAir::new(20.0, 100.0)), None);
    assert_eq!(Pace::new(Law::Coalescence, MoistAir::new(20.0, 100.0)), None);
}

#[test]
fn thicker_films_take_longer() {
    assert_eq!(thickness_factor(1.0, Thickness::Diffusing), Some((1.0, 1.0)));
    assert_eq!(thickness_factor(2.0, Thickness::Evaporating), Some((2.0, 2.0)));
    let (low, high) = thickness_factor(2.0, Thickness::Diffusing).expect("film");
    assert!((low - 2.0_f64.powf(1.5)).abs() < 1e-12 && (high - 4.0).abs() < 1e-12);
    let (low, high) = thickness_factor(0.5, Thickness::Diffusing).expect("film");
    assert!(low < high && high < 0.5);
    assert_eq!(thickness_factor(0.0, Thickness::Diffusing), None);
    assert_eq!(thickness_factor(f64::NAN, Thickness::Evaporating), None);
}

proptest! {
    #[test]
    fn pace_is_one_as_stated_never_negative_and_rises_with_warmth(
        above in 0.0..34.0_f64,
        rh in 5.0..99.0_f64,
        which in 0..4_usize,
    ) {
        let law = [
            evaporation("ethanol"),
            evaporation("white spirit"),
            Law::Coalescence,
            Law::Cure { activation: ACTIVATION },
        ][which];
        // below 10 °C no waterborne film is put on (its floor), and the wet bulb may freeze
        let t = if law == Law::Coalescence { 10.0 + above } else { above };
        let pace = Pace::new(law, STATED).expect("dries");
        prop_assert!((pace.at(STATED) - 1.0).abs() < 1e-9);
        let (here, warmer) = (pace.at(MoistAir::new(t, rh)), pace.at(MoistAir::new(t + 1.0, rh)));
        prop_assert!(here >= 0.0);
        prop_assert!(warmer > here, "{here} {warmer}");
        if law == Law::Coalescence {
            prop_assert!(pace.at(MoistAir::new(t, rh - 1.0)) > here);
        }
    }
}
