//! The status page against standings made by hand.
//!
//! Invariant: the standings are made by hand, so what the page says is held against what was put in.

use super::*;
use crate::finish::{Prepare, Stage};
use crate::report::sample;
use crate::standing::{Closing, Film, JointState, RoundStanding, SurfaceStanding};

fn moment(text: &str) -> Moment {
    Moment::of(&sample::stamp(text))
}

#[allow(clippy::unnecessary_wraps)] // as it stands in a surface
fn film(stage: Option<Stage>) -> Option<Film> {
    Some(Film {
        operation: "leg-1/coat-1".to_owned(),
        product: "lacquer".to_owned(),
        at: moment("2026-11-30T09:36:00Z"),
        stage,
        next: None,
        counted: None,
        spoiled: false,
    })
}

/// A standing in which every piece has had its first coat and answers yes to everything asked; the
/// films stand at `stage`.
fn standing(stage: Option<Stage>) -> Standing {
    let job = sample::job();
    let pieces = job.pieces.iter().enumerate().map(|(index, piece)| PieceStanding {
        piece: index,
        surfaces: piece
            .surfaces
            .iter()
            .enumerate()
            .map(|(at, _)| SurfaceStanding {
                surface: at,
                coats_on: 1,
                coats_due: 2,
                film: film(stage),
                windows: vec![(moment("2026-11-30T11:40:00Z"), None, Prepare::Denib)],
            })
            .collect(),
        joints: JointState::Covered,
        next: None,
        handle: May::Yes,
        turn: May::Yes,
        sand: May::Yes,
        recoat: May::Yes,
        stack: May::Yes,
        glue: May::Yes,
        rub: May::Yes,
        loose_done: false,
        unequal_since: None,
    });
    Standing {
        now: moment("2026-11-30T10:00:00Z"),
        pieces: pieces.collect(),
        rounds: Vec::new(),
        now_round: None,
        coming: Vec::new(),
        closing: Vec::new(),
        air: (18.6, 51.0),
    }
}

#[test]
fn a_wet_piece_is_never_said_to_be_handleable() {
    // even where the answers, wrongly, all say yes
    let text = status(&standing(None), &sample::job(), None, Paper::default());
    assert!(!text.contains(" yes"), "{text}");
    assert!(text.contains("handled       none yet"), "{text}");
    assert!(text.contains("glued         none yet"), "{text}");
    let dry = status(&standing(Some(Stage::DryHard)), &sample::job(), None, Paper::default());
    assert_eq!(dry.matches("  yes").count(), 7, "{dry}");
    assert!(dry.contains("handled       4 legs, 2 sides, top"), "{dry}");
}

#[test]
fn one_wet_surface_of_many_counts() {
    let mut standing = standing(Some(Stage::DryHard));
    standing.pieces[6].surfaces[3].film = film(None);
    let text = status(&standing, &sample::job(), None, Paper::default());
    assert!(text.contains("handled       4 legs, 2 sides\n"), "{text}");
}

#[test]
fn the_whole_sheet() {
    let mut standing = standing(Some(Stage::DustFree));
    let wait = When {
        early: moment("2026-11-30T10:06:00Z"),
        late: moment("2026-11-30T10:20:00Z"),
    };
    for piece in &mut standing.pieces {
        piece.handle = May::NotYet { when: wait };
        piece.turn = May::NotYet { when: wait };
        piece.sand = May::Held;
        piece.recoat = May::Held;
        piece.stack = May::Held;
        piece.glue = May::Held;
        piece.rub = May::Held;
    }
    standing.pieces[4].surfaces[1].coats_on = 2;
    standing.pieces[4].unequal_since = Some(moment("2026-11-30T09:50:00Z"));
    standing.pieces[5].handle = May::Test {
        late: moment("2026-12-01T07:20:00Z"),
    };
    for surface in &mut standing.pieces[6].surfaces {
        surface.film = None;
        surface.coats_on = 0;
        surface.coats_due = 1;
    }
    standing.pieces[6].handle = May::Yes;
    standing.pieces[6].next = Some(9);
    standing.now_round = Some(2);
    standing.rounds = vec![
        RoundStanding {
            round: 0,
            state: RoundState::Over,
            left: vec![],
            done: 3,
        },
        RoundStanding {
            round: 1,
            state: RoundState::Over,
            left: vec![],
            done: 3,
        },
        RoundStanding {
            round: 2,
            state: RoundState::Late,
            left: vec![6],
            done: 0,
        },
        RoundStanding {
            round: 3,
            state: RoundState::Coming,
            left: vec![7],
            done: 0,
        },
    ];
    standing.coming = vec![(0, Stage::DryToTouch, wait), (1, Stage::DryToTouch, wait)];
    standing.closing = vec![Closing {
        piece: 0,
        what: "recoat window, then it must be scuffed".to_owned(),
        at: moment("2026-11-30T15:00:00Z"),
    }];
    let text = status(
        &standing,
        &sample::job(),
        Some(&sample::plan()),
        Paper { width: 80, ascii: true },
    );
    insta::assert_snapshot!(text);
}
