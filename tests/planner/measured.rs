//! The least time an amount takes on a clock, against a try of every start.

use denib::planner::Measured;
use proptest::collection::vec;
use proptest::prelude::*;
use std::sync::Arc;

/// Units passed by each tick.
fn clock(steps: &[u64]) -> Vec<u64> {
    let sums = steps.iter().scan(0, |sum, step| {
        *sum += step;
        Some(*sum)
    });
    std::iter::once(0).chain(sums).collect()
}

fn of_every_start(total: &[u64], amount: u64) -> Option<u32> {
    let from = |begin: usize| {
        let passed = |end: &usize| total[*end] - total[begin] >= amount;
        (begin..total.len()).find(passed).map(|end| (end - begin) as u32)
    };
    (0..total.len()).filter_map(from).min()
}

proptest! {
    #[test]
    fn is_that_of_the_quickest_start(steps in vec(0_u64..6, 0..120), amount in 0_u64..400) {
        let total = clock(&steps);
        let measured = Measured::from(Arc::new(total.clone()));
        // an amount that does not pass from the first tick on passes from no later one
        prop_assert_eq!(measured.least(amount), of_every_start(&total, amount));
    }
}

#[test]
fn a_clock_without_ticks_says_nothing() {
    assert_eq!(Measured::from(Arc::new(Vec::new())).least(3), None);
}
