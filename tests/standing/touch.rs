//! Touch tests: a bound is a bound. Every instant is worked out by hand.

use crate::bench::*;
use crate::log_samples::{on, plan};
use denib::clock::Air;
use denib::finish::Stage;
use denib::job::Job;
use denib::log::{Purpose, Record, What, history};
use denib::standing::{self, May, Pace, Standing, When};
use denib::units::{Moment, Span};

/// Three panels' faces coated in one round (09:00, 09:10, 09:20), a fourth in a round of its own at 12:00.
fn coated() -> (Job, Vec<Record>) {
    let coats = [
        ("a", "08:50", "09:00"),
        ("b", "09:00", "09:10"),
        ("c", "09:10", "09:20"),
    ];
    let mut all: Vec<_> = coats
        .iter()
        .map(|(piece, start, end)| in_round("first", coat(piece, "face", 1, "varnish", on(25, start), on(25, end))))
        .collect();
    all.push(in_round(
        "second",
        coat("d", "face", 1, "varnish", on(25, "11:50"), on(25, "12:00")),
    ));
    let first = ["a/coat-1/face", "b/coat-1/face", "c/coat-1/face"];
    let ticks = vec![
        tick("1", &first, on(25, "08:50"), on(25, "09:20")),
        tick("2", &["d/coat-1/face"], on(25, "11:50"), on(25, "12:00")),
    ];
    let pieces = ["a", "b", "c", "d"].map(|id| panel(id, "varnish"));
    (job(pieces.into()), log(&plan(all), ticks))
}

fn not_yet(id: &str, day: u32, clock: &str, piece: &str, purpose: Purpose) -> Record {
    said(
        id,
        on(day, clock),
        What::NotYetDry {
            operation: format!("{piece}/coat-1/face"),
            purpose,
        },
    )
}

fn dry(id: &str, day: u32, clock: &str, piece: &str, purpose: Purpose) -> Record {
    said(
        id,
        on(day, clock),
        What::DryAlready {
            operation: format!("{piece}/coat-1/face"),
            purpose,
        },
    )
}

fn foreseen(early: (u32, &str), late: (u32, &str)) -> May {
    May::NotYet {
        when: When {
            early: moment(early.0, early.1),
            late: moment(late.0, late.1),
        },
    }
}

fn handle(standing: &Standing) -> [May; 4] {
    [0, 1, 2, 3].map(|at| standing.pieces[at].handle)
}

