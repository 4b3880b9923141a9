//! Plans in the log: whole, or as what a replan changed; read back the very same, whatever happened to the file.

// a check that cannot be set up, or fails, stops
#![allow(clippy::expect_used, clippy::panic, clippy::print_stdout)]

use crate::case;
use crate::turned::{Turn, accepted, job, made, plan_of, plans, text_of, turned};
use chrono::TimeDelta;
use denib::dayplan::Plan;
use denib::dayplan::document::Operation;
use denib::job::Job;
use denib::log::line::{HEADER, MOST_IN_A_ROW, parse, write};
use denib::log::{Ids, Log, Record, What, Why, history, join, plan_in_force, read};
use denib::units::Moment;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

// --- the demo, or another job, lived to its end -----------------------------------------------------------

/// What a job's log came to.
struct Lived {
    /// Every plan that was in force, in order.
    plans: Vec<Arc<Plan>>,
    /// Bytes of its log as it is written.
    bytes: usize,
    /// Bytes it would have with every plan written whole.
    whole: usize,
}

/// Ticks every round when it is over, some a little late, and plans again after each, as the wall does.
fn lived(job: &Job, path: &Path) -> Lived {
    let mut log = Log::open(path, &job.start.with_offset(job.zone)).expect("a log");
    let mut now = job.start;
    let mut plans: Vec<Arc<Plan>> = Vec::new();
    let mut rounds = 0;
    loop {
        let facts = history(log.records(), now, &|_| None);
        let plan = Arc::new(made(job, &facts));
        let stamp = now.with_offset(job.zone);
        if plans.last().is_none_or(|last| last.operations != plan.operations) {
            let record = log.record(
                stamp,
                "Wren",
                What::AcceptedPlan {
                    plan: Arc::clone(&plan),
                },
            );
            log.append(&[record]).expect("written");
            plans.push(Arc::clone(&plan));
        }
        let left = |operation: &&Operation| !facts.is_over(&operation.id);
        let Some(first) = plan
            .operations
            .iter()
            .filter(left)
            .min_by_key(|operation| operation.start)
        else {
            break;
        };
        // its round, or a change-over that belongs to none
        let together: Vec<&Operation> = plan
            .operations
            .iter()
            .filter(left)
            .filter(|one| one.id == first.id || (one.round.is_some() && one.round == first.round))
            .collect();
        let start = together.iter().map(|one| one.start).min().unwrap_or(first.start);
        let end = together.iter().map(|one| one.end).max().unwrap_or(first.end);
        // every third round takes some minutes longer than was planned; not what is laid before a cold night
        rounds += 1;
        let film = together.iter().any(|one| one.dry.is_some());
        let late = if rounds % 3 == 0 && !film { 4 + rounds % 13 } else { 0 };
        let end = end.max(stamp) + TimeDelta::minutes(late);
        now = Moment::of(&end);
        let operations = together.iter().map(|one| one.id.clone()).collect();
        let record = log.record(end, "Wren", What::Done { operations, start, end });
        log.append(&[record]).expect("written");
        assert!(rounds < 2_000, "it comes to no end");
    }
    let lines: usize = log
        .records()
        .iter()
        .map(|record| write(record).expect("a line").len() + 1)
        .sum();
    Lived {
        plans,
        bytes: fs::read(path).expect("the log").len(),
        whole: HEADER.len() + 1 + lines,
    }
}

/// With `DENIB_LIVED=FILE` another job than the small one is lived through, and its sizes are said.
#[test]
fn a_job_lived_to_its_end_reads_back_every_plan_and_is_short() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("lived.log");
    let other = std::env::var("DENIB_LIVED").ok();
    let text = other.as_ref().map(|file| fs::read_to_string(file).expect("the job"));
    let lived = lived(&job(text.as_deref().unwrap_or(case::SMALL)), &path);
    let (records, bad) = read(&fs::read(&path).expect("the log"));
    assert_eq!(bad, []);
    let back: Vec<String> = records
        .iter()
        .filter_map(|record| match &record.what {
            What::AcceptedPlan { plan } => Some(text_of(plan)),
            _ => None,
        })
        .collect();
    let written: Vec<String> = lived.plans.iter().map(|plan| text_of(plan)).collect();
    assert!(back == written, "a plan was read otherwise than it was written");
    println!(
        "{} plans; the log has {} bytes, {} with every plan whole",
        written.len(),
        lived.bytes,
        lived.whole
    );
    assert!(written.len() > 5, "too few plans to say anything");
    assert!(lived.bytes * 2 < lived.whole, "{} of {}", lived.bytes, lived.whole);
}

// --- the file ---------------------------------------------------------------------------------------------

fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("press.log");
    (folder, path)
}

fn open(path: &Path) -> Log {
    Log::open(path, &plans()[0].now).expect("a log")
}

