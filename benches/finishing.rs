//! Plans generated finishing jobs and says how soon, how well, in how much memory, and how fast again.
//!
//! `cargo bench --bench finishing -- [--parts N,N] [--seeds N] [--curve S,S] [--replan] [--jobs FOLDER]
//! [--export FOLDER --seconds S]`
//!
//! Without flags: the first plan of every size, checked. Exits 1 when a plan breaks a rule, 2 on wrong usage.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "a bench reports on the terminal"
)]

mod general;
mod generated;
#[path = "../tests/ticked/mod.rs"]
mod ticked;

use denib::dayplan::document::{Operation, Stamp};
use denib::dayplan::{History, Kept, Means, Plan, Settings, plan_by, verify};
use denib::finish::shipped;
use denib::job::{self, Job};
use denib::source::SourceFile;
use denib::units::Moment;
use std::collections::HashMap;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};
use ticked::on_time;

struct Options {
    parts: Vec<u64>,
    seeds: u64,
    curve: Vec<f64>,
    replan: bool,
    jobs: Option<PathBuf>,
    export: Option<PathBuf>,
    seconds: f64,
}

fn options() -> Result<Options, String> {
    let mut options = Options {
        parts: vec![10, 40, 100, 300, 1000],
        seeds: 3,
        curve: Vec::new(),
        replan: false,
        jobs: None,
        export: None,
        seconds: 5.0,
    };
    let mut words = std::env::args().skip(1).filter(|word| word != "--bench");
    while let Some(word) = words.next() {
        let mut value = || words.next().ok_or(format!("{word} wants a value"));
        match word.as_str() {
            "--parts" => options.parts = list(&value()?)?,
            "--seeds" => options.seeds = value()?.parse().map_err(|_| "--seeds wants a number")?,
            "--curve" => options.curve = list(&value()?)?,
            "--replan" => options.replan = true,
            "--export" => options.export = Some(value()?.into()),
            "--seconds" => options.seconds = value()?.parse().map_err(|_| "--seconds wants a number")?,
            "--jobs" => options.jobs = Some(value()?.into()),
            _ => return Err(format!("{word} is no flag of this bench")),
        }
    }
    Ok(options)
}

fn list<T: std::str::FromStr>(text: &str) -> Result<Vec<T>, String> {
    let number = |word: &str| word.parse().map_err(|_| format!("\"{word}\" is no number"));
    text.split(',').map(number).collect()
}

