//! Joints, panels, rounds, what comes and what closes. Every instant is worked out by hand.

use crate::bench::*;
use crate::log_samples::{names, on, plan};
use denib::dayplan::document::Operation;
use denib::finish::{Stage, StepKind};
use denib::log::{Record, What};
use denib::standing::RoundState::{Coming, Due, Late, Over, Running};
use denib::standing::{JointState, May, When};
use denib::units::Moment;

/// A rail with two tenons: sanded, masked, coated twice, unmasked.
fn rail_plan() -> Vec<Operation> {
    vec![
        in_round(
            "sand",
            other("rail", "sand", StepKind::Sand, on(25, "07:00"), on(25, "07:10")),
        ),
        in_round(
            "mask",
            other("rail", "mask", StepKind::Mask, on(25, "07:10"), on(25, "07:20")),
        ),
        in_round(
            "one",
            coat("rail", "side", 1, "varnish", on(25, "08:00"), on(25, "08:10")),
        ),
        in_round(
            "two",
            coat("rail", "side", 2, "varnish", on(25, "21:00"), on(25, "21:10")),
        ),
        in_round(
            "bare",
            other("rail", "unmask", StepKind::Unmask, on(26, "02:00"), on(26, "02:10")),
        ),
    ]
}

fn ticks(upto: usize) -> Vec<Record> {
    let all = rail_plan();
    let done = all.iter().take(upto).enumerate();
    done.map(|(n, one)| tick(&format!("{n}"), &[one.id.as_str()], one.start, one.end))
        .collect()
}

#[test]
fn joints_are_covered_before_the_first_coat_and_bare_again_after_the_last() {
    let job = job(vec![rail("rail", "varnish")]);
    let after = |upto, day, clock| standing(&job, &log(&plan(rail_plan()), ticks(upto)), on(day, clock));
    let sanded = after(1, 25, "07:15");
    assert_eq!(
        (first(&sanded).joints, first(&sanded).recoat),
        (JointState::Bare, May::Held)
    );
    let masked = after(2, 25, "07:30");
    assert_eq!(
        (first(&masked).joints, first(&masked).recoat),
        (JointState::Covered, May::Yes)
    );
    // the tape's life is 3 days: 28th 07:20
    assert_eq!(first(&after(4, 28, "07:19")).joints, JointState::Covered);
    assert_eq!(first(&after(4, 28, "07:20")).joints, JointState::TapeOld);
    // hard 48 h after 21:10 on the 25th; glued only with the tape off
    assert_eq!(first(&after(4, 27, "21:10")).glue, May::Held);
    let uncovered = after(5, 27, "21:10");
    assert_eq!(
        (first(&uncovered).joints, first(&uncovered).glue),
        (JointState::Uncovered, May::Yes)
    );
    assert!(first(&uncovered).loose_done);
    assert!(!first(&after(4, 27, "21:10")).loose_done);
}

#[test]
fn tape_off_too_soon_leaves_the_joints_bare_to_the_next_coat() {
    let job = job(vec![rail("rail", "varnish")]);
    let mut records = log(&plan(rail_plan()), ticks(3));
    records.push(tick("x", &["rail/unmask"], on(25, "15:00"), on(25, "15:10")));
    let now = standing(&job, &records, on(25, "21:00"));
    assert_eq!((first(&now).joints, first(&now).recoat), (JointState::Bare, May::Held));
}

#[test]
fn scoring_the_film_along_the_tape_does_not_uncover_the_joint() {
    let job = job(vec![rail("rail", "varnish")]);
    let mut all = rail_plan();
    all.push(Operation {
        film_from: Some("rail/coat-2/side".into()),
        ..other(
            "rail",
            "unmask/score",
            StepKind::Unmask,
            on(26, "01:50"),
            on(26, "02:00"),
        )
    });
    let mut records = log(&plan(all), ticks(4));
    records.push(tick("x", &["rail/unmask/score"], on(26, "01:50"), on(26, "02:00")));
    assert_eq!(
        first(&standing(&job, &records, on(26, "02:00"))).joints,
        JointState::Covered
    );
}

