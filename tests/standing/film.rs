//! From bare wood to dry: what a film allows, and when. Every instant is worked out by hand.

use crate::bench::*;
use crate::log_samples::{names, on, plan};
use denib::finish::{Prepare, Stage, StepKind};
use denib::job::Holding;
use denib::log::What;
use denib::standing::{May, When};

fn not_yet(early: (u32, &str), late: (u32, &str)) -> May {
    May::NotYet {
        when: when(early, late),
    }
}

fn when(early: (u32, &str), late: (u32, &str)) -> When {
    When {
        early: moment(early.0, early.1),
        late: moment(late.0, late.1),
    }
}

/// One panel, its back coated with varnish from 08:50 to 09:00 on the 25th.
fn back_coated() -> (denib::job::Job, Vec<denib::log::Record>) {
    let all = vec![
        coat("top", "back", 1, "varnish", on(25, "08:50"), on(25, "09:00")),
        coat("top", "face", 1, "varnish", on(25, "13:00"), on(25, "13:10")),
        coat("top", "back", 2, "varnish", on(26, "08:00"), on(26, "08:10")),
        coat("top", "face", 2, "varnish", on(26, "13:00"), on(26, "13:10")),
    ];
    let records = log(
        &plan(all),
        vec![tick("1", &["top/coat-1/back"], on(25, "08:50"), on(25, "09:00"))],
    );
    (job(vec![panel("top", "varnish")]), records)
}

#[test]
fn bare_wood_may_be_carried_and_gets_its_first_coat_when_nothing_comes_before_it() {
    let (job, records) = back_coated();
    let bare = standing(&job, &records[..1], on(25, "08:00"));
    assert_eq!(first(&bare).handle, May::Yes);
    assert_eq!(first(&bare).recoat, May::Yes);
    assert_eq!(first(&bare).glue, May::Held);
    assert_eq!((surface(&bare, 0).coats_on, surface(&bare, 0).coats_due), (0, 2));
    assert_eq!(surface(&bare, 0).film, None);
}

#[test]
fn a_coat_climbs_its_ladder() {
    let (job, records) = back_coated();
    let at = |day, clock| standing(&job, &records, on(day, clock));
    // dust-free after 60 to 120 minutes: 10:00 to 11:00
    let wet = at(25, "09:59");
    assert_eq!(stage(&wet, 1), None);
    let film = surface(&wet, 1).film.clone().expect("a film");
    assert_eq!(film.next, Some((Stage::DustFree, when((25, "10:00"), (25, "11:00")))));
    assert_eq!(
        (film.at, film.product.as_str(), film.spoiled),
        (moment(25, "09:00"), "varnish", false)
    );
    assert_eq!(surface(&wet, 1).coats_on, 1);
    assert_eq!(surface(&wet, 0).film, None);
    assert_eq!(stage(&at(25, "10:59"), 1), None);
    assert_eq!(stage(&at(25, "11:00"), 1), Some(Stage::DustFree));
    // dry to touch after 120 to 240: 11:00 to 13:00
    assert_eq!(first(&at(25, "10:59")).turn, not_yet((25, "11:00"), (25, "13:00")));
    assert_eq!(
        first(&at(25, "11:00")).turn,
        May::Test {
            late: moment(25, "13:00")
        }
    );
    assert_eq!(first(&at(25, "13:00")).turn, May::Yes);
    // dry to handle after 480 to 960: 17:00 to 01:00
    assert_eq!(first(&at(25, "16:59")).handle, not_yet((25, "17:00"), (26, "01:00")));
    assert_eq!(
        first(&at(25, "17:00")).handle,
        May::Test {
            late: moment(26, "01:00")
        }
    );
    assert_eq!(
        first(&at(26, "00:59")).handle,
        May::Test {
            late: moment(26, "01:00")
        }
    );
    assert_eq!(first(&at(26, "01:00")).handle, May::Yes);
    // dry to sand after 360 to 600: 15:00 to 19:00; to stack 2880 to 4320: 27th to 28th 09:00
    assert_eq!(first(&at(25, "19:00")).sand, May::Yes);
    assert_eq!(first(&at(26, "09:00")).stack, not_yet((27, "09:00"), (28, "09:00")));
    assert_eq!(stage(&at(30, "09:00"), 1), Some(Stage::DryThrough));
}

