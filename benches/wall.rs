//! How quick the wall is with a thousand parts and twenty-five thousand records, and how little it asks for.
//!
//! `cargo bench --bench wall` prints one line a figure with its target, and fails when one is missed. The
//! job, its plan and its log are invented; the program that is measured is the one that is shipped.

// a bench that cannot be set up stops; what it finds goes to the output
#![allow(
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout,
    clippy::disallowed_methods,
    dead_code
)]

#[path = "../tests/wall_line/mod.rs"]
mod wall_line;

use chrono::{DateTime, Duration as Minutes, FixedOffset};
use denib::dayplan::{self, History, Plan, Settings};
use denib::job::{self, Job};
use denib::log::{Ids, Log, Record, What};
use denib::source::SourceFile;
use denib::tui::script::paint;
use denib::tui::terminal::{Clock, PRIORITY, desk::Desk};
use denib::tui::{Bench, Key, Model, Msg, Sheet, Shop, update};
use denib::units::Moment;
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicI64, Ordering};
use std::thread;
use std::time::{Duration, Instant};
use wall_line::Line;

const PARTS: usize = 250;
const COPIES: usize = 4;
const RECORDS: usize = 25_000;

fn main() {
    let folder = tempfile::tempdir().expect("a folder");
    let job_path = folder.path().join("many.toml");
    let text = many_parts();
    std::fs::write(&job_path, &text).expect("the job is written");
    let job = read(&text);
    let surfaces: usize = job.pieces.iter().map(|piece| piece.surfaces.len()).sum();
    println!("{} pieces, {surfaces} surfaces, {RECORDS} records", job.pieces.len());
    let began = Instant::now();
    let plan = plan(&job);
    println!(
        "planned in {:.1} s: {} operations",
        began.elapsed().as_secs_f64(),
        plan.operations.len()
    );
    let now = write_log(&job, &plan, &job_path);

    let only = std::env::args().skip_while(|argument| argument != "--only").nth(1);
    let wanted = |what: &str| only.as_deref().is_none_or(|only| only == what);
    let mut missed = 0;
    if wanted("keys") {
        missed += keys(&job_path, now);
    }
    if wanted("frames") {
        missed += first_frames(folder.path(), &job_path, now);
    }
    if wanted("idle") {
        missed += idle(folder.path());
    }
    if missed > 0 {
        println!("{missed} targets missed");
        std::process::exit(1);
    }
}

/// A line with its target.
fn say(what: &str, found: f64, target: f64, unit: &str) -> usize {
    let kept = found < target;
    println!(
        "{what:<44} {found:>9.3} {unit:<3} (under {target} {unit}) {}",
        if kept { "ok" } else { "MISSED" }
    );
    usize::from(!kept)
}

/// A thousand panels of six sides.
fn many_parts() -> String {
    let head = r#"format = 1
title = "Many parts"
zone = "Europe/London"
start = "2026-11-30 08:00"
units = { length = "mm", temperature = "C", volume = "L" }
finish = "dewaxed-shellac"

[room]
dust = "separated"
places = { racks = 4000 }

[[room.air]]
day = { temperature = 20, humidity = 50 }

[hours]
mon = ["08:00-18:00"]
tue = ["08:00-18:00"]
wed = ["08:00-18:00"]
thu = ["08:00-18:00"]
fri = ["08:00-18:00"]

[[hands]]
name = "Wren"

[[section]]
id = "all"
name = "all"
"#;
    let mut text = head.to_owned();
    for part in 0..PARTS {
        let _ = write!(
            text,
            "\n[[part]]\nname = \"panel {part}\"\ncount = {COPIES}\nshape = \"panel\"\nsize = [{}, 150, 12]\nbuild = \"solid\"\nmaterial = \"oak\"\nsection = \"all\"\nholding = \"hung\"\n",
            300 + part
        );
    }
    text
}

fn read(text: &str) -> Job {
    let (job, problems) = job::read(&SourceFile::new("many.toml", text), &denib::finish::shipped());
    job.unwrap_or_else(|| panic!("{problems:?}"))
}

