//! The drying clock against integrals worked out here, and its order.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use crate::shop::{ZONE, at, figure, heated, product, steady};
use denib::clock::{Air, DryingClock, laws_of, units};
use denib::finish::Mechanism;
use denib::job::{Climate, Fan};
use denib::science::MoistAir;
use denib::science::drying::Paces;
use denib::units::{MetresPerSecond, Moment, Span};
use proptest::prelude::*;

/// One second in minutes.
const SECOND: f64 = 1.0 / 60.0;

/// The slow hand of what cures, below 23 °C: a doubling for every 12 °F, written out again.
fn cure(celsius: f64) -> f64 {
    2.0_f64.powf((celsius - 23.0) * 1.8 / 12.0)
}

/// Its fast hand, below 23 °C: the greater of Arrhenius with 50 kJ/mol and a doubling for every 10 K.
fn cure_fast(celsius: f64) -> f64 {
    let arrhenius = (50_000.0 / 8.314_462_618 * (1.0 / 296.15 - 1.0 / (celsius + 273.15))).exp();
    arrhenius.max(2.0_f64.powf((celsius - 23.0) / 10.0))
}

fn clock(climate: &Climate, mechanism: Mechanism, from: Moment, until: Moment) -> DryingClock {
    DryingClock::new(&product(mechanism), &Air::new(climate, ZONE, &[], from, until))
}

#[test]
fn runs_as_stated_in_the_air_the_times_were_stated_for() {
    for mechanism in [
        Mechanism::Evaporation,
        Mechanism::Oxidation,
        Mechanism::Coalescence,
        Mechanism::TwoPack,
    ] {
        let clock = clock(&steady(23.0, 50.0), mechanism, at(2, 0, 0), at(3, 0, 0));
        assert_eq!(clock.total().len(), 1441);
        assert_eq!(clock.total()[1], 1000);
        assert_eq!(clock.total()[1440], 1_440_000);
        assert_eq!(clock.reached(at(2, 8, 0), 90.0), Some(at(2, 9, 30)));
        assert_eq!(clock.reached(at(2, 8, 0), 0.0), Some(at(2, 8, 0)));
        assert_eq!(clock.reached(at(2, 23, 0), 61.0), None);
        assert_eq!(clock.reached(at(1, 23, 0), 1.0), None);
        assert!((clock.passed(at(2, 8, 0), at(2, 9, 30)) - 90.0).abs() < SECOND);
    }
}

#[test]
fn a_steady_cool_room() {
    let clock = clock(&steady(15.0, 50.0), Mechanism::Oxidation, at(2, 0, 0), at(6, 0, 0));
    let wanted = 4.0 * 1440.0 * cure(15.0);
    assert!((clock.passed(at(2, 0, 0), at(6, 0, 0)) - wanted).abs() < SECOND);
    let most = 4.0 * 1440.0 * cure_fast(15.0);
    assert!((clock.at_most(at(2, 0, 0), at(6, 0, 0)) - most).abs() < SECOND);
    // 24 h at 23 °C is at most 24 h × 2^1.2 at 15 °C, and at least 24 h × 1.7411 (reference table, Q10 = 2)
    let after = |end: Option<Moment>| (end.expect("reached") - at(2, 9, 0)).0 as f64;
    assert!((after(clock.reached(at(2, 9, 0), 1440.0)) - 1440.0 * 2.0_f64.powf(1.2)).abs() <= 1.0);
    assert!((after(clock.perhaps(at(2, 9, 0), 1440.0)) - 1440.0 * 1.7411).abs() <= 1.0);
}

#[test]
fn a_stepped_day_and_night() {
    let climate = heated(Some((8, 18)), (20.0, 50.0), (10.0, 60.0), 0.0);
    let clock = clock(&climate, Mechanism::TwoPack, at(2, 0, 0), at(5, 0, 0));
    let (warm, cold) = (cure(20.0), cure(10.0));
    assert!((clock.passed(at(2, 0, 0), at(5, 0, 0)) - 3.0 * (600.0 * warm + 840.0 * cold)).abs() < SECOND);
    let through_the_night = 120.0 * warm + 840.0 * cold + 60.0 * warm;
    assert!((clock.passed(at(2, 16, 0), at(3, 9, 0)) - through_the_night).abs() < SECOND);
    let most = 180.0 * cure_fast(20.0) + 840.0 * cure_fast(10.0);
    assert!((clock.at_most(at(2, 16, 0), at(3, 9, 0)) - most).abs() < SECOND);
    // in closed form the stage falls 300 stated minutes after 16:00: 120 warm minutes, the rest cold
    let wanted = 120.0 + (300.0 - 120.0 * warm) / cold;
    let reached = (clock.reached(at(2, 16, 0), 300.0).expect("reached") - at(2, 16, 0)).0 as f64;
    assert!(
        reached >= wanted && reached < wanted + 1.0 + SECOND,
        "{reached} {wanted}"
    );
}