fn main() -> ExitCode {
    match run() {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}

fn run() -> Result<bool, String> {
    let options = options()?;
    let mut good = true;
    for &parts in &options.parts {
        for seed in 1..=options.seeds {
            good &= one(parts, seed, &options)?;
        }
    }
    Ok(good)
}

fn read(parts: u64, seed: u64, options: &Options) -> Result<Job, String> {
    let text = generated::job(parts, seed);
    let name = format!("g{parts}-{seed}.toml");
    if let Some(folder) = &options.jobs {
        let path = folder.join(&name);
        std::fs::write(&path, &text).map_err(|error| format!("{}: {error}", path.display()))?;
    }
    let (job, problems) = job::read(&SourceFile::new(name, text), &shipped());
    job.ok_or_else(|| format!("{parts} pieces, seed {seed}: {problems:?}"))
}

/// How often what is soon done is timed; the quickest counts, since the rest is the machine.
const TIMES: usize = 5;
/// What takes longer, milliseconds, is timed once.
const LONG: f64 = 1_000.0;

/// What to plan from: a history, and what the planning before left.
type From<'a> = (&'a History, &'a Kept);

/// The plan and how many milliseconds it took to make, without a limit the least of a few times.
fn timed(job: &Job, from: From, tries: u32, limit: Option<Duration>) -> Result<(Plan, f64), String> {
    let (plan, mut least) = once(job, from, tries, limit)?;
    for _ in 1..TIMES {
        if limit.is_some() || least > LONG {
            break;
        }
        least = least.min(once(job, from, tries, None)?.1);
    }
    Ok((plan, least))
}

fn once(job: &Job, (history, kept): From, tries: u32, limit: Option<Duration>) -> Result<(Plan, f64), String> {
    // each time as it was before
    let kept = kept.fork();
    let means = Means {
        kept: Some(&kept),
        ..Means::default()
    };
    let begun = Instant::now();
    let settings = Settings { seed: 1, tries };
    let mut go_on = || limit.is_none_or(|limit| begun.elapsed() < limit);
    let plan = plan_by(job, history, settings, means, &mut go_on).map_err(|no| format!("{}: {no}", job.title))?;
    let took = begun.elapsed().as_secs_f64() * 1000.0;
    Ok((plan, took))
}

/// Hours from the start to ready.
fn ready(plan: &Plan) -> f64 {
    (plan.ready - plan.starts).num_minutes() as f64 / 60.0
}

fn one(parts: u64, seed: u64, options: &Options) -> Result<bool, String> {
    let job = read(parts, seed, options)?;
    let history = History::none(job.start);
    if let Some(folder) = &options.export {
        return export(&job, &history, folder, &format!("g{parts}-{seed}"), options.seconds);
    }
    let begun = Instant::now();
    let work = denib::work::of(&job);
    let working = begun.elapsed().as_secs_f64() * 1000.0;
    let (first, took) = timed(&job, (&history, &Kept::default()), 0, None)?;
    let mut good = silent(&job, &first);
    println!(
        "{parts:>4} pieces, seed {seed}: {} operations (work {working:.1} ms), first plan {took:.1} ms, ready {:.1} h, bound {:.1} % below, peak {} MB",
        work.operations.len(),
        ready(&first),
        first.gap_percent,
        peak_memory().map_or_else(|| "?".to_owned(), |megabytes| megabytes.to_string())
    );
    for &seconds in &options.curve {
        let (better, took) = timed(
            &job,
            (&history, &Kept::default()),
            u32::MAX,
            Some(Duration::from_secs_f64(seconds)),
        )?;
        good &= silent(&job, &better);
        println!(
            "      {seconds} s: ready {:.1} h, gap {:.1} %, took {took:.0} ms",
            ready(&better),
            better.gap_percent
        );
    }
    if options.replan {
        good &= replan(&job, &first)?;
    }
    Ok(good)
}

/// Writes the stripped network for a general solver, solves it with our own in so many seconds, and writes what
/// we found beside it.
fn export(job: &Job, history: &History, folder: &Path, name: &str, seconds: f64) -> Result<bool, String> {
    let bare = general::stripped(&denib::dayplan::network_of(job, history));
    let settings = denib::planner::Settings {
        tries: u32::MAX,
        ..denib::planner::Settings::default()
    };
    let begun = Instant::now();
    let mut watch = |_: &denib::planner::Solution| {
        if begun.elapsed().as_secs_f64() < seconds {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    };
    let found = denib::planner::solve(&bare, &settings, &mut watch).map_err(|no| format!("{name}: {no}"))?;
    let breaches = denib::planner::verify(&bare, &found);
    let mut problem = general::problem(&bare);
    problem["ours"] = serde_json::json!({ "ready": found.score.ready, "seconds": seconds, "starts": found.starts });
    let path = folder.join(format!("{name}.json"));
    std::fs::write(&path, problem.to_string()).map_err(|error| format!("{}: {error}", path.display()))?;
    println!(
        "{name}: ready {} (bound {}) after {seconds} s, {} breaches",
        found.score.ready,
        found.bound.ready,
        breaches.len()
    );
    Ok(breaches.is_empty())
}

/// Ticks rounds off on time and plans again after each of a few of them.
fn replan(job: &Job, first: &Plan) -> Result<bool, String> {
    let mut good = true;
    let mut worst = 0.0_f64;
    for share in [1, 4, 8] {
        let Some(round) = first.rounds.get(first.rounds.len() * share / 10) else {
            continue;
        };
        // the wall has planned after the tick before this one
        let kept = Kept::default();
        let before = first.rounds.iter().rfind(|before| before.end < round.end);
        if let Some(before) = before {
            let means = Means {
                kept: Some(&kept),
                ..Means::default()
            };
            let history = on_time(first, Moment::of(&before.end));
            let settings = Settings { seed: 1, tries: 0 };
            plan_by(job, &history, settings, means, &mut || true).map_err(|no| format!("{}: {no}", job.title))?;
        }
        let history = on_time(first, Moment::of(&round.end));
        let (again, took) = timed(job, (&history, &kept), 0, None)?;
        if once(job, (&history, &Kept::default()), 0, None)?.0 != again {
            println!("      NOT THE SAME with what an earlier planning kept");
            good = false;
        }
        good &= silent(job, &again);
        worst = worst.max(took);
        let starts: HashMap<&str, Stamp> = again
            .operations
            .iter()
            .map(|new| (new.id.as_str(), new.start))
            .collect();
        let ahead = first.operations.iter().filter(|old| old.start > round.end);
        let moved: Vec<&Operation> = ahead
            .filter(|old| starts.get(old.id.as_str()) != Some(&old.start))
            .collect();
        let soonest = moved.iter().map(|old| (old.start - round.end).num_minutes()).min();
        println!(
            "      replan after {share}0 % of the rounds: {took:.1} ms, {} operations moved{}, ready {:.1} h",
            moved.len(),
            soonest.map_or_else(String::new, |minutes| format!(
                " (from {minutes} min after the tick on)"
            )),
            ready(&again)
        );
    }
    println!("      slowest replan {worst:.1} ms");
    Ok(good)
}

fn silent(job: &Job, plan: &Plan) -> bool {
    let breaches = verify(plan, job);
    if let Some(breach) = breaches.first() {
        println!("      BREAKS RULES ({}): {}", breaches.len(), breach.text);
    }
    breaches.is_empty()
}

/// The most memory this process has had, where the system says so.
fn peak_memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    let kilobytes: u64 = line.split_whitespace().next()?.parse().ok()?;
    Some(kilobytes / 1024)
}