fn plan(job: &Job) -> Plan {
    let settings = Settings { seed: 1, tries: 0 };
    dayplan::plan(job, &History::none(job.start), settings, &mut || false).unwrap_or_else(|no| panic!("{no}"))
}

/// Half the work ticked piece by piece, readings and notes between; the instant of the last.
fn write_log(job: &Job, plan: &Plan, path: &Path) -> DateTime<FixedOffset> {
    let mut ids = Ids::with_mark(11);
    let mut records: Vec<Record> = Vec::with_capacity(RECORDS);
    let begins = job.start.with_offset(job.zone);
    let mut say = |at: DateTime<FixedOffset>, what: What| {
        records.push(Record {
            id: ids.next(&at),
            at,
            who: "Wren".to_owned(),
            what,
        });
    };
    say(
        begins,
        What::AcceptedPlan {
            plan: std::sync::Arc::new(plan.clone()),
        },
    );
    let half = plan.operations.len() / 2;
    let mut now = begins;
    for operation in plan.operations.iter().take(half) {
        now = operation.end;
        say(
            now,
            What::Done {
                operations: vec![operation.id.clone()],
                start: operation.start,
                end: operation.end,
            },
        );
    }
    let mut at = begins;
    for count in half + 1..RECORDS {
        at += Minutes::seconds(30);
        let what = if count % 20 == 0 {
            What::Reading {
                temperature: 20.0,
                humidity: Some(50.0),
            }
        } else {
            What::Note {
                text: format!("note {count}"),
            }
        };
        say(at.min(now), what);
    }
    let mut log = Log::open(&path.with_extension("log"), &now).expect("a log");
    log.append(&records).expect("the log is written");
    now
}

/// Opens the bench as the program does.
fn open(path: &Path, now: DateTime<FixedOffset>) -> Shop {
    let written = std::fs::read_to_string(path).expect("the job");
    let (mut output, mut errors) = (Vec::new(), Vec::new());
    let mut context = denib::cli::Context {
        clock: &|| now.to_utc(),
        elapsed: &|| Duration::ZERO,
        stopped: &|| false,
        around: denib::cli::Surroundings::default(),
        folders: denib::cli::Folders::default(),
        output: &mut output,
        errors: &mut errors,
    };
    let schedules = denib::finish::shipped();
    let (job, _) = job::read(&SourceFile::new("many.toml", written.as_str()), &schedules);
    let file = denib::cli::JobFile::read(path, &written, schedules, Vec::new());
    let bench = denib::cli::Bench::of(job.expect("it was read before"), file, &mut context);
    let bench = bench.unwrap_or_else(|failure| panic!("{}", failure.text()));
    Shop::new(bench, "Wren".to_owned())
}

