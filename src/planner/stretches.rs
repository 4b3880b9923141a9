//! Lists of stretches.
//!
//! Invariant: what is given out is sorted, apart and never empty in itself.

use super::network::Stretch;

/// What lies in one of each.
pub(super) fn both(one: &[Stretch], other: &[Stretch]) -> Vec<Stretch> {
    let mut both = Vec::new();
    let (mut left, mut right) = (0, 0);
    while let Some((a, b)) = one.get(left).zip(other.get(right)) {
        let (from, until) = (a.from.max(b.from), a.until.min(b.until));
        if from < until {
            both.push(Stretch { from, until });
        }
        if a.until <= b.until {
            left += 1;
        } else {
            right += 1;
        }
    }
    both
}

/// Sorted, and those that meet made one.
pub(super) fn joined(mut stretches: Vec<Stretch>) -> Vec<Stretch> {
    stretches.retain(|stretch| stretch.from < stretch.until);
    stretches.sort();
    stretches.dedup_by(|next, first| {
        let meets = next.from <= first.until;
        if meets {
            first.until = first.until.max(next.until);
        }
        meets
    });
    stretches
}
