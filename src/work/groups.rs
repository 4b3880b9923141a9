//! Surfaces of a piece that get the same schedule, and the passes it takes to reach them.
//!
//! Invariant: every finished surface of the piece is in exactly one group, and in exactly one pass of it.

use crate::finish::Schedule;
use crate::finish::schedule::trunk;
use crate::job::{Holding, Job, Piece, Shape, Show, Surface, SurfaceRole};

/// Surfaces with one schedule.
pub(super) struct Group<'a> {
    pub schedule: &'a Schedule,
    /// Indices into the piece's surfaces, hidden side first, the show face last.
    pub surfaces: Vec<usize>,
}

/// What one pass reaches.
pub(super) struct Pass {
    pub surfaces: Vec<usize>,
    /// Times the piece is laid over within the pass.
    pub turns: u32,
    /// Lies on the far side afterwards: the down side of the next pass.
    pub far: bool,
}

/// The order in which surfaces are worked: the hidden side, insides, edges and ends, the show face last.
fn order(surface: &Surface) -> (u8, bool) {
    let side = match surface.role {
        SurfaceRole::Back => 0,
        SurfaceRole::Inner => 1,
        SurfaceRole::Edge => 2,
        SurfaceRole::End => 3,
        SurfaceRole::Side | SurfaceRole::Outer => 4,
        SurfaceRole::Face => 5,
    };
    (side, surface.show == Show::Show)
}

/// The groups of a piece, the one on the hidden side first.
pub(super) fn of(job: &Job, piece: usize) -> Vec<Group<'_>> {
    let Some(piece) = job.pieces.get(piece) else {
        return Vec::new();
    };
    let mut groups: Vec<Group> = Vec::new();
    let mut sorted: Vec<usize> = (0..piece.surfaces.len()).collect();
    sorted.sort_by_key(|&surface| order(&piece.surfaces[surface]));
    for surface in sorted {
        let Some(id) = &piece.surfaces[surface].schedule else {
            continue;
        };
        // coats added at the bench do not part a group: what is done keeps its ids
        let trunk = job.schedules.get(trunk(id));
        let Some(schedule) = trunk.or_else(|| job.schedules.get(id)) else {
            continue;
        };
        match groups.iter_mut().find(|group| group.schedule.id == schedule.id) {
            Some(group) => group.surfaces.push(surface),
            None => groups.push(Group {
                schedule,
                surfaces: vec![surface],
            }),
        }
    }
    groups
}

/// The passes a brushed or padded coat takes. A wiped-on oil always goes on in one ([`one_pass`]).
pub(super) fn passes(piece: &Piece, holding: Holding, surfaces: &[usize]) -> Vec<Pass> {
    if holding != Holding::Bearers {
        return vec![one_pass(piece, surfaces)];
    }
    let lies_on = |surface: usize| match piece.surfaces[surface].role {
        SurfaceRole::Back => true,
        // a square lies on one side: the last of them, which the maker lists as the least seen
        SurfaceRole::Side => piece.shape == Shape::Square && Some(surface) == last_side(piece),
        _ => false,
    };
    let (far, near): (Vec<usize>, Vec<usize>) = surfaces.iter().partition(|&&surface| lies_on(surface));
    let mut passes = Vec::new();
    if !far.is_empty() {
        passes.push(Pass {
            surfaces: far,
            turns: 0,
            far: true,
        });
    }
    if !near.is_empty() {
        let turns = u32::from(!passes.is_empty());
        passes.push(Pass {
            surfaces: near,
            turns,
            far: false,
        });
    }
    passes
}

fn last_side(piece: &Piece) -> Option<usize> {
    let side = |&surface: &usize| piece.surfaces[surface].role == SurfaceRole::Side;
    let hidden = |&surface: &usize| side(&surface) && piece.surfaces[surface].show != Show::Show;
    let all = 0..piece.surfaces.len();
    all.clone().rev().find(hidden).or_else(|| all.clone().rev().find(side))
}

/// Everything in one pass: hung, turned wet on points, or wiped.
pub(super) fn one_pass(piece: &Piece, surfaces: &[usize]) -> Pass {
    let has = |role| surfaces.iter().any(|&surface| piece.surfaces[surface].role == role);
    let both = has(SurfaceRole::Back) && has(SurfaceRole::Face);
    Pass {
        surfaces: surfaces.to_vec(),
        turns: u32::from(both && piece.holding != Holding::Hung),
        far: false,
    }
}
