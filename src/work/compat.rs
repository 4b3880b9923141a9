//! Which finish goes on which pieces, for the rules of compatibility.
//!
//! Invariant: a pure function of the job; every rule itself lives in `finish::compat`.

use super::groups;
use crate::finish::compat::{self, Finding, Worn, is_oily};
use crate::job::{Job, JointKind, Show};

/// Everything in the job that does not go together, or only with care.
pub fn problems(job: &Job) -> Vec<Finding> {
    let mut worn: Vec<Worn<'_>> = job
        .schedules
        .values()
        .map(|schedule| Worn {
            schedule,
            pieces: Vec::new(),
            inside: Vec::new(),
            oily: Vec::new(),
            beside: Vec::new(),
        })
        .collect();
    for (index, piece) in job.pieces.iter().enumerate() {
        let groups = groups::of(job, index);
        let dovetailed = piece.joints.iter().any(|joint| joint.kind == JointKind::Dovetail);
        for group in &groups {
            let Some(one) = worn.iter_mut().find(|one| one.schedule.id == group.schedule.id) else {
                continue;
            };
            one.pieces.push(piece.id.clone());
            let surfaces = group.surfaces.iter().filter_map(|&at| piece.surfaces.get(at));
            if surfaces.into_iter().any(|surface| surface.show == Show::Inside) {
                one.inside.push(piece.id.clone());
            }
            if is_oily(&piece.material) {
                one.oily.push((piece.id.clone(), piece.material.clone()));
            }
            if groups.len() > 1 || dovetailed {
                one.beside.push(piece.id.clone());
            }
        }
    }
    worn.retain(|one| !one.pieces.is_empty());
    compat::problems(&worn)
}
