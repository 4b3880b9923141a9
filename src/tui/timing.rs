//! Times as they are read from and typed on the wall.
//!
//! Invariant: a time that is not today's always shows its day; a typed time is never after now.

use crate::dayplan::document::Stamp;
use crate::standing::When;
use crate::units::{Moment, Span};
use chrono::{DateTime, Datelike, Days, NaiveDate, NaiveTime, Timelike};
use chrono_tz::Tz;

/// A time of day, with its day when that is not today: `14:10`, `Thu 14:10`, `Thu 10 Dec 14:10`.
pub fn at(moment: Moment, now: Moment, zone: Tz) -> String {
    told(&moment.in_zone(zone), now.in_zone(zone).date_naive())
}

/// The same of a time in its zone. Written by hand: a page of a thousand pieces has thousands of times.
fn told(then: &DateTime<Tz>, today: NaiveDate) -> String {
    let (hour, minute) = (then.hour(), then.minute());
    match (then.date_naive() - today).num_days() {
        0 => format!("{hour:02}:{minute:02}"),
        -6..=6 => format!("{} {hour:02}:{minute:02}", then.weekday()),
        _ => format!("{} {hour:02}:{minute:02}", then.format("%a %-d %b")),
    }
}

/// An estimate: `14:10–15:00`, `Wed 23:00–Thu 02:10`; one time where both ends are the same.
pub fn between(when: When, now: Moment, zone: Tz) -> String {
    let (late, today) = (when.late.in_zone(zone), now.in_zone(zone).date_naive());
    if when.early >= when.late {
        return told(&late, today);
    }
    let early = when.early.in_zone(zone);
    let (begins, ends) = (early.date_naive(), late.date_naive());
    let late = if begins != ends && ends == today {
        // an estimate that ends today but began on another day
        format!("{} {}", late.weekday(), told(&late, today))
    } else {
        told(&late, if begins == ends { ends } else { today })
    };
    format!("{}–{late}", told(&early, today))
}

/// The day and the time, as the head of the page shows them: `Tue 1 Dec`, `10:42`.
pub fn day_and_time(now: &Stamp, zone: Tz) -> (String, String) {
    let now = now.with_timezone(&zone);
    (now.format("%a %-d %b").to_string(), now.format("%H:%M").to_string())
}

/// How long until `then`: minutes and hours from ten minutes up, minutes and seconds below.
pub fn countdown(then: Moment, now: &Stamp) -> String {
    let seconds = then.0.saturating_mul(60) - now.timestamp();
    let (sign, seconds) = if seconds < 0 { ("-", -seconds) } else { ("", seconds) };
    if seconds < COUNTED_BY_SECONDS {
        return format!("{sign}{}:{:02}", seconds / 60, seconds % 60);
    }
    format!("{sign}{}", Span(seconds / 60))
}

/// Below this many seconds a countdown shows seconds.
pub const COUNTED_BY_SECONDS: i64 = 600;

/// Reads when something was done: `14:10` (the last time it was ten past two), `-20` (minutes ago),
/// `-1:30` (hours and minutes ago).
pub fn read_done_at(text: &str, now: Moment, zone: Tz) -> Result<Moment, String> {
    let text = text.trim();
    let accepted = "a time like 14:10, or -20 for twenty minutes ago";
    if text.is_empty() {
        return Err(format!("Type {accepted}."));
    }
    let wrong = || format!("\"{text}\" is not a time. Type {accepted}.");
    if let Some(ago) = text.strip_prefix(['-', '−', '–']) {
        let minutes = match ago.split_once(':') {
            Some((hours, minutes)) => clock_parts(hours, minutes, 24 * 7).map(|(h, m)| h * 60 + m),
            None => ago
                .trim()
                .parse::<i64>()
                .ok()
                .filter(|minutes| (0..=7 * 1440).contains(minutes)),
        };
        return minutes.map(|minutes| now - Span(minutes)).ok_or_else(wrong);
    }
    let (hours, minutes) = text.split_once([':', '.', 'h']).ok_or_else(wrong)?;
    let (hours, minutes) = clock_parts(hours, minutes, 23).ok_or_else(wrong)?;
    let time = NaiveTime::from_hms_opt(hours as u32, minutes as u32, 0).ok_or_else(wrong)?;
    if let Some(moment) = crate::units::last_shown(time, zone, now) {
        return Ok(moment);
    }
    Err(format!(
        "The clock never showed {text} in the last day. Type {accepted}."
    ))
}

