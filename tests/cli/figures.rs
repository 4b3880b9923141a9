//! `air`, `balance` and `stores` on the command line: as text and as documents, before and after the first tick.

#![allow(clippy::unwrap_used)] // a case that cannot be set up has failed

use crate::case::Case;

const NOW: &str = "--now 2026-11-30T08:00:00Z";

fn press() -> Case {
    let case = Case::new();
    case.run("demo --into .").expect(0);
    case
}

fn json(case: &Case, line: &str) -> serde_json::Value {
    let run = case
        .run(&format!("{line} linen-press.toml --format json {NOW}"))
        .expect(0);
    serde_json::from_str(&run.out).unwrap()
}

/// The text without its line breaks.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Nothing is wider than the page but a single word, and no line ends in a space.
fn reads_well(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
        assert_eq!(line, line.trim_end());
    }
    assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
}

#[test]
fn the_air_reads_well() {
    let case = press();
    let run = case.run(&format!("air linen-press.toml {NOW}")).expect(0);
    let run = run.tells("No plan is in force yet");
    let said = flat(&run.out);
    for words in [
        "71.3 m³, 2 changes of its air an hour",
        "under the cap of 8 %",
        "Highest in each half hour",
        "Great Britain, EH40/2005 (4th edition, 2020)",
        "No figure was read in EH40 itself",
        " m³/h (",
        "Flash points",
        "Dew and blush",
        "Cautions ──────── The label, the safety data sheet, local codes and a licensed",
    ] {
        assert!(said.contains(words), "{words}: {}", run.out);
    }
    reads_well(&run.out);
    let plain = case.run(&format!("air linen-press.toml --ascii {NOW}")).expect(0).out;
    assert!(plain.is_ascii(), "{plain}");
    assert!(flat(&plain).contains("(tenths of it, begun ones counted)"));
}

#[test]
fn the_airs_document_says_what_the_plan_says() {
    let case = press();
    let air = json(&case, "air");
    let plan = json(&case, "plan");
    assert_eq!(air["schema"], 1);
    let (one, other) = (&air["air"]["peak_percent_lel"], &plan["air"]["peak_percent_lel"]);
    assert!(
        (one.as_f64().unwrap() - other.as_f64().unwrap()).abs() < 1e-3,
        "{one} {other}"
    );
    assert_eq!(air["air"]["peak_at"], plan["air"]["peak_at"]);
    assert_eq!(air["country_named"], true);
    let substances = air["air"]["substances"].as_array().unwrap();
    assert!(
        substances
            .iter()
            .any(|one| one["name"] == "white spirit" && one["shift_limit"]["year"] == 2020)
    );
    assert!(air["flash_points"].as_array().unwrap().len() >= 3);
    assert_eq!(air["cautions"][0]["code"], "label-first");
}

#[test]
fn limits_follow_the_country() {
    let case = press();
    let text = case
        .read("linen-press.toml")
        .replace("country = \"GB\"", "country = \"US\"");
    let case = case.file("linen-press.toml", &text);
    case.run(&format!("air linen-press.toml {NOW}"))
        .expect(0)
        .says("United States, the lower of OSHA's permissible and NIOSH's recommended");
}

#[test]
fn a_room_without_its_size_is_said_and_not_guessed() {
    let case = press();
    let text = case.read("linen-press.toml").replace("size = [6200, 4600, 2500]\n", "");
    let case = case.file("linen-press.toml", &text);
    let run = case.run(&format!("air linen-press.toml {NOW}")).expect(0);
    let said = flat(&run.out);
    assert!(said.contains("The vapour has not been computed") && said.contains("the room's size is not given"));
    assert_eq!(json(&case, "air")["air"], serde_json::Value::Null);
}

#[test]
fn the_balance_reads_well() {
    let case = press();
    let run = case.run(&format!("balance linen-press.toml {NOW}")).expect(0);
    let run = run
        .says("2 door panels")
        .says("between the seasons")
        .says("slots and buttons")
        .says("The trade is not of one mind");
    reads_well(&run.out);
    let balance = json(&case, "balance");
    let panels = balance["balance"]["panels"].as_array().unwrap();
    // sides, top, bottom, shelves, door panels: the back board is veneered, drawers are narrow or ply
    assert_eq!(panels.len(), 8);
    for panel in panels {
        assert_eq!(panel["equal_coats"], true);
        assert_eq!(panel["so_far"], serde_json::Value::Null, "nothing is in the log");
        assert!(panel["season_mm"][1].as_f64().unwrap() > 1.0);
    }
}

#[test]
fn the_stores_read_well_and_follow_the_log() {
    let case = press();
    let run = case.run(&format!("stores linen-press.toml {NOW}")).expect(0);
    let run = run
        .says("batch K 4107")
        .says("On the shelf: 1 tin")
        .says("SHORT by")
        .says("GBP")
        .says("Abrasives")
        .says("P180")
        .says("masking tape");
    reads_well(&run.out);
    assert!(!run.out.contains("Used "));
    let varnish = |case: &Case| {
        let all = json(case, "stores");
        let products = all["stores"]["products"].as_array().unwrap().clone();
        products.into_iter().find(|one| one["product"] == "shellac").unwrap()
    };
    assert_eq!(varnish(&case)["used_ml"], 0.0);
    case.run(&format!("plan linen-press.toml --take {NOW}")).expect(0);
    // the first rounds up to the first coat of shellac
    for _ in 0..40 {
        case.run("tick linen-press.toml --now 2026-11-30T12:00:00Z");
        if varnish(&case)["used_ml"].as_f64().unwrap() > 0.0 {
            break;
        }
    }
    let after = varnish(&case);
    let used = after["used_ml"].as_f64().unwrap();
    assert!(used > 0.0);
    assert!((after["on_hand_ml"].as_f64().unwrap() + used - 700.0).abs() < 1e-6);
    assert!(after["left_ml"].as_f64().unwrap() > 0.0);
    let run = case.run(&format!("stores linen-press.toml {NOW}")).expect(0);
    assert!(!run.err.contains("No plan is in force"), "{}", run.err);
}

#[test]
fn a_job_with_errors_is_refused() {
    let case = press();
    let text = case
        .read("linen-press.toml")
        .replace("holds = \"2.5 L\"", "holds = 2.5");
    let case = case.file("linen-press.toml", &text);
    for command in ["air", "balance", "stores"] {
        case.run(&format!("{command} linen-press.toml"))
            .expect(1)
            .tells("error[bad-volume]");
    }
}
