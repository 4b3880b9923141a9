//! Orders one after the other in one decoder, against a new decoder for each.
//!
//! Invariant: a part of the orders stands on turns of the one before, else nothing is checked.
#![allow(clippy::expect_used, reason = "a failed check says so")]

use super::*;
use crate::planner::published;
use std::fmt::Write;

/// Parts that are sanded, then coated twice with sanding between, the second coat in a window.
fn load(parts: usize) -> String {
    let mut text = String::from("H 2 6 15 20 480 1020\n");
    let mut waits = String::new();
    for part in 0..parts {
        let wet = 60 + 10 * (part % 3);
        let first = part * 4;
        for (at, dusty) in [true, false, true, false].into_iter().enumerate() {
            let minutes = 3 + (part + at) % 5;
            let rest = if dusty {
                "0 0 0 0".to_owned()
            } else {
                format!("{wet} {} 20 4", wet + 90)
            };
            let _ = writeln!(text, "O {} {part} {} {minutes} {rest}", first + at, u8::from(!dusty));
        }
        let _ = writeln!(waits, "L {first} {} 8 -1", first + 1);
        let _ = writeln!(waits, "L {} {} {} 2880", first + 1, first + 2, wet + 200);
        let _ = writeln!(waits, "L {} {} 8 480", first + 2, first + 3);
    }
    text + &waits
}

#[test]
fn what_the_last_order_placed_is_what_placing_anew_would() {
    let network = published::load(&load(24)).expect("a load");
    let layout = Layout::of(&network).expect("it can be indexed");
    assert!(layout.apart.is_some());
    let mut state = 3_u32;
    let mut roll = |below: usize| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (state >> 8) as usize % below
    };
    for whole in [true, false] {
        let mut kept = Decoder::new(&layout, whole);
        let count = kept.graph().tasks.len();
        let mut keys: Vec<Key> = (0..count as Key).collect();
        let (mut placed, mut again) = (0, 0);
        for _ in 0..300 {
            let mut trial = keys.clone();
            for _ in 0..=roll(3) {
                let (one, other) = (roll(count), roll(count));
                trial.swap(one, other);
            }
            let mut anew = Decoder::new(&layout, whole);
            let (outcome, expected) = (kept.decode(&trial), anew.decode(&trial));
            assert_eq!(outcome, expected);
            if outcome.is_ok() {
                assert_eq!(kept.shop.start, anew.shop.start);
                assert_eq!(kept.shop.workers, anew.shop.workers);
                assert_eq!(kept.log, anew.log);
                placed += 1;
                again += usize::from(kept.played.parted() > 0);
            }
            if roll(4) == 0 {
                keys = trial;
            }
        }
        assert!(
            placed > 100 && again > 20,
            "{placed} placed, {again} after a turn that stood"
        );
    }
}