/// Takes plans on, one from the other, each some minutes later than the last; the records.
fn taken_on(path: &Path, plan: &Plan, from: u32, count: u32) -> Vec<Record> {
    let mut log = open(path);
    let mut plan = plan.clone();
    let mut records = Vec::new();
    for number in from..from + count {
        plan = turned(&plan, &[Turn::Later(0.3, 1.0, 3), Turn::Planned(1)]);
        let at = accepted("x", number, plan.clone()).at;
        let record = log.record(
            at,
            "Wren",
            What::AcceptedPlan {
                plan: Arc::new(plan.clone()),
            },
        );
        log.append(std::slice::from_ref(&record)).expect("written");
        records.push(record);
    }
    records
}

/// The lines of a log that hold plans, and whether each is whole.
fn lines(path: &Path) -> Vec<(String, bool)> {
    let text = fs::read_to_string(path).expect("the log");
    let plans = text
        .lines()
        .filter(|line| line.contains("\taccepted-plan\t") || line.contains("\tchanged-plan\t"));
    plans
        .map(|line| (line.to_owned(), line.contains("\taccepted-plan\t")))
        .collect()
}

#[test]
fn after_so_many_differences_a_whole_plan_is_written() {
    let (_folder, path) = folder();
    let count = MOST_IN_A_ROW + 3;
    let records = taken_on(&path, &plans()[0], 0, count);
    let whole: Vec<usize> = lines(&path)
        .iter()
        .enumerate()
        .filter(|(_, line)| line.1)
        .map(|(at, _)| at)
        .collect();
    assert_eq!(whole, [0, MOST_IN_A_ROW as usize + 1]);
    assert_eq!(open(&path).records(), records);
    // another run goes on counting where the last one stopped
    let (_folder, path) = self::folder();
    for number in 0..count {
        taken_on(&path, &plans()[0], number, 1);
    }
    let whole = lines(&path).iter().filter(|line| line.1).count();
    assert_eq!((lines(&path).len(), whole), (count as usize, 2));
}

#[test]
fn a_damaged_base_is_said_and_the_last_good_plan_stays() {
    let (_folder, path) = folder();
    let records = taken_on(&path, &plans()[0], 0, 4);
    let text = fs::read_to_string(&path).expect("the log");
    // header, then the plans: the second plan's line is hurt
    let hurt: Vec<String> = text
        .lines()
        .enumerate()
        .map(|(at, line)| {
            if at == 2 {
                line.replacen("Wren", "Wrem", 1)
            } else {
                line.to_owned()
            }
        })
        .collect();
    fs::write(&path, hurt.join("\n") + "\n").expect("hurt");
    let mut log = open(&path);
    assert_eq!(log.records(), &records[..1]);
    assert_eq!(plan_in_force(log.records()), Some(&**plan_of(&records[0])));
    let said: Vec<(usize, Why)> = log.bad_lines().map(|bad| (bad.line, bad.why.clone())).collect();
    assert_eq!(
        said,
        [
            (3, Why::Checksum),
            (4, Why::NoBase(records[1].id.clone())),
            (5, Why::NoBase(records[2].id.clone())),
        ]
    );
    let words = said[1].1.to_string();
    assert!(
        words.contains(&records[1].id) && words.contains("the last good plan stays"),
        "{words}"
    );
    assert_eq!(read(&fs::read(&path).expect("the log")).1.len(), 3);
    // the next plan is built on what can be read, and is in force for everybody
    let next = accepted("next", 30, turned(plan_of(&records[3]), &[Turn::Planned(9)]));
    log.append(std::slice::from_ref(&next)).expect("written");
    let again = open(&path);
    assert_eq!(again.records(), [records[0].clone(), next]);
    assert_eq!(again.bad_lines().count(), 3);
    // the line that was lost is found again, in a copy: everything is there
    let found = text.lines().nth(2).expect("the line");
    let whole = fs::read_to_string(&path).expect("the log") + found + "\n";
    fs::write(&path, whole).expect("mended");
    assert!(log.refresh().expect("read"));
    for log in [log, open(&path)] {
        assert_eq!(log.records().len(), 5);
        assert_eq!(log.bad_lines().count(), 1);
    }
}

#[test]
fn a_plan_torn_at_the_end_of_the_file_leaves_the_last_good_one() {
    let (_folder, path) = folder();
    let records = taken_on(&path, &plans()[0], 0, 3);
    let whole = fs::read(&path).expect("the log");
    let end = whole.len();
    let last = lines(&path)[2].0.len();
    for cut in [end - last - 1, end - last / 2, end - 9, end - 2, end - 1] {
        fs::write(&path, &whole[..cut]).expect("cut");
        let mut log = open(&path);
        let kept = if cut == end - 1 { 3 } else { 2 };
        assert_eq!(log.records(), &records[..kept], "cut at {cut}");
        assert_eq!(plan_in_force(log.records()), Some(&**plan_of(&records[kept - 1])));
        // grown whole under the eyes of a log that is open
        fs::write(&path, &whole).expect("whole");
        log.refresh().expect("read");
        assert_eq!(log.records(), records, "cut at {cut}");
        assert_eq!(log.bad_lines().count(), 0);
    }
}

