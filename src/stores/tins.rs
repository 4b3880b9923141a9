//! Volumes rounded up to tins that can be bought.
//!
//! Invariant: the tins hold at least what is needed.
//!
//! Sizes are those the trade sells (common practice): metric 250 mL to 5 L, US half pint to gallon. Of the ways to
//! reach a volume the one with the least to carry home is taken, a tin more counting like one and a half of
//! the smallest: a large tin beats two small ones unless most of it would be left.

use serde::Serialize;

/// So many tins of one size.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tin {
    /// Size, mL.
    pub size_ml: f64,
    /// How many.
    pub count: u32,
}

/// The smallest tin, mL, and every size as so many of it.
const METRIC: (f64, &[u32]) = (250.0, &[1, 2, 4, 10, 20]);
/// Half pint, pint, quart, gallon (exact: a US gallon is 3.785411784 L).
const US: (f64, &[u32]) = (3_785.411_784 / 16.0, &[1, 2, 4, 16]);
/// What one more tin costs, in smallest tins.
const HANDLING: f64 = 1.5;
/// Beyond this many of the largest tin the rest is left to the largest.
const LARGEST_FIRST: u32 = 4;

/// Tins that hold a volume in mL; none for none.
pub fn tins(need_ml: f64, us: bool) -> Vec<Tin> {
    let (smallest, sizes) = if us { US } else { METRIC };
    if !need_ml.is_finite() || need_ml <= 0.0 {
        return Vec::new();
    }
    let mut units = (need_ml / smallest - 1e-9).ceil().max(1.0) as u32;
    let largest = sizes.iter().copied().max().unwrap_or(1);
    let mut counts = vec![0_u32; sizes.len()];
    if units > LARGEST_FIRST * largest
        && let Some(last) = counts.last_mut()
    {
        *last = units / largest - LARGEST_FIRST;
        units -= *last * largest;
    }
    // cheapest way to each volume up to one largest tin beyond the need
    let most = (units + largest) as usize;
    let mut best: Vec<Option<(f64, usize)>> = vec![None; most + 1];
    best[0] = Some((0.0, 0));
    for volume in 1..=most {
        for (index, &size) in sizes.iter().enumerate() {
            let Some(before) = volume.checked_sub(size as usize) else {
                continue;
            };
            if let Some((cost, _)) = best[before] {
                let cost = cost + f64::from(size) + HANDLING;
                if best[volume].is_none_or(|(known, _)| cost < known) {
                    best[volume] = Some((cost, index));
                }
            }
        }
    }
    let reached = (units as usize..=most).filter_map(|volume| best[volume].map(|(cost, _)| (cost, volume)));
    let chosen = reached.min_by(|one, other| one.0.total_cmp(&other.0));
    let mut volume = chosen.map_or(0, |(_, volume)| volume);
    while volume > 0 {
        let Some((_, index)) = best[volume] else { break };
        counts[index] += 1;
        volume = volume.saturating_sub(sizes[index] as usize);
    }
    let told = sizes.iter().zip(counts).rev().filter(|(_, count)| *count > 0);
    told.map(|(&size, count)| Tin {
        size_ml: smallest * f64::from(size),
        count,
    })
    .collect()
}
