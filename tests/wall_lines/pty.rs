//! The wall on a real line: what it leaves behind, whatever ends it.

// what a test sets up by hand is there; a script that cannot be read fails the test
#![allow(clippy::expect_used, clippy::panic, clippy::print_stdout, clippy::print_stderr)]

use crate::wall_bench::{MemoryBench, Replans, at};
use crate::wall_line::{CHILD, Line, MODE};
use denib::cli::{Colour, Manner};
use denib::tui::terminal::{Ended, PRIORITY, Settings, run};
use rustix::process::Signal;
use std::io::Write as _;
use std::process::{Command, Stdio};
use std::sync::Arc;

/// On a line this is the wall; started by the test runner it starts itself without one.
#[test]
fn refuses_what_is_no_terminal_and_is_the_wall_on_a_line() {
    if let Ok(mode) = std::env::var(MODE) {
        be_the_wall(&mode);
    }
    for term in ["xterm", "dumb"] {
        let wall = std::env::current_exe().expect("this test has a path");
        let mut command = Command::new(wall);
        command
            .args([CHILD, "--exact", "--nocapture"])
            .env(MODE, "plain")
            .env("TERM", term)
            .stdin(Stdio::null());
        let output = command.output().expect("the wall starts");
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        for instead in ["denib plan", "denib status", "denib tick"] {
            assert!(said.contains(instead), "{instead} is not named in: {said}");
        }
        assert!(
            !output.stdout.contains(&0x1b),
            "nothing is drawn on what is no terminal"
        );
    }
}

fn be_the_wall(mode: &str) -> ! {
    println!("process {} ", std::process::id());
    let mut bench = MemoryBench::new().done(&["sand", "cover"]);
    match mode {
        "breaks" => bench.break_on_write = true,
        "full" => bench.refuse = Some("The disk is full.".to_owned()),
        "planner breaks" => bench.replans = Replans::Break,
        "planner takes long" => (bench.replans, bench.replan_by) = (Replans::UntilRecords(4), Some(30)),
        _ => {}
    }
    let settings = Settings {
        colour: if mode == "colour" { Colour::Always } else { Colour::Auto },
        manner: Manner::default(),
        ascii: false,
        read_only: false,
        clock: Arc::new(|| at(0, 10, 20)),
    };
    let ended = run(Box::new(bench), &settings);
    if let Ended::Refused(why) = &ended {
        eprintln!("{why}");
    }
    // a line that was hung up takes no more words
    let _ = writeln!(std::io::stdout(), "the wall is down: {ended:?}");
    std::process::exit(ended.code());
}

/// The terminal is as it was: other screen left, cursor seen, paste marks off, modes the same.
fn assert_left_as_found(line: &Line) {
    line.wait_for("the usual screen, a cursor and unmarked pastes", |screen| {
        !screen.alternate_screen() && !screen.hide_cursor() && !screen.bracketed_paste()
    });
    assert_eq!(line.modes(), line.modes_before);
}

#[test]
fn starts_and_leaves_the_terminal_as_it_was() {
    let mut line = Line::plain("plain");
    line.wait_for_wall();
    assert_ne!(line.modes(), line.modes_before, "raw while the wall is up");
    line.look(|screen| {
        assert!(screen.bracketed_paste());
        assert!(screen.contents().contains("C O A T   1"), "{}", screen.contents());
    });
    line.send("q");
    assert_eq!(line.end(), 0);
    assert_left_as_found(&line);
    line.wait_for_text("the wall is down: Left");
}

/// The program itself, on the demo: the same shell, plugged into job, log and planner.
#[test]
fn the_program_puts_the_demo_up_ticks_and_leaves() {
    let home = tempfile::tempdir().expect("a folder");
    let home = home.path().to_str().expect("a plain path");
    let program = std::ffi::OsStr::new(env!("CARGO_BIN_EXE_denib"));
    let mut line = Line::of(
        r#"exec "$0" "$@""#,
        program,
        &["demo"],
        &[("HOME", home), ("TMPDIR", home)],
    );
    line.wait_for_wall();
    // the wall is up before the plan is there
    line.wait_for_text("tick the round");
    line.send("o\r");
    line.wait_for_text("In the log at");
    line.send("u\r");
    line.wait_for_text("taken back");
    line.send("2");
    line.wait_for_text("what comes");
    line.send("q");
    assert_eq!(line.end(), 0);
    assert_left_as_found(&line);
}