#[test]
fn logs_that_were_apart_are_read_in_whatever_order_their_lines_stand() {
    let (_one, one) = folder();
    let (_other, other) = folder();
    // a common beginning, then each by itself
    let common = taken_on(&one, &plans()[0], 0, 2);
    fs::copy(&one, &other).expect("copied");
    let left = taken_on(&one, plan_of(&common[1]), 2, 3);
    let right = taken_on(&other, &turned(plan_of(&common[1]), &[Turn::Later(0.0, 0.5, 40)]), 2, 3);
    assert!(lines(&one).iter().chain(&lines(&other)).filter(|line| !line.1).count() >= 6);
    let expected = join(open(&one).records(), open(&other).records());
    assert_eq!(expected.len(), common.len() + left.len() + right.len());
    let texts = [&one, &other].map(|path| fs::read_to_string(path).expect("the log"));
    let joined: Vec<&str> = texts.iter().flat_map(|text| text.lines()).collect();
    let orders = [
        joined.clone(),
        joined.iter().rev().copied().collect(),
        joined
            .iter()
            .step_by(2)
            .chain(joined.iter().skip(1).step_by(2))
            .copied()
            .collect(),
    ];
    for order in orders {
        let (records, bad) = read((order.join("\n") + "\n").as_bytes());
        assert_eq!(bad, []);
        assert_eq!(records, expected);
    }
    // joined by writing, either into the other: nothing is lost, and again nothing is added
    let others = open(&other).records().to_vec();
    let mut log = open(&one);
    log.append(&others).expect("joined");
    assert_eq!(log.records(), expected);
    assert_eq!(open(&one).records(), expected);
    let size = fs::metadata(&one).expect("the log").len();
    log.append(&others).expect("joined");
    assert_eq!(fs::metadata(&one).expect("the log").len(), size);
}

#[test]
fn a_log_with_whole_plans_of_an_earlier_day_is_read_and_built_on() {
    // as it was written then: fields in the order of their names, ids with the mark before the count
    let old = accepted("0t5z0c0-9x8y7z6w-0001", 0, plans()[0].clone());
    let payload = serde_json::json!({ "plan": serde_json::to_value(&plans()[0]).expect("a document") });
    let body = format!(
        "{}\t{}\t\"Wren\"\taccepted-plan\t{payload}",
        old.at.to_rfc3339(),
        old.id
    );
    let line = format!("{body}\t{:08x}", crc32fast::hash(body.as_bytes()));
    assert_eq!(parse(line.as_bytes()).as_ref(), Ok(&old));
    let (_folder, path) = folder();
    fs::write(&path, format!("{HEADER}\n{line}\n")).expect("written");
    let next = taken_on(&path, &plans()[0], 1, 1);
    assert_eq!(
        lines(&path).iter().map(|line| line.1).collect::<Vec<_>>(),
        [true, false]
    );
    assert_eq!(open(&path).records(), [old, next[0].clone()]);
}

#[test]
fn a_plan_is_written_only_while_the_log_says_what_it_was_made_from() {
    let (_folder, path) = folder();
    let first = taken_on(&path, &plans()[0], 0, 1);
    let (mut one, mut other) = (open(&path), open(&path));
    let known = first[0].id.as_str();
    let still = |records: &[Record]| denib::log::taken_on(records).map(|(id, _)| id) == Some(known);
    let plan = |log: &mut Log, minute| {
        let what = accepted("x", minute, turned(&plans()[0], &[Turn::Planned(i64::from(minute))]));
        log.record(what.at, "Wren", what.what)
    };
    let (theirs, ours) = (plan(&mut other, 2), plan(&mut one, 1));
    // neither has seen the other's: both ask
    assert!(other.append_if(std::slice::from_ref(&theirs), still).expect("written"));
    let before = fs::read(&path).expect("the log");
    assert!(!one.append_if(std::slice::from_ref(&ours), still).expect("answered"));
    assert_eq!(fs::read(&path).expect("the log"), before);
    assert_eq!(
        one.records(),
        [first[0].clone(), theirs],
        "what they wrote has been read"
    );
}

#[test]
fn a_record_of_an_unknown_mark_counts_on() {
    let mut ids = Ids::with_mark(1);
    let at = plans()[0].now;
    ids.seen("0000000-zzzzzzzz-000f");
    let next = ids.next(&at);
    assert_eq!(next.split('-').nth(1), Some("00000g"));
    for odd in ["", "a-b", "a-b-c-d", "0000000-ÄÄÄÄ-0000", "r-17"] {
        ids.seen(odd);
    }
    assert!(ids.next(&at) > next);
}
