//! What `denib tick` writes down beside ticks, and what it refuses.

#![allow(clippy::unwrap_used, clippy::panic)] // a case that cannot be set up has failed

use crate::case::{self, Case};
use denib::job::{Fault, Holding};
use denib::log::{What, read};

const NOW: &str = "--now 2026-11-30T09:00:00Z";

fn shelf() -> Case {
    let case = Case::new().file("shelf.toml", case::SMALL);
    case.run("plan shelf.toml --take --now 2026-11-30T08:00:00Z").expect(0);
    case
}

/// The last record of the log.
fn last(case: &Case) -> What {
    let (records, bad) = read(case.read("shelf.log").as_bytes());
    assert_eq!(bad, []);
    records.last().unwrap().what.clone()
}

#[test]
fn a_fault_is_written_on_the_sides_named() {
    let case = shelf();
    case.run(&format!("tick shelf.toml --mend shelf --fault run --sides face {NOW}"))
        .expect(0)
        .says("run on shelf made good");
    let What::Mend {
        piece,
        surfaces,
        fault,
        coat,
        ..
    } = last(&case)
    else {
        panic!()
    };
    assert_eq!((piece.as_str(), fault, coat), ("shelf", Fault::Run, true));
    assert_eq!(surfaces, ["face"]);
    case.run(&format!("tick shelf.toml --undo {NOW}"))
        .expect(0)
        .says("taken back");
}

#[test]
fn strips_and_coats_more_want_a_reason() {
    let case = shelf();
    // records of one second by two runs have no order: each has a minute of its own
    for (deed, minute) in [("--strip shelf", 1), ("--extra-coat shelf", 2)] {
        let now = format!("--now 2026-11-30T09:0{minute}:00Z");
        case.run(&format!("tick shelf.toml {deed} {now}"))
            .expect(2)
            .tells("--why");
        case.run(&format!("tick shelf.toml {deed} --why wrinkled {now}"))
            .expect(0);
    }
    let What::ExtraCoat { piece, reason, .. } = last(&case) else {
        panic!()
    };
    assert_eq!((piece.as_str(), reason.as_str()), ("shelf", "wrinkled"));
}

#[test]
fn holding_and_pauses_are_written() {
    let case = shelf();
    // records of one second by two runs have no order: each has a minute of its own
    case.run("tick shelf.toml --keep rail-1 --held hung --now 2026-11-30T08:58:00Z")
        .expect(0);
    assert!(matches!(last(&case), What::HoldingChanged { piece, holding: Holding::Hung } if piece == "rail-1"));
    case.run(&format!("tick shelf.toml --away wren --until +90 {NOW}"))
        .expect(0);
    let What::Away { hands, from, until, .. } = last(&case) else {
        panic!()
    };
    assert_eq!(hands, ["Wren"]);
    assert_eq!((until - from).num_minutes(), 90);
    // the plan made afterwards leaves the time free
    case.run(&format!("plan shelf.toml {NOW}")).expect(0).says("10:30");
}

#[test]
fn what_cannot_be_meant_is_refused() {
    let case = shelf();
    let before = case.read("shelf.log");
    let refused = |deed: &str, why: &str| {
        case.run(&format!("tick shelf.toml {deed} {NOW}")).expect(2).tells(why);
    };
    refused("--mend rail --fault nib", "is 2 pieces; name one");
    refused("--mend shelf --fault nib --sides lid", "has no side \"lid\"");
    refused("--keep shelf --held floating", "floating");
    refused("--away Robin --until +90", "no hands named \"Robin\"");
    refused("--away Wren --until soon", "\"soon\" is not a time to come");
    refused("--away Wren --until 2026-11-29T08:00:00Z", "is not a time to come");
    refused("--accept no-such --why so", "has no caution \"no-such\"");
    assert_eq!(case.read("shelf.log"), before, "nothing was written");
}
