//! Dew, blush, rags, hardeners, residue, dust: cautions and when they are said.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use crate::planned::{self, ROOM, coat, find, job, operation, panel, plan};
use crate::shop;
use denib::air::storage::category;
use denib::air::{Settings, cautions};
use denib::dayplan::document::{Caution, Operation, Severity};
use denib::finish::{Grit, Mechanism, Method, Product, StepKind};
use denib::job::Job;
use denib::science::exposure::Country;

fn bench() -> Job {
    job(ROOM, &panel("top", [1200, 600, 20], "oak", "solid", ""))
}

fn said(job: &Job, operations: Vec<Operation>, air: (f64, f64)) -> Vec<Caution> {
    let mut plan = plan(job, operations);
    plan.climate = vec![(planned::at("00:00"), air.0, air.1)];
    cautions(job, &plan, None, &Settings::default())
}

// Dew points by PsychroLib 2.5.0: 20 °C and 45 % 7.7 °C, 60 % 12.0, 75 % 15.4; 88 % 18.0.
#[test]
fn blush_follows_the_gap_to_the_dew_point() {
    let job = bench();
    let shellac = || vec![coat("top", &["face"], "shellac", 1, "09:00", 20, 100.0)];
    let varnish = || vec![coat("top", &["face"], "brushing-varnish", 1, "09:00", 20, 100.0)];
    let blush = |air| find(&said(&job, shellac(), air), "blush").map(|one| one.severity);
    assert_eq!(blush((20.0, 45.0)), None);
    assert_eq!(blush((20.0, 60.0)), Some(Severity::Warning));
    assert_eq!(blush((20.0, 75.0)), Some(Severity::Stop));
    // an oil varnish does not chill itself
    assert!(find(&said(&job, varnish(), (20.0, 75.0)), "blush").is_none());
    assert!(find(&said(&job, varnish(), (20.0, 75.0)), "dew-point").is_none());
    // but no coat goes on within 3 °C of the dew point, nor above 85 %
    let damp = said(&job, varnish(), (20.0, 88.0));
    let dew = find(&damp, "dew-point").expect("said");
    assert_eq!(dew.severity, Severity::Stop);
    assert!(
        dew.figure
            .as_ref()
            .is_some_and(|figure| figure.contains("dew point of 18.0 °C")),
        "{dew:?}"
    );
    assert_eq!(dew.refers.len(), 1);
}

#[test]
fn every_coat_has_its_gap() {
    use denib::air::{Nearness, dew_gaps};
    let job = bench();
    let plan = plan(
        &job,
        vec![
            coat("top", &["face"], "shellac", 1, "09:00", 20, 100.0),
            coat("top", &["back"], "brushing-varnish", 1, "12:00", 20, 100.0),
        ],
    );
    let gaps = dew_gaps(&job, &plan);
    assert_eq!(gaps.len(), 2);
    // 20 °C and 45 %: dew point 7.72 °C (PsychroLib 2.5.0)
    assert!((gaps[0].dew_point_c - 7.7186).abs() < 0.01 && (gaps[0].gap_k - 12.2814).abs() < 0.01);
    assert!(gaps.iter().all(|gap| gap.nearness == Nearness::Clear));
}

#[test]
fn the_air_is_that_of_the_coats_own_hour() {
    let job = bench();
    let mut plan = plan(
        &job,
        vec![
            coat("top", &["face"], "shellac", 1, "09:00", 20, 100.0),
            coat("top", &["back"], "shellac", 1, "15:00", 20, 100.0),
        ],
    );
    plan.climate = vec![(planned::at("08:00"), 20.0, 45.0), (planned::at("14:00"), 20.0, 75.0)];
    let found = cautions(&job, &plan, None, &Settings::default());
    let blush = find(&found, "blush").expect("said");
    assert_eq!(blush.refers, [plan.operations[1].id.clone()]);
}

fn with_product(job: &mut Job, product: Product) -> String {
    let id = product.id.clone();
    job.schedules
        .values_mut()
        .next()
        .expect("a schedule")
        .products
        .push(product);
    id
}

fn two_pack(name: &str) -> Product {
    Product {
        id: name.replace(' ', "-"),
        name: name.to_owned(),
        family: "two-part".to_owned(),
        ..shop::product(Mechanism::TwoPack)
    }
}

#[test]
fn hardeners_are_told_by_their_own_words() {
    for (name, isocyanate, formaldehyde) in [
        ("two-part polyurethane", true, false),
        ("acid-catalysed lacquer", false, true),
        // its words leave it open: both, and the data sheet decides
        ("hard clear", true, true),
    ] {
        let mut job = bench();
        let id = with_product(&mut job, two_pack(name));
        let found = said(
            &job,
            vec![coat("top", &["face"], &id, 1, "09:00", 20, 100.0)],
            (20.0, 45.0),
        );
        assert_eq!(find(&found, "isocyanate").is_some(), isocyanate, "{name}");
        assert_eq!(find(&found, "formaldehyde").is_some(), formaldehyde, "{name}");
        let open = isocyanate && formaldehyde;
        assert!(
            found
                .iter()
                .filter(|one| one.code == "isocyanate")
                .all(|one| one.text.contains("may carry") == open)
        );
    }
    let job = bench();
    let none = said(
        &job,
        vec![coat("top", &["face"], "shellac", 1, "09:00", 20, 100.0)],
        (20.0, 45.0),
    );
    assert!(find(&none, "isocyanate").is_none() && find(&none, "formaldehyde").is_none());
}

