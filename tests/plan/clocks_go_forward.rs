//! Work through the night the clocks go forward: an hour that does not exist is nobody's work, no wait, and on no
//! screen. Clocks in London go from 00:59 to 02:00 on 29 March 2026 (directive 2000/84/EC; IANA time zone database).

// a check that cannot be set up, or fails, stops
#![allow(clippy::expect_used, clippy::panic)]

use crate::case::{self, Case};
use crate::planned::from_text;
use chrono::Timelike;
use chrono_tz::Europe::London;
use denib::dayplan::document::{Stamp, WaitFrom};
use denib::dayplan::{History, Plan, Settings, verify};
use denib::job::Job;
use denib::log::{What, read};
use std::collections::HashMap;

/// The small shelf on a night shift over the change: 23:00 to 06:30 on the clock, six hours and a half of work.
fn text(sunday: &str) -> String {
    let night = format!("fri = []\nsat = [\"22:00-24:00\"]\nsun = {sunday}\n");
    let text = case::SMALL
        .replace("start = \"2026-11-30 08:00\"", "start = \"2026-03-28 22:00\"")
        .replace("fri = [\"08:00-12:30\", \"13:15-17:30\"]\n", &night);
    assert!(
        text.contains(sunday),
        "the hours of the small job were written otherwise"
    );
    text
}

const NIGHT: &str = "[\"00:00-06:30\"]";

fn job(sunday: &str) -> Job {
    from_text("night.toml", &text(sunday))
}

fn planned(job: &Job) -> Plan {
    let plan = denib::whole::plan(job, &History::none(job.start), Settings::default(), &mut || true);
    plan.unwrap_or_else(|no| panic!("{no}"))
}

fn at(text: &str) -> Stamp {
    text.parse().expect("an instant")
}

/// The last minute before the change and the first after it are one minute apart.
const CHANGE: &str = "2026-03-29T01:00:00Z";

/// Every time a plan gives.
fn times(plan: &Plan) -> Vec<Stamp> {
    let mut times = vec![plan.starts, plan.ready, plan.ends, plan.bound];
    for one in &plan.operations {
        times.extend([one.start, one.end, one.because.at]);
        times.extend(one.place_until);
        let Some(dry) = &one.dry else { continue };
        times.extend(
            [
                dry.dust_free,
                dry.dry_to_touch,
                dry.dry_to_turn,
                dry.dry_to_sand,
                dry.dry_hard,
            ]
            .into_iter()
            .flatten(),
        );
        times.extend(dry.windows.iter().map(|window| window.from));
    }
    times.extend(plan.rounds.iter().flat_map(|round| [round.start, round.end]));
    times.extend(
        plan.hands
            .iter()
            .flat_map(|hands| &hands.shifts)
            .flat_map(|(from, until)| [*from, *until]),
    );
    times
}

