//! Grain sizes and steps of grits against published tables.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use denib::science::abrasive::{
    CAMI_GRADES, P_GRADES, STEP_LIMIT, STEP_WARNING, cami_grain, nearest_p, p_grain, p_neighbours, step_ratio,
    wool_fibre,
};

fn size(number: u16) -> f64 {
    p_grain(number).unwrap_or_else(|| panic!("P{number}")).0
}

#[test]
fn p_grades_of_iso_6344() {
    // ISO 6344 lists 28 grades: macrogrits P12 to P220 (part 2), microgrits P240 to P2500 (part 3)
    let numbers: Vec<u16> = P_GRADES.iter().map(|grade| grade.0).collect();
    let listed = [
        12, 16, 20, 24, 30, 36, 40, 50, 60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 360, 400, 500, 600, 800, 1000,
        1200, 1500, 2000, 2500,
    ];
    assert_eq!(numbers, listed);
    // average particle sizes, µm: published FEPA/CAMI comparison table (P12 to P120)
    for (number, published) in [
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
    ] {
        assert!((size(number) - published).abs() < 0.5, "P{number}");
    }
    // a second published chart gives whole micrometres; every finer grade agrees with it
    for (number, chart) in [
        (150, 100.0),
        (180, 82.0),
        (220, 68.0),
        (280, 52.0),
        (320, 46.0),
        (360, 40.0),
        (400, 35.0),
        (500, 30.0),
        (600, 26.0),
        (800, 22.0),
        (1000, 18.0),
        (1200, 15.0),
        (1500, 13.0),
        (2000, 10.0),
    ] {
        assert!((size(number) - chart).abs() <= 0.5 + 1e-9, "P{number}");
    }
    // the chart prints 60 for P240; 58.5 is the standard's median as recalled
    assert!((size(240) - 60.0).abs() <= 1.5);
    // third page: P2500 is 8.4 µm
    assert!((size(2500) - 8.4).abs() < 1e-9);
}

#[test]
fn each_scale_runs_from_coarse_to_fine() {
    for scale in [&P_GRADES[..], &CAMI_GRADES[..]] {
        for pair in scale.windows(2) {
            assert!(pair[0].0 < pair[1].0 && pair[0].1 > pair[1].1, "{pair:?}");
        }
    }
    let wool: Vec<f64> = (1..=4).map(|noughts| wool_fibre(noughts).expect("wool").0).collect();
    // micron equivalents of 0, 00, 000 and 0000 as a published sheet gives them
    assert_eq!(
        wool.iter().map(|size| size.round() as i32).collect::<Vec<_>>(),
        [50, 40, 35, 25]
    );
    assert_eq!(wool_fibre(5), None);
}

#[test]
fn cami_and_p_part_company_above_220() {
    // as several comparison pages print it: 320 next to P400, 400 next to P800, 600 next to P1200
    for (cami, p) in [(320, 400), (400, 800), (600, 1200), (220, 220), (120, 120)] {
        assert_eq!(nearest_p(cami_grain(cami).expect("grade")), p, "CAMI {cami}");
    }
}

#[test]
fn steps_the_trade_takes_pass_and_jumps_do_not() {
    let ratio = |from, to| step_ratio(p_grain(from).expect("grade"), p_grain(to).expect("grade"));
    // 80-120-180 and 100-150-220 are usual (how-to guides); ratios worked out from the table above
    for (from, to, published) in [(80, 120, 1.61), (120, 180, 1.52), (150, 220, 1.47)] {
        let found = ratio(from, to);
        assert!((found - published).abs() < 0.005, "P{from} to P{to}: {found}");
        assert!(found < STEP_WARNING);
    }
    let jump = ratio(100, 180);
    assert!(jump > STEP_WARNING && jump < STEP_LIMIT, "{jump}");
    assert!(ratio(80, 180) > STEP_LIMIT);
}

#[test]
fn a_number_that_is_no_grade_has_neighbours_and_no_size() {
    assert_eq!(p_grain(140), None);
    assert_eq!(p_neighbours(140), (Some(120), Some(150)));
    assert_eq!(p_neighbours(180), (Some(180), Some(180)));
    assert_eq!(p_neighbours(5), (None, Some(12)));
    assert_eq!(p_neighbours(3000), (Some(2500), None));
}
