//! When a coat may be started, against the rule applied minute by minute.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use crate::shop::{ZONE, at, figure, heated, product, steady, with_stage};
use denib::clock::{Air, DryingClock, WhyNot, required_stage, spoiled_at, start_stretches, why_not};
use denib::finish::{Mechanism, Product, Stage};
use denib::job::Climate;
use denib::units::{Celsius, Moment, Percent, Span};
use proptest::prelude::*;

fn room(climate: &Climate, tin: &Product) -> (Air, DryingClock) {
    let air = Air::new(climate, ZONE, &[], at(2, 0, 0), at(5, 0, 0));
    let clock = DryingClock::new(tin, &air);
    (air, clock)
}

/// A waterborne film: dry hard after two hours as stated, spoiled below 10 °C before that.
fn waterborne() -> Product {
    let mut tin = with_stage(product(Mechanism::Coalescence), Stage::DryHard, 60.0, 120.0);
    tin.drying_floor = Some(figure(9.0, 10.0));
    tin.must_reach = Some(Stage::DryHard);
    tin
}

#[test]
fn limits_for_starting() {
    let mut tin = product(Mechanism::Evaporation);
    tin.start_floor = Some(figure(13.0, 15.0));
    tin.start_ceiling = Some(figure(30.0, 32.0));
    tin.start_humidity = Some(figure(65.0, 70.0));
    let refused = |celsius, percent| {
        let (air, clock) = room(&steady(celsius, percent), &tin);
        why_not(&tin, 1, &air, &clock, at(2, 9, 0))
    };
    // the careful end of each range counts
    let (air, floor) = (Celsius(14.9), Celsius(15.0));
    assert_eq!(refused(14.9, 50.0), Some(WhyNot::TooCold { air, floor }));
    assert_eq!(refused(15.0, 65.0), None);
    let (air, ceiling) = (Celsius(30.5), Celsius(30.0));
    assert_eq!(refused(30.5, 50.0), Some(WhyNot::TooWarm { air, ceiling }));
    let (humidity, limit) = (Percent(66.0), Percent(65.0));
    assert_eq!(refused(20.0, 66.0), Some(WhyNot::TooDamp { humidity, limit }));
    let (air, clock) = room(&steady(20.0, 50.0), &tin);
    assert_eq!(why_not(&tin, 1, &air, &clock, at(5, 0, 0)), Some(WhyNot::AirUnknown));
    assert_eq!(start_stretches(&tin, 1, &air, &clock), vec![(at(2, 0, 0), at(5, 0, 0))]);
    let words = WhyNot::TooCold {
        air: Celsius(14.94),
        floor: Celsius(15.0),
    }
    .in_words(ZONE);
    assert_eq!(words, "the room is at 14.9 °C, and it may not be put on below 15 °C");
}

#[test]
fn a_film_that_spoils_must_be_hard_before_the_cold() {
    // heated 08:00 to 18:00 at the stated air, 6 °C at night: 120 minutes before 18:00 is 16:00
    let tin = waterborne();
    let (air, clock) = room(&heated(Some((8, 18)), (23.0, 50.0), (6.0, 70.0), 0.0), &tin);
    let days: Vec<(Moment, Moment)> = (2..5).map(|day| (at(day, 8, 0), at(day, 16, 1))).collect();
    assert_eq!(start_stretches(&tin, 1, &air, &clock), days);
    assert_eq!(why_not(&tin, 1, &air, &clock, at(2, 16, 0)), None);
    let why = why_not(&tin, 1, &air, &clock, at(2, 16, 30)).expect("too late");
    let reached = Some(at(3, 8, 30));
    let (falls, floor, stage) = (at(2, 18, 0), Celsius(10.0), Stage::DryHard);
    assert_eq!(
        why,
        WhyNot::ColdTooSoon {
            falls,
            floor,
            stage,
            reached
        }
    );
    let words = why.in_words(ZONE);
    let wanted = "the room falls below 10 °C on Mon 18:00 and spoils the film: it would be dry hard only by Tue 08:30";
    assert_eq!(words, wanted);
    // and if it was put on all the same, it is spoiled then
    assert_eq!(spoiled_at(&tin, 1, &clock, at(2, 16, 30)), Some(at(2, 18, 0)));
    assert_eq!(spoiled_at(&tin, 1, &clock, at(2, 12, 0)), None);
}

#[test]
fn a_film_that_only_pauses_may_wait_out_the_night() {
    let mut oil = with_stage(product(Mechanism::Oxidation), Stage::DryHard, 600.0, 1440.0);
    oil.drying_floor = Some(figure(10.0, 10.0));
    let (air, clock) = room(&heated(Some((8, 18)), (20.0, 50.0), (6.0, 70.0), 0.0), &oil);
    assert_eq!(required_stage(&oil), None);
    assert_eq!(why_not(&oil, 1, &air, &clock, at(2, 17, 0)), None);
    assert_eq!(spoiled_at(&oil, 1, &clock, at(2, 17, 0)), None);
    // unless it says that it must have reached a stage
    oil.must_reach = Some(Stage::DryHard);
    assert!(matches!(
        why_not(&oil, 1, &air, &clock, at(2, 17, 0)),
        Some(WhyNot::ColdTooSoon { .. })
    ));
}

#[test]
fn a_spoiling_film_without_its_stage_may_not_be_started() {
    let mut tin = product(Mechanism::TwoPack);
    tin.drying_floor = Some(figure(14.0, 14.0));
    assert_eq!(required_stage(&tin), Some(Stage::DryHard));
    let (air, clock) = room(&steady(20.0, 50.0), &tin);
    let stage = Stage::DryHard;
    assert_eq!(
        why_not(&tin, 1, &air, &clock, at(2, 9, 0)),
        Some(WhyNot::StageUnknown { stage })
    );
    assert!(start_stretches(&tin, 1, &air, &clock).is_empty());
}

proptest! {
    #[test]
    fn stretches_are_where_there_is_no_reason(
        on in 0..10_u32,
        hours in 1..14_u32,
        day in 8.0..30.0_f64,
        night in 2.0..20.0_f64,
        tau in 0.0..6.0_f64,
        start_floor in 8.0..16.0_f64,
    ) {
        let mut tin = waterborne();
        tin.start_floor = Some(figure(start_floor, start_floor));
        tin.start_humidity = Some(figure(68.0, 70.0));
        let (air, clock) = room(&heated(Some((on, on + hours)), (day, 50.0), (night, 72.0), tau), &tin);
        let stretches = start_stretches(&tin, 1, &air, &clock);
        prop_assert!(stretches.iter().all(|(from, until)| from < until));
        prop_assert!(stretches.windows(2).all(|pair| pair[0].1 < pair[1].0));
        for minute in (0..(air.end() - air.first()).0).step_by(7) {
            let here = air.first() + Span(minute);
            let inside = stretches.iter().any(|(from, until)| *from <= here && here < *until);
            let why = why_not(&tin, 1, &air, &clock, here);
            prop_assert_eq!(inside, why.is_none(), "{:?} {:?}", here, why);
            if inside {
                prop_assert_eq!(spoiled_at(&tin, 1, &clock, here), None);
            }
        }
    }
}