#[test]
fn rags_name_every_evening_they_are_due() {
    let job = bench();
    let oil = |start: &str| coat("top", &["face"], "oil-varnish-blend", 1, start, 20, 100.0);
    let found = said(&job, vec![oil("09:00"), oil("1 09:00"), oil("1 15:00")], (20.0, 45.0));
    let rags = find(&found, "oily-rags").expect("said");
    assert!(rags.text.contains("Mon 30 Nov, Tue 1 Dec"), "{}", rags.text);
    assert_eq!(rags.refers.len(), 3);
    let lacquer = said(
        &job,
        vec![coat("top", &["face"], "cellulose-lacquer", 1, "09:00", 20, 100.0)],
        (20.0, 45.0),
    );
    // many days are counted, not listed
    let many: Vec<Operation> = (1..9).map(|day| oil(&format!("{day} 09:00"))).collect();
    let found = said(&job, many, (20.0, 45.0));
    let rags = find(&found, "oily-rags").expect("said");
    assert!(
        rags.text.contains("8 days from Tue 1 Dec to Tue 8 Dec"),
        "{}",
        rags.text
    );
    assert!(find(&lacquer, "oily-rags").is_none() && find(&lacquer, "lacquer-residue").is_some());
}

#[test]
fn flash_points_are_held_against_the_room_and_what_burns_in_it() {
    let mut job = bench();
    let severity = |job: &Job, product: &str| {
        let found = said(
            job,
            vec![coat("top", &["face"], product, 1, "09:00", 20, 100.0)],
            (20.0, 45.0),
        );
        find(&found, "flash-point").map(|one| one.severity)
    };
    // shellac 12 °C, varnish 38 °C and above, in a room of 20 °C
    assert_eq!(severity(&job, "shellac"), Some(Severity::Warning));
    assert_eq!(severity(&job, "brushing-varnish"), None);
    job.room.ignition = vec!["a gas heater".to_owned()];
    assert_eq!(severity(&job, "shellac"), Some(Severity::Stop));
    assert_eq!(severity(&job, "brushing-varnish"), Some(Severity::Warning));
}

#[test]
fn dust_of_a_fresh_oil_film_is_named() {
    let job = bench();
    let oil = coat("top", &["face"], "brushing-varnish", 1, "09:00", 20, 100.0);
    let mut scuff = operation("top", StepKind::Scuff, &["face"], "2 09:00", 20);
    scuff.dusty = true;
    scuff.film_from = Some(oil.id.clone());
    scuff.grit = Some("P320".to_owned());
    let found = said(&job, vec![oil, scuff.clone()], (20.0, 45.0));
    assert!(find(&found, "oily-dust").is_some() && find(&found, "wood-dust").is_some());
    let shellac = coat("top", &["face"], "shellac", 1, "09:00", 20, 100.0);
    scuff.film_from = Some(shellac.id.clone());
    let found = said(&job, vec![shellac, scuff], (20.0, 45.0));
    assert!(find(&found, "oily-dust").is_none() && find(&found, "wood-dust").is_some());
}

#[test]
fn spraying_has_its_own_caution_and_loses_to_the_air() {
    let mut job = bench();
    let coats = || vec![coat("top", &["face"], "shellac", 1, "09:00", 20, 100.0)];
    let brushed = denib::air::of(&job, &plan(&job, coats()), Country::GreatBritain).expect("a room");
    assert!(find(&said(&job, coats(), (20.0, 45.0)), "spray").is_none());
    for step in job.schedules.values_mut().flat_map(|schedule| &mut schedule.steps) {
        if step.product.as_deref() == Some("shellac") {
            step.method = Some(Method::Spray);
        }
    }
    assert!(find(&said(&job, coats(), (20.0, 45.0)), "spray").is_some());
    let sprayed = denib::air::of(&job, &plan(&job, coats()), Country::GreatBritain).expect("a room");
    assert!((sprayed.coats[0].grams * 0.65 / brushed.coats[0].grams - 1.0).abs() < 1e-9);
}

// 29 CFR 1910.106(a)(19) classes as quoted on safety pages: 23 °C, 60 °C, 93 °C.
#[test]
fn storage_classes_by_flash_point() {
    for (flash, wanted) in [
        (-20.0, "1 or 2"),
        (22.9, "1 or 2"),
        (23.0, "3"),
        (60.0, "3"),
        (61.0, "4"),
        (93.0, "4"),
    ] {
        assert!(
            category(flash).is_some_and(|found| found.contains(&format!("category {wanted}"))),
            "{flash}"
        );
    }
    assert_eq!(category(93.1), None);
    let job = bench();
    let found = said(
        &job,
        vec![coat("top", &["face"], "shellac", 1, "09:00", 20, 1500.0)],
        (20.0, 45.0),
    );
    let storage = find(&found, "storage").expect("said");
    assert_eq!(storage.severity, Severity::Note);
    assert!(storage.figure.as_ref().is_some_and(|figure| figure.contains("1.50 L")));
}

#[test]
fn a_plan_without_products_says_nothing() {
    let job = bench();
    let mut sand = operation("top", StepKind::Sand, &["face"], "09:00", 20);
    sand.grit = Some(Grit::parse("P120").expect("a grit").to_string());
    assert!(said(&job, vec![sand], (20.0, 90.0)).is_empty());
}
