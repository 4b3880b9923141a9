//! Moisture on its way through a board whose two faces do not let it in alike.
//!
//! Invariant: the share is 0 where the board has not yet noticed the air's change and 1 where it has come all
//! the way; it never leaves that range.
//!
//! Diffusion across the thickness, with a surface exchange on each face: J = S (air − surface). The exchange
//! of a finish is taken from its moisture-excluding effectiveness, by asking which S makes the test specimen of
//! that table (16 mm thick, all faces alike) take up what the table says after 1, 7 and 14 days; films in layers add
//! their resistances. This is our engineering model, not a published one: `tests/science/exclusion.rs` checks its
//! mathematics against closed forms and how near it comes to the table.
//!
//! The diffusion coefficient (hardwoods, across the grain, 8 to 12 % moisture, 20 °C) and the specimen's thickness
//! are recalled; hence always a range.

use super::exclusion::{DAYS, Exclusion};

/// Diffusion across the grain, m²/s: slow, usual, fast (from memory).
pub const DIFFUSION: [f64; 3] = [1e-10, 3e-10, 5e-10];
/// Exchange of a bare face, m/s: so fast that the surface follows the air at once (own choice,
/// no source).
pub const BARE: f64 = 1e-6;
/// Thickness of the specimens of the table, m (from memory).
const SPECIMEN: f64 = 0.016;
/// Layers the board is cut into (own choice, no source).
const LAYERS: usize = 24;
/// Seconds in a day, exact by definition.
const DAY: f64 = 86_400.0;

/// Days for a board to come about two thirds of the way, both faces open: h²/(π² D).
pub fn equalising_days(thickness_m: f64, diffusion: f64) -> Option<f64> {
    (diffusion > 0.0).then(|| thickness_m.powi(2) / (std::f64::consts::PI.powi(2) * diffusion) / DAY)
}

/// The same with one face sealed: four times as long.
pub fn equalising_days_one_face(thickness_m: f64, diffusion: f64) -> Option<f64> {
    equalising_days(thickness_m, diffusion).map(|days| 4.0 * days)
}

/// A board after the air has changed at once.
#[derive(Clone, Debug)]
pub struct Slab {
    thickness: f64,
    diffusion: f64,
    faces: [f64; 2],
    share: [f64; LAYERS],
}

impl Slab {
    /// A board at rest, with the exchange of its two faces in m/s. `None` for figures that are none.
    pub fn new(thickness_m: f64, diffusion: f64, faces: [f64; 2]) -> Option<Self> {
        let sound = thickness_m > 0.0 && diffusion > 0.0 && faces.iter().all(|face| face.is_finite() && *face >= 0.0);
        (sound && thickness_m.is_finite()).then_some(Self {
            thickness: thickness_m,
            diffusion,
            faces,
            share: [0.0; LAYERS],
        })
    }

    /// Lets a time pass, in equal steps (implicit, so that it is steady at any length of step).
    pub fn pass(&mut self, days: f64, steps: u32) {
        let layer = self.thickness / LAYERS as f64;
        let step = days * DAY / f64::from(steps.max(1));
        let inner = self.diffusion / layer * step / layer;
        // from the air through the skin and half a layer
        let skin = |exchange: f64| {
            let half = layer / 2.0 / self.diffusion;
            if exchange <= 0.0 {
                0.0
            } else {
                step / layer / (1.0 / exchange + half)
            }
        };
        let (first, second) = (skin(self.faces[0]), skin(self.faces[1]));
        for _ in 0..steps.max(1) {
            self.step(inner, first, second);
        }
    }

    /// One implicit step: a tridiagonal system, solved from the first face to the second and back.
    fn step(&mut self, inner: f64, first: f64, second: f64) {
        let mut above = [0.0; LAYERS];
        let mut known = [0.0; LAYERS];
        for index in 0..LAYERS {
            let left = if index == 0 { 0.0 } else { inner };
            let right = if index + 1 == LAYERS { 0.0 } else { inner };
            let air = if index == 0 { first } else { 0.0 } + if index + 1 == LAYERS { second } else { 0.0 };
            let middle = 1.0 + left + right + air;
            let (carried, before) = if index == 0 {
                (0.0, 0.0)
            } else {
                (above[index - 1], known[index - 1])
            };
            let pivot = middle - left * carried;
            above[index] = right / pivot;
            known[index] = (self.share[index] + air + left * before) / pivot;
        }
        for index in (0..LAYERS).rev() {
            let next = if index + 1 == LAYERS {
                0.0
            } else {
                self.share[index + 1]
            };
            self.share[index] = (known[index] + above[index] * next).clamp(0.0, 1.0);
        }
    }

    /// How far the whole board has come, 0 to 1.
    pub fn uptake(&self) -> f64 {
        self.share.iter().sum::<f64>() / LAYERS as f64
    }

    /// The straight-line gap from the second face to the first that would bend the board as much as its true
    /// profile does: 12/h² ∫ u z dz.
    pub fn gap(&self) -> f64 {
        let place = |index: usize| (index as f64 + 0.5) / LAYERS as f64 - 0.5;
        let moment: f64 = self
            .share
            .iter()
            .enumerate()
            .map(|(index, share)| -share * place(index))
            .sum();
        12.0 * moment / LAYERS as f64
    }
}

/// How far a board with both faces alike has come after some days.
fn uptake_after(thickness: f64, diffusion: f64, face: f64, days: f64) -> f64 {
    Slab::new(thickness, diffusion, [face, face]).map_or(0.0, |mut slab| {
        slab.pass(days, 150);
        slab.uptake()
    })
}

/// Effectiveness the model gives a film of this exchange on the table's specimen, %, after some days.
pub fn effectiveness(exchange: f64, diffusion: f64, days: f64) -> f64 {
    let bare = uptake_after(SPECIMEN, diffusion, BARE, days);
    let coated = uptake_after(SPECIMEN, diffusion, exchange, days);
    if bare > 0.0 { 100.0 * (1.0 - coated / bare) } else { 0.0 }
}

/// The exchange (m/s) of a finish: the one whose effectiveness comes nearest to the table's three.
pub fn exchange_of(row: &Exclusion, diffusion: f64) -> f64 {
    let bare = DAYS.map(|days| uptake_after(SPECIMEN, diffusion, BARE, days));
    let miss = |log: f64| -> f64 {
        let exchange = 10f64.powf(log);
        let off = |index: usize| {
            let coated = uptake_after(SPECIMEN, diffusion, exchange, DAYS[index]);
            100.0 * (1.0 - coated / bare[index]) - row.percent[index]
        };
        (0..DAYS.len()).map(|index| off(index).powi(2)).sum()
    };
    // the miss has one valley over the exchange; halve it by the golden ratio
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    let (mut low, mut high) = (-11.0, BARE.log10());
    while high - low > 1e-3 {
        let (one, other) = (high - golden * (high - low), low + golden * (high - low));
        if miss(one) <= miss(other) {
            high = other;
        } else {
            low = one;
        }
    }
    10f64.powf(f64::midpoint(low, high))
}

/// The exchange of films laid one over the other on a bare face: their resistances add.
pub fn exchange_of_layers(films: &[f64]) -> f64 {
    let film = |exchange: &f64| (1.0 / exchange.max(1e-15) - 1.0 / BARE).max(0.0);
    1.0 / (1.0 / BARE + films.iter().map(film).sum::<f64>())
}
