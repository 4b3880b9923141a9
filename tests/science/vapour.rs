//! Vapour, dilution and the well-mixed room against published formulas, a reference library and an integrator.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use crate::values::{number, rows};
use denib::science::vapour::draw::{budget, peak, within};
use denib::science::vapour::volume::{
    air_to_quarter_lel, dilution_air, dilution_air_cfm, litres_of_vapour, mg_m3, molar_volume, ppm,
};
use denib::science::vapour::{Cloud, Courses, Draw, Part, Release, Room, draws, find, substance};
use denib::units::Celsius;
use proptest::prelude::*;

const LITRES_PER_GALLON: f64 = 3.785_411_784;
const LITRES_PER_CUBIC_FOOT: f64 = 28.316_846_592;

fn seventy_fahrenheit() -> Celsius {
    Celsius((70.0 - 32.0) / 1.8)
}

fn near(found: f64, wanted: f64, share: f64) {
    assert!(
        (found - wanted).abs() <= share * wanted.abs(),
        "{found} is not {wanted} within {share}"
    );
}

// 29 CFR 1910.94(c)(6)(ii): its worked example, 8,564 ft³ of air a gallon of toluene (recalled).
#[test]
fn the_dilution_example_for_toluene() {
    let air = air_to_quarter_lel(30.4, 1.4).expect("a limit");
    assert!((air - 8564.0).abs() < 0.5, "{air}");
    // in metric 64.06 m³ a litre
    near(air * LITRES_PER_CUBIC_FOOT / LITRES_PER_GALLON / 1000.0, 64.06, 1e-3);
    assert_eq!(air_to_quarter_lel(30.4, 0.0), None);
}

// Table G-11 of that rule (from memory) against the ideal gas, with molar masses and densities of the Python
// package `thermo`.
#[test]
fn every_pure_row_of_table_g_11_is_within_5_percent_of_an_ideal_gas() {
    let mut seen = 0;
    for row in rows(include_str!("../values/vapour_volume.csv")) {
        let litres = litres_of_vapour(number(row[3]), number(row[2]), seventy_fahrenheit()).expect("a liquid");
        // litres of vapour a litre are cubic feet a cubic foot; a gallon is so many cubic feet
        near(litres * LITRES_PER_GALLON / LITRES_PER_CUBIC_FOOT, number(row[5]), 0.05);
        assert!(air_to_quarter_lel(number(row[5]), number(row[6])).is_some_and(|air| air > 3000.0));
        seen += 1;
    }
    assert_eq!(seen, 18);
}

// The litre of a mole that limits are converted with: 24.45 at 25 °C (NIOSH), 24.055 at 20 °C.
#[test]
fn molar_volumes() {
    near(molar_volume(Celsius(25.0)), 24.45, 1e-3);
    near(molar_volume(Celsius(20.0)), 24.055, 1e-3);
    // NIOSH Pocket Guide, turpentine: 1 ppm is 5.56 mg/m³; ethanol: 1.89 (pages read)
    let turpentine = find("turpentine").expect("known");
    near(mg_m3(1.0, turpentine.molar_mass), 5.56, 2e-3);
    let ethanol = find("ethanol").expect("known");
    near(mg_m3(1.0, ethanol.molar_mass), 1.89, 5e-3);
    near(ppm(mg_m3(37.0, 100.0), 100.0), 37.0, 1e-12);
}

// Industrial Ventilation (ACGIH), Q = 403 SG ER K 10⁶/(M L): toluene, one pint an hour, 50 ppm, K = 5 is
// 6,313.5 ft³/min; the SI form for the same grams within 0.2 %.
#[test]
fn the_dilution_example_for_health() {
    let cfm = dilution_air_cfm(1.0, 0.866, 92.13, 50.0, 5.0).expect("a limit");
    near(cfm, 6313.5, 1e-4);
    let pint = LITRES_PER_GALLON / 8.0;
    let si = dilution_air(866.0 * pint, 92.13, 50.0, 5.0, seventy_fahrenheit()).expect("a limit");
    near(si, cfm * 60.0 * LITRES_PER_CUBIC_FOOT / 1000.0, 2e-3);
    assert_eq!(dilution_air(100.0, 92.0, 0.0, 1.0, Celsius(20.0)), None);
}

