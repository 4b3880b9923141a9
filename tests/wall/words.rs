//! Times typed and shown, where the wall does not start, scripts.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic)]

use chrono::TimeZone;
use chrono_tz::America::New_York;
use chrono_tz::Europe::London;
use chrono_tz::Tz;
use denib::cli::{INSTEAD, Surroundings, refuses};
use denib::standing::When;
use denib::tui::Key;
use denib::tui::key::{ScriptStep, parse_script};
use denib::tui::symbols::{ASCII, UNICODE};
use denib::tui::timing::{at, between, countdown, read_done_at};
use denib::units::{Moment, Span};

fn moment(zone: Tz, year: i32, month: u32, day: u32, hour: u32, minute: u32) -> Moment {
    Moment::of(
        &zone
            .with_ymd_and_hms(year, month, day, hour, minute, 0)
            .latest()
            .expect("a time of that day"),
    )
}

fn london(day: u32, hour: u32, minute: u32) -> Moment {
    moment(London, 2026, 12, day, hour, minute)
}

#[test]
fn other_days_show() {
    let now = london(1, 10, 42);
    assert_eq!(at(london(1, 23, 59), now, London), "23:59");
    assert_eq!(at(london(2, 0, 0), now, London), "Wed 00:00");
    assert_eq!(at(london(7, 9, 0), now, London), "Mon 09:00");
    assert_eq!(at(london(8, 9, 0), now, London), "Tue 8 Dec 09:00");
    assert_eq!(at(moment(London, 2026, 11, 30, 9, 0), now, London), "Mon 09:00");
}

#[test]
fn estimates_show_both_ends() {
    let now = london(1, 10, 42);
    let show = |early, late| between(When { early, late }, now, London);
    assert_eq!(show(london(1, 14, 10), london(1, 15, 0)), "14:10–15:00");
    assert_eq!(show(london(1, 14, 10), london(1, 14, 10)), "14:10");
    assert_eq!(show(london(1, 23, 0), london(2, 2, 10)), "23:00–Wed 02:10");
    assert_eq!(show(london(2, 9, 0), london(2, 10, 0)), "Wed 09:00–10:00");
    assert_eq!(show(london(2, 23, 0), london(3, 2, 0)), "Wed 23:00–Thu 02:00");
    assert_eq!(
        show(moment(London, 2026, 11, 30, 23, 0), london(1, 12, 0)),
        "Mon 23:00–Tue 12:00"
    );
}

#[test]
fn countdowns_are_end_minus_clock() {
    let now = London
        .with_ymd_and_hms(2026, 12, 1, 10, 42, 20)
        .single()
        .expect("a time")
        .fixed_offset();
    assert_eq!(countdown(london(1, 10, 43), &now), "0:40");
    assert_eq!(countdown(london(1, 10, 52), &now), "9:40");
    assert_eq!(countdown(london(1, 10, 53), &now), "10 min");
    assert_eq!(countdown(london(1, 13, 0), &now), "2 h 17");
    assert_eq!(countdown(london(1, 10, 42), &now), "-0:20");
}

#[test]
fn done_at_is_never_after_now() {
    let now = london(1, 10, 42);
    let read = |text: &str| read_done_at(text, now, London);
    assert_eq!(read("10:42"), Ok(now));
    assert_eq!(read(" 9.05 "), Ok(london(1, 9, 5)));
    assert_eq!(read("10:43"), Ok(moment(London, 2026, 11, 30, 10, 43)));
    assert_eq!(read("-20"), Ok(now - Span(20)));
    assert_eq!(read("-1:30"), Ok(now - Span(90)));
    assert_eq!(read("-0"), Ok(now));
    for wrong in [
        "",
        "noon",
        "24:00",
        "10:60",
        "1042",
        "-",
        "--5",
        "-1:75",
        "10:5x",
        "+5",
        "-99999999999999999999",
    ] {
        assert!(read(wrong).is_err(), "{wrong}");
    }
}

