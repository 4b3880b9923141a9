//! The log on disk: nothing acknowledged is lost, nothing is overwritten.

#![allow(clippy::expect_used)] // a test that cannot go on has failed

use crate::log_samples::{at, one_of_each};
use denib::log::line::HEADER;
use denib::log::{Log, LogError, Record, What};
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

fn note(log: &mut Log, text: &str) -> Record {
    log.record(at("08:00"), "Ada", What::Note { text: text.into() })
}

fn open(path: &Path) -> Log {
    Log::open(path, &at("08:00")).expect("a log")
}

fn folder() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("press.log");
    (folder, path)
}

#[test]
fn a_log_is_made_by_its_first_record() {
    let (_folder, path) = folder();
    let mut log = open(&path);
    assert!(log.records().is_empty());
    assert!(!path.exists());
    let first = note(&mut log, "first");
    log.append(std::slice::from_ref(&first)).expect("written");
    let text = fs::read_to_string(&path).expect("text");
    assert_eq!(text.lines().next(), Some(HEADER));
    assert!(text.ends_with('\n'));
    assert_eq!(open(&path).records(), [first]);
}

#[test]
fn appending_keeps_every_byte_that_was_there() {
    let (_folder, path) = folder();
    let mut log = open(&path);
    let mut before = Vec::new();
    for record in one_of_each() {
        log.append(&[record]).expect("written");
        let after = fs::read(&path).expect("bytes");
        assert!(after.starts_with(&before));
        before = after;
    }
    assert_eq!(open(&path).records(), one_of_each());
}

#[test]
fn a_torn_line_is_never_glued_to() {
    let (_folder, path) = folder();
    let mut log = open(&path);
    let (first, second) = (note(&mut log, "first"), note(&mut log, "second"));
    log.append(&[first, second]).expect("written");
    let whole = fs::read(&path).expect("bytes");
    for cut in 0..whole.len() {
        fs::write(&path, &whole[..cut]).expect("cut");
        let mut log = open(&path);
        let kept = log.records().to_vec();
        let third = note(&mut log, "third");
        log.append(std::slice::from_ref(&third)).expect("written");
        let after = fs::read(&path).expect("bytes");
        assert!(after.starts_with(&whole[..cut]), "cut at {cut}");
        let again = open(&path);
        assert_eq!(again.records().len(), kept.len() + 1, "cut at {cut}");
        assert!(again.records().contains(&third) && kept.iter().all(|one| again.records().contains(one)));
        // the log that wrote and the log that reads agree
        assert_eq!(log.records(), again.records());
        assert_eq!(
            log.bad_lines().collect::<Vec<_>>(),
            again.bad_lines().collect::<Vec<_>>()
        );
    }
}

#[test]
fn a_damaged_log_is_written_on_and_its_damage_stays() {
    let (_folder, path) = folder();
    let mut log = open(&path);
    log.append(&one_of_each()).expect("written");
    let mut bytes = fs::read(&path).expect("bytes");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x04;
    bytes[3] ^= 0x04; // the header too
    fs::write(&path, &bytes).expect("hurt");
    let mut log = open(&path);
    assert_eq!(log.records().len(), one_of_each().len() - 1);
    let late = note(&mut log, "late");
    log.append(std::slice::from_ref(&late)).expect("written");
    assert!(fs::read(&path).expect("bytes").starts_with(&bytes));
    assert_eq!(log.bad_lines().map(|bad| bad.line).min(), Some(1));
    assert!(log.records().contains(&late));
}

#[test]
fn the_same_record_is_written_once() {
    let (_folder, path) = folder();
    let mut log = open(&path);
    log.append(&one_of_each()).expect("written");
    let before = fs::read(&path).expect("bytes");
    log.append(&one_of_each()).expect("written");
    assert_eq!(fs::read(&path).expect("bytes"), before);
}

#[test]
fn another_screen_sees_what_was_written() {
    let (_folder, path) = folder();
    let (mut one, mut two) = (open(&path), open(&path));
    let first = note(&mut one, "first");
    one.append(std::slice::from_ref(&first)).expect("written");
    assert!(two.refresh().expect("read"));
    assert!(!two.refresh().expect("read"));
    assert_eq!(two.records(), std::slice::from_ref(&first));
    let second = note(&mut two, "second");
    two.append(std::slice::from_ref(&second)).expect("written");
    let third = note(&mut one, "third");
    one.append(std::slice::from_ref(&third)).expect("written");
    assert_eq!(one.records().len(), 3);
    assert!(one.records().contains(&second));
}

#[test]
fn a_log_replaced_by_a_joined_one_is_read_anew() {
    let (_folder, path) = folder();
    let mut log = open(&path);
    log.append(&one_of_each()[..6]).expect("written");
    let other = path.with_extension("other");
    open(&other).append(&one_of_each()[3..]).expect("written");
    fs::rename(&other, &path).expect("replaced");
    assert!(log.refresh().expect("read"));
    assert_eq!(log.records(), &one_of_each()[3..]);
    log.append(&one_of_each()[..3]).expect("written");
    assert_eq!(open(&path).records(), one_of_each());
}

#[test]
fn a_file_that_is_something_else_is_left_alone() {
    let (_folder, path) = folder();
    for (text, newer) in [("kettle on\n", false), ("denib log, format 9\nx\n", true)] {
        fs::write(&path, text).expect("written");
        let mut log = open(&path);
        let first = note(&mut log, "first");
        let refused = log.append(&[first]).expect_err("refused");
        assert_eq!(matches!(refused, LogError::Newer { .. }), newer, "{refused}");
        assert_eq!(matches!(refused, LogError::NotALog { .. }), !newer, "{refused}");
        assert_eq!(fs::read_to_string(&path).expect("text"), text);
    }
}