#[test]
fn a_night_shift_is_as_long_as_its_hours_and_every_wait_as_long_as_it_must_be() {
    let job = job(NIGHT);
    let plan = planned(&job);
    assert_eq!(verify(&plan, &job), vec![]);
    let change = at(CHANGE);
    // the offset of every time is that of its instant: no clock ever shows anything between one and two
    for time in times(&plan) {
        let there = time.with_timezone(&London);
        assert_eq!(there.naive_local(), time.naive_local(), "{time}");
        assert!(time.date_naive() != change.date_naive() || time.hour() != 1, "{time}");
    }
    // Saturday's shift and Sunday's are one stretch of seven hours and a half, not eight and a half
    let shift = plan.hands[0].shifts[0];
    assert_eq!(
        shift,
        (at("2026-03-28T22:00:00+00:00"), at("2026-03-29T06:30:00+01:00"))
    );
    assert_eq!((shift.1 - shift.0).num_minutes(), 450);
    // hands work over the change, for as many minutes as the work takes
    let over: Vec<_> = plan
        .operations
        .iter()
        .filter(|one| one.start < change && one.end >= change)
        .collect();
    let after = plan
        .operations
        .iter()
        .filter(|one| one.start >= change && one.start < shift.1)
        .count();
    assert!(after > 3, "nothing is done after the change: the check would be empty");
    for one in plan.operations.iter().filter(|one| one.start < shift.1) {
        let minutes = one.hands_minutes / one.hands.len().max(1) as f64;
        assert_eq!(
            (one.end - one.start).num_minutes(),
            minutes.round() as i64,
            "{}",
            one.id
        );
    }
    // waits are kept in minutes that pass
    let by_id: HashMap<&str, _> = plan.operations.iter().map(|one| (one.id.as_str(), one)).collect();
    let mut across = 0;
    for wait in &plan.waits {
        let (Some(before), Some(after)) = (by_id.get(wait.before.as_str()), by_id.get(wait.after.as_str())) else {
            continue;
        };
        let from = match wait.from {
            WaitFrom::Start => before.start,
            WaitFrom::End => before.end,
        };
        if let Some(least) = wait.min_minutes {
            let gone = (after.start - from).num_minutes();
            assert!(
                gone as f64 >= least.floor(),
                "{} after {}: {gone} of {least}",
                wait.after,
                wait.before
            );
            across += usize::from(from < change && after.start >= change && least > 0.0);
        }
    }
    assert!(
        across + over.len() > 0,
        "nothing lies across the change: the check would be empty"
    );
}

#[test]
fn a_shift_inside_the_hour_that_never_was_is_none() {
    let without = planned(&job("[\"02:00-06:30\"]"));
    for sunday in ["[\"01:10-01:50\", \"02:00-06:30\"]", "[\"01:30-06:30\"]"] {
        let plan = planned(&job(sunday));
        // a week of other hours is planned less far ahead: the first days are what matters
        let first = |plan: &Plan| plan.hands[0].shifts.iter().take(10).copied().collect::<Vec<_>>();
        assert_eq!(first(&plan), first(&without), "{sunday}");
        assert_eq!(plan.operations, without.operations, "{sunday}");
    }
}

#[test]
fn the_program_shows_no_time_between_one_and_two() {
    let case = Case::new().file("night.toml", &text(NIGHT));
    let plan = case.run("plan night.toml --take --now 2026-03-28T22:00:00Z").expect(0);
    let sunday = plan.out.split("Sunday 29 March 2026").nth(1).expect("Sunday's work");
    let sunday = sunday.split("Monday").next().unwrap_or_default();
    assert!(sunday.contains("02:"), "{sunday}");
    let none = |text: &str| {
        !["01:0", "01:1", "01:2", "01:3", "01:4", "01:5"]
            .iter()
            .any(|time| text.contains(time))
    };
    assert!(none(sunday), "{sunday}");
    // a minute before the change the screens count in minutes that pass
    let wall = |keys: &str, now: &str| {
        let line = format!("wall night.toml --print --size 80x24 --now {now} --keys {keys}");
        case.run(&line).expect(0).out
    };
    for page in ["1", "2", "3", "7", "F"] {
        let seen = wall(page, "2026-03-29T00:50:00Z");
        assert!(none(&seen), "page {page}\n{seen}");
    }
    // the round on the bench is ticked after the change: what it took is what passed
    case.run("tick night.toml --begun --now 2026-03-29T00:50:00Z").expect(0);
    case.run("tick night.toml --now 2026-03-29T01:10:00Z").expect(0);
    let (records, _) = read(case.read("night.log").as_bytes());
    let Some(What::Done { start, end, .. }) = records.last().map(|record| &record.what) else {
        panic!("{:?}", records.last());
    };
    assert_eq!(
        (start.to_rfc3339(), end.to_rfc3339()),
        (
            "2026-03-29T00:50:00+00:00".to_owned(),
            "2026-03-29T02:10:00+01:00".to_owned(),
        )
    );
    // a time the clock never showed cannot be meant
    case.run("tick night.toml --at 2026-03-29T01:30 --now 2026-03-29T01:40:00Z --note x")
        .tells("put forward");
}
