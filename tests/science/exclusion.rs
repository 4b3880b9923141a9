//! Moisture kept out by finishes, and moisture on its way through a board.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use crate::values::{self, number};
use denib::science::exclusion::{Exclusion, Finish, all, of};
use denib::science::slab::{
    BARE, DIFFUSION, Slab, effectiveness, equalising_days, equalising_days_one_face, exchange_of, exchange_of_layers,
};

fn named(name: &str) -> Finish {
    match name {
        "linseed oil" => Finish::LinseedOil,
        "tung oil" => Finish::TungOil,
        "shellac" => Finish::Shellac,
        "nitrocellulose lacquer" => Finish::Nitrocellulose,
        "spar varnish (soya alkyd)" => Finish::SparVarnish,
        "urethane varnish (oil-modified)" => Finish::UrethaneVarnish,
        "two-component polyurethane, clear" => Finish::TwoPartPolyurethane,
        "epoxy, clear two-component" => Finish::Epoxy,
        "paste furniture wax" => Finish::PasteWax,
        "acrylic latex flat house paint" => Finish::AcrylicLatex,
        other => panic!("{other}"),
    }
}

// Wood Handbook, FPL-GTR-190, table 16-3 (tests/values/moisture_excluding.csv says which cells were read).
#[test]
fn the_table_as_printed() {
    let mut seen = 0;
    for line in include_str!("../values/moisture_excluding.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(';').collect();
        let row = of(named(cells[0]), number(cells[1]) as u32).expect("a row");
        assert_eq!(row.coats.to_string(), cells[1], "{line}");
        let printed = [cells[2], cells[3], cells[4]].map(number);
        assert!(
            row.percent
                .iter()
                .zip(printed)
                .all(|(one, other)| (one - other).abs() < 1e-9),
            "{line}"
        );
        seen += 1;
    }
    assert_eq!(seen, all().len());
}

#[test]
fn more_coats_keep_out_more_and_less_as_days_go_by() {
    for pair in all().windows(2) {
        assert!(pair[0].percent[0] >= pair[0].percent[1] && pair[0].percent[1] >= pair[0].percent[2]);
        if pair[0].finish == pair[1].finish {
            assert!(
                (0..3).all(|day| pair[1].percent[day] >= pair[0].percent[day]),
                "{pair:?}"
            );
        }
    }
    // oils keep nothing out for long, whatever the coats
    assert!(of(Finish::LinseedOil, 9).is_some_and(|row| row.coats == 3 && row.percent[2] < 1.0));
    assert_eq!(of(Finish::Shellac, 0), None);
    assert_eq!(of(Finish::Epoxy, 1), None);
}

// Crank, The Mathematics of Diffusion (1975), chapter 4, summed by `tests/values/slab.py`.
#[test]
fn the_board_follows_the_series_of_the_textbook() {
    let mut seen = 0;
    for row in values::rows(include_str!("../values/slab.csv")) {
        let faces = match row[0] {
            // a face that follows the air at once
            "both" => [1.0, 1.0],
            "one" => [1.0, 0.0],
            _ => [number(row[3]); 2],
        };
        let mut slab = Slab::new(number(row[1]) / 1000.0, number(row[2]), faces).expect("a board");
        slab.pass(number(row[4]), 4000);
        assert!(
            (slab.uptake() - number(row[5])).abs() < 0.004,
            "{row:?}: {}",
            slab.uptake()
        );
        assert!((slab.gap() - number(row[6])).abs() < 0.006, "{row:?}: {}", slab.gap());
        seen += 1;
    }
    assert_eq!(seen, 9);
}

// h²/(π² D), worked for a 20 mm board with D = 3e-10 m²/s: 1.564 days, 6.254 with one face sealed.
#[test]
fn equalising_times() {
    let days = equalising_days(0.020, 3e-10).expect("a time");
    assert!((days - 1.564).abs() < 5e-4, "{days}");
    assert!((equalising_days_one_face(0.020, 3e-10).expect("a time") - 6.254).abs() < 2e-3);
    // the board itself: from two to three of these times on, what is missing falls by e each
    let mut slab = Slab::new(0.020, 3e-10, [1.0, 1.0]).expect("a board");
    slab.pass(2.0 * days, 2000);
    let before = 1.0 - slab.uptake();
    slab.pass(days, 1000);
    let after = 1.0 - slab.uptake();
    assert!(((before / after).ln() - 1.0).abs() < 0.01, "{before} {after}");
    assert_eq!(equalising_days(0.02, 0.0), None);
}

// One number per finish, fitted to the table, gives back all three of its columns: how far off, in points.
#[test]
fn one_exchange_tells_all_three_columns_of_the_table() {
    let off = |row: &Exclusion| {
        let exchange = exchange_of(row, DIFFUSION[1]);
        let miss =
            |(index, days): (usize, f64)| (effectiveness(exchange, DIFFUSION[1], days) - row.percent[index]).abs();
        [1.0, 7.0, 14.0].into_iter().enumerate().map(miss).fold(0.0, f64::max)
    };
    let worst = all().iter().map(|row| (off(row), row));
    let worst = worst.max_by(|one, other| one.0.total_cmp(&other.0)).expect("rows");
    assert!(worst.0 < 5.0, "{worst:?}");
    let shellac = off(of(Finish::Shellac, 3).expect("a row"));
    assert!(shellac < 1.0, "{shellac}");
}

#[test]
fn films_in_layers_add_and_better_films_let_less_in() {
    let shellac = exchange_of(of(Finish::Shellac, 3).expect("a row"), DIFFUSION[1]);
    let lacquer = exchange_of(of(Finish::Nitrocellulose, 3).expect("a row"), DIFFUSION[1]);
    let oil = exchange_of(of(Finish::LinseedOil, 3).expect("a row"), DIFFUSION[1]);
    assert!(shellac < lacquer && lacquer < oil && oil < BARE);
    let both = exchange_of_layers(&[shellac, lacquer]);
    assert!(both < shellac);
    assert!((exchange_of_layers(&[shellac]) / shellac - 1.0).abs() < 1e-9);
    assert!((exchange_of_layers(&[]) - BARE).abs() < 1e-18);
    // a face with film against a bare one: the bare side is wetter, and in the end nothing is left
    let mut slab = Slab::new(0.02, DIFFUSION[1], [BARE, shellac]).expect("a board");
    slab.pass(2.0, 400);
    assert!(slab.gap() > 0.5);
    slab.pass(400.0, 4000);
    assert!(slab.gap().abs() < 0.02 && slab.uptake() > 0.98);
    assert!(Slab::new(0.0, 1e-10, [1.0, 1.0]).is_none());
    assert!(Slab::new(0.02, 1e-10, [f64::NAN, 1.0]).is_none());
}