#[test]
fn a_wide_panel_says_since_when_its_faces_stand_unequal() {
    let all = vec![
        coat("top", "back", 1, "varnish", on(25, "08:50"), on(25, "09:00")),
        coat("top", "face", 1, "varnish", on(25, "13:00"), on(25, "13:10")),
        coat("top", "back", 2, "varnish", on(25, "22:00"), on(25, "22:10")),
    ];
    let job = job(vec![panel("top", "varnish")]);
    let mut records = log(&plan(all), vec![]);
    let since = |records: &[Record], clock| first(&standing(&job, records, on(25, clock))).unequal_since;
    assert_eq!(since(&records, "08:00"), None);
    records.push(tick("1", &["top/coat-1/back"], on(25, "08:50"), on(25, "09:00")));
    assert_eq!(since(&records, "10:00"), Some(moment(25, "09:00")));
    records.push(tick("2", &["top/coat-1/face"], on(25, "13:00"), on(25, "13:10")));
    assert_eq!(since(&records, "13:30"), None);
    records.push(tick("3", &["top/coat-2/back"], on(25, "22:00"), on(25, "22:10")));
    assert_eq!(since(&records, "23:00"), Some(moment(25, "22:10")));
    // the face stripped: two coats against none, unequal since the second went on the back
    let strip = What::StripBack {
        piece: "top".into(),
        surfaces: names(&["face"]),
        reason: "a run".into(),
    };
    records.push(said("4", on(25, "22:30"), strip));
    assert_eq!(since(&records, "23:00"), Some(moment(25, "22:10")));
    // the back stripped too: equal, both bare
    let strip = What::StripBack {
        piece: "top".into(),
        surfaces: names(&["back"]),
        reason: "a run".into(),
    };
    records.push(said("5", on(25, "22:40"), strip));
    assert_eq!(since(&records, "23:00"), None);
}

#[test]
fn a_narrow_or_veneered_panel_says_nothing_of_balance() {
    let all = vec![coat("top", "back", 1, "varnish", on(25, "08:50"), on(25, "09:00"))];
    let records = log(
        &plan(all),
        vec![tick("1", &["top/coat-1/back"], on(25, "08:50"), on(25, "09:00"))],
    );
    let mut narrow = panel("top", "varnish");
    narrow.width = denib::units::Millimetres(200.0);
    let mut veneered = panel("top", "varnish");
    veneered.build = denib::job::Build::Veneered;
    for piece in [narrow, veneered] {
        assert_eq!(
            first(&standing(&job(vec![piece]), &records, on(25, "10:00"))).unequal_since,
            None
        );
    }
}

#[test]
fn rounds_come_are_due_run_are_late_and_are_over() {
    let job = job(vec![rail("rail", "varnish")]);
    let states = |records: Vec<Record>, clock| {
        let now = standing(&job, &log(&plan(rail_plan()), records), on(25, clock));
        (
            now.rounds.iter().map(|round| round.state).collect::<Vec<_>>(),
            now.now_round,
        )
    };
    assert_eq!(
        states(ticks(0), "06:00"),
        (vec![Due, Coming, Coming, Coming, Coming], Some(0))
    );
    assert_eq!(
        states(ticks(0), "07:05"),
        (vec![Due, Coming, Coming, Coming, Coming], Some(0))
    );
    assert_eq!(
        states(ticks(0), "07:11"),
        (vec![Late, Due, Coming, Coming, Coming], Some(0))
    );
    assert_eq!(
        states(ticks(2), "07:30"),
        (vec![Over, Over, Due, Coming, Coming], Some(2))
    );
    let mut begun = ticks(2);
    begun.push(said(
        "b",
        on(25, "08:00"),
        What::Begun {
            operations: names(&["rail/coat-1/side"]),
            start: on(25, "08:00"),
        },
    ));
    assert_eq!(
        states(begun, "08:05"),
        (vec![Over, Over, Running, Coming, Coming], Some(2))
    );
    // (the one after the round on the bench was not called due early)
    let skipped = What::Skipped {
        operations: names(&["rail/unmask"]),
        reason: "no tape there".into(),
    };
    let mut all = ticks(4);
    all.push(said("s", on(25, "22:00"), skipped));
    assert_eq!(states(all, "22:00"), (vec![Over; 5], None));
}

