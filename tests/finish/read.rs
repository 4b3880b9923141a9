//! Reading schedules: every rule a file can break is named where it is broken, in one pass.

#![allow(clippy::expect_used, reason = "a check stops where a value is missing")]

use denib::finish::{SHIPPED, Stage, read, shipped, with_folder};
use denib::source::{Code, Look, SourceFile, Within, render};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// A small schedule without a fault.
fn good() -> String {
    let figure = |low: &str, high: &str| {
        format!("{{ low = {low}, high = {high}, status = \"common-practice\", source = \"invented for a check\" }}")
    };
    let mut dry = String::new();
    for (stage, low, high) in [
        ("dust-free", "10 min", "20 min"),
        ("dry-to-touch", "20 min", "40 min"),
        ("dry-to-sand", "2 h", "3 h"),
        ("dry-to-recoat", "1 h", "2 h"),
        ("dry-to-handle", "2 h", "4 h"),
        ("dry-hard", "20 h", "24 h"),
        ("dry-to-stack", "24 h", "24 h"),
        ("dry-through", "3 d", "7 d"),
        ("cured", "14 d", "30 d"),
    ] {
        let written = figure(&format!("\"{low}\""), &format!("\"{high}\""));
        dry.push_str("dry.");
        dry.push_str(stage);
        dry.push_str(" = ");
        dry.push_str(&written);
        dry.push('\n');
    }
    format!(
        r#"format = 1
id = "quick"
name = "a quick finish"
summary = "Two coats for a check."
[[product]]
id = "film"
name = "a film"
family = "film"
mechanism = "evaporation"
leading_solvent = "ethanol"
stated_at = {{ temperature = 23, humidity = 50 }}
self_heating = false
start_floor = {floor}
drying_floor = {floor}
wet_film.brush = {film}
{dry}
[[product.window]]
opens = "dry-to-recoat"
prepare = "none"
[[product.solvent]]
name = "ethanol"
low = 60
high = 70
status = "common-practice"
source = "invented for a check"
[[step]]
do = "sand"
grit = "P120"
[[step]]
do = "sand"
grit = "P180"
[[step]]
do = "coat"
product = "film"
method = "brush"
[[step]]
do = "coat"
product = "film"
method = "brush"
"#,
        floor = figure("12", "14"),
        film = figure("70", "120"),
    )
}

/// The codes found when `from` is written as `to`.
fn codes(from: &str, to: &str) -> Vec<Code> {
    let text = good();
    assert!(text.contains(from), "the good file has no `{from}`");
    found(&text.replacen(from, to, 1))
}

fn found(text: &str) -> Vec<Code> {
    let (schedule, problems) = read(&SourceFile::new("check.toml", text));
    assert_eq!(
        schedule.is_none(),
        problems.iter().any(denib::source::Problem::is_error)
    );
    problems.iter().map(|problem| problem.code).collect()
}

#[test]
fn the_good_file_reads() {
    let file = SourceFile::new("check.toml", good());
    let (schedule, problems) = read(&file);
    assert!(problems.is_empty(), "{}", render(&problems, &[&file], Look::default()));
    let schedule = schedule.expect("a schedule");
    assert_eq!(schedule.coats_due().collect::<Vec<_>>(), ["film", "film"]);
    let product = schedule.product("film").expect("carried");
    assert!((product.time_to(Stage::DryHard, 2).expect("stated").high - 1440.0).abs() < 1e-9);
}

