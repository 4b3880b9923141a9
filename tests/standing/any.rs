//! Whatever the records say, and in whatever order they are read.

use crate::bench::*;
use crate::log_samples::{on, plan};
use denib::dayplan::document::{Operation, Stamp};
use denib::finish::StepKind;
use denib::job::Job;
use denib::log::{Purpose, Record, What};
use denib::standing::{May, RoundState, Standing};
use denib::units::{Moment, Span};
use proptest::prelude::*;
use std::collections::BTreeSet;

const PIECES: [(&str, &str); 3] = [("top", "varnish"), ("door", "water"), ("rail", "varnish")];

fn shop() -> Job {
    job(vec![
        panel("top", "varnish"),
        panel("door", "water"),
        rail("rail", "varnish"),
    ])
}

/// Two coats on every surface of every piece, and the masking of the rail.
fn operations() -> Vec<Operation> {
    let mut all = vec![other("rail", "mask", StepKind::Mask, on(25, "07:00"), on(25, "07:10"))];
    for (piece, product) in PIECES {
        let surfaces: &[&str] = if piece == "rail" { &["side"] } else { &["back", "face"] };
        for number in 1..=2 {
            for surface in surfaces {
                let round = format!("{product}-{number}");
                let one = coat(piece, surface, number, product, on(25, "08:00"), on(25, "08:10"));
                all.push(in_round(&round, one));
            }
        }
    }
    all
}

fn minutes_after(minutes: i64) -> Stamp {
    on(25, "08:00") + chrono::TimeDelta::minutes(minutes)
}

/// What may be said, over two days from 08:00 on the 25th; touch tests only if asked for.
fn some(tests: bool) -> impl Strategy<Value = Vec<Record>> {
    let ids: Vec<String> = operations().iter().map(|one| one.id.clone()).collect();
    let kinds = if tests { 8_u8 } else { 6 };
    let one = (0..kinds, 0..ids.len(), 0_i64..2880, 0_i64..30, 0_usize..30, 0_u8..7).prop_map(
        move |(kind, operation, at, length, target, purpose)| {
            let id = ids[operation].clone();
            let list = vec![id.clone()];
            let purposes = [
                Purpose::Turn,
                Purpose::Sand,
                Purpose::Recoat,
                Purpose::Handle,
                Purpose::Glue,
                Purpose::Stack,
                Purpose::Rub,
            ];
            let purpose = purposes[usize::from(purpose)];
            let what = match kind {
                0..=2 => What::Done {
                    operations: list,
                    start: minutes_after(at),
                    end: minutes_after(at + length),
                },
                3 => What::Begun {
                    operations: list,
                    start: minutes_after(at),
                },
                4 => What::Undone {
                    record: format!("r-{target:02}"),
                },
                5 => {
                    let piece = id.split('/').next().unwrap_or_default().to_owned();
                    What::StripBack {
                        piece,
                        surfaces: vec![],
                        reason: "a run".into(),
                    }
                }
                6 => What::NotYetDry { operation: id, purpose },
                _ => What::DryAlready { operation: id, purpose },
            };
            (minutes_after(at + length), what)
        },
    );
    proptest::collection::vec(one, 0..30).prop_map(|all| {
        let all = all.into_iter().enumerate();
        let records = all
            .map(|(n, (at, what))| said(&format!("r-{n:02}"), at, what))
            .collect();
        log(&plan(operations()), records)
    })
}

/// Coats that are surely wet, from the records alone: (piece, surface). The slow figure for handling is 960
/// minutes for the varnish and 120 for the water-borne lacquer, in air where one minute counts one.
fn surely_wet(records: &[Record], now: Moment) -> BTreeSet<(String, String)> {
    let mut wet = BTreeSet::new();
    let undone: Vec<(&str, &str)> = records
        .iter()
        .filter_map(|record| match &record.what {
            What::Undone { record: target } => Some((record.id.as_str(), target.as_str())),
            _ => None,
        })
        .collect();
    for record in records {
        // only ticks that nobody tried to take back, whatever else was taken back
        if undone.iter().any(|(_, target)| *target == record.id) {
            continue;
        }
        let What::Done { operations, end, .. } = &record.what else {
            continue;
        };
        let end = Moment::of(end);
        for id in operations {
            let parts: Vec<&str> = id.split('/').collect();
            let [piece, name, surface] = parts[..] else { continue };
            if !name.starts_with("coat") {
                continue;
            }
            let wait = if piece == "door" { 120 } else { 960 };
            let stripped = records.iter().any(|other| {
                matches!(&other.what, What::StripBack { piece: of, .. } if of == piece) && Moment::of(&other.at) >= end
            });
            if !stripped && now < end + Span(wait) {
                wet.insert((piece.to_owned(), surface.to_owned()));
            }
        }
    }
    wet
}

