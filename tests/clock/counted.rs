//! The hours that counted: a varnish over a night that falls from 18 to 6 °C, against an integral worked out here,
//! and where the maker reads of it.

#![allow(
    clippy::expect_used,
    clippy::panic,
    reason = "a check stops where a value is missing"
)]

use crate::shop::{self, ZONE, at, figure, heated, product};
use denib::clock::{Air, DryingClock, counted};
use denib::dayplan::history::{Done, Fate};
use denib::dayplan::{History, Plan, Settings, plan};
use denib::finish::{Mechanism, StepKind, shipped};
use denib::job::Job;
use denib::report::{self, Paper};
use denib::source::SourceFile;
use denib::standing;
use denib::units::{Moment, Span};

/// Hours of the room's own time constant.
const TAU: f64 = 4.0;

/// The room by the clock: heated to 18 °C from 07:00 to 16:00, else nearing 6 °C, each as a body does that loses heat
/// through one resistance; after many such days. `second` is counted from midnight.
fn room(second: f64) -> f64 {
    let tau = TAU * 3600.0;
    let (on, off) = (7.0 * 3600.0, 16.0 * 3600.0);
    // what the days settle at: warm at 16:00, cold at 07:00
    let (warming, cooling) = ((-(off - on) / tau).exp(), (-(86_400.0 - off + on) / tau).exp());
    let warm = (18.0 - 12.0 * warming - 6.0 * warming * cooling) / (1.0 - warming * cooling);

    let cold = 6.0 + (warm - 6.0) * cooling;
    let second = second.rem_euclid(86_400.0);
    if (on..off).contains(&second) {
        18.0 + (cold - 18.0) * (-(second - on) / tau).exp()
    } else {
        let since = if second < on {
            second + 86_400.0 - off
        } else {
            second - off
        };
        6.0 + (warm - 6.0) * (-since / tau).exp()
    }
}

/// When `stated` minutes have passed after `start` (seconds from midnight), and how many minutes were above the
/// floor, by adding up tenths of a second: a doubling for every 12 °F against 23 °C, nothing below the floor.
fn reached(start: f64, stated: f64, floor: f64) -> (f64, f64) {
    let step = 0.1;
    let (mut passed, mut dried, mut second) = (0.0, 0.0, start);
    while passed < stated * 60.0 {
        let here = room(second + step / 2.0);
        if here >= floor {
            passed += 2.0_f64.powf((here - 23.0) * 1.8 / 12.0) * step;
            dried += step;
        }
        second += step;
        assert!(second < 30.0 * 86_400.0, "never dry");
    }
    (second, dried / 60.0)
}

#[test]
fn a_varnish_stated_twelve_hours_is_dry_when_the_integral_says() {
    let climate = heated(Some((7, 16)), (18.0, 50.0), (6.0, 60.0), TAU);
    let air = Air::new(&climate, ZONE, &[], at(9, 0, 0), at(16, 0, 0));
    // the room first: the same to a hundredth of a kelvin
    for (hour, second) in [
        (16, 57_600.0),
        (20, 72_000.0),
        (23, 82_800.0),
        (7, 25_200.0),
        (12, 43_200.0),
    ] {
        let here = air.at(at(10, hour, 0)).expect("known").temperature.0;
        assert!((here - room(second)).abs() < 0.01, "{hour}:00 {here} {}", room(second));
    }
    let mut varnish = product(Mechanism::Oxidation);
    for floor in [None, Some(10.0)] {
        varnish.drying_floor = floor.map(|floor| figure(floor, floor));
        let clock = DryingClock::new(&varnish, &air);
        let dry = clock.reached(at(10, 16, 0), 720.0).expect("reached");
        let (second, minutes) = reached(57_600.0, 720.0, floor.unwrap_or(-40.0));
        let wanted = (second - 57_600.0) / 60.0;
        let lasted = (dry - at(10, 16, 0)).0 as f64;
        assert!(
            lasted >= wanted - 1.0 / 60.0 && lasted < wanted + 1.0 + 1.0 / 60.0,
            "{lasted} {wanted}"
        );
        let told = counted(&varnish, &air, &clock, at(10, 16, 0), dry).expect("known air");
        assert_eq!(told.waited, dry - at(10, 16, 0));
        assert!((told.dried.0 as f64 - minutes).abs() <= 2.0, "{told:?} {minutes}");
        assert!((told.stated - 720.0).abs() < 1.0);
        assert!(told.tells());
        match floor {
            // the night's hours stand still: τ·ln(12/4) after 16:00 the room is at 10 °C
            Some(_) => {
                let evening = TAU * 60.0 * ((room(57_600.0) - 6.0) / 4.0).ln();
                let night = counted(&varnish, &air, &clock, at(10, 16, 0), at(11, 7, 0)).expect("known air");
                assert!((night.dried.0 as f64 - evening).abs() <= 1.0, "{night:?} {evening}");
                assert!(told.to_string().contains("counted, the rest under 10 °C"), "{told}");
            }
            None => assert_eq!(told.dried, told.waited),
        }
    }
}

