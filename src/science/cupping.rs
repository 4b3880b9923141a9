//! How far a board bends across the grain when its faces do not move alike.
//!
//! Invariant: lengths are millimetres, curvatures 1/mm; positive where the wetter face becomes convex.
//!
//! Sources: plate theory for a free elastic strip with a strain that varies through its thickness; two layers
//! after Timoshenko (1925), both from memory and checked against each other in `tests/science/cupping.rs`.
//! Across the grain only: restraint, the curve of the growth rings and the set that wetting leaves are not in it,
//! so what a battened or framed panel does is less.

use crate::units::{Millimetres, Percent};

/// Curvature from a straight-line gap in moisture between the faces: C·ΔM/h, `coefficient` being the change of
/// width per unit for one per cent of moisture.
pub fn curvature(coefficient: f64, gap: Percent, thickness: Millimetres) -> Option<f64> {
    (thickness.0 > 0.0).then(|| coefficient * gap.0 / thickness.0)
}

/// Curvature from a layer of one face, `depth` deep, that is wetter by `gap`.
pub fn wetted_layer(coefficient: f64, gap: Percent, depth: Millimetres, thickness: Millimetres) -> Option<f64> {
    let (d, h) = (depth.0, thickness.0);
    (h > 0.0 && (0.0..=h).contains(&d)).then(|| 6.0 * coefficient * gap.0 * d * (h - d) / h.powi(3))
}

/// Curvature of two layers that would strain by amounts differing by `strain`, with their thicknesses and the
/// ratio of their stiffnesses (first over second).
pub fn two_layers(strain: f64, first: Millimetres, second: Millimetres, stiffness: f64) -> Option<f64> {
    let sound = first.0 > 0.0 && second.0 > 0.0 && stiffness > 0.0;
    let (m, n) = (first.0 / second.0, stiffness);
    let sum = (1.0 + m).powi(2);
    let below = (first.0 + second.0) * (3.0 * sum + (1.0 + m * n) * (m * m + 1.0 / (m * n)));
    sound.then(|| 6.0 * strain * sum / below)
}

/// Rise of the middle over the edges of a strip of this width: κW²/8 (small bends).
pub fn rise(curvature: f64, width: Millimetres) -> Millimetres {
    Millimetres(curvature * width.0 * width.0 / 8.0)
}

/// The same for a true arc.
pub fn rise_of_arc(curvature: f64, width: Millimetres) -> Millimetres {
    Millimetres(if curvature.abs() < 1e-12 {
        0.0
    } else {
        (1.0 - (curvature * width.0 / 2.0).cos()) / curvature
    })
}
