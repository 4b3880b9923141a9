//! Parts as written.
//!
//! Invariant: a part whose name could be read is kept even when the rest could not, so that what refers to
//! it is not reported as well.

use super::basis::{Basis, Finish};
use super::piece::{PieceName, piece_names};
use super::section::SectionDraft;
use super::shape::Size;
use super::words::{BUILDS, HOLDINGS, PLACES, SHAPES};
use super::{grits, joint, names, push_whole, section, shape, surface};
use crate::finish::Grit;
use crate::job::{Build, Holding, Joint, Part, PlaceKind, Shape, Surface};
use crate::source::{Code, Extent, Found, Problem, Table, Value};
use crate::units::{Edge, Moment};
use std::collections::BTreeMap;

/// Most copies of one part.
const MOST_COPIES: u32 = 999;

/// A part, its pieces' names, and what else could be read of it.
#[derive(Debug)]
pub(super) struct PartDraft {
    pub part: Part,
    pub at: Extent,
    pub pieces: Vec<PieceName>,
    pub body: Option<PartBody>,
}

/// What all pieces of a part share.
#[derive(Debug)]
pub(super) struct PartBody {
    pub section: usize,
    pub shape: Shape,
    pub build: Build,
    pub material: String,
    pub size: Size,
    pub surfaces: Vec<Surface>,
    pub joints: Vec<Joint>,
    pub holding: Found<Holding>,
    pub or_on: Vec<PlaceKind>,
    pub slots: Found<u32>,
    pub heavy: Option<Extent>,
    pub grits: Vec<Grit>,
    pub made: Option<Found<Moment>>,
}

/// Reads every `[[part]]`: `name`, `shape`, `size` (not of a free shape), `build`, `material`, `section`,
/// `holding` and, where the job names none, `finish`. Left out: `count` and `slots` are 1; nothing in `or_on`; `handed` and
/// `heavy` are false; `grits` are the schedule's; it is there from the start; it has no joints.
pub(super) fn read_all(top: &mut Table<'_>, basis: &Basis<'_>, sections: &[SectionDraft]) -> Vec<PartDraft> {
    let mut drafts: Vec<PartDraft> = Vec::new();
    // ids of parts and pieces, and where each was named
    let mut taken: BTreeMap<String, Extent> = BTreeMap::new();
    let tables = top.tables("part");
    if top.has_none("part") {
        let accepted = "at least one `[[part]]` with its name, shape, size, build, material, section and holding";
        push_whole(top, Code::NoParts, "the job has no parts", accepted);
    }
    for mut table in tables {
        let Some(draft) = read_part(&mut table, basis, sections) else {
            continue;
        };
        let ids = || draft.pieces.iter().map(|piece| &piece.id).chain([&draft.part.id]);
        if let Some((id, first)) = ids().find_map(|id| taken.get_key_value(id)) {
            names::twice(top.problems(), id, draft.at, first.clone());
            continue;
        }
        taken.extend(ids().map(|id| (id.clone(), draft.at.clone())));
        drafts.push(draft);
    }
    drafts
}

fn read_part(table: &mut Table<'_>, basis: &Basis<'_>, sections: &[SectionDraft]) -> Option<PartDraft> {
    table.call("the part");
    let name = table.need("name").and_then(names::named);
    if let Some((_, written, _)) = &name {
        table.call(format!("part \"{written}\""));
    }
    let count = table.may("count").map(|value| value.whole_within(1..=MOST_COPIES));
    let handed = table.may("handed").and_then(Value::flag);
    let copies = match &count {
        None => 1,
        Some(count) => count.as_ref().map_or(2, |count| count.value),
    };
    let is_handed = handed.as_ref().is_some_and(|handed| handed.value);
    if let Some(handed) = handed.filter(|handed| handed.value && copies % 2 != 0) {
        let message = format!("{} is handed, but its count {copies} is odd", table.name());
        let problem = Problem::new(Code::HandedOdd, message).at(handed.extent, "left and right come in pairs");
        table
            .problems()
            .push(problem.accepts("an even `count`, or `handed = false`"));
    }
    let body = read_body(table, basis, sections);
    let (id, name, at) = name?;
    let part = Part {
        id,
        name,
        count: copies,
        handed: is_handed,
    };
    Some(PartDraft {
        pieces: piece_names(&part),
        part,
        at,
        body,
    })
}