fn check_shape(now: &Standing) -> Result<(), TestCaseError> {
    for piece in &now.pieces {
        for surface in &piece.surfaces {
            let wet = surface
                .film
                .as_ref()
                .is_some_and(|film| film.stage.is_none() || film.spoiled);
            if wet {
                for may in [piece.handle, piece.sand, piece.stack, piece.glue, piece.rub] {
                    prop_assert_ne!(may, May::Yes);
                }
            }
            let opens: Vec<_> = surface.windows.iter().map(|window| window.0).collect();
            prop_assert!(opens.windows(2).all(|two| two[0] <= two[1]));
            prop_assert!(
                surface
                    .windows
                    .iter()
                    .all(|(opens, closes, _)| closes.is_none_or(|closes| *opens < closes))
            );
            if let Some((_, when)) = surface.film.as_ref().and_then(|film| film.next) {
                prop_assert!(when.early <= when.late && when.late > now.now);
            }
        }
        for may in [
            piece.handle,
            piece.turn,
            piece.sand,
            piece.recoat,
            piece.stack,
            piece.glue,
            piece.rub,
        ] {
            match may {
                May::Test { late } => prop_assert!(late > now.now),
                May::NotYet { when } => prop_assert!(when.early > now.now && when.early <= when.late),
                May::Yes | May::Held => {}
            }
        }
    }
    prop_assert!(now.coming.windows(2).all(|two| two[0].2.late <= two[1].2.late));
    prop_assert!(now.coming.iter().all(|(_, _, when)| when.late > now.now));
    prop_assert!(now.closing.windows(2).all(|two| two[0].at <= two[1].at));
    for round in &now.rounds {
        prop_assert_eq!(round.left.is_empty(), round.state == RoundState::Over);
    }
    Ok(())
}

proptest! {
    #[test]
    fn a_piece_with_a_wet_surface_is_never_handleable(records in some(false), at in 0_i64..6000) {
        let now = standing(&shop(), &records, minutes_after(at));
        check_shape(&now)?;
        let wet = surely_wet(&records, now.now);
        for ((id, _), piece) in PIECES.iter().zip(&now.pieces) {
            if wet.iter().any(|(wet, _)| wet == id) {
                prop_assert_ne!(piece.handle, May::Yes, "{} is wet: {:?}", id, records);
            }
        }
    }

    #[test]
    fn cold_nights_and_touch_tests_keep_the_shape(records in some(true), at in 0_i64..6000, night in -5.0..19.0_f64) {
        check_shape(&standing(&with_nights(shop(), night), &records, minutes_after(at)))?;
    }

    #[test]
    fn the_order_of_reading_does_not_matter(records in some(true), turn in 0_usize..30, at in 0_i64..6000) {
        let straight = standing(&shop(), &records, minutes_after(at));
        let mut turned = records;
        let length = turned.len();
        turned.rotate_left(turn % length);
        turned.reverse();
        prop_assert_eq!(standing(&shop(), &turned, minutes_after(at)), straight);
    }

    #[test]
    fn a_test_that_says_not_yet_never_brings_anything_forward(records in some(false), at in 0_i64..4000, test in 0_usize..11, purpose in 0_usize..7) {
        let purposes = [Purpose::Turn, Purpose::Sand, Purpose::Recoat, Purpose::Handle, Purpose::Glue, Purpose::Stack, Purpose::Rub];
        let before = standing(&shop(), &records, minutes_after(at));
        let mut tested = records;
        let operation = operations()[test].id.clone();
        tested.push(said("test", minutes_after(at), What::NotYetDry { operation, purpose: purposes[purpose] }));
        let after = standing(&shop(), &tested, minutes_after(at));
        for (one, other) in before.pieces.iter().zip(&after.pieces) {
            for (before, after) in [(one.handle, other.handle), (one.turn, other.turn), (one.sand, other.sand), (one.stack, other.stack), (one.glue, other.glue)] {
                // the worse of the two is the one after the test
                prop_assert_eq!(before.and(after), after);
            }
        }
    }
}