#[test]
fn a_failure_says_where_and_leaves_the_file() {
    let (folder, path) = folder();
    let nowhere = folder.path().join("not-there").join("press.log");
    let mut log = open(&nowhere);
    let first = note(&mut log, "first");
    let refused = log.append(&[first]).expect_err("refused");
    assert!(refused.to_string().contains("not-there"), "{refused}");
    let mut log = open(&path);
    let good = note(&mut log, "good");
    let bad = log.record(
        at("08:00"),
        "Ada",
        What::Reading {
            temperature: f64::INFINITY,
            humidity: None,
        },
    );
    assert!(matches!(log.append(&[good, bad]), Err(LogError::Unwritable(_))));
    assert!(open(&path).records().is_empty());
}

#[test]
fn a_held_log_is_not_waited_for_for_ever() {
    let (_folder, path) = folder();
    let mut log = open(&path);
    let first = note(&mut log, "first");
    log.append(&[first]).expect("written");
    let held = fs::File::open(&path).expect("open");
    rustix::fs::flock(&held, rustix::fs::FlockOperation::LockExclusive).expect("held");
    let second = note(&mut log, "second");
    assert!(matches!(
        log.append(std::slice::from_ref(&second)),
        Err(LogError::Busy { .. })
    ));
    drop(held);
    log.append(&[second]).expect("written");
}

/// The log a writing child process is given, and how many records it writes.
const CHILD_LOG: &str = "DENIB_TEST_WRITE_TO";
const CHILD_RECORDS: &str = "DENIB_TEST_WRITE_COUNT";

/// In a child: appends, and prints the id of each record once it is acknowledged.
fn write_as_child() -> bool {
    let (Ok(path), Ok(count)) = (std::env::var(CHILD_LOG), std::env::var(CHILD_RECORDS)) else {
        return false;
    };
    let mut log = open(Path::new(&path));
    for number in 0..count.parse().expect("a count") {
        let record = note(&mut log, &format!("number {number} of process {}", std::process::id()));
        log.append(std::slice::from_ref(&record)).expect("written");
        let mut out = std::io::stdout().lock();
        writeln!(out, "on the disk: {}", record.id)
            .and_then(|()| out.flush())
            .expect("said");
    }
    true
}

/// A test of this file again, as a child process that writes.
fn child(test: &str, path: &Path, count: u32) -> std::process::Child {
    let test = format!("file::{test}");
    let mut child = Command::new(std::env::current_exe().expect("this test"));
    child.args(["--exact", &test, "--nocapture", "--test-threads", "1"]);
    child.env(CHILD_LOG, path).env(CHILD_RECORDS, count.to_string());
    child
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("a child")
}

/// Ids a child said are on the disk.
fn acknowledged(lines: impl Iterator<Item = std::io::Result<String>>) -> Vec<String> {
    let said = lines.map_while(Result::ok);
    said.filter_map(|line| Some(line.split_once("on the disk: ")?.1.to_owned()))
        .collect()
}

#[test]
fn what_was_acknowledged_survives_a_kill() {
    if write_as_child() {
        return;
    }
    let (_folder, path) = folder();
    let mut all = Vec::new();
    let mut draw = 20_261_125_u64;
    for _ in 0..25 {
        let mut child = child("what_was_acknowledged_survives_a_kill", &path, 100_000);
        let mut lines = BufReader::new(child.stdout.take().expect("its words")).lines();
        // killed after a number of records and a stretch of time drawn by a linear congruence (Knuth's MMIX
        // constants, from memory): in the middle of whatever it does then
        draw = draw
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let mut first = Vec::new();
        while first.len() < 1 + (draw >> 60) as usize {
            let line = lines.next().expect("it writes until it is killed");
            first.extend(acknowledged(std::iter::once(line)));
        }
        std::thread::sleep(std::time::Duration::from_micros((draw >> 33) % 5_000));
        child.kill().expect("killed"); // SIGKILL
        all.extend(first);
        all.extend(acknowledged(lines));
        child.wait().expect("gone");
    }
    let log = open(&path);
    assert!(all.len() >= 25);
    for id in &all {
        assert!(
            log.records().iter().any(|record| record.id == *id),
            "{id} was acknowledged and is lost"
        );
    }
    // whatever was torn is on a line of its own
    let mut again = open(&path);
    let last = note(&mut again, "after all that");
    again.append(std::slice::from_ref(&last)).expect("written");
    assert!(open(&path).records().contains(&last));
}

#[test]
fn two_writers_at_once_lose_nothing() {
    if write_as_child() {
        return;
    }
    let (_folder, path) = folder();
    let mut writers: Vec<_> = (0..3)
        .map(|_| child("two_writers_at_once_lose_nothing", &path, 60))
        .collect();
    let mut all = Vec::new();
    for writer in &mut writers {
        all.extend(acknowledged(
            BufReader::new(writer.stdout.take().expect("its words")).lines(),
        ));
        assert!(writer.wait().expect("ended").success());
    }
    assert_eq!(all.len(), 180);
    let log = open(&path);
    assert_eq!(log.records().len(), 180);
    assert_eq!(log.bad_lines().count(), 0);
    assert!(all.iter().all(|id| log.records().iter().any(|record| record.id == *id)));
    let text = fs::read_to_string(&path).expect("text");
    assert_eq!(text.lines().filter(|line| *line == HEADER).count(), 1);
}