fn read_body(table: &mut Table<'_>, basis: &Basis<'_>, sections: &[SectionDraft]) -> Option<PartBody> {
    let form = table.need("shape").and_then(|value| value.word(&SHAPES));
    let build = table.need("build").and_then(|value| value.word(&BUILDS));
    let material = table.need("material").and_then(Value::text);
    let section = table
        .need("section")
        .and_then(|value| section::index_of(sections, value));
    let holding = table.need("holding").and_then(|value| value.word(&HOLDINGS));
    let or_on = table.may("or_on").and_then(|value| or_on(value, holding.as_ref()));
    let slots = table.may("slots").map(|value| value.whole_within(1..=1000));
    let heavy = table
        .may("heavy")
        .and_then(Value::flag)
        .filter(|heavy| heavy.value)
        .map(|heavy| heavy.extent);
    let grits = table.may("grits").map_or_else(Vec::new, grits::read);
    let made = table
        .may("made")
        .and_then(|value| value.date_time(basis.zone, Edge::Start));
    let own = if basis.names_finish {
        table.may("finish")
    } else {
        table.need("finish")
    };
    let own: Option<Finish> = own.map_or_else(|| basis.finish.clone(), |value| basis.finish_of(value));
    let finish = own.clone().flatten();
    let shaped = read_shape(table, form.as_ref().map(|form| form.value), &finish, basis);
    let slots = slots.map_or(
        Some(Found {
            value: 1,
            extent: table.extent(),
        }),
        |slots| slots,
    );
    own?;
    let (size, surfaces, joints) = shaped?;
    Some(PartBody {
        section: section?.value,
        shape: form?.value,
        build: build?.value,
        material: material?.value,
        size,
        surfaces,
        joints,
        holding: holding?,
        or_on: or_on.unwrap_or_default(),
        slots: slots?,
        heavy,
        grits,
        made,
    })
}

/// Reads the kinds of place that would do as well as that of the holding.
fn or_on(value: Value<'_>, holding: Option<&Found<Holding>>) -> Option<Vec<PlaceKind>> {
    let read = |value: Value<'_>| {
        let refuse = value;
        let kind = value.word(&PLACES)?.value;
        let holding = holding?.value;
        if holding.may_stand_on(kind) {
            return Some(kind);
        }
        let why = if kind == PlaceKind::Racks {
            "racks are for pieces that are dry"
        } else {
            "it is wet all round when it is put down"
        };
        let problem = Problem::new(Code::NoPlace, format!("it cannot stand there: {why}"))
            .accepts("points or hooks; bearers only beside `holding = \"bearers\"`");
        refuse.refuse(problem);
        None
    };
    let kinds = value.list_of(read)?.value;
    let own = holding.map(|holding| holding.value.place());
    let mut others: Vec<PlaceKind> = Vec::new();
    for kind in kinds {
        if Some(kind) != own && !others.contains(&kind) {
            others.push(kind);
        }
    }
    Some(others)
}

/// Reads what depends on the shape: size, surfaces, joints.
fn read_shape(
    table: &mut Table<'_>,
    form: Option<Shape>,
    finish: &Finish,
    basis: &Basis<'_>,
) -> Option<(Size, Vec<Surface>, Vec<Joint>)> {
    let Some(form) = form else {
        // no telling which of these belong to the shape that was meant
        for key in ["size", "member", "wall", "bottom", "surfaces"] {
            let _ = table.may(key);
        }
        joint::read(table, &mut [], basis);
        return None;
    };
    let sized = shape::read(table, form, basis);
    let surfaces = match (form, sized.as_ref()) {
        (Shape::Free, _) => surface::read_free(table, finish, basis),
        (_, Some((_, sides))) => Some(surface::read(table, sides.clone(), finish, basis)),
        (_, None) => {
            let _ = table.may("surfaces");
            None
        }
    };
    let mut surfaces_or_none = surfaces.clone().unwrap_or_default();
    let joints = joint::read(table, &mut surfaces_or_none, basis);
    surfaces.and(sized).map(|(size, _)| (size, surfaces_or_none, joints))
}