#[test]
fn signals_end_it_with_their_codes_and_leave_the_terminal_as_it_was() {
    for (signal, code) in [(Signal::TERM, 143), (Signal::INT, 130), (Signal::HUP, 129)] {
        let mut line = Line::plain("plain");
        line.wait_for_wall();
        line.signal(signal);
        assert_eq!(line.end(), code, "{signal:?}");
        assert_left_as_found(&line);
    }
}

#[test]
fn ctrl_c_ends_it_as_an_interrupt_does() {
    let mut line = Line::plain("plain");
    line.wait_for_wall();
    line.send("\x03");
    assert_eq!(line.end(), 130);
    assert_left_as_found(&line);
}

/// A shell that stays: somebody who could wake the wall.
const UNDER_A_SHELL: &str = r#""$0" "$@"; code=$?; echo "shell: $code"; exit $code"#;

#[test]
fn stops_on_ctrl_z_and_comes_back() {
    let mut line = Line::start("plain", UNDER_A_SHELL, &[]);
    line.wait_for_wall();
    line.send("j\x1a");
    line.wait_for_stop();
    assert_left_as_found(&line);
    line.resize(40, 120);
    line.signal(Signal::CONT);
    line.wait_for("the wall again, in the new size", |screen| {
        let rows: Vec<String> = screen.rows(0, 120).collect();
        screen.alternate_screen()
            && rows.iter().any(|row| row.contains("› ") && row.contains("side, left"))
            && rows.get(37).is_some_and(|row| row.starts_with("───"))
    });
    assert_ne!(line.modes(), line.modes_before, "raw again");
    line.send("q");
    assert_eq!(line.end(), 0);
    assert_left_as_found(&line);
}

#[test]
fn stops_on_a_stop_signal_from_outside_and_comes_back() {
    let mut line = Line::start("plain", UNDER_A_SHELL, &[]);
    line.wait_for_wall();
    line.signal(Signal::TSTP);
    line.wait_for_stop();
    assert_left_as_found(&line);
    line.signal(Signal::CONT);
    line.wait_for_wall();
    line.send("?");
    line.wait_for_text("WHAT DO HANDS DO NOW?");
    line.send("qq");
    assert_eq!(line.end(), 0);
}

