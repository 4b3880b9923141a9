//! The program on real lines: a first job from nothing, two screens on one job, the maker's own editor.

// what a test sets up by hand is there
#![allow(clippy::expect_used, clippy::panic)]

use crate::case::{self, Case};
use crate::wall_line::Line;
use denib::log::{What, read};
use denib::source::SourceFile;
use std::ffi::OsStr;
use std::time::{Duration, Instant};

const PAGE_DOWN: &str = "\x1b[6~";
const CLEAR: &str = "\x15"; // Ctrl-U: the line is emptied

/// The program on a line, standing in the case's folder.
fn wall(case: &Case, arguments: &[&str], more: &[(&str, &str)]) -> Line {
    let home = case.home().to_str().expect("a plain path");
    let own = [("HOME", home), ("TMPDIR", home), ("TZ", "Europe/London")];
    Line::of(
        r#"cd "$HOME" && exec "$0" "$@""#,
        OsStr::new(env!("CARGO_BIN_EXE_denib")),
        arguments,
        &[&own, more].concat(),
    )
}

/// A shelf with a plan in force, of which nothing is done.
fn shelf() -> Case {
    let case = Case::new().file("shelf.toml", case::SMALL);
    case.run("plan shelf.toml --take --now 2026-11-30T08:00:00Z").expect(0);
    case
}

fn written(case: &Case, log: &str) -> Vec<What> {
    let (records, bad) = read(case.read(log).as_bytes());
    assert_eq!(bad, []);
    records.into_iter().map(|record| record.what).collect()
}

/// From an empty folder to a planned job with three parts and one tick, without a line of the file typed.
#[test]
fn a_newcomer_gets_from_an_empty_folder_to_a_first_tick_on_the_wall() {
    let case = Case::new();
    let mut keys = 0;
    let mut line = wall(&case, &["wall"], &[]);
    let mut send = |line: &mut Line, text: &str| {
        keys += text.chars().count();
        line.send(text);
    };
    line.wait_for_text("THE JOB");
    send(&mut line, "Wall shelf\rd\r");
    line.wait_for_text("dewaxed-shellac");
    send(&mut line, &format!("{CLEAR}Wren\r{PAGE_DOWN}\r"));
    line.wait_for_text("THE ROOM");
    send(&mut line, &format!("{PAGE_DOWN}\r"));
    line.wait_for_text("HOURS");
    send(&mut line, &format!("{PAGE_DOWN}\r"));
    line.wait_for_text("A NEW PART");
    send(&mut line, "shelf\r\r\r800\r220\r20\r\roak\r\r\rp");
    send(&mut line, &format!("{PAGE_DOWN}\r"));
    line.wait_for_text("THE PARTS SO FAR");
    send(&mut line, "1");
    line.wait_for_text("A NEW PART");
    // like the last one but for what is typed
    send(
        &mut line,
        &format!("rail\r{CLEAR}2\rs\r760\r40\r20\r{PAGE_DOWN}\x1b[A\x1b[A\x1b[A\x1b[A2 tenon{PAGE_DOWN}\r"),
    );
    line.wait_for_text("THE PARTS SO FAR");
    send(&mut line, "1");
    line.wait_for_text("A NEW PART");
    send(&mut line, &format!("bracket\r\rs\r200\r40\r20\r{PAGE_DOWN}\r"));
    line.wait_for_text("THE PARTS SO FAR");
    send(&mut line, "2");
    line.wait_for_text("The plan is brought up to date.");
    line.wait_for_text("Enter tick the round");
    send(&mut line, "\r");
    line.wait_for_text("THIS GOES INTO THE LOG");
    send(&mut line, "\r");
    line.wait_for_text("In the log at");
    line.send("q");
    assert_eq!(line.end(), 0);
    // a slow typist hits two keys a second
    assert!(keys < 240, "{keys} keys are more than two minutes' work");

    let text = case.read("wall-shelf.toml");
    let (job, problems) = denib::job::read(
        &SourceFile::new("wall-shelf.toml", text.as_str()),
        &denib::finish::shipped(),
    );
    let job = job.unwrap_or_else(|| panic!("{problems:?}\n{text}"));
    let parts: Vec<&str> = job.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(parts, ["shelf", "rail", "bracket"]);
    assert_eq!(job.pieces.len(), 4);
    assert_eq!(job.hands[0].name, "Wren");
    let log = written(&case, "wall-shelf.log");
    assert!(
        log.iter()
            .any(|what| matches!(what, What::AcceptedPlan { plan } if plan.pieces.len() == 4))
    );
    assert_eq!(log.iter().filter(|what| matches!(what, What::Done { .. })).count(), 1);
    // and the plain commands go on from there
    case.run("status wall-shelf.toml").expect(0);
}