// Flash points and limits against IEC 60079-20-1 (2010), NFPA 497 (2008) and the DIPPR values of Serat (2017) as
// carried by the Python package `chemicals` 1.5.2.
#[test]
fn flash_points_and_limits_are_the_lowest_of_the_library() {
    let (mut flashes, mut limits) = (0, 0);
    for row in rows(include_str!("../values/solvent_hazards.csv")) {
        let known = find(row[0]).unwrap_or_else(|| panic!("{} is not known", row[0]));
        if !row[2].is_empty() {
            near(known.molar_mass, number(row[2]), 1e-4);
        }
        let lowest = |cells: &[&str]| {
            cells
                .iter()
                .filter(|cell| !cell.is_empty())
                .map(|cell| number(cell))
                .reduce(f64::min)
        };
        // NFPA 497 has −40 °C for isobutanol, far below every other source
        let measured: &[&str] = if row[0] == "isobutanol" { &row[5..6] } else { &row[5..7] };
        if let Some(flash) = lowest(measured).or_else(|| lowest(&row[7..8])) {
            assert!(
                known.flash.value <= flash + 0.01,
                "{}: {} above {flash}",
                row[0],
                known.flash.value
            );
            assert!(
                known.flash.value > flash - 1.0,
                "{}: {} far below {flash}",
                row[0],
                known.flash.value
            );
            flashes += 1;
        }
        if let Some(lel) = lowest(&row[8..10]) {
            assert!(
                known.lel.value <= lel + 1e-9,
                "{}: {} above {lel}",
                row[0],
                known.lel.value
            );
            limits += 1;
        }
    }
    assert!(flashes >= 20 && limits >= 20, "{flashes} {limits}");
    // NIOSH's pages of dangerous concentrations (1994, read): none of these limits is above theirs
    for (name, lel) in [
        ("ethanol", 3.3),
        ("isobutyl acetate", 1.3),
        ("turpentine", 0.8),
        ("ethyl acetate", 2.0),
        ("methanol", 6.0),
    ] {
        assert!(find(name).is_some_and(|known| known.lel.value <= lel), "{name}");
    }
}

#[test]
fn names_are_matched_not_guessed() {
    assert_eq!(find(" White Spirit ").map(|known| known.cas), Some("8052-41-3"));
    assert_eq!(find("mineral spirits").map(|known| known.name), Some("white spirit"));
    assert!(find("butyl").is_none());
    assert!(substance::harmless("Water") && find("water").is_none());
    // every solvent that leads a drying law is here too
    for solvent in denib::science::solvent::all()
        .iter()
        .filter(|solvent| solvent.name != "water")
    {
        let known = find(solvent.name).unwrap_or_else(|| panic!("{} has no vapour data", solvent.name));
        // xylene there is the meta form, here the mixture
        assert!(known.cas == solvent.cas || known.name == "xylene", "{}", solvent.name);
    }
}

#[test]
fn every_solvent_of_a_shipped_schedule_is_known() {
    for product in denib::finish::shipped()
        .values()
        .flat_map(|schedule| &schedule.products)
    {
        for (name, _) in &product.solvents {
            assert!(
                find(name).is_some() || substance::harmless(name),
                "{} of {}",
                name,
                product.id
            );
        }
    }
}

// The room against a general integrator (`tests/values/room.py`, scipy) to 1e-6.
#[test]
fn build_up_and_release_agree_with_an_integrator() {
    let mut seen = 0;
    for row in rows(include_str!("../values/room.csv")) {
        let figure = |column: usize| number(row[column]);
        let room = Room::new(figure(1), figure(2), figure(3)).expect("a room");
        let (grams, tau, laid, hours, wanted) = (figure(4), figure(5), figure(6), figure(7), figure(8));
        let found = match row[0] {
            "steady" => room.build_up(grams, 0.0, hours),
            "coat" => grams * room.after_coat(Release::with_time_constant(tau), hours * 60.0),
            _ => {
                let mut cloud = Cloud::new(&room, Release::with_time_constant(tau));
                for minute in 0..(hours * 60.0).round() as u32 {
                    cloud.minute(if f64::from(minute) < laid { grams / laid } else { 0.0 });
                }
                cloud.air / room.volume
            }
        };
        assert!((found - wanted).abs() < 1e-6, "{row:?}: {found}");
        seen += 1;
    }
    assert_eq!(seen, 14);
}

// C = G/Q′ + (C₀ − G/Q′) e^(−Q′t/V) and t = V/Q′ ln(C₁/C₂), read on a university's formula page.
#[test]
fn steady_state_and_purge() {
    let room = Room::new(60.0, 6.0, 3.0).expect("a room");
    near(room.steady(250.0).expect("air"), 250.0 / 120.0, 1e-12);
    let hours = room.purge(2.0, 0.1).expect("air");
    near(hours, 60.0 / 120.0 * (20f64).ln(), 1e-12);
    near(room.build_up(0.0, 2.0, hours), 0.1, 1e-9);
    // to a twentieth in three time constants: 1.4979 h
    near(room.purge(1.0, 0.05).expect("air"), 1.4979, 1e-4);
    let still = Room::new(60.0, 0.0, 3.0).expect("a room");
    assert_eq!(still.steady(1.0), None);
    assert_eq!(still.purge(2.0, 1.0), None);
    assert_eq!(still.purge(1.0, 2.0), Some(0.0));
    assert_eq!(Room::new(0.0, 1.0, 3.0), None);
    assert_eq!(Room::new(60.0, 1.0, 0.5), None);
    assert_eq!(Room::new(60.0, f64::NAN, 3.0), None);
}

