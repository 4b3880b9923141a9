//! The room's air minute by minute against what the climate says in closed form.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use crate::shop::{ZONE, at, heated, on, steady};
use chrono::NaiveDate;
use denib::clock::Air;
use denib::job::{Climate, ClimateLine, Reading};
use denib::units::{Celsius, Moment, Percent, Span};
use proptest::prelude::*;

fn temperature(air: &Air, moment: Moment) -> f64 {
    air.at(moment).expect("known").temperature.0
}

fn humidity(air: &Air, moment: Moment) -> f64 {
    air.at(moment).expect("known").humidity.0
}

fn close(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-9, "{found} is not {wanted}");
}

#[test]
fn steps_at_the_heating_hours() {
    let air = Air::new(
        &heated(Some((7, 18)), (19.0, 50.0), (9.0, 70.0), 0.0),
        ZONE,
        &[],
        at(2, 0, 0),
        at(5, 0, 0),
    );
    assert_eq!((air.first(), air.end()), (at(2, 0, 0), at(5, 0, 0)));
    for day in 2..5 {
        close(temperature(&air, at(day, 6, 59)), 9.0);
        close(temperature(&air, at(day, 7, 0)), 19.0);
        close(temperature(&air, at(day, 17, 59)), 19.0);
        close(temperature(&air, at(day, 18, 0)), 9.0);
        close(humidity(&air, at(day, 12, 0)), 50.0);
        close(humidity(&air, at(day, 23, 0)), 70.0);
    }
    assert_eq!(air.at(at(1, 23, 59)), None);
    assert_eq!(air.at(at(5, 0, 0)), None);
    assert_eq!(air.coldest(), Some(Celsius(9.0)));
    let points: Vec<Moment> = air.points(0.1).into_iter().map(|point| point.0).collect();
    let changes = [
        at(2, 0, 0),
        at(2, 7, 0),
        at(2, 18, 0),
        at(3, 7, 0),
        at(3, 18, 0),
        at(4, 7, 0),
        at(4, 18, 0),
    ];
    assert_eq!(points, changes);
}

#[test]
fn nears_its_new_air_exponentially() {
    // Newton's law of cooling: ΔT(t) = ΔT(0)·exp(−t/τ); with τ = 3 h the room is where the recurrence of on
    // and off settles, worked out here by hand
    let air = Air::new(
        &heated(Some((8, 18)), (20.0, 45.0), (8.0, 65.0), 3.0),
        ZONE,
        &[],
        at(10, 0, 0),
        at(12, 0, 0),
    );
    let (on, off) = ((-10.0_f64 / 3.0).exp(), (-14.0_f64 / 3.0).exp());
    // periodic: warm = 20 − (20 − cold)·on, cold = 8 + (warm − 8)·off
    let warm = (20.0 - (20.0 - 8.0 + 8.0 * off) * on) / (1.0 - off * on);
    let cold = 8.0 + (warm - 8.0) * off;
    assert!((temperature(&air, at(10, 8, 0)) - cold).abs() < 1e-3);
    assert!((temperature(&air, at(10, 18, 0)) - warm).abs() < 1e-3);
    // from one moment to a later one of the same stretch the law holds to the last digit
    let start = temperature(&air, at(10, 18, 0));
    for (hour, minute) in [(18, 1), (19, 0), (21, 0), (23, 59)] {
        let hours = f64::from(hour) - 18.0 + f64::from(minute) / 60.0;
        let left = (-hours / 3.0).exp();
        close(temperature(&air, at(10, hour, minute)), 8.0 + (start - 8.0) * left);
    }
    // two thirds of the way after one time constant
    let gone = (start - temperature(&air, at(10, 21, 0))) / (start - 8.0);
    assert!((gone - 0.632).abs() < 0.001, "{gone}");
}

#[test]
fn dated_lines_hold_from_their_midnight() {
    let mut climate = heated(Some((7, 18)), (19.0, 50.0), (9.0, 70.0), 0.0);
    climate.lines.push(ClimateLine {
        from: NaiveDate::from_ymd_opt(2026, 11, 4),
        heating: None,
        heated_days: [true; 7],
        day: Celsius(5.0),
        day_humidity: Percent(80.0),
        night: Celsius(5.0),
        night_humidity: Percent(80.0),
    });
    let air = Air::new(&climate, ZONE, &[], at(3, 0, 0), at(6, 0, 0));
    close(temperature(&air, at(3, 12, 0)), 19.0);
    close(temperature(&air, at(3, 23, 59)), 9.0);
    close(temperature(&air, at(4, 0, 0)), 5.0);
    close(temperature(&air, at(5, 12, 0)), 5.0);
}

