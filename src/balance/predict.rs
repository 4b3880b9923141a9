//! From films on two faces and a step of the air to a gap in moisture and a bend.
//!
//! Invariant: low, usual and high come from the slow, usual and fast diffusion of wood and from the least to
//! the most the timber moves; gaps and bends are signed, positive where the face is the wetter and so round.

use crate::science::exclusion::{Exclusion, Finish};
use crate::science::slab::{BARE, DIFFUSION, Slab, exchange_of, exchange_of_layers};
use crate::science::wood::equilibrium_moisture;
use crate::science::{MoistAir, cupping};
use crate::units::{Millimetres, Percent};
use serde::Serialize;
use std::collections::BTreeMap;

/// Air that changes at once and then stays.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirStep {
    /// Air the panel is at rest in.
    pub from: MoistAir,
    /// Air it comes into.
    pub to: MoistAir,
    /// How long that is followed, days.
    pub days: f64,
    /// The driest air of the year, for the change of width.
    pub driest: MoistAir,
    /// The dampest.
    pub dampest: MoistAir,
}

impl Default for AirStep {
    /// A change of the weather: 50 to 60 % at 20 °C, at once, then four weeks so; over the year a heated room from
    /// 35 to 65 % (common practice, no source).
    fn default() -> Self {
        Self {
            from: MoistAir::new(20.0, 50.0),
            to: MoistAir::new(20.0, 60.0),
            days: 28.0,
            driest: MoistAir::new(20.0, 35.0),
            dampest: MoistAir::new(20.0, 65.0),
        }
    }
}

impl AirStep {
    /// Change of the moisture wood settles at, per cent.
    pub fn moisture(&self) -> f64 {
        equilibrium_moisture(self.to).0 - equilibrium_moisture(self.from).0
    }
}

/// What an imbalance does at its worst within the days followed: low, usual, high.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Bend {
    /// Gap in moisture between the faces, per cent, as a straight line that bends as much; positive where the
    /// face is the wetter.
    pub gap_percent: [f64; 3],
    /// Rise of the middle over the edges, mm; positive where the face is round, negative where it is hollow.
    /// `null` where the timber is not known.
    pub cup_mm: Option<[f64; 3]>,
    /// When it is worst, days after the step (usual diffusion).
    pub worst_after_days: f64,
}

/// Exchanges of films that were asked for before.
#[derive(Debug, Default)]
pub struct Exchanges {
    known: BTreeMap<(Finish, u8, usize), f64>,
}

impl Exchanges {
    fn face(&mut self, rows: &[&Exclusion], speed: usize) -> f64 {
        let diffusion = DIFFUSION.get(speed).copied().unwrap_or(3e-10);
        let films: Vec<f64> = rows
            .iter()
            .map(|row| {
                let key = (row.finish, row.coats, speed);
                *self.known.entry(key).or_insert_with(|| exchange_of(row, diffusion))
            })
            .collect();
        if films.is_empty() {
            BARE
        } else {
            exchange_of_layers(&films)
        }
    }

    /// The bend of a panel with these films on its two faces. `None` for a panel without thickness.
    pub fn bend(
        &mut self,
        (face, back): (&[&Exclusion], &[&Exclusion]),
        (width, thickness): (Millimetres, Millimetres),
        coefficients: Option<[f64; 3]>,
        moisture: f64,
        days: f64,
    ) -> Option<Bend> {
        let mut gaps = [0.0; 3];
        let mut worst_after_days = 0.0;
        for (speed, gap) in gaps.iter_mut().enumerate() {
            let faces = [self.face(face, speed), self.face(back, speed)];
            let (share, at) = worst(thickness, *DIFFUSION.get(speed)?, faces, days)?;
            *gap = share * moisture;
            if speed == 1 {
                worst_after_days = at;
            }
        }
        let usual = gaps[1];
        let low = gaps
            .iter()
            .copied()
            .reduce(|one, other| if other.abs() < one.abs() { other } else { one })?;
        let high = gaps
            .iter()
            .copied()
            .reduce(|one, other| if other.abs() > one.abs() { other } else { one })?;
        let gap_percent = [low, usual, high];
        let cup = |index: usize, coefficients: [f64; 3]| {
            let bend = cupping::curvature(coefficients[index], Percent(gap_percent[index]), thickness)?;
            Some(cupping::rise(bend, width).0)
        };
        let cup_mm = coefficients.and_then(|all| Some([cup(0, all)?, cup(1, all)?, cup(2, all)?]));
        Some(Bend {
            gap_percent,
            cup_mm,
            worst_after_days,
        })
    }
}

/// The largest gap within the days, as a share of the change outside, and when it is reached.
fn worst(thickness: Millimetres, diffusion: f64, faces: [f64; 2], days: f64) -> Option<(f64, f64)> {
    // how often the slab is looked at (own choice, no source)
    const LOOKS: u32 = 120;
    let mut slab = Slab::new(thickness.0 / 1000.0, diffusion, faces)?;
    let mut worst = (0.0_f64, 0.0);
    let mut passed = 0.0;
    // looks lie closer in the first days, when the gap grows
    for look in 1..=LOOKS {
        let until = days * (f64::from(look) / f64::from(LOOKS)).powi(2);
        slab.pass(until - passed, 6);
        passed = until;
        let gap = slab.gap();
        if gap.abs() > worst.0.abs() {
            worst = (gap, until);
        }
    }
    // faces alike leave only rounding
    Some(if worst.0.abs() < 1e-9 { (0.0, 0.0) } else { worst })
}