/// Keys to frames, on all pages, while a plan is worked out beside them, minutes go by and rounds are ticked.
fn keys(path: &Path, now: DateTime<FixedOffset>) -> usize {
    let began = Instant::now();
    let shop = open(path, now);
    println!("{:<44} {:>9.3} s", "opened", began.elapsed().as_secs_f64());
    let began = Instant::now();
    let sheet = Sheet::of(&shop, Moment::of(&now));
    println!("{:<44} {:>9.3} s", "looked at", began.elapsed().as_secs_f64());
    let mut model = Model::new(sheet, now, (120, 40)).worked_beside();
    let _ = paint(&model);
    let mut terminal = Terminal::with_options(
        CrosstermBackend::new(std::io::sink()),
        ratatui::TerminalOptions {
            viewport: ratatui::Viewport::Fixed(ratatui::layout::Rect::new(0, 0, 120, 40)),
        },
    )
    .expect("a screen that goes nowhere");
    let give_up = Arc::new(AtomicBool::new(false));
    let (replan, flag) = (shop.replan(Moment::of(&now)), Arc::clone(&give_up));
    let planner = thread::spawn(move || {
        // as the wall's own planning thread: it gives way
        let _ = rustix::process::setpriority_process(Some(rustix::thread::gettid()), PRIORITY);
        let _ = replan(&flag, &mut |_| ());
    });
    // the bench on its own thread, as on the wall; its clock is pushed on by hand
    let minute = Arc::new(AtomicI64::new(0));
    let pushed = Arc::clone(&minute);
    let clock: Clock = Arc::new(move || now + Minutes::minutes(pushed.load(Ordering::Relaxed)));
    let (tell, answers) = std::sync::mpsc::channel();
    // one plan under way is enough: those asked for by ticks are left
    let desk = Desk::start(
        Box::new(shop),
        model.sheet.clone(),
        Arc::clone(&clock),
        |_, _| {},
        move |msg| tell.send(msg).is_ok(),
        || (),
    );
    let pages = "jjjjjjjjkkkkGgjjjj2jjjjjjjjjGgkkjj\u{1}\u{1}a/panel 12\r\u{2}\u{2}f3f11?jj\u{3}c\u{3}t\u{3}jjjj\
        3jjjj++--jw4jjk5jj\u{1}jj6jjj7jj\u{1}k8jjj\u{1}k2jj/panel 7\r\u{3}1jj\r\rjjkk2jjjj1jj";
    let mut took: Vec<Duration> = Vec::new();
    let mut answered: Vec<(Duration, &str)> = Vec::new();
    let mut slowest: BTreeMap<&str, Duration> = BTreeMap::new();
    let mut ticks = 0;
    while took.len() < 3000 {
        for c in pages.chars() {
            let key = match c {
                '\r' => Key::Enter,
                '\u{1}' => Key::PageDown,
                '\u{2}' => Key::Backspace,
                '\u{3}' => Key::Esc,
                c => Key::Char(c),
            };
            if took.len() % 60 == 59 {
                minute.fetch_add(1, Ordering::Relaxed);
            }
            let arrived = answers.try_iter().map(|msg| (name_of(&msg), msg));
            for (what, msg) in arrived.chain([("the clock", Msg::Clock(clock()))]).collect::<Vec<_>>() {
                ticks += usize::from(what == "a tick");
                let from = Instant::now();
                for effect in update(&mut model, msg) {
                    desk.take(effect);
                }
                answered.push((from.elapsed(), what));
            }
            let from = Instant::now();
            for effect in update(&mut model, Msg::Key(key)) {
                desk.take(effect);
            }
            terminal
                .draw(|frame| denib::tui::view::draw(&model, frame))
                .expect("nothing can go wrong there");
            took.push(from.elapsed());
            let longest = slowest.entry(model.page.name()).or_default();
            *longest = (*longest).max(from.elapsed());
            // nobody types faster; what the desk answers comes between the keys as it does on the wall
            thread::sleep(Duration::from_millis(5));
        }
    }
    desk.finish();
    let planning = !planner.is_finished();
    give_up.store(true, Ordering::Relaxed);
    println!("the planner was still at it at the end: {planning}");
    let missed = told(took, &slowest, &answered);
    assert!(ticks > 5, "rounds were ticked in between: {ticks}");
    // a plan that is being checked does not look at the flag: what is measured next waits for its end
    planner.join().expect("the planner ends");
    missed
}

/// Says how long keys took, and how long what came in between held them; the targets missed.
fn told(mut took: Vec<Duration>, slowest: &BTreeMap<&str, Duration>, answered: &[(Duration, &str)]) -> usize {
    took.sort_unstable();
    let at = |share: f64| took[((took.len() - 1) as f64 * share) as usize].as_secs_f64() * 1000.0;
    let mut missed = say("key to frame, p50", at(0.5), 1.0, "ms");
    missed += say("key to frame, p99", at(0.99), 16.0, "ms");
    println!("{:<44} {:>9.3} ms", "key to frame, longest", at(1.0));
    for (page, took) in slowest {
        println!(
            "{:<44} {:>9.3} ms",
            format!("  longest on {page}"),
            took.as_secs_f64() * 1000.0
        );
    }
    for what in ["a minute", "a tick", "figures", "the clock"] {
        let of_it = answered.iter().filter(|(_, of)| *of == what);
        let (count, longest) = of_it.fold((0, Duration::ZERO), |(count, longest), (took, _)| {
            (count + 1, longest.max(*took))
        });
        println!(
            "{count:>6} times {what}, the longest {:>9.3} ms",
            longest.as_secs_f64() * 1000.0
        );
    }
    let longest = answered.iter().map(|(took, _)| *took).max().unwrap_or_default();
    missed += say(
        "a minute or a tick holds a key, longest",
        longest.as_secs_f64() * 1000.0,
        16.0,
        "ms",
    );
    missed
}

