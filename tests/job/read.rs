//! A whole job file read: every value where it belongs, in the program's units.

#![allow(clippy::unwrap_used, clippy::panic, reason = "what a test relies on may end it")]

use denib::finish::{Stage, Status, shipped};
use denib::job::{Job, JointKind, SurfaceRole, read};
use denib::source::{Code, Look, SourceFile, render};
use denib::units::Moment;

const SETTLE: &str = include_str!("../good/settle.toml");

fn job(text: &str) -> Job {
    let file = SourceFile::new("settle.toml", text);
    let (job, problems) = read(&file, &shipped());
    job.unwrap_or_else(|| panic!("{}", render(&problems, &[&file], Look::default())))
}

fn codes(text: &str) -> Vec<Code> {
    let (_, problems) = read(&SourceFile::new("settle.toml", text), &shipped());
    problems.iter().map(|problem| problem.code).collect()
}

/// A moment as RFC 3339 in the job's zone.
fn shown(moment: Moment) -> String {
    moment.with_offset(chrono_tz::Europe::London).to_rfc3339()
}

#[test]
fn the_settle_reads_without_a_problem() {
    assert_eq!(codes(SETTLE), []);
}

#[test]
fn head_room_and_hours() {
    let job = job(SETTLE);
    assert_eq!(job.title, "Hall settle");
    assert_eq!(shown(job.start), "2026-11-30T08:00:00+00:00");
    assert_eq!(job.tape_life, 3 * 1440);
    assert_eq!(job.room.settle_minutes, 45);
    assert!((job.room.climate.time_constant_hours - 3.0).abs() < 1e-9);
    assert_eq!(job.room.climate.lines.len(), 2);
    assert_eq!(job.room.climate.lines[0].heating, Some((420, 1110)));
    assert_eq!(job.room.climate.lines[1].heating, None);
    assert_eq!(job.room.places.racks, Some(20));
    assert_eq!(job.room.occupied[0].count, 4);
    assert_eq!(job.hours.week[0].len(), 2);
    let quiet = job.hours.quiet.iter().map(|hours| (hours.from, hours.until));
    assert_eq!(quiet.collect::<Vec<_>>(), [(750, 795), (1110, 1440)]);
    assert!(job.hours.week[5].is_empty());
    assert_eq!(job.hours.exceptions[0].note.as_deref(), Some("market day"));
    // the market day closes the shop for hands with hours of their own too
    let own = job.hands[1].hours.as_ref().unwrap();
    assert_eq!(own.exceptions.len(), 1);
    assert!(own.exceptions[0].shifts.is_empty());
}

#[test]
fn pieces_are_multiplied_out() {
    let job = job(SETTLE);
    let ids: Vec<&str> = job.pieces.iter().map(|piece| piece.id.as_str()).collect();
    let expected = [
        "side-left",
        "side-right",
        "seat",
        "leg-1",
        "leg-2",
        "leg-3",
        "leg-4",
        "spindle-1",
        "spindle-2",
        "spindle-3",
        "spindle-4",
        "spindle-5",
        "door",
        "drawer",
        "knob-1",
        "knob-2",
    ];
    assert_eq!(ids, expected);
    assert_eq!(job.pieces[0].name, "side, left");
    assert_eq!(shown(job.pieces[2].available), "2026-12-02T12:00:00+00:00");
    assert_eq!(job.pieces[0].available, job.start);
    assert_eq!(job.sections[1].name, "drawer");
}

#[test]
fn surfaces_and_joints() {
    let job = job(SETTLE);
    let side = &job.pieces[0];
    let surface = |id: &str| side.surfaces.iter().find(|surface| surface.id == id).unwrap();
    assert_eq!(surface("face").schedule.as_deref(), Some("oil-varnish"));
    assert_eq!(surface("face").label, "outside");
    assert_eq!(surface("back").schedule.as_deref(), Some("dewaxed-shellac"));
    assert_eq!(surface("end-1").schedule, None);
    assert_eq!(surface("edge-2").role, SurfaceRole::Edge);
    // 900 x 480 less three housings of 9,600 mm² that lie on the back
    assert!((surface("back").area.0 - (432_000.0 - 28_800.0)).abs() < 1e-6);
    assert!((surface("face").area.0 - 432_000.0).abs() < 1e-6);
    assert_eq!(side.joints.len(), 5);
    assert_eq!(side.joints[4].id, "tenon-2");
    assert_eq!(side.joints[4].kind, JointKind::Tenon);
    assert!((side.joints[4].area.0 - 1800.0).abs() < 1e-9);
}

#[test]
fn assemblies_resolve_parts_pieces_and_assemblies() {
    let job = job(SETTLE);
    let carcase = &job.assemblies[1];
    assert_eq!(
        carcase.made_of,
        ["side-left", "side-right", "seat", "leg-1", "leg-2", "leg-3", "leg-4"]
    );
    assert_eq!(carcase.assemblies, ["back"]);
    assert_eq!((carcase.minutes, carcase.cure, carcase.hands), (Some(60), 720, 2));
    assert_eq!(job.assemblies[0].minutes, None);
}

