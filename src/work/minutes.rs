//! How long hands take over one operation.
//!
//! Invariant: labour follows pieces and turns as well as area; every rate comes from `job::rates`.

use crate::finish::{Method, StepKind};
use crate::job::rates::{self, Rate};
use crate::job::{Job, Piece, Shape};
use crate::units::SquareMillimetres;

/// Area of some surfaces.
pub(super) fn area(piece: &Piece, surfaces: &[usize]) -> SquareMillimetres {
    surfaces
        .iter()
        .filter_map(|&surface| piece.surfaces.get(surface))
        .map(|surface| surface.area)
        .sum()
}

/// The rate a step goes at by area.
fn by_area(step: StepKind) -> Option<Rate> {
    Some(match step {
        StepKind::Check => rates::CHECK,
        StepKind::Sand => rates::SAND,
        StepKind::RaiseGrain => rates::RAISE_GRAIN,
        StepKind::CutBack => rates::CUT_BACK,
        StepKind::DustOff => rates::DUST_OFF,
        StepKind::Fill => rates::FILL,
        StepKind::Colour => rates::COLOUR,
        StepKind::WipeBack => rates::WIPE_BACK,
        StepKind::ReWipe => rates::RE_WIPE,
        StepKind::Denib => rates::DENIB,
        StepKind::Scuff => rates::SCUFF,
        StepKind::Flat | StepKind::RubOut => rates::RUB_OUT,
        StepKind::Wax => rates::WAX,
        StepKind::Buff => rates::BUFF,
        _ => return None,
    })
}

/// A step that goes over surfaces, without what the piece itself costs.
pub(super) fn over(job: &Job, step: StepKind, area: SquareMillimetres) -> f64 {
    by_area(step).map_or(0.0, |rate| job.rate(rate) * area.square_metres())
}

/// Fetching a piece and laying it over so often.
pub(super) fn handling(job: &Job, turns: u32) -> f64 {
    job.rate(rates::FETCH) + f64::from(turns) * job.rate(rates::TURN)
}

/// Putting a coat on, tack-off included.
pub(super) fn coating(job: &Job, method: Method, area: SquareMillimetres) -> f64 {
    let (rate, tack) = match method {
        Method::Brush => (rates::BRUSH, true),
        Method::Pad => (rates::PAD, true),
        Method::Spray => (rates::SPRAY, true),
        // a cloth takes the dust with it
        Method::Wipe => (rates::WIPE_ON, false),
    };
    let tack = if tack { job.rate(rates::TACK) } else { 0.0 };
    (job.rate(rate) + tack) * area.square_metres()
}

/// How often a piece is laid over to reach all of it.
pub(super) fn turns_all_round(piece: &Piece) -> u32 {
    match piece.shape {
        Shape::Square => 3,
        Shape::Round => 0,
        Shape::Panel | Shape::Frame | Shape::Box | Shape::Free => 1,
    }
}

/// Arrises that are broken (common practice: those a hand or a brush meets).
pub(super) fn arrises(piece: &Piece) -> u32 {
    match piece.shape {
        Shape::Square => 4,
        Shape::Round => 0,
        Shape::Panel | Shape::Frame | Shape::Box | Shape::Free => 8,
    }
}