/// What an answer of the desk is.
const fn name_of(msg: &Msg) -> &'static str {
    match msg {
        Msg::Sheet(_) => "a minute",
        Msg::Written(..) => "a tick",
        Msg::WorkedOut(_) => "figures",
        _ => "another answer",
    }
}

/// The program on a line of its own.
fn wall(home: &Path, arguments: &[&str]) -> Line {
    let home = home.to_str().expect("a plain path");
    Line::of(
        r#"cd "$HOME"; echo "process $$ "; exec "$0" "$@""#,
        std::ffi::OsStr::new(env!("CARGO_BIN_EXE_denib")),
        arguments,
        &[("HOME", home), ("TMPDIR", home)],
    )
}

/// The best of some starts, milliseconds: what else the machine does is not the program's.
fn quickest(home: &Path, arguments: &[&str]) -> f64 {
    let start = |_| {
        let began = Instant::now();
        let mut line = wall(home, arguments);
        line.wait_for("a frame", |screen| {
            screen.alternate_screen() && screen.contents().contains("help")
        });
        let took = began.elapsed().as_secs_f64() * 1000.0;
        line.send("q");
        line.end();
        took
    };
    (0..5).map(start).fold(f64::INFINITY, f64::min)
}

fn first_frames(home: &Path, job: &Path, now: DateTime<FixedOffset>) -> usize {
    let mut missed = say("first frame, the demo", quickest(home, &["demo"]), 150.0, "ms");
    let (job, now) = (job.to_str().expect("a plain path"), now.to_rfc3339());
    let arguments = ["wall", job, "--now", &now];
    missed += say("first frame, 25,000 records", quickest(home, &arguments), 500.0, "ms");
    let mut line = wall(home, &arguments);
    line.wait_for_wall();
    line.send("2jjjj");
    line.wait_for_text("panel 1");
    let status = std::fs::read_to_string(format!("/proc/{}/status", line.wall().as_raw_nonzero())).expect("it runs");
    let resident = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
    let resident = resident.and_then(|text| text.split_whitespace().next()?.parse::<f64>().ok());
    missed += say(
        "resident, 25,000 records",
        resident.expect("a figure") / 1024.0,
        100.0,
        "MB",
    );
    line.send("q");
    line.end();
    missed
}

/// Processor time of a wall nobody touches, on a page without a countdown.
fn idle(home: &Path) -> usize {
    let mut line = wall(home, &["demo"]);
    line.wait_for_wall();
    line.send("2");
    line.wait_for_text("what comes");
    let ticks = |line: &Line| -> f64 {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", line.wall().as_raw_nonzero())).expect("it runs");
        // proc(5): user and system time are fields 14 and 15, the 12th and 13th after the name in brackets
        let fields: Vec<&str> = stat.rsplit(')').next().unwrap_or_default().split_whitespace().collect();
        fields
            .iter()
            .skip(11)
            .take(2)
            .filter_map(|field| field.parse::<f64>().ok())
            .sum()
    };
    thread::sleep(Duration::from_secs(3));
    let (before, from) = (ticks(&line), Instant::now());
    thread::sleep(Duration::from_mins(1));
    // a hundred ticks a second on every Linux
    let share = (ticks(&line) - before) / 100.0 / from.elapsed().as_secs_f64() * 100.0;
    line.send("q");
    line.end();
    say("idle, a minute without a countdown", share, 0.1, "%")
}
