//! The schedules that come with denib, and a maker's own laid over them.
//!
//! Invariant: the shipped schedules have no problem (`tests/finish/shipped.rs`); a maker's file replaces the
//! shipped one of the same id as a whole, never in part.

use super::read::read;
use super::schedule::Schedule;
use crate::source::{Code, Problem, SourceFile};
use std::collections::BTreeMap;

/// The shipped files: name and text.
pub const SHIPPED: [(&str, &str); 20] = [
    ("alkyd-varnish.toml", include_str!("../../schedules/alkyd-varnish.toml")),
    (
        "brushed-cellulose.toml",
        include_str!("../../schedules/brushed-cellulose.toml"),
    ),
    (
        "brushed-varnish.toml",
        include_str!("../../schedules/brushed-varnish.toml"),
    ),
    (
        "conversion-varnish.toml",
        include_str!("../../schedules/conversion-varnish.toml"),
    ),
    (
        "dewaxed-shellac.toml",
        include_str!("../../schedules/dewaxed-shellac.toml"),
    ),
    (
        "dyed-waterborne.toml",
        include_str!("../../schedules/dyed-waterborne.toml"),
    ),
    (
        "filled-cellulose.toml",
        include_str!("../../schedules/filled-cellulose.toml"),
    ),
    (
        "gel-stained-varnish.toml",
        include_str!("../../schedules/gel-stained-varnish.toml"),
    ),
    (
        "glazed-cellulose.toml",
        include_str!("../../schedules/glazed-cellulose.toml"),
    ),
    ("hardwax-oil.toml", include_str!("../../schedules/hardwax-oil.toml")),
    ("linseed-oil.toml", include_str!("../../schedules/linseed-oil.toml")),
    ("oil-varnish.toml", include_str!("../../schedules/oil-varnish.toml")),
    (
        "precatalysed-lacquer.toml",
        include_str!("../../schedules/precatalysed-lacquer.toml"),
    ),
    (
        "sprayed-cellulose.toml",
        include_str!("../../schedules/sprayed-cellulose.toml"),
    ),
    (
        "stained-waterborne.toml",
        include_str!("../../schedules/stained-waterborne.toml"),
    ),
    ("tung-oil.toml", include_str!("../../schedules/tung-oil.toml")),
    (
        "waterborne-two-part.toml",
        include_str!("../../schedules/waterborne-two-part.toml"),
    ),
    (
        "waterborne-varnish.toml",
        include_str!("../../schedules/waterborne-varnish.toml"),
    ),
    ("waxed-shellac.toml", include_str!("../../schedules/waxed-shellac.toml")),
    (
        "wiping-varnish.toml",
        include_str!("../../schedules/wiping-varnish.toml"),
    ),
];

/// The shipped schedules by id.
pub fn shipped() -> BTreeMap<String, Schedule> {
    let files = SHIPPED.iter().map(|(name, text)| SourceFile::new(*name, *text));
    files
        .filter_map(|file| read(&file).0)
        .map(|schedule| (schedule.id.clone(), schedule))
        .collect()
}

/// The shipped schedules with a maker's own laid over them by id. Files with errors change nothing; all their
/// problems come back, in the order of the files.
pub fn with_folder(files: &[SourceFile]) -> (BTreeMap<String, Schedule>, Vec<Problem>) {
    let mut schedules = shipped();
    let mut own: BTreeMap<String, &str> = BTreeMap::new();
    let mut problems = Vec::new();
    for file in files {
        let (schedule, found) = read(file);
        problems.extend(found);
        let Some(schedule) = schedule else { continue };
        if let Some(other) = own.get(&schedule.id) {
            let message = format!("the schedule \"{}\" is also in {other}", schedule.id);
            let mut problem = Problem::new(Code::ScheduleTwice, message).accepts("one file for each schedule id");
            problem.file.clone_from(&file.name);
            problems.push(problem);
            continue;
        }
        own.insert(schedule.id.clone(), &file.name);
        schedules.insert(schedule.id.clone(), schedule);
    }
    (schedules, problems)
}
