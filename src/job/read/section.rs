//! Sections.
//!
//! Invariant: ids are unique; a due time is after the job's start.

use super::basis::Basis;
use super::{names, push_whole};
use crate::job::Section;
use crate::source::{Code, Extent, Found, Problem, Table, Value};
use crate::units::{Edge, Moment};

/// A section and where it stands in the file.
#[derive(Debug)]
pub(super) struct SectionDraft {
    pub section: Section,
    pub at: Extent,
    pub due: Option<Found<Moment>>,
}

/// Reads every `[[section]]`: `id`, and if wanted `name` (else the id), `weight` (else 1), `due` (else none).
pub(super) fn read_all(top: &mut Table<'_>, basis: &Basis<'_>) -> Vec<SectionDraft> {
    let mut drafts: Vec<SectionDraft> = Vec::new();
    let tables = top.tables("section");
    for mut table in tables {
        table.call("the section");
        let id = table.need("id").and_then(names::named);
        let name = table.may("name").and_then(Value::text);
        let weight = table
            .may("weight")
            .and_then(|value| value.whole_within(0..=100))
            .map_or(1, |weight| weight.value);
        let due = table
            .may("due")
            .and_then(|value| value.date_time(basis.zone, Edge::End));
        if let (Some(due), Some(start)) = (&due, &basis.start)
            && due.value <= start.value
        {
            let problem = Problem::new(Code::DueBeforeStart, "the section is due before the job starts")
                .at(due.extent.clone(), "due here")
                .at(start.extent.clone(), "the job starts here")
                .accepts("a `due` after the job's `start`");
            top.problems().push(problem);
        }
        let Some((id, written, at)) = id else { continue };
        if let Some(first) = drafts.iter().find(|draft| draft.section.id == id) {
            names::twice(top.problems(), &id, at, first.at.clone());
            continue;
        }
        let name = name.map_or(written, |name| name.value);
        let section = Section {
            id,
            name,
            weight,
            due: due.as_ref().map(|due| due.value),
        };
        drafts.push(SectionDraft { section, at, due });
    }
    if top.has_none("section") {
        let accepted = "at least one `[[section]]` with an `id`: parts glued up together, due together";
        push_whole(top, Code::NoSections, "the job has no section", accepted);
    }
    drafts
}

/// A section by its id, for parts.
pub(super) fn index_of(sections: &[SectionDraft], value: Value<'_>) -> Option<Found<usize>> {
    let text = value.text()?;
    let id = names::slug(&text.value);
    let index = sections.iter().position(|draft| draft.section.id == id);
    // a job without any section is told once, not at every part
    if index.is_none() && !sections.is_empty() {
        let ids: Vec<&str> = sections.iter().map(|draft| draft.section.id.as_str()).collect();
        names::unknown(&value, Code::UnknownSection, "section", &ids);
    }
    index.map(|index| text.map(|_| index))
}
