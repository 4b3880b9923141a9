//! Ctrl-C while a plan is being searched for: the best so far, and 130.

#![allow(clippy::unwrap_used)] // a case that cannot be set up has failed

use crate::case::{Case, Run, SMALL};
use rustix::process::{Pid, Signal, kill_process};
use std::process::Stdio;
use std::time::{Duration, Instant};

#[test]
fn ctrl_c_gives_the_best_plan_so_far() {
    let case = Case::new().file("shelf.toml", SMALL);
    let mut child = case
        .command("plan shelf.toml --tries 100000000 --format json --take --now 2026-11-30T08:00:00Z")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let pid = Pid::from_raw(i32::try_from(child.id()).unwrap()).unwrap();
    // the flag is set up before anything else, well before the job file is opened: wait until it catches
    let caught = format!("/proc/{}/status", child.id());
    let began = Instant::now();
    while !catches_interrupt(&std::fs::read_to_string(&caught).unwrap_or_default()) {
        assert!(
            began.elapsed() < Duration::from_secs(20),
            "the program never caught the signal"
        );
        std::thread::sleep(Duration::from_millis(2));
    }
    kill_process(pid, Signal::INT).unwrap();
    assert!(child.try_wait().unwrap().is_none() || began.elapsed() < Duration::from_secs(20));
    let run = Run::of(&child.wait_with_output().unwrap())
        .expect(130)
        .tells("best plan found so far");
    let plan: denib::dayplan::Plan = serde_json::from_str(&run.out).unwrap();
    assert_eq!(plan.pieces.len(), 3);
    assert!(!case.path("shelf.log").exists(), "a plan cut short is not taken on");
}

/// Whether SIGINT (bit 1) is among the caught signals of a process.
fn catches_interrupt(status: &str) -> bool {
    let line = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
    let mask = line
        .and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok())
        .unwrap_or(0);
    mask & 0b10 != 0
}
