//! Values with units read from files: every way of writing each, and the two days of change.

use super::{Code, Document, Found, SourceFile, Value};
use crate::units::text::{LengthUnit, TemperatureUnit};
use crate::units::{Edge, Moment};
use chrono_tz::Tz;

/// Reads the value of `x`, or gives the codes of what was wrong with it.
fn read<T>(written: &str, getter: impl Fn(Value<'_>) -> Option<Found<T>>) -> Result<T, Vec<Code>> {
    let file = SourceFile::new("test.toml", format!("x = {written}\n"));
    let document = Document::parse(&file);
    let mut root = document.root();
    let found = root.need("x").and_then(getter);
    drop(root);
    let problems = document.into_problems();
    found
        .map(|found| found.value)
        .ok_or_else(|| problems.iter().map(|problem| problem.code).collect())
}

fn moment(written: &str, zone: Tz, edge: Edge) -> Result<String, Vec<Code>> {
    let moment: Moment = read(written, |value| value.date_time(zone, edge))?;
    Ok(moment.with_offset(zone).to_rfc3339())
}

#[test]
fn date_times_in_quotes_without_and_with_an_offset() {
    let zone = chrono_tz::Europe::London;
    let check = |written: &str, expected: &str| assert_eq!(moment(written, zone, Edge::Start).unwrap(), expected);
    check("\"2026-11-30 08:00\"", "2026-11-30T08:00:00+00:00");
    check("\"2026-11-30T08:00\"", "2026-11-30T08:00:00+00:00");
    check("2026-11-30 08:00:00", "2026-11-30T08:00:00+00:00");
    check("2026-11-30T08:00:59", "2026-11-30T08:00:00+00:00");
    check("2026-11-30T08:00:00Z", "2026-11-30T08:00:00+00:00");
    check("2026-11-30T08:00:00+02:00", "2026-11-30T06:00:00+00:00");
    check("2026-07-01T08:00:00-05:00", "2026-07-01T14:00:00+01:00");
    assert_eq!(moment("2026-11-30", zone, Edge::Start), Err(vec![Code::BadDate]));
    assert_eq!(moment("08:00:00", zone, Edge::Start), Err(vec![Code::BadDate]));
    assert_eq!(moment("20261130", zone, Edge::Start), Err(vec![Code::WrongType]));
}

// The days of change are those of the IANA time zone database.
#[test]
fn the_hour_that_is_skipped_and_the_hour_that_comes_twice() {
    let london = chrono_tz::Europe::London;
    let new_york = chrono_tz::America::New_York;
    let check = |written: &str, zone, edge, expected: &str| assert_eq!(moment(written, zone, edge).unwrap(), expected);
    check("\"2026-03-29 01:30\"", london, Edge::Start, "2026-03-29T02:00:00+01:00");
    check("\"2026-10-25 01:30\"", london, Edge::Start, "2026-10-25T01:30:00+01:00");
    check("\"2026-10-25 01:30\"", london, Edge::End, "2026-10-25T01:30:00+00:00");
    check("2026-03-08T02:15:00", new_york, Edge::End, "2026-03-08T03:00:00-04:00");
    check(
        "2026-11-01T01:15:00",
        new_york,
        Edge::Start,
        "2026-11-01T01:15:00-04:00",
    );
    check("2026-11-01T01:15:00", new_york, Edge::End, "2026-11-01T01:15:00-05:00");
    // written with its offset, nothing is left to settle
    check(
        "2026-11-01T01:15:00-05:00",
        new_york,
        Edge::Start,
        "2026-11-01T01:15:00-05:00",
    );
}

#[test]
fn lengths_as_numbers_and_as_text() {
    let check = |written: &str, unit: LengthUnit, expected: f64| {
        let length = read(written, |value| value.length(unit)).unwrap();
        assert!((length.0 - expected).abs() < 1e-9, "{written}");
    };
    check("22", LengthUnit::Millimetres, 22.0);
    check("22.5", LengthUnit::Millimetres, 22.5);
    check("0.75", LengthUnit::Inches, 19.05);
    check("\"1-1/2\"", LengthUnit::Inches, 38.1);
    check("\"3/4 in\"", LengthUnit::Millimetres, 19.05);
    let codes = |written: &str| read(written, |value| value.length(LengthUnit::Inches)).unwrap_err();
    assert_eq!(codes("\"wide\""), [Code::BadLength]);
    assert_eq!(codes("true"), [Code::WrongType]);
    assert_eq!(codes("inf"), [Code::OutOfRange]);
    assert_eq!(codes("nan"), [Code::OutOfRange]);
}

#[test]
fn temperatures_are_kept_to_those_of_workshops() {
    let codes =
        |written: &str| read(written, |value| value.temperature(TemperatureUnit::Celsius)).map_err(|codes| codes[0]);
    assert!(codes("19").is_ok());
    assert!(codes("\"66 F\"").is_ok());
    // a Fahrenheit figure where Celsius is meant
    assert_eq!(codes("66").unwrap_err(), Code::OutOfRange);
    assert_eq!(codes("\"warm\"").unwrap_err(), Code::BadTemperature);
}

#[test]
fn whole_numbers_in_every_writing() {
    // a closure, so that it holds for values of any file
    let number = |value: Value<'_>| value.whole();
    let whole = |written: &str| read(written, number);
    assert_eq!(whole("1_000"), Ok(1000));
    assert_eq!(whole("0x10"), Ok(16));
    assert_eq!(whole("-3"), Ok(-3));
    assert_eq!(whole("1.0"), Err(vec![Code::WrongType]));
    assert_eq!(whole("99999999999999999999"), Err(vec![Code::OutOfRange]));
}
