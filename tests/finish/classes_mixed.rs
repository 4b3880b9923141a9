//! Two finishes on one piece: every pair of shipped schedules, one on the face and one on the back, has a plan in
//! which nothing is broken, whatever filler, colour, wipe or wait the two bring with them.

#![allow(clippy::panic, reason = "a check stops where a value is missing")]

use crate::classes::{WARM, planned, read, text};
use denib::dayplan::verify;
use denib::finish::{StepKind, shipped};

/// A narrow board with one finish on its face and edges, another on its back.
fn board(face: &str, back: &str, holding: &str) -> String {
    let narrow = text(face, WARM, holding).replace("size = [700, 400, 20]", "size = [700, 180, 20]");
    let part = format!("holding = \"{holding}\"\n[[part]]\nname = \"leg\"");
    let two = format!("surfaces.back = {{ finish = \"{back}\", show = \"hidden\" }}\n");
    assert!(narrow.contains(&part));
    narrow.replace(&part, &part.replacen('\n', &format!("\n{two}"), 1))
}

fn every_pair(holding: &str) -> Vec<String> {
    let mut refused = Vec::new();
    let ids: Vec<String> = shipped().into_keys().collect();
    for face in &ids {
        for back in ids.iter().filter(|back| *back != face) {
            let job = read(&board(face, back, holding));
            let plan = match planned(&job) {
                Ok(plan) => plan,
                Err(no) => {
                    refused.push(format!("{face}, {back} behind: {no}"));
                    continue;
                }
            };
            let breaches: Vec<String> = verify(&plan, &job).iter().map(ToString::to_string).collect();
            assert!(breaches.is_empty(), "{face}, {back} behind: {breaches:#?}");
            // each side gets the coats of its own finish, and its own colour
            for (surface, finish) in [("face", face), ("back", back)] {
                let on = |step: StepKind| {
                    let ours = |id: &String| id == surface;
                    let all = plan.operations.iter().filter(|one| one.piece.as_deref() == Some("top"));
                    all.filter(|one| one.step == step && one.surfaces.iter().any(ours))
                        .count()
                };
                let schedule = &job.schedules[finish];
                let due = |step: StepKind| schedule.steps.iter().filter(|one| one.kind == step).count();
                for step in [StepKind::Fill, StepKind::Colour, StepKind::Seal, StepKind::Coat] {
                    assert_eq!(on(step), due(step), "{face}, {back} behind: {step} on the {surface}");
                }
            }
        }
    }
    refused
}

#[test]
fn every_pair_of_finishes_on_bearers() {
    assert_eq!(every_pair("bearers"), Vec::<String>::new());
}

#[test]
fn every_pair_of_finishes_on_points() {
    assert_eq!(every_pair("points"), Vec::<String>::new());
}

#[test]
fn every_pair_of_finishes_hung() {
    assert_eq!(every_pair("hung"), Vec::<String>::new());
}