#[test]
fn a_night_below_the_floor_does_not_count() {
    let climate = heated(Some((8, 18)), (20.0, 50.0), (6.0, 60.0), 0.0);
    let mut oil = product(Mechanism::Oxidation);
    oil.drying_floor = Some(figure(8.0, 10.0));
    let air = Air::new(&climate, ZONE, &[], at(2, 0, 0), at(5, 0, 0));
    let clock = DryingClock::new(&oil, &air);
    assert!((clock.passed(at(2, 0, 0), at(5, 0, 0)) - 1800.0 * cure(20.0)).abs() < SECOND);
    assert!(clock.passed(at(2, 18, 0), at(3, 8, 0)).abs() < 1e-9);
    // 10 h of a warm day are left at 17:00: one hour today, the rest from 08:00 tomorrow
    let need = 300.0 * cure(20.0);
    let reached = clock.reached(at(2, 17, 0), need).expect("reached");
    // thousandths of a stated minute are rounded up, so the last may fall into the next minute
    assert!((0..=1).contains(&(reached - at(3, 12, 0)).0), "{reached:?}");
}

/// ∫ of a pace over an exponential course, by Simpson's rule on 1 s steps: independent of the clock's grid.
fn integral(start: f64, aim: f64, tau: f64, minutes: f64, pace: impl Fn(f64) -> f64) -> f64 {
    let steps = (minutes * 60.0).round() as usize;
    let h = minutes / steps as f64;
    let value = |t: f64| pace(aim + (start - aim) * (-t / tau).exp());
    (0..steps)
        .map(|step| {
            let t = step as f64 * h;
            h / 6.0 * (value(t) + 4.0 * value(t + h / 2.0) + value(t + h))
        })
        .sum()
}

#[test]
fn an_exponential_evening() {
    let climate = heated(Some((8, 18)), (20.0, 50.0), (6.0, 50.0), 3.0);
    let air = Air::new(&climate, ZONE, &[], at(10, 0, 0), at(12, 0, 0));
    let clock = DryingClock::new(&product(Mechanism::Oxidation), &air);
    let start = air.at(at(10, 18, 0)).expect("known").temperature.0;
    let wanted = integral(start, 6.0, 180.0, 840.0, cure);
    let found = clock.passed(at(10, 18, 0), at(11, 8, 0));
    assert!((found - wanted).abs() < SECOND, "{found} {wanted}");

    // with a floor: the crossing falls at τ·ln((T0 − aim)/(floor − aim)) after the heating goes off
    let mut oil = product(Mechanism::Oxidation);
    oil.drying_floor = Some(figure(10.0, 10.0));
    let clock = DryingClock::new(&oil, &air);
    let crossing = 180.0 * ((start - 6.0) / 4.0).ln();
    let wanted = integral(start, 6.0, 180.0, crossing, cure);
    let found = clock.passed(at(10, 18, 0), at(11, 8, 0));
    assert!((found - wanted).abs() < SECOND, "{found} {wanted}");
}

#[test]
fn every_law_over_an_exponential_evening() {
    // both quantities near their night value; the law is taken at every second, without the clock's grid
    let climate = heated(Some((8, 18)), (21.0, 45.0), (9.0, 70.0), 2.5);
    let air = Air::new(&climate, ZONE, &[], at(10, 0, 0), at(12, 0, 0));
    let from = air.at(at(10, 18, 0)).expect("known");
    for mechanism in [
        Mechanism::Evaporation,
        Mechanism::Coalescence,
        Mechanism::Oxidation,
        Mechanism::TwoPack,
    ] {
        let tin = product(mechanism);
        let clock = DryingClock::new(&tin, &air);
        let paces = Paces::new(&laws_of(&tin), MoistAir::new(23.0, 50.0)).expect("a law");
        let worth = |left: f64| {
            let near = |start: f64, aim: f64| aim + (start - aim) * left;
            paces.at(MoistAir::new(
                near(from.temperature.0, 9.0),
                near(from.humidity.0, 70.0),
            ))
        };
        let slow = integral(1.0, 0.0, 150.0, 600.0, |left| worth(left).slow);
        let fast = integral(1.0, 0.0, 150.0, 600.0, |left| worth(left).fast);
        let (found, most) = (
            clock.passed(at(10, 18, 0), at(11, 4, 0)),
            clock.at_most(at(10, 18, 0), at(11, 4, 0)),
        );
        assert!((found - slow).abs() < SECOND, "{mechanism:?}: {found} {slow}");
        assert!((most - fast).abs() < SECOND, "{mechanism:?}: {most} {fast}");
        assert!(found <= most && found > 0.0);
    }
}

