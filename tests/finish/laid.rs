//! A product laid otherwise than stated: a thicker film, thinned, with a retarder; by hand and in a plan.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use crate::classes::{WARM, planned, read, text};
use denib::finish::ladder::falls;
use denib::finish::{Figure, LaidAs, Method, Product, Stage, Status, shipped};
use denib::science::volatile::find;
use denib::units::Millilitres;
use proptest::prelude::*;

fn product(finish: &str, id: &str) -> Product {
    let schedule = shipped().remove(finish).expect("shipped");
    schedule.product(id).cloned().expect("carried")
}

fn lacquer() -> Product {
    product("brushed-cellulose", "cellulose-lacquer")
}

fn time(product: &Product, stage: Stage) -> &Figure {
    product.time_to(stage, 1).expect("stated")
}

fn ratio(after: &Product, before: &Product, stage: Stage) -> (f64, f64) {
    let (after, before) = (time(after, stage), time(before, stage));
    (after.low / before.low, after.high / before.high)
}

fn near(found: f64, wanted: f64) {
    assert!((found / wanted - 1.0).abs() < 1e-9, "{found} {wanted}");
}

#[test]
fn as_stated_nothing_changes() {
    for schedule in shipped().values() {
        for product in &schedule.products {
            assert_eq!(product.laid_as(&LaidAs::default()).as_ref(), Ok(product));
            // a film inside the stated range is the stated one
            for (method, film) in &product.wet_film {
                let how = LaidAs {
                    film: Some((*method, film.middle())),
                    ..LaidAs::default()
                };
                let laid = product.laid_as(&how).expect("its own method");
                assert_eq!(laid.stages, product.stages);
                assert_eq!(laid.windows, product.windows);
            }
        }
    }
}

#[test]
fn a_film_twice_as_thick_takes_twice_as_long_to_touch_and_up_to_four_times_to_harden() {
    let stated = lacquer();
    let film = stated.wet_film[&Method::Brush].high;
    let how = LaidAs {
        film: Some((Method::Brush, 2.0 * film)),
        ..LaidAs::default()
    };
    let laid = stated.laid_as(&how).expect("brushed");
    // wet film to the power of 1; dry film to the power of 1.5 to 2 (standard drying theory, from memory)
    let (low, high) = ratio(&laid, &stated, Stage::DryToTouch);
    near(low, 2.0);
    near(high, 2.0);
    let (low, high) = ratio(&laid, &stated, Stage::DryHard);
    near(low, 2.0_f64.powf(1.5));
    near(high, 4.0);
    near(laid.wet_film[&Method::Brush].middle(), 2.0 * film);
    assert_eq!(time(&laid, Stage::DryHard).status, Status::Computed);
    assert!(time(&laid, Stage::DryHard).source.contains("as laid here"));
    // a method it states no film for is refused
    let other = LaidAs {
        film: Some((Method::Pad, 50.0)),
        ..LaidAs::default()
    };
    assert!(stated.laid_as(&other).is_err());
}

#[test]
fn thinning_adds_solvent_takes_film_and_is_told_to_the_room() {
    let stated = lacquer();
    let thinner = find("acetone").expect("known");
    let how = LaidAs {
        thinned: Some((25.0, thinner)),
        ..LaidAs::default()
    };
    let laid = stated.laid_as(&how).expect("thinned");
    let (before, after) = (
        stated.volume_solids.as_ref().expect("stated"),
        laid.volume_solids.as_ref().expect("kept"),
    );
    // VS' = VS / (1 + x), the relation of the coating guides
    near(after.low, before.low / 1.25);
    near(after.high, before.high / 1.25);
    // solvent over what there was, at either end of the solids
    let solvent = |solids: f64| (100.0 - solids / 1.25) / (100.0 - solids);
    let (low, high) = ratio(&laid, &stated, Stage::DryToTouch);
    near(low, solvent(before.low));
    near(high, solvent(before.high));
    // never sooner hard by the slow estimate for being thinned; sooner by the fast one
    let (low, high) = ratio(&laid, &stated, Stage::DryHard);
    assert!(high >= 1.0 && low < 1.0);
    // what a litre of it gives off: the old solvent of four fifths of a litre, and a fifth of acetone
    let grams = |product: &Product, millilitres: f64| {
        product
            .given_off(Millilitres(millilitres))
            .expect("solvents are stated")
            .total()
            .0
    };
    let wanted = grams(&stated, 800.0) + 200.0 * thinner.density;
    assert!(
        (grams(&laid, 1000.0) / wanted - 1.0).abs() < 0.03,
        "{} {wanted}",
        grams(&laid, 1000.0)
    );
    // acetone flashes at −20 °C (IEC 60079-20-1)
    assert!(laid.flash_point.as_ref().expect("stated").low <= -19.9);
}