#[test]
fn new_names_the_file_and_leads_on() {
    let case = Case::new();
    let mut line = wall(&case, &["new", "low-bench"], &[]);
    line.wait_for_text("THE JOB");
    line.wait_for_text("low bench");
    line.send("\x1b");
    line.wait_for_text("change the job");
    line.send("q");
    assert_eq!(line.end(), 0);
    assert!(case.read("low-bench.toml").contains("title = \"low bench\""));
    // a second one does not write over it
    case.run("new low-bench").expect(2);
}

/// How long a screen takes to show what another one wrote.
fn follows(line: &Line, text: &str) -> Duration {
    let from = Instant::now();
    line.wait_for_text(text);
    from.elapsed()
}

#[test]
fn two_screens_on_one_job_agree_within_a_second() {
    let case = shelf();
    let mut first = wall(&case, &["wall", "shelf.toml"], &[]);
    let mut second = wall(&case, &["wall", "shelf.toml", "--read-only"], &[]);
    first.wait_for_wall();
    second.wait_for_wall();
    let mut took = Vec::new();
    for (keys, said, shown) in [
        ("o\r", "In the log at", "1 done already"),
        ("o\r", "2 done already", "2 done already"),
        ("u\r", "taken back", "1 done already"),
    ] {
        first.send(keys);
        first.wait_for_text(said);
        took.push(follows(&second, shown));
    }
    // the machine may be busy with other tests: the quickest of three tells what the program can
    let best = took.iter().min().expect("three");
    assert!(*best < Duration::from_secs(1), "{took:?}");
    // the second one only shows
    second.send("\r");
    second.wait_for_text("This screen only shows");
    let log = case.read("shelf.log");
    second.send("o\rn\rq");
    assert_eq!(second.end(), 0);
    assert_eq!(case.read("shelf.log"), log);
    first.send("q");
    assert_eq!(first.end(), 0);
}

