//! Quantities as they are written in files and shown to people.
//!
//! Invariant: what is shown reads back as the same quantity, to the precision shown; nothing is guessed: a
//! span needs its units, a day its year.

use super::moment::Span;
use super::quantity::Celsius;
use super::refusal::Refusal;
use chrono::{NaiveDate, NaiveDateTime};

mod length;
mod volume;

pub use length::{LENGTH, LengthUnit, length};
pub use volume::{GALLON, VOLUME, volume};

/// What a span looks like.
pub const DURATION: &str = "a span such as \"45 min\", \"2 h\", \"2 h 30 min\" or \"3 d\"";
/// What a time of day looks like.
pub const CLOCK: &str = "a time of day such as \"07:30\"";
/// What a stretch of the day looks like.
pub const CLOCK_RANGE: &str = "from and until such as \"08:00-12:30\"";
/// What a temperature looks like.
pub const TEMPERATURE: &str = "a temperature: a number, or \"19 C\" or \"66 F\"";

/// Ten years: longer waits are slips of the pen.
const LONGEST_SPAN_MINUTES: f64 = 3650.0 * 1440.0;

/// A span of time: numbers with `d`, `h` or `min`, largest first; the minutes after hours may go without.
pub fn duration(written: &str) -> Result<Span, Refusal> {
    let refuse = |why: &str| Err(Refusal::new(why, DURATION));
    let words = split_units(written);
    if words.is_empty() {
        return refuse("is empty");
    }
    let (mut minutes, mut last) = (0.0, f64::INFINITY);
    for (index, (number, unit)) in words.iter().enumerate() {
        let Ok(number) = number.parse::<f64>() else {
            return refuse("is not a span of time");
        };
        let size = match *unit {
            "d" | "day" | "days" => 1440.0,
            "h" | "hour" | "hours" => 60.0,
            "min" | "mins" | "minute" | "minutes" => 1.0,
            "" if index == 0 => {
                let mut refusal = Refusal::new("does not say whether minutes, hours or days", DURATION);
                refusal.nearest = Some(format!("{} min", number.max(0.0)));
                return Err(refusal);
            }
            "" if last > 1.0 && last < 1440.0 => 1.0,
            _ => return refuse("has a unit that is not known"),
        };
        if size >= last {
            return refuse("does not go from the large unit to the small");
        }
        last = size;
        minutes += number * size;
    }
    if !(0.0..=LONGEST_SPAN_MINUTES).contains(&minutes) {
        return refuse("is too long");
    }
    if (minutes - minutes.round()).abs() > 1e-6 {
        return refuse("is not a whole number of minutes");
    }
    Ok(Span(minutes.round() as i64))
}

/// Numbers and the words after them: `2 h 30 min` and `2h30` alike.
fn split_units(written: &str) -> Vec<(&str, &str)> {
    let is_digit = |c: char| c.is_ascii_digit() || c == '.';
    let mut parts = Vec::new();
    let mut rest = written.trim();
    while !rest.is_empty() {
        let (number, after) = rest.split_at(rest.find(|c| !is_digit(c)).unwrap_or(rest.len()));
        let after = after.trim_start();
        let (unit, next) = after.split_at(after.find(is_digit).unwrap_or(after.len()));
        parts.push((number, unit.trim()));
        rest = next.trim_start();
    }
    parts
}

/// A time of day in minutes after midnight; `24:00` is the end of the day.
pub fn clock(written: &str) -> Result<u32, Refusal> {
    let refuse = |why: &str| Err(Refusal::new(why, CLOCK));
    let Some((hour, minute)) = written.trim().split_once(':') else {
        return refuse("is not a time of day");
    };
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(hour) || !digits(minute) || minute.len() != 2 || !(1..=2).contains(&hour.len()) {
        return refuse("is not a time of day");
    }
    match (hour.parse::<u32>(), minute.parse::<u32>()) {
        (Ok(hour), Ok(minute)) if minute < 60 && (hour < 24 || (hour == 24 && minute == 0)) => Ok(hour * 60 + minute),
        _ => refuse("has a time no clock shows"),
    }
}

/// A stretch of the day, minutes after midnight, the end after the start.
pub fn clock_range(written: &str) -> Result<(u32, u32), Refusal> {
    let halves = written.split_once(['-', '\u{2013}']);
    let Some((from, until)) = halves else {
        return Err(Refusal::new("is not a stretch of the day", CLOCK_RANGE));
    };
    let as_range = |refusal: Refusal| Refusal {
        accepted: CLOCK_RANGE.to_owned(),
        ..refusal
    };
    let (from, until) = (clock(from).map_err(as_range)?, clock(until).map_err(as_range)?);
    if from < until {
        return Ok((from, until));
    }
    Err(Refusal::new(
        "ends before it begins",
        "an end after the start, on the same day: \"08:00-12:30\"",
    ))
}

/// A day: `2026-11-30`.
pub fn date(written: &str) -> Result<NaiveDate, Refusal> {
    let accepted = "a date such as \"2026-11-30\" (year, month, day)";
    let written = written.trim();
    let shape: Vec<usize> = written.split('-').map(str::len).collect();
    let digits = written.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
    if shape != [4, 2, 2] || !digits {
        return Err(Refusal::new("is not a date", accepted));
    }
    written
        .parse()
        .map_err(|_| Refusal::new("is a day no calendar has", accepted))
}