#[test]
fn does_not_stop_where_nobody_could_wake_it() {
    let mut line = Line::plain("plain");
    line.wait_for_wall();
    line.send("\x1a");
    line.wait_for_text("nobody could wake it");
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn a_panic_leaves_first_and_its_message_can_be_read() {
    let mut line = Line::plain("breaks");
    line.wait_for_wall();
    line.send("\r\r");
    assert_eq!(line.end(), 101);
    assert_left_as_found(&line);
    line.wait_for_text("the bench was told to break");
}

#[test]
fn pastes_go_into_text_fields_and_nowhere_else() {
    let mut line = Line::plain("plain");
    line.wait_for_wall();
    // as keys this would leave, or tick
    line.send("\x1b[200~q\r\rq\x1b[201~n");
    line.wait_for_text("Note: ");
    line.send("\x1b[200~two\nlines\x1b[201~\r");
    line.wait_for_text("In the log at 10:20: a note.");
    line.send("u");
    line.wait_for_text("note: two lines");
    line.send("\x1b");
    line.wait_for_text("C O A T   1");
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn what_the_disk_does_not_take_is_not_said_to_be_done() {
    let mut line = Line::plain("full");
    line.wait_for_wall();
    line.send("\r\r");
    line.wait_for_text("NOT in the log: coat 1 done, 9 pieces. The disk is full.");
    line.wait_for_text("THIS GOES INTO THE LOG");
    line.send("\x1b");
    line.wait_for_text("C O A T   1");
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn a_planner_that_breaks_off_is_said_and_nothing_else_breaks() {
    let mut line = Line::plain("planner breaks");
    line.wait_for_wall();
    line.send("o\r");
    line.wait_for_text("the planning broke off");
    line.look(|screen| assert!(screen.alternate_screen()));
    assert!(
        !line.all_shown().contains("told to break"),
        "the panic wrote over the screen"
    );
    line.send("q");
    assert_eq!(line.end(), 0);
    assert_left_as_found(&line);
}

#[test]
fn keys_stay_live_while_a_plan_is_worked_out_and_the_newest_wins() {
    let mut line = Line::plain("planner takes long");
    line.wait_for_wall();
    line.send("o\r");
    line.wait_for_text("8 pieces, 1 done already");
    line.send("?");
    line.wait_for_text("WHAT DO HANDS DO NOW?");
    let niced = line
        .threads()
        .into_iter()
        .filter(|nice| *nice == i64::from(PRIORITY))
        .count();
    assert_eq!(niced, 1, "the planning thread gives way");
    line.send("q");
    line.wait_for_text("C O A T   1");
    line.send("o\r");
    line.wait_for_text("The plan is brought up to date.");
    line.look(|screen| assert!(!screen.contents().contains("given up"), "an old answer is of no use"));
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn follows_the_size_of_the_window() {
    let mut line = Line::plain("plain");
    line.wait_for_wall();
    line.resize(40, 120);
    line.wait_for("the wide page", |screen| {
        screen
            .rows(0, 120)
            .any(|row| row.contains("C O A T   1") && row.contains("READY"))
    });
    line.resize(10, 40);
    line.wait_for_text("80 columns");
    line.resize(1, 1);
    line.resize(24, 80);
    line.wait_for("the usual page", |screen| {
        screen.rows(0, 80).any(|row| row.starts_with(" CLOSES"))
    });
    line.send("q");
    assert_eq!(line.end(), 0);
}

#[test]
fn ends_when_the_line_is_hung_up_though_hang_ups_are_ignored() {
    let mut line = Line::start("plain", r#"trap "" HUP; exec "$0" "$@""#, &[]);
    line.wait_for_wall();
    line.hang_up();
    assert_eq!(line.end(), 129);
}

/// `NO_COLOR` takes the colours, set but empty it does not, and the flag comes before it; the selection stays.
#[test]
fn no_color_takes_the_colours_and_keeps_the_selection() {
    for (mode, no_color, coloured) in [("plain", "1", false), ("plain", "", true), ("colour", "1", true)] {
        let mut line = Line::start(mode, r#"exec "$0" "$@""#, &[("NO_COLOR", no_color)]);
        line.wait_for_wall();
        line.look(|screen| {
            let cells = (0..24).flat_map(|row| (0..80).filter_map(move |column| screen.cell(row, column)));
            let with_colour = cells
                .clone()
                .filter(|cell| cell.fgcolor() != vt100::Color::Default)
                .count();
            assert_eq!(with_colour > 0, coloured, "{with_colour} cells with colour");
            let selected: String = cells.filter(|cell| cell.inverse()).map(vt100::Cell::contents).collect();
            assert!(selected.contains("top"), "selected: {selected}");
        });
        line.send("q");
        assert_eq!(line.end(), 0);
    }
}

#[test]
fn many_keys_at_once_are_few_frames() {
    let mut line = Line::plain("plain");
    line.wait_for_wall();
    let before = line.all_shown().len();
    line.send(&"jk".repeat(500));
    line.send("?");
    line.wait_for_text("WHAT DO HANDS DO NOW?");
    // a frame of one move is well over a hundred bytes; one a key would be over 100,000
    let drawn = line.all_shown().len() - before;
    assert!(drawn < 40_000, "{drawn} bytes for a thousand keys");
    line.send("qq");
    assert_eq!(line.end(), 0);
}
