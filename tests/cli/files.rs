//! `check` and `finishes` through the program: files, folders, codes, streams.

#![allow(clippy::unwrap_used)] // a case that cannot be set up has failed

use crate::case::{Case, SMALL};

#[test]
fn a_sound_job_is_said_to_be_sound() {
    let run = Case::new().file("shelf.toml", SMALL).run("check shelf.toml").expect(0);
    assert_eq!(run.out, "shelf.toml: 3 pieces of 2 parts, 1 section, no problems\n");
    assert_eq!(run.err, "");
}

#[test]
fn errors_are_the_result_and_make_the_code_one() {
    let bad = SMALL
        .replace("shape = \"panel\"", "shape = \"pannel\"")
        .replace("dust = \"separated\"", "dust = \"seperated\"");
    let run = Case::new()
        .file("shelf.toml", &bad)
        .run("check shelf.toml --ascii")
        .expect(1);
    let run = run.says("\"pannel\"").says("panel").says("separated").says("2 errors");
    assert_eq!(run.err, "");
    assert!(run.out.is_ascii(), "{}", run.out);
    assert!(!run.out.contains('\u{1b}'));
}

#[test]
fn colour_is_asked_for_or_not_given() {
    let bad = SMALL.replace("shape = \"panel\"", "shape = \"pannel\"");
    let case = Case::new().file("shelf.toml", &bad);
    assert!(!case.run("check shelf.toml").expect(1).out.contains('\u{1b}'));
    assert!(
        case.run("check shelf.toml --color always")
            .expect(1)
            .out
            .contains("\u{1b}[")
    );
    let forced = Case::new().file("shelf.toml", &bad).variable("CLICOLOR_FORCE", "1");
    assert!(forced.run("check shelf.toml").expect(1).out.contains("\u{1b}["));
    assert!(
        !forced
            .run("check shelf.toml --color never")
            .expect(1)
            .out
            .contains('\u{1b}')
    );
}

#[test]
fn a_file_that_is_not_there_is_named() {
    Case::new()
        .run("check none.toml")
        .expect(2)
        .tells("cannot read none.toml");
    Case::new()
        .run("plan none.toml")
        .expect(2)
        .tells("cannot read none.toml");
    Case::new()
        .run("status none.toml")
        .expect(2)
        .tells("cannot read none.toml");
    Case::new()
        .run("tick none.toml")
        .expect(2)
        .tells("cannot read none.toml");
}

#[test]
fn bytes_that_are_no_text_are_a_problem_not_a_crash() {
    let case = Case::new();
    std::fs::write(case.path("bad.toml"), b"title = \"\xff\xfe\"\x00\n[").unwrap();
    case.run("check bad.toml").expect(1);
    case.run("plan bad.toml").expect(1).tells("cannot be planned");
}

#[test]
fn control_characters_in_a_name_never_reach_the_terminal() {
    let bad = SMALL
        .replace("material = \"oak\"", "material = \"oak\\u001b[31m\"")
        .replace("panel", "pan\u{1b}nel");
    let run = Case::new().file("shelf.toml", &bad).run("check shelf.toml");
    assert!(!run.out.contains('\u{1b}') && !run.err.contains('\u{1b}'), "{run:?}");
}

#[test]
fn wrong_usage_is_two_and_goes_to_the_error_stream() {
    for line in [
        "",
        "plam",
        "plan",
        "plan a.toml --seed x",
        "tick a.toml --undo --begun",
        "tick a.toml --not-dry top",
    ] {
        let run = Case::new().run(line).expect(2);
        assert_eq!(run.out, "", "{line}");
        assert!(run.err.contains("--help"), "{line}: {}", run.err);
    }
}

#[test]
fn help_and_version_are_results() {
    let case = Case::new();
    case.run("--help").expect(0).says("finishes");
    case.run("--version").expect(0).says(env!("CARGO_PKG_VERSION"));
    for command in ["demo", "check", "plan", "wall", "tick", "status", "finishes"] {
        let run = case
            .run(&format!("{command} --help"))
            .expect(0)
            .says(&format!("denib {command}"));
        assert_eq!(run.err, "");
    }
}

#[test]
fn all_shipped_finishes_are_listed_and_shown() {
    let case = Case::new();
    let list = case.run("finishes").expect(0);
    for id in [
        "brushed-cellulose",
        "brushed-varnish",
        "dewaxed-shellac",
        "hardwax-oil",
        "oil-varnish",
    ] {
        assert!(list.out.lines().any(|line| line.starts_with(id)), "{}", list.out);
        let shown = case.run(&format!("finishes {id}")).expect(0);
        let shown = shown
            .says("Times as stated for")
            .says("dry hard")
            .says("safety data sheet");
        assert!(
            shown.out.lines().all(|line| line.chars().count() <= 80),
            "{}",
            shown.out
        );
    }
}

#[test]
fn an_unknown_finish_offers_the_nearest() {
    Case::new().run("finishes oil-varnis").expect(2).tells("oil-varnish");
}

/// The shipped shellac with another name for reading.
fn own_shellac(name: &str) -> String {
    let shipped = include_str!("../../schedules/dewaxed-shellac.toml");
    let line = shipped.lines().find(|line| line.starts_with("name =")).unwrap();
    shipped.replacen(line, &format!("name = \"{name}\""), 1)
}

#[test]
fn own_schedules_replace_shipped_ones_by_id() {
    let named = Case::new().file("mine/shellac.toml", &own_shellac("shop shellac"));
    named.run("finishes --schedules mine").expect(0).says("shop shellac");
    assert!(!named.run("finishes").expect(0).out.contains("shop shellac"));
    let standing = Case::new().file(".config/denib/schedules/shellac.toml", &own_shellac("house shellac"));
    standing.run("finishes").expect(0).says("house shellac");
}

#[test]
fn a_named_folder_counts_before_the_standing_one() {
    let case = Case::new()
        .file(".config/denib/schedules/shellac.toml", &own_shellac("house shellac"))
        .file("mine/shellac.toml", &own_shellac("shop shellac"));
    let run = case.run("finishes --schedules mine").expect(0).says("shop shellac");
    assert!(!run.out.contains("house shellac"));
}

#[test]
fn relative_and_empty_configuration_folders_do_not_count() {
    let text = own_shellac("house shellac");
    let case = |value: &str| {
        let case = Case::new().file("here/denib/schedules/shellac.toml", &text);
        case.file(".config/denib/schedules/other.toml", &text)
            .variable("XDG_CONFIG_HOME", value)
    };
    // both fall back to ~/.config, where the schedule lies
    case("here").run("finishes").expect(0).says("house shellac");
    case("").run("finishes").expect(0).says("house shellac");
    let absolute = Case::new().file("here/denib/schedules/shellac.toml", &text);
    let here = absolute.path("here").display().to_string();
    absolute
        .variable("XDG_CONFIG_HOME", &here)
        .run("finishes")
        .expect(0)
        .says("house shellac");
}

#[test]
fn faulty_own_schedules_are_said_and_stop_the_command() {
    let case = Case::new().file("mine/shellac.toml", "format = 1\nid = \"x\"\nnme = \"y\"\n");
    case.run("finishes --schedules mine")
        .expect(1)
        .tells("nme")
        .tells("have errors");
    Case::new()
        .run("finishes --schedules nowhere")
        .expect(2)
        .tells("nowhere");
}

#[test]
fn a_closed_pipe_is_no_failure() {
    use std::io::Read as _;
    let mut child = Case::new()
        .command("finishes oil-varnish")
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let mut err = String::new();
    child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0), "{err}");
    assert_eq!(err, "");
}