#[test]
fn a_retarder_holds_back_what_evaporates_and_is_refused_where_nothing_does() {
    let stated = lacquer();
    let retarder = find("2-butoxyethanol").expect("known");
    let how = LaidAs {
        retarder: Some((5.0, retarder)),
        ..LaidAs::default()
    };
    let laid = stated.laid_as(&how).expect("a lacquer");
    let (low, high) = ratio(&laid, &stated, Stage::DryToTouch);
    assert!(low > 1.3 && high < 2.5 && low < high, "{low} {high}");
    let open = |product: &Product| product.open_time.as_ref().expect("stated").low;
    assert!(open(&laid) > open(&stated), "and it stays open longer");
    for (finish, id) in [
        ("brushed-varnish", "brushing-varnish"),
        ("oil-varnish", "oil-varnish-blend"),
    ] {
        assert!(product(finish, id).laid_as(&how).is_err(), "{id} cures");
    }
}

/// Hours from the start to the last coat of the tiny job.
fn coated(job: &str) -> f64 {
    let plan = planned(&read(job)).unwrap_or_else(|no| panic!("{no}"));
    let ends = plan
        .operations
        .iter()
        .filter(|one| one.dry.is_some())
        .map(|one| one.end);
    (ends.max().expect("coats") - plan.starts).num_minutes() as f64 / 60.0
}

#[test]
fn a_plan_takes_longer_over_a_thick_or_retarded_coat_and_less_under_a_fan() {
    let plain = text("sprayed-cellulose", WARM, "points");
    let with = |more: &str| format!("{plain}\n[[laid]]\nproduct = \"spray-cellulose\"\n{more}\n");
    let stated = coated(&plain);
    let thick = coated(&with("wet_film = 300\nmethod = \"spray\""));
    let retarded = coated(&with("retarder = { parts = 10, with = \"2-butoxyethanol\" }"));
    assert!(thick > stated && retarded > stated, "{stated} {thick} {retarded}");
    let blown = plain.replace("[hours]", "[[room.fan]]\nhours = \"00:00-24:00\"\nspeed = 0.6\n[hours]");
    assert_ne!(blown, plain);
    assert!(coated(&blown) <= stated);
    let dead = plain.replace("dust = \"separated\"", "dust = \"separated\"\nair_speed = 0.05");
    assert!(coated(&dead) > stated);
}

#[test]
fn a_weekend_without_heating_keeps_a_varnish_waiting() {
    let air = |days: &str| {
        format!(
            "heated = \"06:00-20:00\"\n{days}day = {{ temperature = 20, humidity = 50 }}\nnight = {{ temperature = 6, humidity = 60 }}"
        )
    };
    let job =
        |days: &str| text("brushed-varnish", &air(days), "points").replace("2026-11-30 08:00", "2026-12-04 08:00");
    let (all, weekdays) = (
        coated(&job("")),
        coated(&job("days = [\"mon\", \"tue\", \"wed\", \"thu\", \"fri\"]\n")),
    );
    assert!(weekdays > all + 24.0, "{all} {weekdays}");
}

proptest! {
    /// However a shipped product is laid, its ladder does not fall where it did not, and nothing is negative.
    #[test]
    fn the_ladder_keeps_its_order(film in 0.3..4.0_f64, parts in 0.0..150.0_f64, retarder in 0.0..20.0_f64) {
        for schedule in shipped().values() {
            for product in &schedule.products {
                let Some((method, stated)) = product.wet_film.iter().next() else { continue };
                let how = LaidAs {
                    film: Some((*method, film * stated.middle())),
                    thinned: Some((parts, find("ethanol").expect("known"))),
                    retarder: Some((retarder, find("2-butoxyethanol").expect("known"))),
                };
                if let Ok(laid) = product.laid_as(&how) {
                    prop_assert!(falls(&laid).len() <= falls(product).len(), "{}: {:?}", product.id, falls(&laid));
                    prop_assert!(laid.figures().iter().all(|named| named.figure.low <= named.figure.high));
                    prop_assert!(laid.stages.iter().all(|rung| rung.minutes.low >= 0.0));
                }
            }
        }
    }
}
