//! Job files with faults: each beside the report a maker reads.
//!
//! `DENIB_WRITE_REPORTS=1 cargo test --test job bad_input::` writes the reports anew; read them before keeping them.

#![allow(clippy::unwrap_used, clippy::panic, reason = "what a test relies on may end it")]

use denib::finish::ladder::falls;
use denib::finish::{Schedule, shipped};
use denib::job::{Job, Piece, SurfaceRole, read};
use denib::source::{Code, Look, Problem, SourceFile, Within, render, summary};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;

/// The shipped schedules, read once.
static SCHEDULES: LazyLock<BTreeMap<String, Schedule>> = LazyLock::new(shipped);

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join("bad")
}

/// The names in the folder with this ending, without it.
fn names(ending: &str) -> BTreeSet<String> {
    let entries = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path());
    let fitting = entries.filter(|path| path.extension().is_some_and(|own| own == ending));
    fitting
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect()
}

/// What reading these bytes as a job reports, and the job that came out.
fn problems(name: &str, bytes: &[u8]) -> (SourceFile, Vec<Problem>, Option<Job>) {
    let (file, not_text) = SourceFile::from_bytes(name, bytes.to_vec());
    let (job, mut problems) = read(&file, &SCHEDULES);
    problems.splice(0..0, not_text);
    (file, problems, job)
}

/// Every file of the folder with its problems.
fn all() -> BTreeMap<String, Vec<Problem>> {
    let read = |name: String| {
        let bytes = fs::read(folder().join(format!("{name}.toml"))).unwrap();
        (name.clone(), problems(&format!("{name}.toml"), &bytes).1)
    };
    names("toml").into_iter().map(read).collect()
}

