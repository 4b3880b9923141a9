//! Figures of the air, kept at the corners of a fine grid of air and taken to be straight between them.
//!
//! Invariant: what is read off depends on the air asked for and on nothing asked before; the drying laws are met
//! to a few parts in a million. Where corners differ by more than a hundredth, as where the wet bulb freezes and the
//! laws themselves step, the law is worked out for the very air.
//!
//! A job asks for the worth of a hundred thousand minutes for each product, and the laws need a wet bulb or a
//! power each time. Rooms move slowly along a few curves, so few corners are ever worked out.

use crate::science::MoistAir;
use foldhash::{HashMap, HashMapExt};

/// Corners for each kelvin: a law that doubles every 7 K is met to a millionth.
const PER_KELVIN: f64 = 32.0;
/// Corners for each per cent of humidity.
const PER_PERCENT: f64 = 4.0;
/// A figure that differs by this share between corners may step between them.
const STEP: f64 = 0.01;

/// A square of the grid, by its cool and dry corner.
type Cell = (i32, i32);

/// The figures at the four corners of a cell.
type Square<const N: usize> = [[[f64; N]; 2]; 2];

/// `N` figures of the air.
pub(super) struct Corners<const N: usize> {
    known: HashMap<Cell, [f64; N]>,
    /// The cell looked at last, with its corners where the figures are straight between them: a slow room stays in one.
    last: Option<(Cell, Option<Square<N>>)>,
    /// The air looked at last: a room at rest stays there.
    rest: Option<(MoistAir, [f64; N])>,
}

impl<const N: usize> Corners<N> {
    /// None worked out yet.
    pub fn new() -> Self {
        Self {
            known: HashMap::new(),
            last: None,
            rest: None,
        }
    }

    /// The figures in this air; `law` works them out and must always be the same.
    pub fn at(&mut self, air: MoistAir, law: impl Fn(MoistAir) -> [f64; N]) -> [f64; N] {
        if let Some((last, figures)) = self.rest
            && last == air
        {
            return figures;
        }
        let figures = self.between_corners(air, law);
        self.rest = Some((air, figures));
        figures
    }

    fn between_corners(&mut self, air: MoistAir, law: impl Fn(MoistAir) -> [f64; N]) -> [f64; N] {
        let (warm, damp) = (air.temperature.0 * PER_KELVIN, air.humidity.0 * PER_PERCENT);
        if !(warm.abs() < 1e6 && damp.abs() < 1e6) {
            return law(air);
        }
        let cell = (below(warm), below(damp));
        let (low, dry) = (f64::from(cell.0), f64::from(cell.1));
        let (along, across) = (warm - low, damp - dry);
        let straight = match self.last {
            Some((last, straight)) if last == cell => straight,
            _ => {
                let mut corner = |warm: f64, damp: f64| {
                    let known = self.known.entry((warm as i32, damp as i32));
                    *known.or_insert_with(|| law(MoistAir::new(warm / PER_KELVIN, damp / PER_PERCENT)))
                };
                let corners = [
                    [corner(low, dry), corner(low, dry + 1.0)],
                    [corner(low + 1.0, dry), corner(low + 1.0, dry + 1.0)],
                ];
                let straight = (!steps(corners.as_flattened())).then_some(corners);
                self.last = Some((cell, straight));
                straight
            }
        };
        let Some([cool, warm]) = straight else {
            return law(air);
        };
        let side = |[one, other]: [[f64; N]; 2]| between(one, other, across);
        between(side(cool), side(warm), along)
    }
}

/// The whole number at or below one within a million of nought; quicker than a call for each minute of each film.
fn below(number: f64) -> i32 {
    let whole = number as i32;
    whole - i32::from(f64::from(whole) > number)
}

/// Whether some figure differs so much between corners that there may be a step between them.
fn steps<const N: usize>(corners: &[[f64; N]]) -> bool {
    (0..N).any(|figure| {
        let each = corners.iter().map(|corner| corner[figure]);
        let (least, most) = each.fold((f64::INFINITY, 0.0_f64), |(least, most), one| {
            (least.min(one), most.max(one))
        });
        most - least > STEP * most
    })
}

fn between<const N: usize>(mut one: [f64; N], other: [f64; N], share: f64) -> [f64; N] {
    for (one, other) in one.iter_mut().zip(other) {
        *one += (other - *one) * share;
    }
    one
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::science::drying::{CURE, Law, Paces, WATER};
    use crate::science::solvent;

    #[test]
    fn what_is_read_off_is_what_would_be_worked_out() {
        let stated = MoistAir::new(23.0, 50.0);
        let ethanol = *solvent::find("ethanol").expect("a solvent");
        for laws in [WATER.to_vec(), vec![Law::Evaporation(ethanol)], CURE.to_vec()] {
            let paces = Paces::new(&laws, stated).expect("paces");
            let mut corners = Corners::new();
            for step in 0..4000 {
                let air = MoistAir::new(1.0 + f64::from(step) * 0.007_31, 30.0 + f64::from(step % 613) * 0.097);
                let exact = paces.at(air);
                let found = corners.at(air, |air| {
                    let worth = paces.at(air);
                    [worth.slow, worth.fast]
                });
                for (found, exact) in found.into_iter().zip([exact.slow, exact.fast]) {
                    let off = (found - exact).abs();
                    // where one law takes the lead from another there is a bend
                    assert!(off <= 2e-4 * exact.max(1e-3), "{laws:?} {air:?}: {found} for {exact}");
                }
            }
        }
    }
}