#[test]
fn the_next_coat_waits_for_its_window_and_not_for_a_gap() {
    let (job, mut records) = back_coated();
    records.push(tick("2", &["top/coat-1/face"], on(25, "13:00"), on(25, "13:10")));
    let at = |day, clock| standing(&job, &records, on(day, clock));
    // the back is next: window from 360-720 to 1200 minutes after 09:00, 15:00-21:00 to 05:00; it is lain on
    // the face, dry to touch 120-240 after 13:10, surely at 17:10
    assert_eq!(first(&at(25, "14:00")).recoat, not_yet((25, "15:10"), (25, "21:00")));
    assert_eq!(
        first(&at(25, "16:00")).recoat,
        May::Test {
            late: moment(25, "21:00")
        }
    );
    assert_eq!(first(&at(25, "21:00")).recoat, May::Yes);
    assert_eq!(first(&at(26, "04:59")).recoat, May::Yes);
    // then the gap, until the scuff window 2880-3600 after: 27th 09:00 to 21:00
    assert_eq!(first(&at(26, "05:00")).recoat, not_yet((27, "09:00"), (27, "21:00")));
    assert_eq!(first(&at(27, "21:00")).recoat, May::Yes);
    let windows = surface(&at(25, "14:00"), 1).windows.clone();
    assert_eq!(
        windows,
        [
            (moment(25, "21:00"), Some(moment(26, "05:00")), Prepare::None),
            (moment(27, "21:00"), None, Prepare::Scuff)
        ]
    );
}

#[test]
fn every_surface_must_be_dry() {
    let (job, mut records) = back_coated();
    records.push(tick("2", &["top/coat-1/face"], on(25, "13:00"), on(25, "13:10")));
    // the face is dry to handle 960 minutes after 13:10: 05:10
    assert_eq!(
        first(&standing(&job, &records, on(26, "05:09"))).handle,
        May::Test {
            late: moment(26, "05:10")
        }
    );
    assert_eq!(first(&standing(&job, &records, on(26, "05:10"))).handle, May::Yes);
}

#[test]
fn a_coat_on_the_bench_is_wet() {
    let (job, mut records) = back_coated();
    records.push(said(
        "2",
        on(26, "13:00"),
        What::Begun {
            operations: names(&["top/coat-1/face"]),
            start: on(26, "13:00"),
        },
    ));
    let now = standing(&job, &records, on(26, "13:05"));
    assert_eq!(
        (first(&now).handle, first(&now).turn, first(&now).recoat),
        (May::Held, May::Held, May::Held)
    );
    assert_eq!(stage(&now, 0), None);
    assert!(surface(&now, 0).film.is_some());
    assert_eq!(surface(&now, 0).coats_on, 0);
}

#[test]
fn undo_takes_the_coat_off_again() {
    let (job, mut records) = back_coated();
    records.push(said("2", on(25, "09:05"), What::Undone { record: "1".into() }));
    let now = standing(&job, &records, on(25, "09:10"));
    assert_eq!(surface(&now, 1).coats_on, 0);
    assert_eq!(surface(&now, 1).film, None);
    assert_eq!(first(&now).handle, May::Yes);
}

#[test]
fn stripping_back_counts_from_nothing() {
    let (job, mut records) = back_coated();
    records.push(tick("2", &["top/coat-1/face"], on(25, "13:00"), on(25, "13:10")));
    let strip = |surfaces: &[&str]| What::StripBack {
        piece: "top".into(),
        surfaces: names(surfaces),
        reason: "a run".into(),
    };
    let mut one = records.clone();
    one.push(said("3", on(26, "10:00"), strip(&["face"])));
    let now = standing(&job, &one, on(26, "10:30"));
    assert_eq!((surface(&now, 0).coats_on, surface(&now, 1).coats_on), (0, 1));
    assert_eq!(surface(&now, 0).film, None);
    records.push(said("3", on(26, "10:00"), strip(&[])));
    let now = standing(&job, &records, on(26, "10:30"));
    assert_eq!((surface(&now, 0).coats_on, surface(&now, 1).coats_on), (0, 0));
    // the same coat again
    records.push(tick("4", &["top/coat-1/face"], on(26, "11:00"), on(26, "11:10")));
    let now = standing(&job, &records, on(26, "11:20"));
    assert_eq!(surface(&now, 0).coats_on, 1);
    assert_eq!(first(&now).handle, not_yet((26, "19:10"), (27, "03:10")));
}

#[test]
fn glue_wants_all_coats_hard() {
    let (job, mut records) = back_coated();
    for (id, operation, start, end) in [
        ("2", "top/coat-1/face", on(25, "13:00"), on(25, "13:10")),
        ("3", "top/coat-2/back", on(25, "22:00"), on(25, "22:10")),
    ] {
        records.push(tick(id, &[operation], start, end));
    }
    assert_eq!(first(&standing(&job, &records, on(30, "22:00"))).glue, May::Held);
    records.push(tick("4", &["top/coat-2/face"], on(26, "04:00"), on(26, "04:10")));
    // the last film is hard 1440 to 2880 minutes after 04:10 on the 26th
    let at = |day, clock| standing(&job, &records, on(day, clock));
    assert_eq!(first(&at(26, "12:00")).glue, not_yet((27, "04:10"), (28, "04:10")));
    assert_eq!(first(&at(28, "04:10")).glue, May::Yes);
    assert_eq!(first(&at(26, "12:00")).recoat, May::Held);
    // dry through 4320 to 7200 minutes after: 29th to 1 December 04:10
    assert_eq!(
        first(&at(30, "04:10")).rub,
        May::Test {
            late: moment(30, "04:10") + denib::units::Span::days(1)
        }
    );
    assert!(first(&at(28, "04:10")).loose_done);
}