#[test]
fn a_plain_wait_is_not_told() {
    let air = Air::new(&shop::steady(23.0, 50.0), ZONE, &[], at(9, 0, 0), at(12, 0, 0));
    let varnish = product(Mechanism::Oxidation);
    let clock = DryingClock::new(&varnish, &air);
    let told = counted(&varnish, &air, &clock, at(9, 9, 0), at(9, 21, 0)).expect("known");
    assert!(!told.tells() && told.dried == told.waited);
    assert_eq!(
        counted(&varnish, &air, &clock, at(11, 9, 0), at(13, 9, 0)),
        None,
        "unknown air"
    );
    assert_eq!(
        counted(&varnish, &air, &clock, at(8, 9, 0), at(9, 9, 0)),
        None,
        "unknown air"
    );
}

const JOB: &str = r#"
format = 1
title = "Shelf by the window"
zone = "Europe/London"
start = "2026-11-30 08:00"
units = { length = "mm", temperature = "C", volume = "L" }
finish = "brushed-varnish"

[room]
dust = "together"
settle = "45 min"
cooling = "4 h"

[[room.air]]
heated = "07:00-16:00"
day = { temperature = 18, humidity = 50 }
night = { temperature = 6, humidity = 60 }

[hours]
mon = ["08:00-17:00"]
tue = ["08:00-17:00"]
wed = ["08:00-17:00"]
thu = ["08:00-17:00"]
fri = ["08:00-17:00"]

[[hands]]
name = "Ines"

[[section]]
id = "shelf"

[[part]]
name = "shelf"
shape = "panel"
size = [900, 250, 22]
build = "solid"
material = "ash"
section = "shelf"
holding = "points"

[[figure]]
product = "brushing-varnish"
what = "window-closes"
window = 1
value = "5 h"
at = { temperature = 23, humidity = 50 }
source = "invented: it shall not last into the evening"
"#;

fn planned() -> (Job, Plan) {
    let (job, problems) = denib::job::read(&SourceFile::new("shelf.toml", JOB), &shipped());
    let job = job.unwrap_or_else(|| panic!("{problems:?}"));
    let settings = Settings { seed: 1, tries: 8 };
    let made = plan(&job, &History::none(job.start), settings, &mut || true);
    (job, made.unwrap_or_else(|no| panic!("{no}")))
}

#[test]
fn the_plan_and_the_status_say_which_hours_counted() {
    let (job, plan) = planned();
    let coat = plan
        .operations
        .iter()
        .find(|operation| operation.step == StepKind::Coat && operation.coat == Some(1))
        .expect("a first coat");
    let note = plan
        .cautions
        .iter()
        .find(|note| note.code == "hours-counted" && note.refers.contains(&coat.id))
        .unwrap_or_else(|| panic!("no note in {:?}", plan.cautions));
    // the wait runs from the end of the coat to the opening of the window that the second coat uses: the early one
    // closes by the fast estimate before it opens by the slow one, so it is the one after the gap
    let from = Moment::of(&coat.end);
    let window = coat.dry.as_ref().expect("dries").windows.last().expect("a window").from;
    let until = Moment::of(&window);
    let midnight = shop::at(30, 0, 0);
    let start = (from - midnight).0 as f64 * 60.0;
    let mut above = 0.0;
    let mut second = start;
    while second < (until - midnight).0 as f64 * 60.0 {
        above += if room(second + 0.5) >= 10.0 { 1.0 / 60.0 } else { 0.0 };
        second += 1.0;
    }
    let said = note.figure.as_deref().expect("a figure");
    let near = |minutes: i64| {
        said.starts_with(&format!(
            "{} of {} counted, the rest under 10 °C",
            Span(minutes),
            until - from
        ))
    };
    let floor = above as i64;
    assert!(
        (floor - 2..=floor + 2).any(near),
        "{said}: {above} min from {} to {:?}",
        coat.end,
        note.text
    );

    let text = report::plan_text(&plan, &job, Paper::default());
    let flat = text
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace('\u{a0}', " ");
    let counted = said.replace('\u{a0}', " ");
    assert!(
        flat.contains(&format!(
            "Dry to recoat {}: {counted}.",
            window.format("%a %-d %b %H:%M")
        )),
        "{text}"
    );

    // the same once the coat is on: an hour after it
    let now = from + Span(60);
    let mut history = History::none(now);
    for operation in plan
        .operations
        .iter()
        .filter(|operation| Moment::of(&operation.end) <= from)
    {
        let done = Done {
            start: Moment::of(&operation.start),
            end: Moment::of(&operation.end),
            by: "Ines".to_owned(),
            record: operation.id.clone(),
        };
        history.operations.insert(operation.id.clone(), Fate::Done(done));
    }
    let air = Air::of(&job, &[], job.start - Span::days(1), job.start + Span::days(60));
    let clocks = standing::clocks(&job, &air);
    let at = standing::at(&job, &history, Some(&plan), &air, &clocks, now);
    let film = at.pieces[0]
        .surfaces
        .iter()
        .find_map(|surface| surface.film.as_ref())
        .expect("a film");
    let (_, when) = film.next.expect("a next stage");
    let told = film.counted.expect("a night below the floor");
    assert_eq!(told.waited, when.late - from);
    let status = report::status(&at, &job, Some(&plan), Paper::default());
    let flat = status
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace('\u{a0}', " ");
    assert!(flat.contains(&told.to_string().replace('\u{a0}', " ")), "{status}");
}
