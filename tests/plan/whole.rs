//! The whole plan: air, stores, mixes, solvent and cautions filled in, and the cap kept whatever the job.

#![allow(clippy::panic, clippy::expect_used)] // a check that fails says why

use crate::planned::from_text;
use denib::dayplan::document::{Plan, Severity};
use denib::dayplan::verify::verify;
use denib::dayplan::{History, STANDING_LINE, Settings};
use denib::finish::StepKind;
use denib::job::Job;
use denib::whole;

const DEMO: &str = include_str!("../../demo/linen-press.toml");

fn read(text: &str) -> Job {
    from_text("job.toml", text)
}

fn made(job: &Job) -> Plan {
    let settings = Settings { seed: 1, tries: 0 };
    whole::plan(job, &History::none(job.start), settings, &mut || true).unwrap_or_else(|no| panic!("{no}"))
}

/// A top and rails, sprayed with two parts, in a room of its own.
fn sprayed(room: &str, size: &str) -> String {
    format!(
        r#"
format = 1
title = "Counter"
zone = "Europe/London"
start = "2026-11-30 08:00"
units = {{ length = "mm", temperature = "C", volume = "L" }}
finish = "conversion-varnish"
[room]
{room}
dust = "separated"
[[room.air]]
day = {{ temperature = 21, humidity = 50 }}
[hours]
mon = ["08:00-12:30", "13:15-17:30"]
tue = ["08:00-12:30", "13:15-17:30"]
wed = ["08:00-12:30", "13:15-17:30"]
thu = ["08:00-12:30", "13:15-17:30"]
fri = ["08:00-12:30", "13:15-17:30"]
[[hands]]
name = "Wren"
[[section]]
id = "counter"
name = "counter"
[[part]]
name = "top"
count = 2
shape = "panel"
size = {size}
build = "veneered"
material = "oak veneer on ply"
section = "counter"
holding = "points"
"#
    )
}

#[test]
fn the_demos_plan_is_whole() {
    let job = read(DEMO);
    let plan = made(&job);
    let air = plan.air.as_ref().expect("the demo gives its room");
    assert!((air.volume_m3 - 71.3).abs() < 1e-6 && (air.cap_percent_lel - 8.0).abs() < 1e-9);
    assert!(air.peak_percent_lel > 1.0 && air.peak_percent_lel <= air.cap_percent_lel);
    assert!(air.peak_at.is_some() && air.series.len() > 20);
    let stores = plan.stores.as_ref().expect("always");
    for item in [
        "brushing-varnish",
        "shellac",
        "abrasive P120",
        "tack cloth",
        "masking tape",
    ] {
        assert!(
            stores.iter().any(|line| line.item == item && line.needed > 0.0),
            "{item}"
        );
    }
    for coat in plan
        .operations
        .iter()
        .filter(|one| matches!(one.step, StepKind::Coat | StepKind::Seal))
    {
        assert!(coat.solvent_g.is_some_and(|grams| grams > 0.0), "{}", coat.id);
    }
    // judged by the check that shares nothing with it, air line and all
    let found: Vec<String> = verify(&plan, &job).iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{found:?}");
    let text = denib::report::plan_json(&plan).expect("json");
    let back: Plan = serde_json::from_str(&text).expect("reads back");
    assert_eq!(back, plan);
}

#[test]
fn every_caution_stands_once_and_the_standing_line_first() {
    let plan = made(&read(DEMO));
    assert_eq!(plan.cautions.first().map(|one| one.text.as_str()), Some(STANDING_LINE));
    assert_eq!(plan.cautions.iter().filter(|one| one.text == STANDING_LINE).count(), 1);
    let rest = &plan.cautions[1..];
    assert!(rest.is_sorted_by_key(|one| std::cmp::Reverse(one.severity)));
    for (index, one) in rest.iter().enumerate() {
        assert!(
            !one.code.is_empty() && one.source.as_ref().is_some_and(|source| !source.is_empty()),
            "{one:?}"
        );
        let again = rest[index + 1..].iter().find(|other| other.text == one.text);
        assert!(again.is_none(), "said twice: {one:?}");
        // nothing is said to be without danger
        assert!(!one.text.to_lowercase().contains(" safe "), "{}", one.text);
    }
    for code in [
        "flash-point",
        "oily-rags",
        "wood-dust",
        "air-shift",
        "storage",
        "batches",
    ] {
        assert!(rest.iter().any(|one| one.code == code), "{code}");
    }
    assert!(
        !rest
            .iter()
            .any(|one| one.code == "ventilation" || one.code == "air-fire")
    );
}

#[test]
fn without_the_rooms_size_air_is_null_and_a_caution_says_so() {
    let plan = made(&read(&DEMO.replace("size = [6200, 4600, 2500]\n", "")));
    assert!(plan.air.is_none() && plan.stores.is_some());
    let said = plan
        .cautions
        .iter()
        .find(|one| one.code == "air-not-computed")
        .expect("said");
    assert!(said.text.contains("the room's size is not given"), "{}", said.text);
}