#[test]
fn the_heating_follows_the_clock_over_both_changes() {
    let climate = heated(Some((7, 18)), (19.0, 50.0), (9.0, 70.0), 0.0);
    // IANA time zone database: London springs forward on 29 March 2026 and falls back on 25 October 2026
    for (month, day) in [(3, 29), (10, 25)] {
        let date = NaiveDate::from_ymd_opt(2026, month, day).expect("a day");
        let air = Air::new(&climate, ZONE, &[], on(date, 0, 0), on(date, 23, 59));
        close(temperature(&air, on(date, 6, 59)), 9.0);
        close(temperature(&air, on(date, 7, 0)), 19.0);
        close(temperature(&air, on(date, 18, 0)), 9.0);
        let warm =
            (0..(air.end() - air.first()).0).filter(|minute| temperature(&air, air.first() + Span(*minute)) > 10.0);
        assert_eq!(warm.count(), 11 * 60);
    }
}

#[test]
fn a_reading_holds_until_the_heating_next_changes() {
    let climate = heated(Some((8, 18)), (20.0, 45.0), (8.0, 65.0), 2.0);
    let reading = Reading {
        at: at(3, 14, 0),
        temperature: Celsius(16.0),
        humidity: None,
    };
    let plain = Air::new(&climate, ZONE, &[], at(3, 0, 0), at(5, 0, 0));
    let air = Air::new(&climate, ZONE, &[reading], at(3, 0, 0), at(5, 0, 0));
    assert_eq!(air.at(at(3, 13, 59)), plain.at(at(3, 13, 59)));
    close(temperature(&air, at(3, 14, 0)), 16.0);
    close(temperature(&air, at(3, 17, 59)), 16.0);
    // only the thermometer was read: the humidity stays what was expected
    close(humidity(&air, at(3, 16, 0)), humidity(&plain, at(3, 16, 0)));
    // the heating goes off and the room cools from what was read
    close(temperature(&air, at(3, 20, 0)), 8.0 + 8.0 * (-1.0_f64).exp());

    let damp = Reading {
        at: at(3, 15, 0),
        temperature: Celsius(17.0),
        humidity: Some(Percent(60.0)),
    };
    let both = Air::new(&climate, ZONE, &[damp, reading], at(3, 0, 0), at(5, 0, 0));
    close(temperature(&both, at(3, 14, 30)), 16.0);
    close(temperature(&both, at(3, 15, 30)), 17.0);
    close(humidity(&both, at(3, 15, 30)), 60.0);
}

#[test]
fn a_reading_before_the_first_minute_counts() {
    let reading = Reading {
        at: at(3, 9, 0),
        temperature: Celsius(12.0),
        humidity: Some(Percent(55.0)),
    };
    let climate = heated(Some((8, 18)), (20.0, 45.0), (8.0, 65.0), 0.0);
    let air = Air::new(&climate, ZONE, &[reading], at(3, 10, 0), at(4, 0, 0));
    close(temperature(&air, at(3, 10, 0)), 12.0);
    close(temperature(&air, at(3, 18, 0)), 8.0);
}

#[test]
fn a_reading_at_the_very_change_is_of_the_air_after_it() {
    let reading = Reading {
        at: at(3, 18, 0),
        temperature: Celsius(18.0),
        humidity: None,
    };
    let climate = heated(Some((8, 18)), (20.0, 45.0), (8.0, 65.0), 0.0);
    let air = Air::new(&climate, ZONE, &[reading], at(3, 0, 0), at(5, 0, 0));
    close(temperature(&air, at(3, 17, 59)), 20.0);
    close(temperature(&air, at(3, 18, 0)), 18.0);
    close(temperature(&air, at(4, 7, 59)), 18.0);
    close(temperature(&air, at(4, 8, 0)), 20.0);
}

#[test]
fn no_lines_or_no_time_give_no_minutes() {
    let none = Air::new(&Climate::default(), ZONE, &[], at(2, 0, 0), at(3, 0, 0));
    assert_eq!(none.first(), none.end());
    assert_eq!(none.coldest(), None);
    let backwards = Air::new(&steady(20.0, 50.0), ZONE, &[], at(3, 0, 0), at(2, 0, 0));
    assert_eq!(backwards.end(), at(3, 0, 0));
}

proptest! {
    /// The room never leaves the span between its coldest and its warmest aim.
    #[test]
    fn stays_between_day_and_night(
        on in 0..12_u32,
        hours in 1..12_u32,
        day in 5.0..30.0_f64,
        night in -5.0..30.0_f64,
        tau in 0.0..12.0_f64,
    ) {
        let climate = heated(Some((on, on + hours)), (day, 40.0), (night, 70.0), tau);
        let air = Air::new(&climate, ZONE, &[], at(2, 0, 0), at(4, 0, 0));
        for minute in 0..(air.end() - air.first()).0 {
            let here = air.at(air.first() + Span(minute)).expect("known");
            prop_assert!(here.temperature.0 >= day.min(night) - 1e-9 && here.temperature.0 <= day.max(night) + 1e-9);
            prop_assert!(here.humidity.0 >= 40.0 - 1e-9 && here.humidity.0 <= 70.0 + 1e-9);
        }
    }
}
