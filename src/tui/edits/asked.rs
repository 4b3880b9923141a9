//! What the forms ask of each of the file's lists.
//!
//! Invariant: every key the file's reader knows of a list has a line; the lines hold no rule about what may
//! stand in them.

use super::super::bench::Sheet;
use crate::job::edit::{List, value};
use crate::science::volatile;

/// A line of a form that stands for a key.
#[derive(Clone, Copy)]
pub(super) struct Asked {
    /// What it is called, to people.
    pub label: &'static str,
    /// Key; `day.humidity` is a key within a key.
    pub key: &'static str,
    /// How it is filled in.
    pub how: How,
    /// An example, or what an empty line means.
    pub hint: &'static str,
}

/// How a line is filled in.
#[derive(Clone, Copy)]
pub(super) enum How {
    /// Typed, and written so.
    Typed(fn(&str) -> String),
    /// One of these words.
    OneOf(fn(&Sheet) -> Vec<String>),
}

impl How {
    /// The value of the file.
    pub fn write(self, typed: &str) -> String {
        match self {
            Self::Typed(write) => write(typed),
            Self::OneOf(_) => value::text(typed),
        }
    }
}

/// The word of a choice that leaves its key out.
pub(super) const NOT_SAID: &str = "not said";

const PLACES: [&str; 4] = ["bearers", "points", "hooks", "racks"];

fn owned<'w>(words: impl IntoIterator<Item = &'w str>) -> Vec<String> {
    words.into_iter().map(str::to_owned).collect()
}

fn places(_: &Sheet) -> Vec<String> {
    owned(PLACES)
}

fn joints(_: &Sheet) -> Vec<String> {
    owned(crate::job::joint_words())
}

fn figures(_: &Sheet) -> Vec<String> {
    owned(crate::job::figure_words())
}

fn methods(_: &Sheet) -> Vec<String> {
    owned(std::iter::once(NOT_SAID).chain(crate::finish::words::METHODS.names()))
}

fn solvents(_: &Sheet) -> Vec<String> {
    let known = volatile::all().iter().map(|solvent| solvent.name);
    owned(std::iter::once(NOT_SAID).chain(known))
}

/// Products of the finishes this job uses.
fn products(sheet: &Sheet) -> Vec<String> {
    let all = sheet.job.schedules.values().flat_map(|schedule| &schedule.products);
    let mut ids: Vec<String> = all.map(|product| product.id.clone()).collect();
    ids.sort_unstable();
    ids.dedup();
    ids
}

const fn typed(label: &'static str, key: &'static str, write: fn(&str) -> String, hint: &'static str) -> Asked {
    let how = How::Typed(write);
    Asked { label, key, how, hint }
}

const fn one_of(label: &'static str, key: &'static str, words: fn(&Sheet) -> Vec<String>) -> Asked {
    let (how, hint) = (How::OneOf(words), "");
    Asked { label, key, how, hint }
}

const PRODUCT: Asked = one_of("product", "product", products);

/// What is asked of a list.
pub(super) const fn asked(list: &List) -> &'static [Asked] {
    match list {
        List::Section => &SECTION,
        List::Assembly => &ASSEMBLY,
        List::Except => &EXCEPT,
        List::Hands => &HANDS,
        List::Occupied => &OCCUPIED,
        List::Air => &AIR,
        List::Fan => &FAN,
        List::Tin => &TIN,
        List::Buy => &BUY,
        List::Figure => &FIGURE,
        List::Laid => &LAID,
        List::Accept => &ACCEPT,
        List::Joints(_) => &JOINT,
    }
}

const SECTION: [Asked; 4] = [
    typed("id", "id", value::text, "what parts name it by: carcase"),
    typed("name", "name", value::text, "to people; empty: the id"),
    typed("due", "due", value::text, "2026-12-18 17:00; empty: no date"),
    typed(
        "weight",
        "weight",
        value::number,
        "0 to 100; how much it matters; empty: 1",
    ),
];

const ASSEMBLY: [Asked; 5] = [
    typed("name", "name", value::text, "doors, carcase"),
    typed(
        "made of",
        "made_of",
        value::texts,
        "parts and glue-ups before it: side, top, doors",
    ),
    typed(
        "minutes",
        "minutes",
        value::number,
        "of the glue-up; empty: you see to it yourself",
    ),
    typed("hands", "hands", value::number, "pairs; needed where there are minutes"),
    typed(
        "cure",
        "cure",
        value::text,
        "in the clamps until it may be handled: 12 h",
    ),
];