#[test]
fn a_fan_counts_while_it_blows_and_only_for_what_evaporates() {
    let mut climate = steady(23.0, 50.0);
    climate.fans = vec![Fan {
        hours: (9 * 60, 12 * 60),
        speed: MetresPerSecond(0.5),
    }];
    let air = Air::new(&climate, ZONE, &[], at(2, 0, 0), at(4, 0, 0));
    for mechanism in [Mechanism::Evaporation, Mechanism::Coalescence] {
        let clock = DryingClock::new(&product(mechanism), &air);
        // 0.5 m/s: at least (0.5/0.15)^0.10, at most the cap of twice the pace
        let slow = 180.0 * (0.5_f64 / 0.15).powf(0.10);
        assert!((clock.passed(at(2, 9, 0), at(2, 12, 0)) - slow).abs() < SECOND);
        assert!((clock.at_most(at(2, 9, 0), at(2, 12, 0)) - 360.0).abs() < SECOND);
        assert!((clock.passed(at(2, 12, 0), at(3, 9, 0)) - 1260.0).abs() < SECOND);
    }
    let oil = DryingClock::new(&product(Mechanism::Oxidation), &air);
    assert!((oil.at_most(at(2, 9, 0), at(2, 12, 0)) - 180.0).abs() < SECOND);
    // a room without any movement is slower than the tin takes it to be
    climate.fans.clear();
    climate.air_speed = Some(MetresPerSecond(0.05));
    let air = Air::new(&climate, ZONE, &[], at(2, 0, 0), at(4, 0, 0));
    let clock = DryingClock::new(&product(Mechanism::Coalescence), &air);
    let dead = 180.0 * (0.05_f64 / 0.15).powf(0.78);
    assert!((clock.passed(at(2, 9, 0), at(2, 12, 0)) - dead).abs() < SECOND);
}

#[test]
fn a_varnish_over_a_cold_night() {
    // stated 12 h at 23 °C, put on at 16:00; heated to 18 °C until 17:00, then falling toward 6 °C (τ = 4 h)
    let climate = heated(Some((7, 17)), (18.0, 50.0), (6.0, 60.0), 4.0);
    let air = Air::new(&climate, ZONE, &[], at(9, 0, 0), at(14, 0, 0));
    let clock = DryingClock::new(&product(Mechanism::Oxidation), &air);
    let reached = clock.reached(at(9, 16, 0), 720.0).expect("reached");
    // the same by adding up one-second steps of the room's own temperatures
    let mut sum = 0.0;
    let mut minute = at(9, 16, 0);
    while sum < 720.0 {
        let (begin, end) = (air.at(minute).expect("known"), air.at(minute + Span(1)).expect("known"));
        for second in 0..60 {
            let share = (f64::from(second) + 0.5) / 60.0;
            let here = begin.temperature.0 + (end.temperature.0 - begin.temperature.0) * share;
            sum += cure(here) / 60.0;
        }
        minute += Span(1);
    }
    // a room that steps back to heating at 07:00 does so between two minutes, so one minute may be shared
    assert!((reached - minute).0.abs() <= 1, "{reached:?} {minute:?}");
    let counted = clock.passed(at(9, 16, 0), at(10, 7, 0));
    assert!(
        (200.0..600.0).contains(&counted),
        "the night's fifteen hours count for {counted} minutes"
    );
}

#[test]
fn experience_scales_the_clock() {
    let air = Air::new(&steady(23.0, 50.0), ZONE, &[], at(2, 0, 0), at(3, 0, 0));
    let quick = DryingClock::paced(&product(Mechanism::Oxidation), &air, 1.25);
    assert_eq!(quick.total()[1440], 1_800_000);
    let never = DryingClock::paced(&product(Mechanism::Oxidation), &air, -1.0);
    assert_eq!(never.total()[1440], 0);
}