#[test]
fn a_coat_gives_off_all_it_holds_and_no_more() {
    let release = Release::dry_to_touch(45.0);
    near(release.time_constant(), 15.0, 1e-12);
    // 95 % has gone when it is dry to touch
    near(1.0 - release.left(45.0), 0.95, 1e-3);
    let still = Room::new(50.0, 0.0, 1.0).expect("a room");
    let mut cloud = Cloud::new(&still, release);
    let given: f64 = (0..2000)
        .map(|minute| cloud.minute(if minute < 10 { 3.0 } else { 0.0 }))
        .sum();
    near(given, 30.0, 1e-9);
    near(cloud.air, 30.0, 1e-9);
}

fn sum_at(stair: &[Draw], minute: f64) -> f64 {
    let held = stair.iter().filter(|draw| f64::from(draw.minutes) > minute);
    held.map(|draw| f64::from(draw.amount)).sum::<f64>() / 1000.0
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    // the planner adds rectangles: at no minute may they fall below the vapour itself
    #[test]
    fn rectangles_cover_the_vapour(
        volume in 20.0..300.0_f64, changes in 0.0..12.0_f64, mixing in 1.0..10.0_f64,
        grams in 1.0..900.0_f64, tau in 1.0..300.0_f64, second in 0.0..400.0_f64, laid in 1_u32..90, floor in 0.001..0.05_f64,
    ) {
        let room = Room::new(volume, changes, mixing).expect("a room");
        let parts = [
            Part { grams, lel: 40.0, release: Release::with_time_constant(tau) },
            Part { grams: second, lel: 58.0, release: Release::with_time_constant(tau / 3.0) },
        ];
        let stair = draws(&mut Courses::new(&room), &parts, laid, floor, 4000);
        let mut clouds = parts.map(|part| Cloud::new(&room, part.release));
        for minute in 0..3000_u32 {
            let mut percent = 0.0;
            for (cloud, part) in clouds.iter_mut().zip(&parts) {
                cloud.minute(if minute < laid { part.grams / f64::from(laid) } else { 0.0 });
                percent += 100.0 * cloud.air / room.volume / part.lel;
            }
            let held = sum_at(&stair, f64::from(minute));
            prop_assert!(held + floor >= percent - 1e-9, "minute {minute}: {held} under {percent}");
        }
        // and not wildly above: the peak is that of the coat laid at once
        prop_assert!((f64::from(peak(&stair)) / 1000.0 - sum_at(&stair, 0.0)).abs() < 1e-9);
        let peak = sum_at(&stair, 0.0);
        let most = 100.0 / room.volume * (grams / 40.0 + second / 58.0);
        prop_assert!(peak <= most * 1.02 + 0.01);
    }
}

#[test]
fn rectangles_of_nothing() {
    let room = Room::new(60.0, 2.0, 3.0).expect("a room");
    assert!(draws(&mut Courses::new(&room), &[], 10, 0.01, 1000).is_empty());
    assert_eq!(budget(10.0), 10_000);
    assert_eq!(peak(&[]), 0);
    let part = Part {
        grams: 100.0,
        lel: 40.0,
        release: Release::with_time_constant(10.0),
    };
    let still = Room::new(60.0, 0.0, 3.0).expect("a room");
    // nothing leaves: the last rectangle lasts as long as there is
    assert!(
        draws(&mut Courses::new(&still), &[part], 10, 0.01, 1000)
            .iter()
            .any(|draw| draw.minutes == 1000)
    );
}

/// A coat over the budget by itself takes all of it while it is over, and its own rest after that.
#[test]
fn a_stair_is_cut_off_at_the_budget() {
    let draw = |amount, minutes| Draw { amount, minutes };
    let stair = [draw(500, 20), draw(300, 60), draw(200, 180)];
    let cut = within(&stair, 400);
    for minute in 0..200 {
        let wanted = sum_at(&stair, f64::from(minute)).min(0.4);
        near(sum_at(&cut, f64::from(minute)).max(1e-9), wanted.max(1e-9), 1e-9);
    }
    assert_eq!(within(&stair, 1000).len(), 3);
    assert!(within(&stair, 0).is_empty());
}

/// Two days to lose two thirds is a share of 1/48 an hour: 50 m³ at mixing 3 is shut below 3.1 m³/h.
#[test]
fn a_room_that_hardly_changes_its_air_is_as_good_as_shut() {
    let room = |changes| Room::new(50.0, changes, 3.0).expect("a room");
    assert!(room(0.063).clears() && !room(0.062).clears() && !room(0.0).clears());
}