/// Each rule of schedules with one way to break it, as `(code, found, written instead)`.
const BROKEN: &[(Code, &str, &str)] = &[
    (
        Code::ProductTwice,
        "[[step]]",
        "[[product]]\nid = \"film\"\nname = \"again\"\nfamily = \"film\"\nmechanism = \"oxidation\"\nself_heating = true\nstated_at = { temperature = 23, humidity = 50 }\n[product.dry]\n[[step]]",
    ),
    (
        Code::ProductNotHere,
        "product = \"film\"\nmethod",
        "product = \"flim\"\nmethod",
    ),
    (
        Code::ProductNotHere,
        "opens = \"dry-to-recoat\"",
        "next = \"wax\"\nopens = \"dry-to-recoat\"",
    ),
    (Code::StageMissing, "dry.dry-hard", "#"),
    (
        Code::StageMissing,
        "self_heating = false",
        "self_heating = false\nmust_reach = \"tack-free\"",
    ),
    (Code::StageMissing, "opens = \"dry-to-recoat\"", "opens = \"tack-free\""),
    (
        Code::StagesFall,
        "low = \"24 h\", high = \"24 h\"",
        "low = \"2 h\", high = \"24 h\"",
    ),
    (
        Code::StageTwice,
        "dry.cured = {",
        "dry.tack-free = [{ from_coat = 2, low = \"30 min\", high = \"40 min\", status = \"memory\", source = \"recalled\" }, { from_coat = 2, low = \"30 min\", high = \"40 min\", status = \"memory\", source = \"recalled\" }]\ndry.cured = {",
    ),
    (
        Code::WindowOrder,
        "prepare = \"none\"\n",
        "prepare = \"none\"\ncloses = { value = \"1 h\", status = \"memory\", source = \"recalled\" }\n[[product.window]]\nopens = \"dry-hard\"\nprepare = \"scuff\"\n",
    ),
    (
        Code::WindowOrder,
        "prepare = \"none\"\n",
        "prepare = \"none\"\n[[product.window]]\nopens = \"dry-hard\"\nprepare = \"scuff\"\n",
    ),
    (
        Code::WindowCloses,
        "prepare = \"none\"\n",
        "prepare = \"none\"\ncloses = { value = \"9 h\", status = \"memory\", source = \"recalled\" }\n",
    ),
    (
        Code::NoWindow,
        "[[product.window]]\nopens = \"dry-to-recoat\"\nprepare = \"none\"\n",
        "",
    ),
    (Code::SolventUnknown, "name = \"ethanol\"", "name = \"ethanl\""),
    (
        Code::SolventUnknown,
        "leading_solvent = \"ethanol\"",
        "leading_solvent = \"spirit of wine\"",
    ),
    (
        Code::SolventsOver,
        "[[step]]",
        "[[product.solvent]]\nname = \"water\"\nlow = 50\nhigh = 60\nstatus = \"memory\"\nsource = \"recalled\"\n[[step]]",
    ),
    (
        Code::SpoilsWithoutFloor,
        "mechanism = \"evaporation\"",
        "mechanism = \"coalescence\"",
    ),
    (
        Code::StartBelowFloor,
        "start_floor = { low = 12, high = 14",
        "start_floor = { low = 5, high = 8",
    ),
    (
        Code::WipeOrder,
        "self_heating = false",
        "self_heating = false\nwipe.soak = { value = \"20 min\", status = \"memory\", source = \"recalled\" }\nwipe.within = { value = \"10 min\", status = \"memory\", source = \"recalled\" }",
    ),
    (Code::WetFilmMissing, "method = \"brush\"", "method = \"spray\""),
    (Code::StepOrder, "do = \"sand\"\ngrit = \"P120\"", "do = \"mask\""),
    (
        Code::StepNotWritten,
        "[[step]]\ndo = \"sand\"\ngrit = \"P120\"",
        "[[step]]\ndo = \"turn\"",
    ),
    (
        Code::NothingGoesOver,
        "[[step]]",
        "[[product]]\nid = \"wax\"\nname = \"wax\"\nfamily = \"wax\"\nmechanism = \"oxidation\"\nself_heating = true\nterminal = true\nstated_at = { temperature = 23, humidity = 50 }\n[product.dry]\n[[step]]\ndo = \"coat\"\nproduct = \"wax\"\nmethod = \"brush\"\n[[step]]",
    ),
    (Code::GritsNotFiner, "grit = \"P180\"", "grit = \"P100\""),
    (Code::GritStepWide, "grit = \"P180\"", "grit = \"P220\""),
    (Code::GritStepTooWide, "grit = \"P180\"", "grit = \"P320\""),
    (Code::NoSuchGrade, "grit = \"P120\"", "grit = \"P140\""),
    (Code::MissingKey, "grit = \"P120\"\n", ""),
    (
        Code::UnknownKey,
        "grit = \"P120\"",
        "grit = \"P120\"\nproduct = \"film\"",
    ),
    (Code::UnknownWord, "do = \"coat\"", "do = \"coats\""),
    (Code::UnknownKey, "dry.cured", "dry.cure"),
    (
        Code::RangeBackwards,
        "low = \"1 h\", high = \"2 h\"",
        "low = \"3 h\", high = \"2 h\"",
    ),
    (
        Code::MissingKey,
        ", source = \"invented for a check\" }\ndrying_floor",
        " }\ndrying_floor",
    ),
    (Code::FormatUnknown, "format = 1", "format = 2"),
];

#[test]
fn every_rule_is_named_where_it_is_broken() {
    let mut seen = BTreeSet::from([Code::NoCoats, Code::ScheduleTwice]);
    for (code, from, to) in BROKEN {
        let found = codes(from, to);
        assert!(found.contains(code), "{code}: found {found:?}");
        seen.insert(*code);
    }
    let own = Code::ALL.iter().copied().filter(|code| code.within() == Within::Finish);
    let missed: Vec<Code> = own.filter(|code| !seen.contains(code)).collect();
    assert!(missed.is_empty(), "no file breaks {missed:?}");
}