/// Reads a time ahead: `14:10` (the next time it is ten past two), `+45` (in so many minutes), `+1:30`,
/// `Thu 08:00` (the next Thursday).
pub fn read_ahead(text: &str, now: Moment, zone: Tz) -> Result<Moment, String> {
    let text = text.trim();
    let accepted = "a time like 14:10, +45 for in 45 minutes, or Thu 08:00";
    let wrong = || format!("\"{text}\" is not a time to come. Type {accepted}.");
    if text.is_empty() {
        return Err(format!("Until when? Type {accepted}."));
    }
    if let Some(ahead) = text.strip_prefix('+') {
        let minutes = match ahead.split_once(':') {
            Some((hours, minutes)) => clock_parts(hours, minutes, 24 * 60).map(|(h, m)| h * 60 + m),
            None => ahead
                .trim()
                .parse::<i64>()
                .ok()
                .filter(|minutes| (1..=60 * 1440).contains(minutes)),
        };
        return minutes.map(|minutes| now + Span(minutes)).ok_or_else(wrong);
    }
    let (day, time) = text
        .rsplit_once(' ')
        .map_or((None, text), |(day, time)| (Some(day), time));
    let weekday: Option<chrono::Weekday> = match day {
        Some(day) => Some(day.trim().parse().map_err(|_| wrong())?),
        None => None,
    };
    let (hours, minutes) = time.split_once([':', '.', 'h']).ok_or_else(wrong)?;
    let (hours, minutes) = clock_parts(hours, minutes, 23).ok_or_else(wrong)?;
    let time = NaiveTime::from_hms_opt(hours as u32, minutes as u32, 0).ok_or_else(wrong)?;
    let today = now.in_zone(zone).date_naive();
    let days = (0..=8).filter_map(|ahead| today.checked_add_days(Days::new(ahead)));
    let mut found = days
        .filter(|day| weekday.is_none_or(|weekday| chrono::Datelike::weekday(day) == weekday))
        .map(|day| crate::units::resolve(day.and_time(time), zone, crate::units::Edge::Start));
    found.find(|moment| *moment > now).ok_or_else(wrong)
}

fn clock_parts(hours: &str, minutes: &str, most_hours: i64) -> Option<(i64, i64)> {
    let digits = |text: &str| (!text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())).then(|| text.parse().ok());
    let (hours, minutes): (i64, i64) = (digits(hours)??, digits(minutes)??);
    (hours <= most_hours && minutes < 60).then_some((hours, minutes))
}

/// Reads a room reading: `19.5 55` is temperature and humidity, `19.5` the temperature alone; decimal
/// commas are read too. The temperature is in °F where the maker writes in it; the answer is in °C.
pub fn read_reading(text: &str, fahrenheit: bool) -> Result<(f64, Option<f64>), String> {
    let unit = if fahrenheit { "°F" } else { "°C" };
    let example = if fahrenheit { "67 55" } else { "19.5 55" };
    let accepted = format!("{unit} and % RH, like {example}, or the temperature alone");
    let mut numbers = Vec::new();
    for word in text.split([' ', ';', '/', '%']).filter(|word| !word.is_empty()) {
        let number = word
            .replace(',', ".")
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite());
        numbers.push(number.ok_or_else(|| format!("\"{word}\" is not a number. Type {accepted}."))?);
    }
    let (temperature, humidity) = match numbers.as_slice() {
        [temperature] => (*temperature, None),
        [temperature, humidity] => (*temperature, Some(*humidity)),
        _ => return Err(format!("Type {accepted}.")),
    };
    let celsius = if fahrenheit {
        (temperature - 32.0) / 1.8
    } else {
        temperature
    };
    if !(-30.0..=60.0).contains(&celsius) {
        return Err(format!("{temperature} {unit} is no air to work in: read it again."));
    }
    if humidity.is_some_and(|humidity| !(1.0..=100.0).contains(&humidity)) {
        return Err("Humidity goes from 1 to 100 %: read it again.".to_owned());
    }
    Ok(((celsius * 10.0).round() / 10.0, humidity))
}
