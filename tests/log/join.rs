//! Logs that were apart join by union: in any order, any number of times.

#![allow(clippy::expect_used)] // a test that cannot go on has failed

use crate::log_samples::{at, record};
use denib::log::{Ids, Log, Record, What, join};
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

/// Runs that open one log in turn, all in the same second, and write what they write in view of what stands there.
fn written_in_turn(turns: &[usize], again: bool) -> (Vec<Record>, Vec<Record>) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("press.log");
    let now = at("08:00");
    let open = || Log::open(&path, &now).expect("a log");
    let mut runs: Vec<Log> = (0..4).map(|_| open()).collect();
    let mut written = Vec::new();
    for (number, run) in turns.iter().enumerate() {
        if again {
            runs[*run] = open();
        }
        let log = &mut runs[*run];
        log.refresh().expect("read");
        let text = format!("{number}");
        let record = log.record(now, "Ada", What::Note { text });
        log.append(std::slice::from_ref(&record)).expect("written");
        written.push(record);
    }
    (written, open().records().to_vec())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn records_of_one_second_stand_in_the_order_they_were_written_in_view_of_each_other(
        turns in proptest::collection::vec(0_usize..4, 1..24),
        again in any::<bool>(),
    ) {
        let (written, read) = written_in_turn(&turns, again);
        prop_assert_eq!(&read, &written);
        // the same for everybody: from a join in whatever order
        let (one, other) = written.split_at(written.len() / 2);
        prop_assert_eq!(&join(other, one), &written);
    }
}

#[test]
fn what_one_run_wrote_keeps_its_order_among_records_it_did_not_know() {
    let now = at("08:00");
    let (mut one, mut other) = (Ids::with_mark(7), Ids::with_mark(3));
    let given = |ids: &mut Ids| {
        (0..50)
            .map(|_| record(&ids.next(&now), "08:00", What::Note { text: String::new() }))
            .collect::<Vec<_>>()
    };
    let (a, b) = (given(&mut one), given(&mut other));
    let joined = join(&a, &b);
    assert_eq!(joined, join(&b, &a));
    for own in [a, b] {
        let kept: Vec<Record> = joined.iter().filter(|record| own.contains(record)).cloned().collect();
        assert_eq!(kept, own);
    }
}