#[test]
fn a_coat_over_the_cap_alone_is_planned_and_stopped() {
    let job = read(&sprayed(
        "size = [3000, 2500, 2300]\nair_changes = 6",
        "[2400, 900, 20]",
    ));
    let plan = made(&job);
    let air = plan.air.as_ref().expect("a room");
    assert!(air.peak_percent_lel > air.cap_percent_lel);
    let fire = plan.cautions.iter().find(|one| one.code == "air-fire").expect("said");
    assert_eq!(fire.severity, Severity::Stop);
    assert!(
        fire.figure
            .as_ref()
            .is_some_and(|figure| figure.contains("% of the lower explosive limit"))
    );
    assert!(
        fire.refers
            .iter()
            .all(|id| plan.operations.iter().any(|one| one.id == *id))
            && !fire.refers.is_empty()
    );
    let found: Vec<String> = verify(&plan, &job).iter().map(ToString::to_string).collect();
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn a_shut_room_is_planned_and_stopped() {
    let job = read(&sprayed(
        "size = [3000, 2500, 2300]\nair_changes = 0",
        "[2400, 900, 20]",
    ));
    let plan = made(&job);
    let fire = plan.cautions.iter().find(|one| one.code == "air-fire").expect("said");
    assert!(
        fire.severity == Severity::Stop && fire.text.contains("hardly changes its air"),
        "{fire:?}"
    );
}

/// Mixes say what has to be mixed, losses of the gun included, and every coat of two parts names its mix.
#[test]
fn mixes_hold_what_has_to_be_mixed() {
    let job = read(&sprayed(
        "size = [9000, 6000, 3000]\nair_changes = 12",
        "[1200, 600, 20]",
    ));
    let plan = made(&job);
    assert!(!plan.mixes.is_empty());
    for mix in &plan.mixes {
        let lands: f64 = plan
            .operations
            .iter()
            .filter(|one| one.mix.as_deref() == Some(&mix.id))
            .filter_map(|one| one.volume)
            .sum();
        // a gun lands 65 % of it, and a tenth stays in the pot
        let wanted = lands / 0.65 / 0.9;
        assert!(
            lands > 0.0 && (mix.volume - wanted).abs() < 0.06 + 1e-3 * wanted,
            "{mix:?} {wanted}"
        );
    }
    // what the gun misses gives off its solvent all the same
    let coat = plan
        .operations
        .iter()
        .find(|one| one.step == StepKind::Coat && one.volume.is_some())
        .expect("a coat");
    let product = job.product(coat.product.as_deref().expect("a product")).expect("known");
    let lands = coat.volume.expect("given");
    let by_hand = product
        .given_off(denib::units::Millilitres(lands / 0.65))
        .expect("solvents given")
        .total()
        .0;
    assert!((coat.solvent_g.expect("given") - by_hand).abs() < 0.06, "{by_hand}");
}

/// What the stores count can be said to be there, under the same name and in the same unit.
#[test]
fn every_sundry_can_be_on_the_shelf() {
    let job = read(DEMO);
    let page = whole::stores_page(&job, &made(&job), &History::none(job.start));
    assert!(page.stores.sundries.len() >= 4);
    for need in &page.stores.sundries {
        assert!(
            denib::job::shelf::SUNDRIES.contains(&(need.item, need.unit)),
            "{} in {}",
            need.item,
            need.unit
        );
        assert!(need.on_hand.is_some(), "{}", need.item);
    }
}

/// One piece after the other, the plan that is always there, keeps the cap as well.
#[test]
fn tight_caps_are_kept() {
    for cap in ["1", "2", "3"] {
        let job = read(&DEMO.replace("vapour_cap = 8 ", &format!("vapour_cap = {cap} ")));
        let plan = made(&job);
        let found: Vec<String> = verify(&plan, &job).iter().map(ToString::to_string).collect();
        assert!(found.is_empty(), "{cap}: {found:?}");
        let air = plan.air.as_ref().expect("a room");
        let alone = plan.cautions.iter().any(|one| one.code == "air-fire");
        assert!(
            alone || air.peak_percent_lel <= air.cap_percent_lel,
            "{cap}: {}",
            air.peak_percent_lel
        );
    }
}

#[test]
fn the_log_changes_what_is_left() {
    use denib::dayplan::history::{Done, Fate};
    use denib::units::Moment;
    let job = read(DEMO);
    let plan = made(&job);
    let mut history = History::none(job.start);
    let coat = plan
        .operations
        .iter()
        .find(|one| one.product.as_deref() == Some("shellac") && one.volume.is_some())
        .expect("shellac");
    history.now = Moment::of(&coat.end);
    let done = Done {
        start: Moment::of(&coat.start),
        end: Moment::of(&coat.end),
        by: "Wren".to_owned(),
        record: "1".to_owned(),
    };
    history.operations.insert(coat.id.clone(), Fate::Done(done));
    let need = |history: &History| {
        let page = whole::stores_page(&job, &plan, history);
        page.stores
            .products
            .into_iter()
            .find(|need| need.product == "shellac")
            .expect("shellac")
    };
    let (before, after) = (need(&History::none(job.start)), need(&history));
    assert!(before.used_ml.is_some_and(|used| used == 0.0) && after.used_ml.is_some_and(|used| used > 0.0));
    // the tin had 700 mL; what was used is off it
    let there = 700.0 - after.used_ml.expect("used");
    assert!((after.on_hand_ml.expect("said") - there).abs() < 1e-9);
    assert_eq!(after.lasts, Some(true));
    let lived = whole::as_lived(&job, &plan, &history);
    let states = lived
        .operations
        .iter()
        .filter(|one| one.state == denib::dayplan::document::State::Done);
    assert_eq!(states.count(), 1);
}
