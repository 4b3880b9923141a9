//! Working hours and the people who keep them.
//!
//! Invariant: shifts of a day are sorted and do not overlap; every pair of hands has some working time.

use super::{names, push_whole};
use crate::job::{DayShift, Hand, HoursException, WeekHours};
use crate::source::{Code, Extent, Found, Problem, Table, Value};

/// The days of the week as keys, Monday first.
const DAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// One `[[hands]]` and where it stands.
pub(super) struct HandDraft {
    name: String,
    own: Option<WeekHours>,
}

/// Reads `[hours]`; days left out are off, and without `quiet` the bell rings at any hour.
pub(super) fn read_hours(top: &mut Table<'_>) -> Option<WeekHours> {
    let mut table = top.need_table("hours")?;
    table.call("`hours`");
    let mut hours = read_week(&mut table);
    hours.quiet = table.may("quiet").map(read_shifts).unwrap_or_default();
    Some(hours)
}

/// Reads a week of shifts and its dated exceptions.
fn read_week(table: &mut Table<'_>) -> WeekHours {
    let mut hours = WeekHours::default();
    for (day, shifts) in DAYS.into_iter().zip(&mut hours.week) {
        if let Some(value) = table.may(day) {
            *shifts = read_shifts(value);
        }
    }
    let mut dated: Vec<(chrono::NaiveDate, Extent)> = Vec::new();
    for mut except in table.tables("except") {
        except.call("the exception");
        let date = except.need("date").and_then(Value::date);
        let shifts = except.need("work").map(read_shifts);
        let note = except.may("note").and_then(Value::text).map(|note| note.value);
        let (Some(date), Some(shifts)) = (date, shifts) else {
            continue;
        };
        if let Some((_, first)) = dated.iter().find(|(day, _)| *day == date.value) {
            let problem = Problem::new(
                Code::DuplicateDate,
                format!("the day {} has two exceptions", date.value),
            )
            .at(date.extent, "again here")
            .at(first.clone(), "first here")
            .accepts("one exception for each day, with all its shifts in `work`");
            table.problems().push(problem);
            continue;
        }
        dated.push((date.value, date.extent));
        hours.exceptions.push(HoursException {
            date: date.value,
            shifts,
            note,
        });
    }
    hours.exceptions.sort_by_key(|exception| exception.date);
    hours
}

/// The shifts of one day, sorted.
fn read_shifts(value: Value<'_>) -> Vec<DayShift> {
    let Some(mut ranges) = value.list_of(Value::clock_range) else {
        return Vec::new();
    };
    ranges.value.sort_by_key(|range| range.value);
    let mut shifts: Vec<DayShift> = Vec::new();
    let mut last: Option<&Found<(u32, u32)>> = None;
    for range in &ranges.value {
        let (from, until) = range.value;
        if let Some(before) = last
            && from < before.value.1
        {
            let problem = Problem::new(Code::ShiftsOverlap, "two shifts of one day overlap")
                .at(range.extent.clone(), "begins before the other ends")
                .at(before.extent.clone(), "the other")
                .accepts("shifts one after the other: [\"08:00-12:30\", \"13:15-17:30\"]");
            value.problems().push(problem);
            continue;
        }
        shifts.push(DayShift { from, until });
        last = Some(range);
    }
    shifts
}

/// Whether a week has any working time at all.
fn is_idle(hours: &WeekHours) -> bool {
    hours.week.iter().all(Vec::is_empty) && hours.exceptions.iter().all(|day| day.shifts.is_empty())
}

/// Reads every `[[hands]]`: `name`, and if wanted `hours` of their own.
pub(super) fn read_hands(top: &mut Table<'_>) -> Vec<HandDraft> {
    let mut drafts = Vec::new();
    let mut seen: Vec<(String, Extent)> = Vec::new();
    for mut table in top.tables("hands") {
        table.call("the pair of hands");
        let name = table.need("name").and_then(names::named);
        let own = table.may("hours");
        let own_extent = own.map(|value| value.extent());
        let own = own.and_then(Value::table).map(|mut week| {
            week.call("`hours`");
            read_week(&mut week)
        });
        if own.as_ref().is_some_and(is_idle) {
            let problem = Problem::new(Code::NoWorkingHours, "this pair of hands never works");
            let problem = problem.at(own_extent.unwrap_or(table.extent()), "no working time in these hours");
            top.problems()
                .push(problem.accepts("shifts on at least one day, or no `hours` here: the job's then hold"));
        }
        let Some((id, name, at)) = name else { continue };
        if let Some((_, first)) = seen.iter().find(|(other, _)| *other == id) {
            names::twice(top.problems(), &name, at, first.clone());
            continue;
        }
        seen.push((id, at));
        drafts.push(HandDraft { name, own });
    }
    if top.has_none("hands") {
        let accepted = "at least one `[[hands]]` with a `name`";
        push_whole(top, Code::NoHands, "nobody works on the job", accepted);
    }
    drafts
}

/// Puts hours and hands together. A dated exception of the job that closes the shop holds for everybody, also
/// for hands with hours of their own; one that gives other shifts holds for those without.
pub(super) fn join(top: &Table<'_>, hours: Option<&WeekHours>, drafts: Vec<HandDraft>) -> Vec<Hand> {
    let someone_without = drafts.is_empty() || drafts.iter().any(|draft| draft.own.is_none());
    if hours.is_some_and(is_idle) && someone_without && !top.problems().broken() {
        let problem = Problem::new(Code::NoWorkingHours, "there is no working time in the whole week");
        let problem = match top.key_extent("hours") {
            Some(extent) => problem.at(extent, "no shifts under this heading"),
            None => problem,
        };
        top.problems()
            .push(problem.accepts("shifts on at least one day: mon = [\"08:00-12:30\", \"13:15-17:30\"]"));
    }
    let closed = hours.map_or(Vec::new(), |hours| {
        hours
            .exceptions
            .iter()
            .filter(|day| day.shifts.is_empty())
            .cloned()
            .collect::<Vec<_>>()
    });
    let join_one = |draft: HandDraft| {
        let own = draft.own.map(|mut own| {
            for day in &closed {
                if own.exceptions.iter().all(|other| other.date != day.date) {
                    own.exceptions.push(day.clone());
                }
            }
            own.exceptions.sort_by_key(|exception| exception.date);
            own
        });
        Hand {
            name: draft.name,
            hours: own,
        }
    };
    drafts.into_iter().map(join_one).collect()
}
