//! A job file turned into a checked [`Job`], with every problem in one pass.
//!
//! Invariant: a job comes out only when the file has no error; warnings may stand beside it.
//!
//! The format (`format = 1`) is the maker's own, in plain TOML. Required: `title`, `zone`, `start`, `units`,
//! `[room]` with `dust` and its air, `[hours]`, a `[[hands]]`, a `[[section]]`, a `[[part]]`. What may be left
//! out, and what that means, is said where it is read.

mod accept;
mod air;
mod assembly;
mod balance;
mod basis;
mod examples;
mod figure;
mod figure_order;
mod figure_what;
mod fit;
mod grits;
mod hands;
mod joint;
mod laid;
mod names;
mod part;
mod piece;
mod rate;
mod room;
mod sample;
mod section;
mod shape;
mod stores;
mod surface;
mod words;

pub use self::figure_what::figure_words;
pub use self::words::{country_words, joint_words};

use self::basis::Basis;
use self::part::PartDraft;
use super::Job;
use crate::finish::Schedule;
use crate::source::{Code, Document, Problem, SourceFile, Table, Value};
use crate::units::Span;
use std::collections::BTreeMap;

/// The newest format this program reads and writes.
pub const FORMAT: i64 = 1;

/// Ordinary masking tape comes off cleanly for about a day (common practice, no source).
const ORDINARY_TAPE: Span = Span::hours(24);

/// Reads a job file against the finish schedules at hand.
pub fn read(file: &SourceFile, schedules: &BTreeMap<String, Schedule>) -> (Option<Job>, Vec<Problem>) {
    let (job, problems) = read_begun(file, schedules);
    let usable = !problems.iter().any(Problem::is_error);
    (job.filter(|_| usable), problems)
}

/// The same for a file that is only begun: a job without parts comes out too, with the problem that says so.
pub fn read_begun(file: &SourceFile, schedules: &BTreeMap<String, Schedule>) -> (Option<Job>, Vec<Problem>) {
    let document = Document::parse_with(file, &examples::EXAMPLES);
    let mut top = document.root();
    top.call("the job");
    top.format(FORMAT);
    let job = read_job(&mut top, schedules);
    drop(top);
    let problems = document.into_problems();
    let usable = !problems
        .iter()
        .any(|problem| problem.is_error() && problem.code != Code::NoParts);
    (job.filter(|_| usable), problems)
}

fn read_job(top: &mut Table<'_>, schedules: &BTreeMap<String, Schedule>) -> Option<Job> {
    let title = top.need("title").and_then(Value::text);
    let basis = Basis::read(top, schedules);
    let tape_life = top
        .may("tape_life")
        .and_then(Value::duration)
        .map_or(ORDINARY_TAPE, |life| life.value);
    let (hours, hands) = (hands::read_hours(top), hands::read_hands(top));
    let hands = hands::join(top, hours.as_ref(), hands);
    let room = top.need_table("room").and_then(|table| room::read(table, &basis));
    let sections = section::read_all(top, &basis);
    let parts = part::read_all(top, &basis, &sections);
    let assemblies = assembly::read_all(top, &parts, hands.len());
    let rates = rate::read(top);
    let used = used_schedules(&parts, schedules);
    let labelled = figure::overlay(top, &basis, used);
    let schedules = laid::overlay(top, labelled);
    let shelf = stores::read(top, basis.schedules);
    let accepted = accept::read_all(top, &parts);

    fit::check(top, &parts, &sections, room.as_ref(), hands.len());
    balance::check(top, &parts, &schedules, room.as_ref(), &accepted);

    let pieces = piece::multiply(&parts, &basis);
    let boards = sample::read(top, &schedules);
    let mut job = Job {
        title: title?.value,
        zone: basis.zone,
        start: basis.start?.value,
        shown_in: basis.shown_in?,
        room: room?.room,
        hours: hours?,
        hands,
        parts: parts.into_iter().map(|draft| draft.part).collect(),
        pieces,
        sections: sections.into_iter().map(|draft| draft.section).collect(),
        assemblies,
        schedules,
        rates,
        accepted_imbalance: accept::by_piece(&accepted),
        tape_life: tape_life.0,
        since_written: super::SinceWritten::default(),
        shelf,
    };
    job.make_sample_boards(&boards);
    Some(job)
}

/// The schedules that some surface gets.
fn used_schedules(parts: &[PartDraft], schedules: &BTreeMap<String, Schedule>) -> BTreeMap<String, Schedule> {
    let surfaces = parts
        .iter()
        .filter_map(|draft| draft.body.as_ref())
        .flat_map(|body| &body.surfaces);
    surfaces
        .filter_map(|surface| schedules.get_key_value(surface.schedule.as_ref()?))
        .map(|(id, schedule)| (id.clone(), schedule.clone()))
        .collect()
}

/// Reports a problem of the whole file, unless the file could not be parsed in full.
fn push_whole(top: &Table<'_>, code: Code, message: &str, accepted: &str) {
    if !top.problems().broken() {
        top.problems().push(Problem::new(code, message).accepts(accepted));
    }
}