/// What the log says of the varnish's rate.
fn pace(job: &Job, records: &[Record], now: denib::dayplan::document::Stamp) -> Option<Pace> {
    let now = Moment::of(&now);
    let history = history(records, now, &|_| None);
    let from = moment(24, "00:00");
    let air = Air::of(job, &history.readings, from, from + Span::days(21));
    let clocks = standing::clocks(job, &air);
    standing::paces(job, &history, history.plan.as_deref(), &air, &clocks, now)
        .get("varnish")
        .copied()
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn not_yet_within_the_range_holds_the_round_and_nothing_else() {
    let (job, mut records) = coated();
    // c is tested at 22:00, 760 minutes after 09:20: past the fast figure (480), short of the slow (960)
    records.push(not_yet("3", 25, "22:00", "c", Purpose::Handle));
    let now = standing(&job, &records, on(25, "22:00"));
    // a may not be tested before 760 minutes of its own (21:40) nor before the test is over (22:01); slow 01:00
    assert_eq!(handle(&now)[0], foreseen((25, "22:01"), (26, "01:00")));
    assert_eq!(handle(&now)[2], foreseen((25, "22:01"), (26, "01:20")));
    // d is another round: 480 to 960 minutes after 12:00
    assert_eq!(
        handle(&now)[3],
        May::Test {
            late: moment(26, "04:00")
        }
    );
    assert_eq!(pace(&job, &records, on(25, "22:00")), Some(Pace::STATED));
    let after = standing(&job, &records, on(25, "22:01"));
    assert_eq!(
        handle(&after)[0],
        May::Test {
            late: moment(26, "01:00")
        }
    );
}

#[test]
fn pieces_ticked_in_one_go_are_one_round_whatever_the_plan_calls_it() {
    let (job, records) = coated();
    let mut records: Vec<Record> = records
        .into_iter()
        .map(|record| match record.what {
            What::AcceptedPlan { mut plan } => {
                std::sync::Arc::make_mut(&mut plan)
                    .operations
                    .iter_mut()
                    .for_each(|one| one.round = None);
                Record {
                    what: What::AcceptedPlan { plan },
                    ..record
                }
            }
            _ => record,
        })
        .collect();
    records.push(not_yet("3", 25, "22:00", "c", Purpose::Handle));
    let now = standing(&job, &records, on(25, "22:00"));
    assert_eq!(handle(&now)[0], foreseen((25, "22:01"), (26, "01:00")));
    assert_eq!(
        handle(&now)[3],
        May::Test {
            late: moment(26, "04:00")
        }
    );
}

#[test]
fn not_yet_holds_higher_rungs_and_leaves_lower_ones() {
    let (job, mut records) = coated();
    records.push(not_yet("3", 25, "20:00", "a", Purpose::Handle));
    let now = standing(&job, &records, on(25, "20:00"));
    assert_eq!(now.pieces[0].turn, May::Yes);
    assert_eq!(now.pieces[0].sand, May::Yes);
    // not dry to touch at 15:00 (360 minutes): no higher rung before 15:01
    let (job, mut records) = coated();
    records.push(not_yet("3", 25, "15:00", "a", Purpose::Turn));
    let now = standing(&job, &records, on(25, "15:00"));
    assert!(matches!(now.pieces[0].sand, May::NotYet { when } if when.early == moment(25, "15:01")));
    assert!(
        matches!(now.pieces[0].recoat, May::Held),
        "the back is bare and no plan has it next"
    );
}

#[test]
fn not_yet_past_the_slow_figure_stretches_the_product() {
    let (job, mut records) = coated();
    // a is tested at 02:36 on the 26th, 1056 minutes after 09:00; the slow figure is 960: at least 1.1 times.
    // Left: the width 960 - 480, stretched to 528: late at 1584 minutes, 11:24 on the 26th; pace 1584/960
    records.push(not_yet("3", 26, "02:36", "a", Purpose::Handle));
    let now = standing(&job, &records, on(26, "02:36"));
    assert_eq!(handle(&now)[0], foreseen((26, "02:37"), (26, "11:24")));
    let pace_now = pace(&job, &records, on(26, "02:36")).expect("a pace");
    assert!(close(pace_now.slow, 1.65) && close(pace_now.fast, 1.0));
    // d is of the same product: its slow figure becomes 1584 too, 14:24; its fast one stays (20:00)
    assert_eq!(
        handle(&now)[3],
        May::Test {
            late: moment(26, "14:24")
        }
    );
    // dry to stack by the slow figure: 4320 * 1.65 = 7128 minutes after 09:00 on the 25th: 30th 07:48
    assert!(matches!(now.pieces[0].stack, May::NotYet { when } if when.late == moment(30, "07:48")));
    // found dry at 1200 minutes (05:00): then the product is 1200/960 slow, no more
    records.push(dry("4", 26, "05:00", "a", Purpose::Handle));
    let now = standing(&job, &records, on(26, "05:00"));
    assert_eq!(handle(&now)[0], May::Yes);
    assert_eq!(
        handle(&now)[2],
        May::Test {
            late: moment(26, "05:20")
        }
    );
    assert!(close(pace(&job, &records, on(26, "05:00")).expect("a pace").slow, 1.25));
}

#[test]
fn dry_already_releases_its_round_by_age_and_opens_no_other() {
    let (job, mut records) = coated();
    // c is found dry to handle at 15:20, 360 minutes after 09:20 (fast figure 480): so are a and b
    records.push(dry("3", 25, "15:20", "c", Purpose::Handle));
    let now = standing(&job, &records, on(25, "15:20"));
    assert_eq!(handle(&now)[..3], [May::Yes; 3]);
    // and with it every lower rung; sanding stands beside handling, its slow figure is 600 minutes: 19:00
    assert_eq!(now.pieces[0].turn, May::Yes);
    assert_eq!(
        now.pieces[0].sand,
        May::Test {
            late: moment(25, "19:00")
        }
    );
    assert_eq!(stage_of(&now, 0), Some(Stage::DryToHandle));
    // d: the slow figure stands (04:00); its fast one is shortened to 360 minutes: 18:00
    assert_eq!(handle(&now)[3], foreseen((25, "18:00"), (26, "04:00")));
    assert!(close(pace(&job, &records, on(25, "15:20")).expect("a pace").fast, 0.75));
    // windows close by the fast figure: 1200 * 0.75 = 900 minutes after 12:00
    assert_eq!(now.pieces[3].surfaces[0].windows[0].1, Some(moment(26, "03:00")));
}

fn stage_of(standing: &Standing, piece: usize) -> Option<Stage> {
    standing.pieces[piece].surfaces[0]
        .film
        .as_ref()
        .and_then(|film| film.stage)
}

#[test]
fn dry_already_on_an_early_piece_releases_later_ones_only_at_its_age() {
    let (job, mut records) = coated();
    records.push(dry("3", 25, "15:00", "a", Purpose::Handle));
    // 360 minutes on a; c reaches 360 minutes at 15:20
    assert_eq!(handle(&standing(&job, &records, on(25, "15:00")))[0], May::Yes);
    let before = standing(&job, &records, on(25, "15:19"));
    assert_eq!(handle(&before)[2], foreseen((25, "15:20"), (25, "15:20")));
    assert_eq!(handle(&standing(&job, &records, on(25, "15:20")))[2], May::Yes);
}

#[test]
fn a_test_that_says_not_yet_overrules_an_earlier_one_that_said_dry() {
    let (job, mut records) = coated();
    records.push(dry("3", 25, "15:00", "a", Purpose::Handle));
    records.push(not_yet("4", 25, "16:00", "b", Purpose::Handle));
    // as stated again: 480 to 960 minutes after 09:00
    let now = standing(&job, &records, on(25, "16:00"));
    assert_eq!(handle(&now)[0], foreseen((25, "17:00"), (26, "01:00")));
}

#[test]
fn a_test_for_recoating_moves_the_first_window_and_never_the_one_after_the_gap() {
    let (job, mut records) = coated();
    // stated: 360-720 to 1200, then from 2880-3600; found ready at 12:00, 180 minutes after 09:00
    records.push(dry("3", 25, "12:00", "a", Purpose::Recoat));
    let now = standing(&job, &records, on(25, "12:00"));
    // fast figures are halved (180/360): the first window closes at 600 minutes, 19:00
    let opens: Vec<_> = now.pieces[0].surfaces[0]
        .windows
        .iter()
        .map(|window| (window.0, window.1))
        .collect();
    assert_eq!(
        opens,
        [
            (moment(25, "12:00"), Some(moment(25, "19:00"))),
            (moment(27, "21:00"), None)
        ]
    );
    let (job, mut records) = coated();
    records.push(not_yet("3", 25, "21:30", "a", Purpose::Recoat));
    let now = standing(&job, &records, on(25, "21:30"));
    // 750 minutes, past the slow 720: width 360 * 750/720 = 375, late at 1125 minutes: 03:45, before 05:00
    assert_eq!(now.pieces[0].surfaces[0].windows[0].0, moment(26, "03:45"));
}

#[test]
fn a_window_that_would_close_before_it_opens_is_gone() {
    let (job, mut records) = coated();
    // 800 minutes: late at 800 + 360 * 800/720 = 1200 minutes, which is when the window closes
    records.push(not_yet("3", 25, "22:20", "a", Purpose::Recoat));
    let now = standing(&job, &records, on(25, "22:20"));
    let windows = &now.pieces[0].surfaces[0].windows;
    assert_eq!(windows.len(), 1);
    // the scuff window: 3600 * 1200/720 = 6000 minutes after 09:00 on the 25th: 29th 13:00
    assert_eq!(windows[0].0, moment(29, "13:00"));
}

#[test]
fn a_test_in_a_cold_night_holds_past_its_minute() {
    let (job, mut records) = coated();
    let job = with_nights(job, 5.0);
    // 540 minutes by 18:00, then the clock stands. Not yet at 03:00: not before 03:01, still 540 minutes
    records.push(not_yet("3", 26, "03:00", "a", Purpose::Handle));
    let now = standing(&job, &records, on(26, "02:59"));
    assert_eq!(handle(&now)[0], foreseen((26, "03:01"), (26, "13:00")));
}

#[test]
fn a_test_taken_back_says_nothing() {
    let (job, mut records) = coated();
    let before = standing(&job, &records, on(26, "03:00"));
    records.push(not_yet("3", 26, "02:36", "a", Purpose::Handle));
    assert_ne!(handle(&standing(&job, &records, on(26, "03:00"))), handle(&before));
    records.push(said("4", on(26, "02:40"), What::Undone { record: "3".into() }));
    assert_eq!(standing(&job, &records, on(26, "03:00")), before);
}

#[test]
fn a_dry_test_dated_ahead_releases_nothing_yet() {
    let (job, mut records) = coated();
    records.push(dry("3", 25, "15:00", "a", Purpose::Handle));
    let before = standing(&job, &records, on(25, "14:59"));
    assert_eq!(handle(&before)[0], foreseen((25, "17:00"), (26, "01:00")));
}