#[test]
fn every_file_reads_as_its_report() {
    let mut wrong = Vec::new();
    for name in names("toml") {
        let bytes = fs::read(folder().join(format!("{name}.toml"))).unwrap();
        let (file, problems, _) = problems(&format!("{name}.toml"), &bytes);
        let report = format!(
            "{}\n{}\n",
            render(&problems, &[&file], Look::default()),
            summary(&problems)
        );
        let path = folder().join(format!("{name}.txt"));
        if std::env::var_os("DENIB_WRITE_REPORTS").is_some() {
            fs::write(&path, &report).unwrap();
        }
        let expected = fs::read_to_string(&path).unwrap_or_default();
        if report != expected {
            wrong.push(format!("--- {name}: expected\n{expected}\n--- {name}: reads\n{report}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_report_has_its_file_and_every_file_its_report() {
    assert_eq!(names("toml"), names("txt"));
}

#[test]
fn every_code_of_a_job_file_has_a_file() {
    let seen: BTreeSet<Code> = all().into_values().flatten().map(|problem| problem.code).collect();
    let due = Code::ALL.iter().filter(|code| code.within() != Within::Finish);
    let without: Vec<&str> = due
        .filter(|code| !seen.contains(code))
        .map(|code| code.name())
        .collect();
    assert_eq!(without, Vec::<&str>::new());
}

#[test]
fn the_folder_is_as_large_as_it_should_be() {
    let all = all();
    let codes: BTreeSet<Code> = all.values().flatten().map(|problem| problem.code).collect();
    let several = all.values().filter(|problems| problems.len() > 2).count();
    assert!(
        all.len() >= 40 && codes.len() >= 25 && several >= 5,
        "{} {} {several}",
        all.len(),
        codes.len()
    );
    let silent: Vec<&String> = all
        .iter()
        .filter(|(_, problems)| problems.is_empty())
        .map(|(name, _)| name)
        .collect();
    assert_eq!(silent, Vec::<&String>::new());
}

#[test]
fn problems_say_where_and_what_is_accepted() {
    for (name, problems) in all() {
        for problem in problems {
            assert_eq!(problem.file, format!("{name}.toml"));
            assert!(!problem.accepted.is_empty(), "{name}: {}", problem.message);
            assert!(!problem.message.ends_with('.'), "{name}: {}", problem.message);
        }
    }
}

#[test]
fn a_report_is_the_same_with_colours_taken_off() {
    let bytes = fs::read(folder().join("many-first-try.toml")).unwrap();
    let (file, problems, _) = problems("many-first-try.toml", &bytes);
    let coloured = render(
        &problems,
        &[&file],
        Look {
            colour: true,
            ..Look::default()
        },
    );
    assert!(coloured.contains('\u{1b}'));
    let mut plain = String::new();
    let mut rest = coloured.as_str();
    while let Some((before, after)) = rest.split_once("\u{1b}[") {
        plain.push_str(before);
        rest = after.split_once('m').unwrap().1;
    }
    plain.push_str(rest);
    let trimmed = |text: &str| text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n");
    assert_eq!(trimmed(&plain), trimmed(&render(&problems, &[&file], Look::default())));
}

/// Reading and rendering must hold for anything; a job must not come out beside an error, and when one comes out
/// it must be what a checked job is said to be.
fn survives(bytes: &[u8]) {
    let (file, problems, job) = problems("any.toml", bytes);
    let error = |problem: &Problem| problem.is_error() && problem.code != Code::NotText;
    assert!(job.is_none() || !problems.iter().any(error));
    assert!(
        job.is_some() || problems.iter().any(Problem::is_error),
        "no job and no word why"
    );
    for look in [
        Look::default(),
        Look {
            colour: false,
            ascii: false,
            width: 1,
        },
    ] {
        let report = render(&problems, &[&file], look);
        assert!(report.chars().all(|c| c == '\n' || !c.is_control()), "{report:?}");
    }
    if let Some(job) = job {
        holds(&job);
    }
}

/// What every part of the program may rely on.
fn holds(job: &Job) {
    assert!(!job.pieces.is_empty() && !job.hands.is_empty() && !job.sections.is_empty());
    let ids: BTreeSet<&str> = job.pieces.iter().map(|piece| piece.id.as_str()).collect();
    assert_eq!(ids.len(), job.pieces.len());
    for piece in &job.pieces {
        piece_holds(job, piece);
    }
    let weeks = job
        .hands
        .iter()
        .filter_map(|hand| hand.hours.as_ref())
        .chain([&job.hours]);
    for week in weeks {
        let dated = week.exceptions.iter().map(|day| &day.shifts);
        for shifts in week.week.iter().chain(dated) {
            assert!(
                shifts
                    .iter()
                    .all(|shift| shift.from < shift.until && shift.until <= 1440)
            );
            assert!(shifts.windows(2).all(|pair| pair[0].until <= pair[1].from));
        }
        assert!(week.exceptions.windows(2).all(|pair| pair[0].date < pair[1].date));
    }
    let lines = &job.room.climate.lines;
    assert!(lines.windows(2).all(|pair| pair[0].from < pair[1].from));
    let first_day = lines.first().map(|line| line.from).unwrap();
    assert!(first_day.is_none_or(|day| day <= job.start.in_zone(job.zone).date_naive()));
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for assembly in &job.assemblies {
        assert!(
            assembly
                .made_of
                .iter()
                .all(|id| ids.contains(id.as_str()) && used.insert(id))
        );
        assert!(!assembly.made_of.is_empty() || !assembly.assemblies.is_empty());
        assert!(assembly.assemblies.iter().all(|id| used.insert(id)));
    }
    assert!(glued_up(job), "an assembly that cannot be reached");
    assert!(job.rates.values().all(|minutes| *minutes > 0.0));
    assert!(job.accepted_imbalance.keys().all(|id| ids.contains(id.as_str())));
    for product in job.schedules.values().flat_map(|schedule| &schedule.products) {
        assert!(product.stages.iter().all(|rung| rung.minutes.low <= rung.minutes.high));
        assert_eq!(falls(product), []);
    }
}

fn piece_holds(job: &Job, piece: &Piece) {
    assert!(piece.part < job.parts.len() && piece.section < job.sections.len());
    assert!(piece.available >= job.start);
    let surfaces: BTreeSet<&str> = piece.surfaces.iter().map(|surface| surface.id.as_str()).collect();
    assert!(surfaces.len() == piece.surfaces.len() && !surfaces.is_empty());
    let joints: BTreeSet<&str> = piece.joints.iter().map(|joint| joint.id.as_str()).collect();
    assert_eq!(joints.len(), piece.joints.len());
    assert!(
        piece
            .surfaces
            .iter()
            .all(|surface| surface.area.0 > 0.0 && surface.area.0.is_finite())
    );
    let known = |id: &String| job.schedules.contains_key(id);
    assert!(
        piece
            .surfaces
            .iter()
            .filter_map(|surface| surface.schedule.as_ref())
            .all(known)
    );
    let places = job.room.places.of(piece.holding.place());
    assert!(piece.slots >= 1 && places.is_none_or(|places| places >= piece.slots));
    let coats = |role: SurfaceRole| {
        let surface = piece.surfaces.iter().find(|surface| surface.role == role).unwrap();
        let schedule = surface.schedule.as_ref().map(|id| &job.schedules[id]);
        schedule.map_or(0, |schedule| schedule.coats_due().count())
    };
    if job.is_wide(piece) && !job.accepted_imbalance.contains_key(&piece.id) {
        assert_eq!(coats(SurfaceRole::Face), coats(SurfaceRole::Back));
    }
}

/// Whether every assembly can be glued up once those in it have been.
fn glued_up(job: &Job) -> bool {
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for _ in &job.assemblies {
        let ready = job
            .assemblies
            .iter()
            .filter(|one| one.assemblies.iter().all(|id| done.contains(id.as_str())));
        let ready: Vec<&str> = ready.map(|one| one.id.as_str()).collect();
        done.extend(ready);
    }
    done.len() == job.assemblies.len()
}

const GOOD: &str = include_str!("../good/settle.toml");

/// Text that turns one thing into another.
const SCRAPS: [&str; 24] = [
    "",
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "=",
    ",",
    ".",
    "#",
    "\n",
    "\r",
    "0",
    "-1",
    "1e309",
    "nan",
    "true",
    "\"\"\"",
    "\u{feff}",
    "\u{0}",
    "é",
    "[[part]]\n",
    "2026-02-30",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_are_survived(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        survives(&bytes);
    }

    #[test]
    fn any_change_to_a_good_file_is_survived(
        changes in prop::collection::vec((0..GOOD.len(), 0..30_usize, 0..SCRAPS.len()), 1..6),
    ) {
        let mut bytes = GOOD.as_bytes().to_vec();
        for (at, length, scrap) in changes {
            let at = at.min(bytes.len());
            let end = (at + length).min(bytes.len());
            bytes.splice(at..end, SCRAPS[scrap].bytes());
        }
        survives(&bytes);
    }

    #[test]
    fn any_lines_taken_out_or_swapped_are_survived(
        changes in prop::collection::vec((0..170_usize, 0..170_usize, any::<bool>()), 1..5),
    ) {
        let mut lines: Vec<&str> = GOOD.lines().collect();
        for (one, other, out) in changes {
            let (one, other) = (one % lines.len(), other % lines.len());
            if out {
                lines.remove(one);
            } else {
                lines.swap(one, other);
            }
        }
        survives(lines.join("\n").as_bytes());
    }

    #[test]
    fn any_value_of_another_line_is_survived(swaps in prop::collection::vec((0..170_usize, 0..170_usize), 1..3)) {
        let mut lines: Vec<String> = GOOD.lines().map(ToOwned::to_owned).collect();
        for (one, other) in swaps {
            let (one, other) = (one % lines.len(), other % lines.len());
            if let (Some((key, _)), Some((_, value))) = (GOOD.lines().nth(one).unwrap().split_once('='), GOOD.lines().nth(other).unwrap().split_once('=')) {
                lines[one] = format!("{key}={value}");
            }
        }
        survives(lines.join("\n").as_bytes());
    }

    #[test]
    fn any_number_in_place_of_another_is_survived(
        changes in prop::collection::vec((0..200_usize, prop_oneof![-3_i64..400, 0_i64..40_000]), 1..4),
    ) {
        let mut numbers: Vec<(usize, usize)> = Vec::new();
        for (at, _) in GOOD.match_indices(|c: char| c.is_ascii_digit()) {
            match numbers.last_mut() {
                Some((_, end)) if *end == at => *end += 1,
                _ => numbers.push((at, at + 1)),
            }
        }
        let mut text = GOOD.to_owned();
        let mut changes: Vec<(usize, i64)> = changes.into_iter().map(|(at, number)| (at % numbers.len(), number)).collect();
        changes.sort_unstable();
        changes.dedup_by_key(|(at, _)| *at);
        for (at, number) in changes.into_iter().rev() {
            let (from, until) = numbers[at];
            text.replace_range(from..until, &number.to_string());
        }
        survives(text.as_bytes());
    }

    #[test]
    fn any_value_in_place_of_another_is_survived(line in 0..170_usize, value in "[0-9a-z\\[\\]{}\"',.:= -]{0,20}") {
        let mut lines: Vec<String> = GOOD.lines().map(ToOwned::to_owned).collect();
        let index = line % lines.len();
        if let Some((key, _)) = lines[index].clone().split_once('=') {
            lines[index] = format!("{key}= {value}");
        }
        survives(lines.join("\n").as_bytes());
    }
}

#[test]
fn deep_nesting_is_survived() {
    survives(
        "a = "
            .bytes()
            .chain(std::iter::repeat_n(b'[', 20_000))
            .collect::<Vec<u8>>()
            .as_slice(),
    );
    survives(
        "[part"
            .bytes()
            .chain(b".a".repeat(20_000))
            .chain(*b"]")
            .collect::<Vec<u8>>()
            .as_slice(),
    );
}
