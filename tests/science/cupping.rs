//! Cupping formulas against a balance of force and moment layer by layer (`tests/values/cupping.py`, numpy).

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use crate::values::{number, rows};
use denib::science::cupping::{curvature, rise, rise_of_arc, two_layers, wetted_layer};
use denib::units::{Millimetres, Percent};

#[test]
fn formulas_agree_with_the_balance_of_force_and_moment() {
    let mut seen = 0;
    for row in rows(include_str!("../values/cupping.csv")) {
        let figure = |column: usize| number(row[column]);
        let (coefficient, gap, h) = (figure(1), Percent(figure(2)), Millimetres(figure(3)));
        let (a, b) = (Millimetres(figure(4)), Millimetres(figure(5)));
        let found = match row[0] {
            "strip" => curvature(coefficient, gap, h),
            "skin" => wetted_layer(coefficient, gap, a, h),
            "pair" => two_layers(coefficient * gap.0, a, b, figure(6)),
            other => panic!("{other}"),
        };
        let found = found.expect("a board");
        assert!((found / figure(7) - 1.0).abs() < 1e-4, "{row:?}: {found}");
        seen += 1;
    }
    assert_eq!(seen, 10);
}

// Timoshenko (1925): two equal layers bend by 3/2 of the strain over the thickness; and the wetted layer is the
// same case with one stiffness.
#[test]
fn the_bilayer_and_the_wetted_layer_are_one_law() {
    let even = two_layers(0.01, Millimetres(10.0), Millimetres(10.0), 1.0).expect("layers");
    assert!((even - 1.5 * 0.01 / 20.0).abs() < 1e-15);
    for depth in [1.0, 2.0, 5.0, 10.0, 15.0] {
        let layer = wetted_layer(0.003, Percent(4.0), Millimetres(depth), Millimetres(20.0)).expect("a layer");
        let pair = two_layers(0.012, Millimetres(depth), Millimetres(20.0 - depth), 1.0).expect("layers");
        assert!((layer / pair - 1.0).abs() < 1e-12, "{depth}");
    }
    assert_eq!(two_layers(0.01, Millimetres(0.0), Millimetres(1.0), 1.0), None);
    assert_eq!(
        wetted_layer(0.003, Percent(4.0), Millimetres(21.0), Millimetres(20.0)),
        None
    );
    assert_eq!(curvature(0.003, Percent(1.0), Millimetres(0.0)), None);
}

// Plate theory worked: sugar maple (C 0.00353, Wood Handbook table 13-5), 20 mm, one face 1 % wetter: 3.53 mm over
// 400 mm, 0.88 over 200, 7.94 over 600; the true arc differs by less than 0.1 %.
#[test]
fn the_rise_goes_with_the_square_of_the_width() {
    let bend = curvature(0.003_53, Percent(1.0), Millimetres(20.0)).expect("a board");
    for (width, wanted) in [(400.0, 3.53), (200.0, 0.8825), (600.0, 7.9425)] {
        let flat = rise(bend, Millimetres(width)).0;
        assert!((flat - wanted).abs() < 5e-4, "{width}: {flat}");
        assert!((rise_of_arc(bend, Millimetres(width)).0 / flat - 1.0).abs() < 1e-3);
    }
    assert!(rise_of_arc(0.0, Millimetres(400.0)).0.abs() < 1e-12);
}
