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

/// The smallest tin, mL, and every size as so many of it (common practice, no source).
const METRIC: (f64, &[u32]) = (250.0, &[1, 2, 4, 10, 20]);
/// Half pint, pint, quart, gallon, mL (exact by definition: a US gallon is 3.785411784 L).
const US: (f64, &[u32]) = (3_785.411_784 / 16.0, &[1, 2, 4, 16]);
/// What one more tin costs, in smallest tins (own choice, no source).
const HANDLING: f64 = 1.5;
/// Beyond this many of the largest tin the rest is left to the largest (own choice, no source).
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

/// Steps in which volumes are told apart when sizes are the maker's own, mL; coarser for large needs (own
/// choice, no source).
const GRAIN: f64 = 10.0;
/// Most steps a need is cut into (own choice, no source).
const MOST_STEPS: f64 = 4_000.0;

/// Tins of the sizes for sale (mL, price) that hold a volume: the cheapest where all are priced, else the least to
/// carry home, a tin more counting like one and a half of the smallest. None for none.
pub fn from_sizes(need_ml: f64, sizes: &[(f64, Option<f64>)]) -> Vec<Tin> {
    let sound = |size: f64| size.is_finite() && size > 0.0;
    if !sound(need_ml) || sizes.is_empty() || sizes.iter().any(|(size, _)| !sound(*size)) {
        return Vec::new();
    }
    let smallest = sizes.iter().map(|(size, _)| *size).fold(f64::MAX, f64::min);
    let grain = GRAIN.min(smallest).max(need_ml / MOST_STEPS);
    // a tin smaller than the grain of so large a need is not worth counting beside larger ones
    let worth: Vec<(f64, Option<f64>)> = sizes.iter().copied().filter(|(size, _)| *size >= grain).collect();
    let sizes = worth.as_slice();
    if sizes.is_empty() {
        let count = (need_ml / smallest).ceil().min(f64::from(u32::MAX)) as u32;
        return vec![Tin {
            size_ml: smallest,
            count,
        }];
    }
    let priced = sizes.iter().all(|(_, price)| price.is_some());
    let cost = |(size, price): (f64, Option<f64>)| match price.filter(|_| priced) {
        // of two ways that cost the same, the one with less left over
        Some(price) => price + 1e-9 * size,
        None => size + HANDLING * smallest,
    };
    let steps = (need_ml / grain - 1e-9).ceil().max(1.0) as usize;
    // what a tin covers is rounded down, so that the tins hold at least what is needed
    let covers: Vec<usize> = sizes
        .iter()
        .map(|(size, _)| ((size / grain + 1e-9).floor() as usize).clamp(1, steps))
        .collect();
    let mut best: Vec<(f64, usize)> = vec![(0.0, 0)];
    for volume in 1..=steps {
        let ways = sizes.iter().zip(&covers).enumerate();
        let way = ways
            .map(|(index, (size, covers))| (best[volume.saturating_sub(*covers)].0 + cost(*size), index))
            .min_by(|one, other| one.0.total_cmp(&other.0));
        best.push(way.unwrap_or((0.0, 0)));
    }
    let mut counts = vec![0_u32; sizes.len()];
    let mut volume = steps;
    while volume > 0 {
        let index = best[volume].1;
        counts[index] += 1;
        volume = volume.saturating_sub(covers[index]);
    }
    let told = sizes.iter().zip(counts).filter(|(_, count)| *count > 0);
    let mut tins: Vec<Tin> = told.map(|(&(size_ml, _), count)| Tin { size_ml, count }).collect();
    tins.sort_by(|one, other| other.size_ml.total_cmp(&one.size_ml));
    tins
}