/// The nights the clocks change: 25 October 2026 and 28 March 2027 in London (European Union directive
/// 2000/84/EC, kept by the United Kingdom), 1 November 2026 and 14 March 2027 in New York (US Energy Policy
/// Act of 2005), as chrono-tz has them too.
#[test]
fn done_at_on_the_nights_the_clocks_change() {
    for (zone, autumn, spring, hour) in [
        (London, (2026, 10, 25), (2027, 3, 28), 1),
        (New_York, (2026, 11, 1), (2027, 3, 14), 1),
    ] {
        let (year, month, day) = autumn;
        let later = moment(zone, year, month, day, hour, 30);
        // an end typed after the fold is the later of the two, while it is still to come the earlier one
        assert_eq!(read_done_at(&format!("{hour}:30"), later + Span(90), zone), Ok(later));
        assert_eq!(
            read_done_at(&format!("{hour}:30"), later - Span(10), zone),
            Ok(later - Span(60))
        );
        let (year, month, day) = spring;
        let noon = moment(zone, year, month, day, 12, 0);
        // London skips 01:00 to 02:00, New York 02:00 to 03:00: today never showed it, the day before did
        let skipped = if zone == London { 1 } else { 2 };
        let before = moment(zone, year, month, day - 1, skipped, 30);
        assert_eq!(read_done_at(&format!("{skipped}:30"), noon, zone), Ok(before));
    }
}

#[test]
fn without_a_terminal_the_plain_commands_are_named() {
    let around = |term: Option<&str>, terminal| Surroundings {
        term: term.map(str::to_owned),
        output_is_terminal: terminal,
        input_is_terminal: terminal,
        ..Surroundings::default()
    };
    assert_eq!(refuses(&around(Some("xterm"), true)), None);
    for poor in [
        around(Some("xterm"), false),
        around(Some("dumb"), true),
        around(Some(""), true),
        around(None, true),
    ] {
        assert!(refuses(&poor).is_some(), "{poor:?}");
    }
    for command in ["denib plan", "denib status", "denib tick"] {
        assert!(INSTEAD.contains(command), "{command} in {INSTEAD}");
    }
}

#[test]
fn scripts_are_read() {
    let key = ScriptStep::Key;
    assert_eq!(
        parse_script("j<enter> <paste:a b><size:100x30><wait:-5><lt>").expect("it can be read"),
        [
            key(Key::Char('j')),
            key(Key::Enter),
            key(Key::Char(' ')),
            ScriptStep::Paste("a b".to_owned()),
            ScriptStep::Size(100, 30),
            ScriptStep::Wait(-5),
            key(Key::Char('<')),
        ]
    );
    for wrong in ["<entr>", "<", "<size:0x0>", "<wait:x>"] {
        let bad = parse_script(wrong).expect_err("it cannot be read");
        assert!(
            bad.to_string().contains("<enter>") || bad.to_string().contains("enter"),
            "{bad}"
        );
    }
}

#[test]
fn signs_are_one_column_and_told_apart() {
    for table in [UNICODE, ASCII] {
        let hands = [
            table.leave,
            table.coat,
            table.turn,
            table.test,
            table.carry,
            table.glue,
            table.spoiled,
        ];
        for (index, sign) in hands.iter().enumerate() {
            assert_eq!(unicode_width::UnicodeWidthChar::width(*sign), Some(1), "{sign}");
            assert!(!hands[..index].contains(sign), "{sign} stands for two things");
        }
    }
    assert!(
        [
            ASCII.leave,
            ASCII.turn,
            ASCII.carry,
            ASCII.glue,
            ASCII.cursor,
            ASCII.rule
        ]
        .iter()
        .all(char::is_ascii)
    );
    assert_eq!(ASCII.plain("14:10–15:00 · 19 °C …"), "14:10-15:00 , 19 C ~");
}
