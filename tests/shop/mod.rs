//! Rooms and products for the checks of the drying clock.
#![allow(dead_code, reason = "each check uses its part of it")]
#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use chrono::NaiveDate;
use chrono_tz::Tz;
use denib::finish::{Conditions, Figure, Mechanism, Product, Stage, StageTime, Status};
use denib::job::{Climate, ClimateLine};
use denib::units::{Celsius, Edge, Moment, Percent, resolve};
use std::collections::BTreeMap;

pub const ZONE: Tz = chrono_tz::Europe::London;

/// A moment of November and December 2026 (day 1 is 1 November) on the clock in London.
pub fn at(day: u32, hour: u32, minute: u32) -> Moment {
    on(
        NaiveDate::from_ymd_opt(2026, 11, 1).expect("a day") + chrono::Days::new(u64::from(day) - 1),
        hour,
        minute,
    )
}

pub fn on(day: NaiveDate, hour: u32, minute: u32) -> Moment {
    resolve(day.and_hms_opt(hour, minute, 0).expect("a time"), ZONE, Edge::Start)
}

/// A figure invented for a check.
pub fn figure(low: f64, high: f64) -> Figure {
    Figure {
        low,
        high,
        status: Status::CommonPractice,
        source: "invented for a check".to_owned(),
    }
}

/// A product with nothing but a mechanism, stated at 23 °C and 50 %.
pub fn product(mechanism: Mechanism) -> Product {
    let leading = (mechanism == Mechanism::Evaporation).then(|| "ethanol".to_owned());
    Product {
        id: "invented".to_owned(),
        name: "invented".to_owned(),
        family: "invented".to_owned(),
        mechanism,
        leading_solvent: leading,
        stated_at: Conditions {
            temperature: Celsius(23.0),
            humidity: Percent(50.0),
        },
        stages: Vec::new(),
        windows: Vec::new(),
        terminal: false,
        wipe: None,
        open_time: None,
        start_floor: None,
        start_ceiling: None,
        start_humidity: None,
        drying_floor: None,
        must_reach: None,
        volume_solids: None,
        density: None,
        wet_film: BTreeMap::new(),
        first_coat_extra: None,
        solvents: Vec::new(),
        flash_point: None,
        self_heating: false,
        pot_life: None,
    }
}

pub fn with_stage(mut product: Product, stage: Stage, low: f64, high: f64) -> Product {
    product.stages.push(StageTime {
        stage,
        from_coat: 1,
        minutes: figure(low, high),
    });
    product
}

/// Air that never changes.
pub fn steady(celsius: f64, percent: f64) -> Climate {
    heated(None, (celsius, percent), (celsius, percent), 0.0)
}

/// Heated between two hours of the day, with a time constant in hours.
pub fn heated(hours: Option<(u32, u32)>, day: (f64, f64), night: (f64, f64), time_constant: f64) -> Climate {
    let line = ClimateLine {
        from: None,
        heating: hours.map(|(on, off)| (on * 60, off * 60)),
        heated_days: [true; 7],
        day: Celsius(day.0),
        day_humidity: Percent(day.1),
        night: Celsius(night.0),
        night_humidity: Percent(night.1),
    };
    Climate {
        lines: vec![line],
        time_constant_hours: time_constant,
        ..Climate::default()
    }
}