#[test]
fn a_round_ticked_but_for_one_piece_keeps_that_piece() {
    let pieces = ["a", "b", "c"];
    let all: Vec<_> = pieces
        .iter()
        .map(|id| in_round("one", coat(id, "face", 1, "varnish", on(25, "08:00"), on(25, "08:10"))))
        .collect();
    let job = job(pieces.map(|id| panel(id, "varnish")).into());
    let records = log(
        &plan(all),
        vec![tick(
            "1",
            &["a/coat-1/face", "c/coat-1/face"],
            on(25, "08:00"),
            on(25, "08:20"),
        )],
    );
    let now = standing(&job, &records, on(25, "08:30"));
    assert_eq!((now.rounds[0].left.as_slice(), now.rounds[0].done), (&[1][..], 2));
    assert_eq!(now.rounds[0].state, Late);
    assert_eq!(now.pieces[1].next, Some(1));
    assert_eq!(now.pieces[0].next, None);
    // the tick's 20 minutes are spread over two pieces planned alike
    assert_eq!(
        now.pieces[0].surfaces[0].film.as_ref().map(|film| film.at),
        Some(moment(25, "08:10"))
    );
    assert_eq!(
        now.pieces[2].surfaces[0].film.as_ref().map(|film| film.at),
        Some(moment(25, "08:20"))
    );
}

#[test]
fn what_comes_ready_is_what_the_next_operation_waits_for() {
    let job = job(vec![rail("rail", "varnish")]);
    let now = standing(&job, &log(&plan(rail_plan()), ticks(3)), on(25, "09:00"));
    // laid at 08:10: recoat 360 to 720 minutes after, handle 480 to 960
    let when = |early: (u32, &str), late: (u32, &str)| When {
        early: moment(early.0, early.1),
        late: moment(late.0, late.1),
    };
    assert_eq!(
        now.coming,
        [
            (0, Stage::DryToRecoat, when((25, "14:10"), (25, "20:10"))),
            (0, Stage::DryToHandle, when((25, "16:10"), (26, "00:10"))),
        ]
    );
    // after the last coat the tape comes off when dry to touch: 120 to 240 minutes after 21:10
    let now = standing(&job, &log(&plan(rail_plan()), ticks(4)), on(25, "21:30"));
    assert_eq!(
        now.coming[0],
        (0, Stage::DryToTouch, when((25, "23:10"), (26, "01:10")))
    );
}

#[test]
fn windows_tape_and_sanding_close() {
    let job = job(vec![rail("rail", "varnish")]);
    let closing = |upto, day, clock| {
        let now = standing(&job, &log(&plan(rail_plan()), ticks(upto)), on(day, clock));
        now.closing
            .iter()
            .map(|one| (one.what.clone(), one.at))
            .collect::<Vec<_>>()
    };
    let tape = ("tape on its joints".to_owned(), moment(28, "07:20"));
    // sanded at 07:10 on the 25th, stale two days later
    assert_eq!(
        closing(1, 25, "07:15"),
        [("sanding goes stale".to_owned(), moment(27, "07:10"))]
    );
    assert_eq!(
        closing(2, 27, "07:10"),
        [
            ("sanding is stale: go over it again".to_owned(), moment(27, "07:10")),
            tape.clone()
        ]
    );
    // the first coat at 08:10: the window closes after 1200 minutes by the fast figure, 04:10
    assert_eq!(
        closing(3, 25, "09:00"),
        [
            ("next coat without a scuff".to_owned(), moment(26, "04:10")),
            tape.clone()
        ]
    );
    assert_eq!(closing(3, 26, "04:10"), [tape]);
    assert_eq!(closing(5, 26, "03:00"), []);
}