const EXCEPT: [Asked; 3] = [
    typed("date", "date", value::text, "2026-12-24"),
    typed("work", "work", value::texts, "08:00-12:00; empty: closed"),
    typed("note", "note", value::text, "why"),
];

const HANDS: [Asked; 8] = [
    typed("name", "name", value::text, "who"),
    typed("Monday", "hours.mon", value::texts, "all empty: the job's hours"),
    typed("Tuesday", "hours.tue", value::texts, ""),
    typed("Wednesday", "hours.wed", value::texts, ""),
    typed("Thursday", "hours.thu", value::texts, ""),
    typed("Friday", "hours.fri", value::texts, ""),
    typed("Saturday", "hours.sat", value::texts, ""),
    typed("Sunday", "hours.sun", value::texts, ""),
];

const OCCUPIED: [Asked; 5] = [
    one_of("place", "place", places),
    typed("count", "count", value::number, "how many"),
    typed("from", "from", value::text, "2026-12-01 08:00"),
    typed("until", "until", value::text, "2026-12-03 17:00"),
    typed("by", "by", value::text, "a chair for somebody else"),
];

const AIR: [Asked; 7] = [
    typed("from", "from", value::text, "2026-12-05; empty: from the start"),
    typed("by day", "day.temperature", value::number, "in the job's degrees"),
    typed("damp by day", "day.humidity", value::number, "% RH"),
    typed(
        "heated",
        "heated",
        value::text,
        "07:00-18:00; empty: the same day and night",
    ),
    typed("heated on", "days", value::texts, "mon, tue, wed; empty: every day"),
    typed("by night", "night.temperature", value::number, "while it is not heated"),
    typed("damp by night", "night.humidity", value::number, "% RH"),
];

const FAN: [Asked; 2] = [
    typed("hours", "hours", value::text, "09:00-17:00"),
    typed("speed", "speed", value::number, "of the air over the work, m/s"),
];

const TIN: [Asked; 5] = [
    PRODUCT,
    typed("holds", "holds", value::text, "when full: 1 L, 1 qt"),
    typed("left", "left", value::text, "600 mL; empty: full"),
    typed("how many", "count", value::number, "empty: one"),
    typed("batch", "batch", value::text, "as it stands on the tin"),
];

const BUY: [Asked; 3] = [
    PRODUCT,
    typed("holds", "holds", value::text, "2.5 L, 1 gal"),
    typed(
        "price",
        "price",
        value::number,
        "of one, in the money of the shelf; empty: not known",
    ),
];

const FIGURE: [Asked; 11] = [
    PRODUCT,
    one_of("figure", "what", figures),
    typed(
        "value",
        "value",
        value::number,
        "as on the tin: 4 h, 12, 45; or from and to",
    ),
    typed("from", "low", value::number, "the least the tin says"),
    typed("to", "high", value::number, "the most"),
    typed(
        "in air of",
        "at.temperature",
        value::number,
        "of a drying time: degrees the tin states it for",
    ),
    typed("damp", "at.humidity", value::number, "% RH; many tins say 50"),
    typed("source", "source", value::text, "the tin's label, June 2026"),
    typed("from coat", "from_coat", value::number, "of a stage; empty: every coat"),
    typed(
        "window",
        "window",
        value::number,
        "which recoat window, for its ends: 1",
    ),
    one_of("put on by", "method", methods),
];

const LAID: [Asked; 7] = [
    PRODUCT,
    typed("wet film", "wet_film", value::number, "µm, by the comb"),
    one_of("put on by", "method", methods),
    typed("thinner", "thinned.parts", value::number, "parts to 100 of product"),
    one_of("of", "thinned.with", solvents),
    typed("retarder", "retarder.parts", value::number, "parts to 100 of product"),
    one_of("which", "retarder.with", solvents),
];

const ACCEPT: [Asked; 2] = [
    typed("piece", "piece", value::text, "a piece, or a part for all of it"),
    typed(
        "reason",
        "unequal",
        value::text,
        "why its two faces may get unequal coats",
    ),
];

const JOINT: [Asked; 6] = [
    one_of("kind", "kind", joints),
    typed("how many", "count", value::number, "on one piece; empty: one"),
    typed(
        "sides",
        "size",
        value::sides,
        "45x40: what stays bare of one; or its area",
    ),
    typed("area", "area", value::number, "of one; both empty: not known"),
    typed(
        "lies on",
        "on",
        value::text,
        "face, back, edges; its area is taken off there",
    ),
    typed("play", "play", value::number, "of what slides in"),
];