#[test]
fn a_product_without_a_law_never_dries() {
    let mut lost = product(Mechanism::Evaporation);
    lost.leading_solvent = Some("moonshine".to_owned());
    let air = Air::new(&steady(23.0, 50.0), ZONE, &[], at(2, 0, 0), at(3, 0, 0));
    assert_eq!(DryingClock::new(&lost, &air).reached(at(2, 0, 0), 1.0), None);
}

#[test]
fn units_round_up() {
    assert_eq!(units(0.0), 0);
    assert_eq!(units(-3.0), 0);
    assert_eq!(units(0.0001), 1);
    assert_eq!(units(90.0), 90_000);
}

fn mechanism() -> impl Strategy<Value = Mechanism> {
    prop_oneof![
        Just(Mechanism::Evaporation),
        Just(Mechanism::Oxidation),
        Just(Mechanism::Coalescence),
        Just(Mechanism::TwoPack),
    ]
}

proptest! {
    /// What is put on later is never ready earlier; the clock never runs backwards; two stretches add up.
    #[test]
    fn first_in_first_out(
        mechanism in mechanism(),
        on in 0..10_u32,
        hours in 1..14_u32,
        day in 12.0..30.0_f64,
        night in 0.0..20.0_f64,
        tau in 0.0..6.0_f64,
        floor in 5.0..15.0_f64,
        need in 1.0..600.0_f64,
    ) {
        let climate = heated(Some((on, on + hours)), (day, 45.0), (night, 75.0), tau);
        let mut tin = product(mechanism);
        tin.drying_floor = Some(figure(floor, floor));
        let air = Air::new(&climate, ZONE, &[], at(2, 0, 0), at(5, 0, 0));
        let clock = DryingClock::new(&tin, &air);
        prop_assert!(clock.total().windows(2).all(|pair| pair[0] <= pair[1]));
        prop_assert!(clock.most().windows(2).all(|pair| pair[0] <= pair[1]));
        prop_assert!(clock.total().iter().zip(clock.most().iter()).all(|(slow, fast)| slow <= fast));
        let (mut last, mut quick) = (None, None);
        for minute in (0..1440).step_by(17) {
            let start = at(2, 0, 0) + Span(minute);
            let reached = clock.reached(start, need);
            let perhaps = clock.perhaps(start, need);
            prop_assert!(reached.is_none_or(|late| perhaps.is_some_and(|early| early <= late)));
            if let (Some(earlier), Some(later)) = (quick, perhaps) {
                prop_assert!(earlier <= later);
            }
            quick = perhaps;
            if let Some(reached) = reached {
                prop_assert!(reached >= start);
                prop_assert!(clock.passed(start, reached) >= need - 1e-3);
                prop_assert!(clock.passed(start, reached - Span(1)) < need);
                let middle = start + Span((reached - start).0 / 2);
                let sum = clock.passed(start, middle) + clock.passed(middle, reached);
                prop_assert!((sum - clock.passed(start, reached)).abs() < 1e-9);
            }
            if let (Some(earlier), Some(later)) = (last, reached) {
                prop_assert!(earlier <= later);
            }
            prop_assert!(!(last.is_none() && minute > 0) || reached.is_none());
            last = reached;
        }
    }

    /// A warmer room at the same humidity never dries slower.
    #[test]
    fn warmer_is_never_slower(
        mechanism in mechanism(),
        day in 12.0..30.0_f64,
        night in 10.0..20.0_f64,
        warmer in 0.1..5.0_f64,
        floor in 5.0..18.0_f64,
    ) {
        let mut tin = product(mechanism);
        tin.drying_floor = Some(figure(floor, floor));
        let total = |more: f64| {
            let climate = heated(Some((8, 18)), (day + more, 50.0), (night + more, 50.0), 2.0);
            let air = Air::new(&climate, ZONE, &[], at(2, 0, 0), at(4, 0, 0));
            DryingClock::new(&tin, &air)
        };
        let (cool, warm) = (total(0.0), total(warmer));
        prop_assert!(cool.total().iter().zip(warm.total().iter()).all(|(cool, warm)| cool <= warm));
        prop_assert!(cool.most().iter().zip(warm.most().iter()).all(|(cool, warm)| cool <= warm));
    }
}