#[test]
fn a_step_out_of_order_is_the_only_one_named() {
    let file = SourceFile::new("check.toml", SHIPPED[0].1.replace("do = \"mask\"", "do = \"buff\""));
    let (_, problems) = read(&file);
    let messages: Vec<&str> = problems.iter().map(|problem| problem.message.as_str()).collect();
    assert_eq!(messages, ["\"buff\" does not belong before \"dust off\""]);
}

#[test]
fn problems_point_to_the_figures_themselves() {
    let file = SourceFile::new("check.toml", good().replace("low = \"24 h\"", "low = \"2 h\""));
    let (_, problems) = read(&file);
    // dry to stack falls below dry hard and below what stands beneath it
    let marks = &problems[0].marks;
    assert!(
        marks.len() == 2 && problems.iter().all(|problem| problem.code == Code::StagesFall),
        "{problems:?}"
    );
    let line = |extent: &std::ops::Range<usize>| {
        let before = file.text.get(..extent.start).expect("text");
        file.text.lines().nth(before.matches('\n').count()).expect("a line")
    };
    assert!(line(&marks[0].extent).starts_with("dry.dry-to-stack"));
}

#[test]
fn a_schedule_without_a_coat() {
    let text = good();
    let coats = text.find("[[step]]\ndo = \"coat\"").expect("a coat");
    assert_eq!(found(text.get(..coats).expect("text")), [Code::NoCoats]);
}

#[test]
fn several_faults_in_one_pass() {
    let text = good()
        .replace("grit = \"P120\"", "grit = \"P140\"")
        .replace("family = \"film\"", "famly = \"film\"")
        .replace("prepare = \"none\"", "prepare = \"sand\"");
    let file = SourceFile::new("quick.toml", text);
    let (schedule, problems) = read(&file);
    assert!(schedule.is_none());
    let codes: BTreeSet<Code> = problems.iter().map(|problem| problem.code).collect();
    assert!(
        codes.is_superset(&BTreeSet::from([
            Code::UnknownKey,
            Code::UnknownWord,
            Code::NoSuchGrade
        ])),
        "{codes:?}"
    );
    let nearest: Vec<&str> = problems
        .iter()
        .filter_map(|problem| problem.nearest.as_deref())
        .collect();
    assert!(
        nearest.contains(&"family") && nearest.contains(&"scuff") && nearest.contains(&"P120 or P150"),
        "{nearest:?}"
    );
    let report = render(&problems, &[&file], Look::default());
    assert!(report.contains("quick.toml"), "{report}");
}

#[test]
fn a_makers_own_file_replaces_a_shipped_one_whole() {
    let own = good().replace("id = \"quick\"", "id = \"oil-varnish\"");
    let added = SourceFile::new("mine/quick.toml", good());
    let replaced = SourceFile::new("mine/oil.toml", own);
    let (schedules, problems) = with_folder(&[added.clone(), replaced]);
    assert!(problems.is_empty());
    assert_eq!(schedules.len(), SHIPPED.len() + 1);
    assert_eq!(schedules["oil-varnish"].name, "a quick finish");
    // a broken file changes nothing
    let broken = SourceFile::new("mine/broken.toml", "id = 3");
    let (schedules, problems) = with_folder(&[broken]);
    assert!(!problems.is_empty());
    assert_eq!(schedules, shipped());
    // two of one id: the first counts, the second is named
    let (_, problems) = with_folder(&[added.clone(), SourceFile::new("mine/other.toml", added.text)]);
    assert_eq!(problems.len(), 1);
    assert_eq!(
        (problems[0].code, problems[0].file.as_str()),
        (Code::ScheduleTwice, "mine/other.toml")
    );
}

proptest! {
    /// Whatever is cut out of or written into a schedule, reading it ends in problems, not in a fall.
    #[test]
    fn damaged_files_never_panic(
        which in 0..SHIPPED.len(),
        from in 0.0..1.0_f64,
        length in 0..60_usize,
        written in "[\\[\\]{}\"=a-z0-9 .\n#'°-]{0,12}",
    ) {
        let text = SHIPPED[which].1;
        let mut start = (text.len() as f64 * from) as usize;
        while !text.is_char_boundary(start) {
            start -= 1;
        }
        let mut end = (start + length).min(text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        let damaged = format!("{}{written}{}", text.get(..start).expect("text"), text.get(end..).expect("text"));
        let (schedule, problems) = read(&SourceFile::new("damaged.toml", damaged));
        prop_assert_eq!(schedule.is_none(), problems.iter().any(denib::source::Problem::is_error));
    }
}