/// A day and a time: `2026-11-30 08:00`.
pub fn date_time(written: &str) -> Result<NaiveDateTime, Refusal> {
    let accepted = "a date and a time such as \"2026-11-30 08:00\"";
    let Some((day, time)) = written.trim().split_once([' ', 'T']) else {
        return Err(Refusal::new("is not a date with a time", accepted));
    };
    let with_time = |refusal: Refusal| Refusal {
        accepted: accepted.to_owned(),
        ..refusal
    };
    let (day, minutes) = (date(day).map_err(with_time)?, clock(time).map_err(with_time)?);
    let whole_day = i64::from(minutes);
    day.and_hms_opt(0, 0, 0)
        .and_then(|midnight| midnight.checked_add_signed(chrono::TimeDelta::minutes(whole_day)))
        .ok_or_else(|| Refusal::new("is past the end of the calendar", accepted))
}

/// The unit of temperatures written without one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl TemperatureUnit {
    /// A number in this unit as Celsius.
    pub fn to_celsius(self, number: f64) -> Celsius {
        match self {
            Self::Celsius => Celsius(number),
            Self::Fahrenheit => Celsius((number - 32.0) / 1.8),
        }
    }

    /// A temperature for reading, to a whole degree.
    pub fn show(self, temperature: Celsius) -> String {
        match self {
            Self::Celsius => format!("{:.0} °C", temperature.0),
            Self::Fahrenheit => format!("{:.0} °F", temperature.0 * 1.8 + 32.0),
        }
    }
}

/// A temperature: a number in the given unit, or with its own (`19 C`, `66 °F`).
pub fn temperature(written: &str, unit: TemperatureUnit) -> Result<Celsius, Refusal> {
    let written = written.trim();
    let (number, unit) = match written.char_indices().next_back() {
        Some((at, 'C' | 'c')) => (written.get(..at), TemperatureUnit::Celsius),
        Some((at, 'F' | 'f')) => (written.get(..at), TemperatureUnit::Fahrenheit),
        _ => (Some(written), unit),
    };
    let number = number
        .unwrap_or("")
        .trim_end()
        .trim_end_matches('\u{b0}')
        .trim_end()
        .parse::<f64>();
    match number {
        Ok(number) if number.is_finite() => Ok(unit.to_celsius(number)),
        _ => Err(Refusal::new("is not a temperature", TEMPERATURE)),
    }
}

#[cfg(test)]
mod tests {
    use super::{TemperatureUnit, clock, clock_range, date, date_time, duration, temperature};
    use crate::units::Span;

    #[test]
    fn spans_read() {
        let check = |written: &str, minutes: i64| assert_eq!(duration(written).unwrap(), Span(minutes), "{written}");
        check("45 min", 45);
        check("2 h", 120);
        check("2 h 30 min", 150);
        check("2 h 30", 150);
        check("2h30", 150);
        check("3 d", 4320);
        check("1 d 12 h", 2160);
        check("1.5 h", 90);
        check("0 min", 0);
    }

    #[test]
    fn spans_refused() {
        for written in [
            "",
            "45",
            "min",
            "2 weeks",
            "30 min 2 h",
            "2 h 2 h",
            "1.001 h",
            "-5 min",
            "9999 d",
            "3 d 30",
        ] {
            assert!(duration(written).is_err(), "{written}");
        }
        assert_eq!(duration("45").unwrap_err().nearest.as_deref(), Some("45 min"));
    }

    #[test]
    fn shown_spans_read_back() {
        for minutes in [0, 7, 45, 60, 150, 1440, 4320 + 120] {
            assert_eq!(duration(&Span(minutes).to_string()).unwrap(), Span(minutes));
        }
    }

    #[test]
    fn clocks_read_and_refused() {
        assert_eq!(clock("08:00").unwrap(), 480);
        assert_eq!(clock("24:00").unwrap(), 1440);
        for written in [
            "8",
            "8:5",
            "25:00",
            "12:60",
            "24:01",
            "ab:cd",
            ":",
            "+8:00",
            "\u{b2}:00",
        ] {
            assert!(clock(written).is_err(), "{written}");
        }
        assert_eq!(clock_range("08:00-12:30").unwrap(), (480, 750));
        assert_eq!(clock_range("13:15 - 17:30").unwrap(), (795, 1050));
        assert!(clock_range("12:30-08:00").is_err());
        assert!(clock_range("08:00-08:00").is_err());
    }

    #[test]
    fn dates_read_and_refused() {
        assert!(date("2026-11-30").is_ok());
        assert!(date("2028-02-29").is_ok());
        for written in [
            "2026-11-31",
            "2026-02-29",
            "30.11.2026",
            "26-11-30",
            "2026-1-3",
            "+026-11-30",
            "",
        ] {
            assert!(date(written).is_err(), "{written}");
        }
        assert_eq!(
            date_time("2026-11-30 24:00").unwrap().to_string(),
            "2026-12-01 00:00:00"
        );
        assert!(date_time("2026-11-30").is_err());
    }

    #[test]
    fn temperatures_convert() {
        let check = |written: &str, unit, celsius: f64| {
            assert!(
                (temperature(written, unit).unwrap().0 - celsius).abs() < 1e-9,
                "{written}"
            );
        };
        check("19", TemperatureUnit::Celsius, 19.0);
        check("66.2 F", TemperatureUnit::Celsius, 19.0);
        check("66.2", TemperatureUnit::Fahrenheit, 19.0);
        check("19 \u{b0}C", TemperatureUnit::Fahrenheit, 19.0);
        assert!(temperature("warm", TemperatureUnit::Celsius).is_err());
        assert!(temperature("C", TemperatureUnit::Celsius).is_err());
        assert!(temperature("nan", TemperatureUnit::Celsius).is_err());
    }
}