#[test]
fn two_programs_write_one_plan_for_one_change() {
    let case = shelf();
    let mut lines = [0, 1].map(|_| wall(&case, &["wall", "shelf.toml"], &[]));
    for line in &lines {
        line.wait_for_wall();
    }
    let plans = || {
        let plans = written(&case, "shelf.log").into_iter();
        plans.filter(|what| matches!(what, What::AcceptedPlan { .. })).count()
    };
    assert_eq!(plans(), 1);
    for (number, length) in [900, 760, 870].into_iter().enumerate() {
        // the rails take longer: a plan of its own for each length
        let text = case::SMALL
            .replace("count = 2", &format!("count = {}", 3 + number))
            .replace("size = [760, 40, 20]", &format!("size = [{length}, 40, 20]"));
        std::fs::write(case.path("shelf.toml"), text).expect("the file is written");
        for line in &lines {
            line.wait_for_text(&format!("rail 1 of {}", 3 + number));
        }
        let until = Instant::now() + Duration::from_secs(20);
        while plans() < number + 2 {
            assert!(Instant::now() < until, "no plan for change {number}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }
    // whoever came second has had the time to write by now, and what he had handed over is written when he leaves
    std::thread::sleep(Duration::from_secs(1));
    for line in &mut lines {
        line.send("q");
        assert_eq!(line.end(), 0);
    }
    assert_eq!(plans(), 4);
}

#[test]
fn a_half_written_schedule_is_said_and_the_last_good_one_is_kept() {
    let schedule = include_str!("../../schedules/dewaxed-shellac.toml");
    let case = shelf().file("own/shellac.toml", schedule);
    let save = |text: &str| std::fs::write(case.path("own/shellac.toml"), text).expect("written");
    let mut line = wall(&case, &["wall", "shelf.toml", "--schedules", "own"], &[]);
    line.wait_for_wall();
    let log = case.read("shelf.log");
    // as an editor leaves it for a moment: nothing, then a part, then a part that ends in the middle of a line
    let lines: Vec<&str> = schedule.lines().collect();
    let cut = (lines.len() / 2..lines.len()).find(|line| lines[*line].contains('='));
    let cut = cut.expect("a key");
    let (key, _) = lines[cut].split_once('=').expect("a key");
    let torn = format!("{}\n{key}=", lines[..cut].join("\n"));
    for text in ["", torn.as_str()] {
        save(text);
        line.wait_for_text("A finish schedule has faults: ! shows them");
        line.send("F");
        line.wait_for("the far wall with its line", |screen| {
            let text = screen.contents();
            text.contains("Esc the pages") && text.contains("A finish schedule has faults")
        });
        line.send("!");
        line.wait_for_text("A FINISH SCHEDULE HAS FAULTS");
        line.wait_for_text("shellac.toml");
        line.send("\x1b");
        line.wait_for_text("Esc the pages");
        line.send("\x1b");
        save(schedule);
        line.wait_for_text("The finish schedules are sound again, and taken.");
    }
    // the last good one was kept: nothing was planned anew
    assert_eq!(case.read("shelf.log"), log);
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn a_changed_file_is_read_again_and_a_bad_one_is_said_and_not_taken() {
    let case = shelf();
    let mut line = wall(&case, &["wall", "shelf.toml"], &[]);
    line.wait_for_wall();
    let save = |text: &str| std::fs::write(case.path("shelf.toml"), text).expect("the file is written");
    save(&case::SMALL.replace("Wall shelf", "Hall shelf"));
    line.wait_for_text("Hall shelf");
    save(&case::SMALL.replace("build = \"solid\"", "build = \"sollid\""));
    line.wait_for_text("The job file has faults");
    line.wait_for_text("Hall shelf"); // the last good one
    line.send("!");
    line.wait_for_text("THE JOB FILE HAS FAULTS");
    line.wait_for_text("sollid");
    line.send("\x1b");
    save(&case::SMALL.replace("Wall shelf", "Tall shelf"));
    line.wait_for_text("Tall shelf");
    line.send("q");
    assert_eq!(line.end(), 0);
}

/// The editor of these tests: says it is there, waits for a line, then changes the file as that line says.
const EDITOR: &str = r#"printf 'the editor is here\n'
read line
sed -i "$line" "$1"
"#;

#[test]
fn the_editor_gets_the_terminal_as_it_was_and_the_file_is_read_afterwards() {
    let case = shelf().file("edit.sh", EDITOR);
    let editor = format!("/bin/sh '{}'", case.path("edit.sh").display());
    let mut line = wall(
        &case,
        &["wall", "shelf.toml"],
        &[("VISUAL", &editor), ("EDITOR", "false")],
    );
    line.wait_for_wall();
    line.send("e9");
    // it asks for keys once it has said it is there: what is typed before belongs to nobody
    let editor_is_up = |line: &Line, times: usize| {
        line.wait_for("the editor on the usual screen", |screen| {
            !screen.alternate_screen() && screen.contents().matches("the editor is here").count() == times
        });
    };
    editor_is_up(&line, 1);
    assert_eq!(
        line.modes(),
        line.modes_before,
        "the editor finds the terminal as it was"
    );
    line.send("s/Wall shelf/Hall shelf/\r");
    line.wait_for("the wall again", |screen| {
        screen.alternate_screen() && screen.contents().contains("Hall shelf")
    });
    assert_ne!(line.modes(), line.modes_before, "raw again");
    // a fault is shown in place, and the last good job is kept
    line.send("e9");
    editor_is_up(&line, 2);
    line.send("s/shape = \"square\"/shape = \"sqare\"/\r");
    line.wait_for_text("THE JOB FILE HAS FAULTS");
    line.wait_for_text("sqare");
    // back to it from there, and mended
    line.send("e");
    editor_is_up(&line, 3);
    line.send("s/sqare/square/\r");
    line.wait_for("the page again", |screen| {
        screen.contents().contains("is sound again") && !screen.contents().contains("FAULTS")
    });
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn an_editor_that_does_not_start_is_said() {
    let case = shelf();
    let mut line = wall(&case, &["wall", "shelf.toml"], &[("EDITOR", "no-such-editor")]);
    line.wait_for_wall();
    line.send("e9");
    line.wait_for_text("\"no-such-editor\" does not start");
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn a_form_writes_the_file_and_the_plan_follows() {
    let case = shelf();
    let mut line = wall(&case, &["wall", "shelf.toml"], &[]);
    line.wait_for_wall();
    line.send("2e6");
    line.wait_for_text("THE ROOM");
    // one bearer less
    let down = "\x1b[B".repeat(10);
    line.send(&format!("{down}{CLEAR}3{PAGE_DOWN}\r"));
    line.wait_for_text("In the job file: the room changed.");
    line.send("q");
    assert_eq!(line.end(), 0);
    assert!(
        case.read("shelf.toml")
            .contains("places = { bearers = 3, points = 6, hooks = 4, racks = 8 }")
    );
    // nothing half-written is left behind
    let names: Vec<String> = std::fs::read_dir(case.home())
        .expect("the folder is there")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    assert!(!names.iter().any(|name| name.contains("half")), "{names:?}");
}
