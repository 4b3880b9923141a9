//! Logs that were apart join by union: in any order, any number of times.

mod log_samples;

use denib::log::{Ids, Record, What, join};
use log_samples::{at, record};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// Records from a small stock, so that logs share some; a few ids stand for two different records.
fn some() -> impl Strategy<Value = Vec<Record>> {
    let one = (0_u32..12, 0_u32..4, 0_u32..2).prop_map(|(id, minute, text)| {
        let text = if id < 10 { String::new() } else { format!("{text}") };
        record(
            &format!("r-{id}"),
            &format!("08:{:02}", if id < 10 { id / 3 } else { minute }),
            What::Note { text },
        )
    });
    proptest::collection::vec(one, 0..20)
}

proptest! {
    #[test]
    fn a_union_keeps_the_laws(a in some(), b in some(), c in some()) {
        let ab = join(&a, &b);
        prop_assert_eq!(&ab, &join(&b, &a));
        prop_assert_eq!(join(&ab, &c), join(&a, &join(&b, &c)));
        prop_assert_eq!(&join(&ab, &ab), &ab);
        prop_assert_eq!(&join(&ab, &a), &ab);
        for one in a.iter().chain(&b) {
            prop_assert_eq!(ab.iter().filter(|other| *other == one).count(), 1);
        }
        prop_assert!(ab.iter().all(|one| a.contains(one) || b.contains(one)));
        prop_assert!(ab.windows(2).all(|two| (two[0].at, &two[0].id) <= (two[1].at, &two[1].id)));
    }
}

#[test]
fn two_terminals_in_the_same_second_give_different_ids() {
    let now = at("08:00");
    let mut all = BTreeSet::new();
    let mut terminals: Vec<Ids> = (0..200).map(|_| Ids::of_this_process(&now)).collect();
    for ids in &mut terminals {
        for _ in 0..50 {
            assert!(all.insert(ids.next(&now)));
        }
    }
}

#[test]
fn ids_of_one_process_sort_by_writing() {
    let mut ids = Ids::with_mark(u64::MAX);
    let mut given: Vec<String> = (0..2_000).map(|_| ids.next(&at("08:00"))).collect();
    given.extend((0..2_000).map(|_| ids.next(&at("08:01"))));
    assert!(given.windows(2).all(|two| two[0] < two[1]));
}
