//! What stands where, and when each place comes free.
//!
//! Invariant: a piece stands where its last begun or done step that takes a place has put it, until the plan
//! has it leave, later by as much as that step ended later; what is only planned stands nowhere yet.

use super::super::bench::Sheet;
use super::super::words;
use crate::dayplan::document::Operation;
use crate::dayplan::history::Fate;
use crate::job::PlaceKind;
use crate::units::{Moment, Span};
use std::collections::BTreeMap;

/// Something that stands there.
#[derive(Clone, Debug, PartialEq)]
pub struct Stands {
    /// Piece, an index in the job; `None`: other work.
    pub piece: Option<usize>,
    /// Its name, or what the other work is.
    pub name: String,
    /// Places it takes.
    pub slots: u32,
    /// Since.
    pub since: Moment,
    /// Until; `None`: the plan does not say.
    pub until: Option<Moment>,
}

/// A round that will take places.
#[derive(Clone, Debug, PartialEq)]
pub struct Comes {
    /// When its first piece comes.
    pub at: Moment,
    /// The step.
    pub step: String,
    /// Places it takes.
    pub slots: u32,
}

/// The places of a kind.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceNow {
    /// Kind.
    pub kind: PlaceKind,
    /// How many; `None`: the maker sets no limit.
    pub capacity: Option<u32>,
    /// What stands there, what leaves first first.
    pub stands: Vec<Stands>,
    /// What comes next.
    pub comes: Option<Comes>,
}

impl PlaceNow {
    /// Places taken.
    pub fn taken(&self) -> u32 {
        self.stands.iter().map(|one| one.slots).sum()
    }

    /// Places free; `None` without a limit.
    pub fn free(&self) -> Option<u32> {
        self.capacity.map(|capacity| capacity.saturating_sub(self.taken()))
    }
}

/// The places of the job, and how many pieces stand at none.
pub fn of(sheet: &Sheet) -> (Vec<PlaceNow>, usize) {
    let now = sheet.standing.now;
    let mut places: Vec<PlaceNow> = [
        PlaceKind::Bearers,
        PlaceKind::Points,
        PlaceKind::Hooks,
        PlaceKind::Racks,
    ]
    .into_iter()
    .map(|kind| PlaceNow {
        kind,
        capacity: sheet.job.room.places.of(kind),
        stands: Vec::new(),
        comes: None,
    })
    .collect();
    let mut put = |kind: PlaceKind, stands: Stands| {
        if let Some(place) = places.iter_mut().find(|place| place.kind == kind) {
            place.stands.push(stands);
        }
    };
    let stood = pieces(sheet, now);
    let at_none = sheet.job.pieces.len().saturating_sub(stood.len());
    for (kind, stands) in stood {
        put(kind, stands);
    }
    for other in &sheet.job.room.occupied {
        if other.from <= now && now < other.until {
            let stands = Stands {
                piece: None,
                name: other.by.clone(),
                slots: other.count,
                since: other.from,
                until: Some(other.until),
            };
            put(other.kind, stands);
        }
    }
    for place in &mut places {
        place
            .stands
            .sort_by_key(|one| (one.until.unwrap_or(Moment(i64::MAX)), one.piece));
        place.comes = comes(sheet, place.kind);
    }
    (places, at_none)
}

/// The kind of place an operation takes.
fn kind_of(sheet: &Sheet, operation: &Operation) -> Option<PlaceKind> {
    let id = operation.place.as_deref()?;
    let places = sheet.plan.as_ref()?.places.iter();
    places.clone().find(|place| place.id == id).map(|place| place.kind)
}

fn pieces(sheet: &Sheet, now: Moment) -> Vec<(PlaceKind, Stands)> {
    // the last step on each piece that took a place: begun, and how much later than planned it ended
    let mut last: BTreeMap<usize, (Moment, Span, &Operation)> = BTreeMap::new();
    let planned = sheet.plan.iter().flat_map(|plan| &plan.operations);
    for operation in planned
        .chain(sheet.history.earlier.values())
        .filter(|one| one.place.is_some())
    {
        let Some(piece) = operation.piece.as_deref().and_then(|id| sheet.piece(id)) else {
            continue;
        };
        let (since, late) = match sheet.history.operations.get(&operation.id) {
            Some(Fate::Done(done)) => (done.start, done.end - Moment::of(&operation.end)),
            Some(Fate::Begun { start, .. }) => (*start, *start - Moment::of(&operation.start)),
            Some(Fate::Skipped { .. }) | None => continue,
        };
        if since <= now && last.get(&piece).is_none_or(|known| known.0 <= since) {
            last.insert(piece, (since, late, operation));
        }
    }
    let stands = |(piece, (since, late, operation)): (usize, (Moment, Span, &Operation))| {
        let until = operation.place_until.map(|until| Moment::of(&until) + late);
        if until.is_some_and(|until| until <= now) {
            return None;
        }
        let name = sheet.job.pieces.get(piece)?.name.clone();
        let stands = Stands {
            piece: Some(piece),
            name,
            slots: operation.place_slots,
            since,
            until,
        };
        Some((kind_of(sheet, operation)?, stands))
    };
    last.into_iter().filter_map(stands).collect()
}

/// The next round that takes places of a kind.
fn comes(sheet: &Sheet, kind: PlaceKind) -> Option<Comes> {
    let plan = sheet.plan.as_ref()?;
    let open = |one: &&Operation| {
        one.place.is_some() && !sheet.history.operations.contains_key(&one.id) && kind_of(sheet, one) == Some(kind)
    };
    let first = plan.operations.iter().filter(open).min_by_key(|one| one.start)?;
    let same = plan
        .operations
        .iter()
        .filter(open)
        .filter(|one| one.round == first.round);
    Some(Comes {
        at: Moment::of(&first.start),
        step: words::operation(first),
        slots: same.map(|one| one.place_slots).sum(),
    })
}