#[test]
fn the_tin_wins() {
    let job = job(SETTLE);
    let oil = job.product("oil-varnish-blend").unwrap();
    let recoat = oil.time_to(Stage::DryToRecoat, 2).unwrap();
    assert_eq!((recoat.low, recoat.high, recoat.status), (840.0, 1320.0, Status::Label));
    assert_eq!(job.accepted_imbalance.len(), 2);
    // only schedules in use come along
    let ids: Vec<&str> = job.schedules.keys().map(String::as_str).collect();
    assert_eq!(ids, ["dewaxed-shellac", "hardwax-oil", "oil-varnish"]);
}

#[test]
fn inches_and_fahrenheit_are_converted_once() {
    let text = SETTLE
        .replace(
            "length = \"mm\", temperature = \"C\"",
            "length = \"in\", temperature = \"F\"",
        )
        .replace("size = [6200, 4800, 2500]", "size = [244, 189, \"98 1/2\"]")
        .replace("wide_over = 200", "wide_over = 8")
        .replace("size = [900, 480, 22]", "size = [\"35-1/2\", 19, \"7/8\"]")
        .replace("area = 9600", "area = 15")
        .replace("size = [60, 30]", "size = [\"2 3/8\", \"30 mm\"]")
        .replace("size = [1400, 460, 25]", "size = [55, 18, 1]")
        .replace("size = [420, 50, 50]", "size = [16, 2, 2]")
        .replace("size = [500, 18]", "size = [20, \"3/4\"]")
        .replace("size = [500, 400, 20]", "size = [20, 16, \"3/4\"]")
        .replace("member = 60", "member = \"2-3/8\"")
        .replace("size = [380, 420, 110]", "size = [15, 16, 4]")
        .replace("wall = 10", "wall = \"3/8\"")
        .replace("area = 4200", "area = 6")
        .replace("temperature = 19", "temperature = 66")
        .replace("temperature = 9,", "temperature = 48,")
        .replace("temperature = 12", "temperature = 54")
        .replace("temperature = 20", "temperature = \"20 C\"");
    let job = job(&text);
    let side = &job.pieces[0];
    assert!((side.length.0 - 901.7).abs() < 1e-9);
    assert!((side.thickness.0 - 22.225).abs() < 1e-9);
    assert!((side.joints[0].area.0 - 15.0 * 645.16).abs() < 1e-9);
    assert!((side.joints[4].area.0 - 60.325 * 30.0).abs() < 1e-9);
    assert!((job.room.climate.lines[0].day.0 - 18.888_888_889).abs() < 1e-6);
    assert!((job.room.wide_over.0 - 203.2).abs() < 1e-9);
}

#[test]
fn a_label_for_other_air_needs_every_time_or_a_word_on_the_rest() {
    let other = SETTLE.replace(
        "at = { temperature = 20, humidity = 50 }",
        "at = { temperature = 25, humidity = 50 }",
    );
    assert_eq!(codes(&other), [Code::FigureOtherAir]);
    let rest = "\n[[figure]]\nproduct = \"oil-varnish-blend\"\nwhat = \"other-times\"\nat = { temperature = 25, humidity = 50 }\nsource = \"the tin gives no more\"\n";
    let job = job(&format!("{other}{rest}"));
    assert!((job.product("oil-varnish-blend").unwrap().stated_at.temperature.0 - 25.0).abs() < 1e-9);
}

#[test]
fn a_label_may_not_turn_the_ladder_over() {
    let late = SETTLE.replace("low = \"14 h\"\nhigh = \"22 h\"", "low = \"9 d\"\nhigh = \"10 d\"");
    let codes = codes(&late);
    assert!(
        !codes.is_empty() && codes.iter().all(|code| *code == Code::FigureOutOfOrder),
        "{codes:?}"
    );
}

#[test]
fn a_job_comes_out_beside_warnings() {
    let text = SETTLE.replace(
        "finish = \"dewaxed-shellac\"\nholding",
        "finish = \"oil-varnish\"\nholding",
    );
    let (job, problems) = read(&SourceFile::new("settle.toml", text), &shipped());
    assert_eq!(
        problems.iter().map(|problem| problem.code).collect::<Vec<_>>(),
        [Code::OilInside]
    );
    assert!(job.is_some());
}

#[test]
fn the_demo_job_reads_without_an_error() {
    let file = SourceFile::new("linen-press.toml", include_str!("../../demo/linen-press.toml"));
    let (job, problems) = read(&file, &shipped());
    assert!(job.is_some(), "{}", render(&problems, &[&file], Look::default()));
}