#[test]
fn on_points_a_piece_is_turned_wet() {
    let (mut job, records) = back_coated();
    job.pieces[0].holding = Holding::Points;
    let now = standing(&job, &records, on(25, "09:05"));
    assert_eq!(first(&now).turn, May::Yes);
    assert_eq!(first(&now).recoat, May::Yes); // the face is next, and bare
    assert!(matches!(first(&now).handle, May::NotYet { .. }));
}

#[test]
fn a_quick_film_over_a_slow_one_is_no_drier() {
    let (job, mut records) = back_coated();
    // wax by mistake at 10:00, on varnish laid at 09:00; wax alone could be handled at 12:00
    let wax = denib::dayplan::document::Operation {
        step: StepKind::Wax,
        ..coat("top", "back", 9, "wax", on(25, "09:50"), on(25, "10:00"))
    };
    let mut all = vec![wax];
    if let What::AcceptedPlan { plan } = &records[0].what {
        all.extend(plan.operations.clone());
    }
    records = log(
        &plan(all),
        vec![
            tick("1", &["top/coat-1/back"], on(25, "08:50"), on(25, "09:00")),
            tick("2", &["top/coat-9/back"], on(25, "09:50"), on(25, "10:00")),
        ],
    );
    assert_eq!(
        first(&standing(&job, &records, on(25, "12:30"))).handle,
        not_yet((25, "17:00"), (26, "01:00"))
    );
    // nothing goes over wax
    records.push(tick("3", &["top/coat-1/face"], on(25, "13:00"), on(25, "13:10")));
    let later = standing(&job, &records, on(28, "12:00"));
    assert_eq!(first(&later).recoat, May::Held);
    assert_eq!(surface(&later, 1).coats_on, 1);
}

#[test]
fn a_cold_night_pauses_an_oil_film() {
    let (job, records) = back_coated();
    // 5 °C from 18:00 to 06:00: below the floor of 10 °C nothing counts. Handle at 960 minutes: 540 by 18:00
    // on the 25th, the other 420 from 06:00: 13:00
    let job = with_nights(job, 5.0);
    let now = standing(&job, &records, on(25, "10:00"));
    assert_eq!(first(&now).handle, not_yet((25, "17:00"), (26, "13:00")));
    assert!(
        !surface(&standing(&job, &records, on(26, "07:00")), 1)
            .film
            .clone()
            .expect("a film")
            .spoiled
    );
    assert_eq!(first(&standing(&job, &records, on(26, "13:00"))).handle, May::Yes);
}

#[test]
fn a_cold_night_spoils_a_film_that_must_flow_together() {
    let all = |end| vec![coat("top", "face", 1, "water", on(25, "08:00"), end)];
    let job = with_nights(job(vec![panel("top", "water")]), 5.0);
    // hard in 240 minutes: laid at 14:00 it makes it to 18:00, a minute later it does not
    for (end, spoiled) in [("14:00", false), ("14:01", true)] {
        let tick = tick("1", &["top/coat-1/face"], on(25, "08:00"), on(25, end));
        let records = log(&plan(all(on(25, end))), vec![tick]);
        let film = |day, clock| {
            surface(&standing(&job, &records, on(day, clock)), 0)
                .film
                .clone()
                .expect("a film")
        };
        assert!(!film(25, "17:59").spoiled);
        assert_eq!(film(25, "18:00").spoiled, spoiled, "laid at {end}");
        let night = standing(&job, &records, on(26, "12:00"));
        assert_eq!(first(&night).handle == May::Yes, !spoiled);
        let warned = standing(&job, &records, on(25, "15:00")).closing;
        let cold = warned
            .iter()
            .filter(|closing| closing.what.contains("too cold") && closing.at == moment(25, "18:00"));
        assert_eq!(cold.count(), usize::from(spoiled));
    }
}

#[test]
fn a_reading_in_the_room_changes_what_is_foreseen() {
    let (job, mut records) = back_coated();
    let read = What::Reading {
        temperature: 5.0,
        humidity: None,
    };
    records.push(said("2", on(25, "10:00"), read));
    // 60 minutes counted by 10:00; from then on the room is read at 5 °C, and its aim never changes
    let now = standing(&job, &records, on(25, "12:00"));
    assert_eq!(first(&now).turn, May::Held);
    assert!((now.air.0 - 5.0).abs() < 1e-9 && (now.air.1 - 50.0).abs() < 1e-9);
}