#[test]
fn oil_is_wiped_turned_and_wiped_again() {
    let flood = coat("top", "face", 1, "oil", on(25, "08:00"), on(25, "08:05"));
    let wipe = |name: &str, step, start, end| Operation {
        product: Some("oil".into()),
        film_from: Some("top/coat-1/face".into()),
        ..other("top", name, step, start, end)
    };
    let all = vec![
        flood,
        wipe("wipe-back-1", StepKind::WipeBack, on(25, "08:15"), on(25, "08:20")),
        wipe("re-wipe-1", StepKind::ReWipe, on(25, "09:20"), on(25, "09:25")),
    ];
    let job = job(vec![panel("top", "oil")]);
    let mut records = log(&plan(all), vec![]);
    let look = |records: &[Record], clock: &str| {
        let now = standing(&job, records, on(25, clock));
        (
            first(&now).turn,
            now.closing.first().map(|one| (one.what.clone(), one.at)),
        )
    };
    // begun at 08:00: off within 20 minutes of wetting (the low end counts)
    let begun = said(
        "0",
        on(25, "08:00"),
        What::Begun {
            operations: names(&["top/coat-1/face"]),
            start: on(25, "08:00"),
        },
    );
    records.push(begun);
    assert_eq!(
        look(&records, "08:02"),
        (May::Held, Some(("excess to be wiped off".into(), moment(25, "08:20"))))
    );
    records.push(tick("1", &["top/coat-1/face"], on(25, "08:00"), on(25, "08:05")));
    let (turn, closes) = look(&records, "08:06");
    assert!(matches!(turn, May::NotYet { .. }));
    assert_eq!(closes, Some(("excess to be wiped off".into(), moment(25, "08:20"))));
    // wiped by 08:20: may be laid over; wiped again within 80 minutes of that
    records.push(tick("2", &["top/wipe-back-1"], on(25, "08:15"), on(25, "08:20")));
    assert_eq!(
        look(&records, "08:21"),
        (May::Yes, Some(("second wipe".into(), moment(25, "09:40"))))
    );
    records.push(tick("3", &["top/re-wipe-1"], on(25, "09:20"), on(25, "09:25")));
    assert_eq!(look(&records, "09:30"), (May::Yes, None));
    // but it is not dry to handle: 480 minutes at the earliest
    assert!(matches!(
        first(&standing(&job, &records, on(25, "09:30"))).handle,
        May::NotYet { .. }
    ));
}

#[test]
fn what_no_plan_names_is_not_guessed() {
    let job = job(vec![panel("top", "varnish")]);
    let records = vec![tick("1", &["top/coat-1/face"], on(25, "08:00"), on(25, "08:10"))];
    let now = standing(&job, &records, on(25, "09:00"));
    assert_eq!(surface(&now, 0).coats_on, 0);
    assert_eq!(
        (now.rounds.len(), now.now_round, first(&now).recoat),
        (0, None, May::Held)
    );
    let history = denib::log::history(&records, Moment::of(&on(25, "09:00")), &|_| None);
    assert_eq!(history.adrift(None), ["top/coat-1/face"]);
}

#[test]
fn an_earlier_plan_still_says_what_was_done_under_it() {
    let job = job(vec![panel("top", "varnish")]);
    let before = vec![coat("top", "face", 1, "varnish", on(25, "08:00"), on(25, "08:10"))];
    let mut records = log(
        &plan(before),
        vec![tick("1", &["top/coat-1/face"], on(25, "08:00"), on(25, "08:10"))],
    );
    let after = vec![coat("top", "back", 1, "varnish", on(25, "12:00"), on(25, "12:10"))];
    let what = What::AcceptedPlan {
        plan: std::sync::Arc::new(plan(after)),
    };
    records.push(said("p", on(25, "08:30"), what));
    let now = standing(&job, &records, on(25, "09:00"));
    assert_eq!(surface(&now, 0).coats_on, 1);
    assert!(matches!(first(&now).handle, May::NotYet { .. }));
}

#[test]
fn a_product_the_job_no_longer_knows_is_taken_to_be_wet() {
    let job = job(vec![panel("top", "varnish")]);
    let all = vec![coat("top", "face", 1, "mystery", on(25, "08:00"), on(25, "08:10"))];
    let records = log(
        &plan(all),
        vec![tick("1", &["top/coat-1/face"], on(25, "08:00"), on(25, "08:10"))],
    );
    let now = standing(&job, &records, on(30, "09:00"));
    assert_eq!(
        (stage(&now, 0), first(&now).handle, first(&now).turn),
        (None, May::Held, May::Held)
    );
}
