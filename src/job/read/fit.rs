//! Whether parts, places, hands and dates fit together.
//!
//! Invariant: only what was read is checked; nothing here changes it.

use super::part::{PartBody, PartDraft};
use super::room::RoomDraft;
use super::section::SectionDraft;
use crate::job::{Holding, PlaceKind};
use crate::source::{Code, Problem, Problems, Table};

impl Holding {
    /// The kind of place a piece takes while it is held this way.
    pub const fn place(self) -> PlaceKind {
        match self {
            Self::Bearers => PlaceKind::Bearers,
            Self::Points => PlaceKind::Points,
            Self::Hung => PlaceKind::Hooks,
        }
    }
}

/// Checks every part against room, sections and hands.
pub(super) fn check(
    top: &Table<'_>,
    parts: &[PartDraft],
    sections: &[SectionDraft],
    room: Option<&RoomDraft>,
    hands: usize,
) {
    let problems = top.problems();
    for draft in parts {
        let Some(body) = &draft.body else { continue };
        if let Some(room) = room {
            check_places(problems, draft, body, room);
        }
        if let (Some(heavy), 1) = (&body.heavy, hands) {
            let problem = Problem::new(
                Code::HeavyAlone,
                format!("\"{}\" is heavy, and there is one pair of hands", draft.part.name),
            )
            .at(heavy.clone(), "takes two to turn")
            .accepts("a second `[[hands]]`, or a way of turning it alone and `heavy = false`");
            problems.push(problem);
        }
        if body.surfaces.iter().all(|surface| surface.schedule.is_none()) {
            let problem = Problem::new(
                Code::NothingToFinish,
                format!("\"{}\" gets no finish anywhere", draft.part.name),
            )
            .at(draft.at.clone(), "all its surfaces are bare")
            .accepts("a `finish` for the part or for one of its surfaces, or leave the part out");
            problems.push(problem);
        }
        check_made(problems, draft, body, sections);
    }
    for (index, section) in sections.iter().enumerate() {
        let used = parts
            .iter()
            .any(|draft| draft.body.as_ref().is_none_or(|body| body.section == index));
        if !used && !parts.is_empty() && !problems.broken() {
            let problem = Problem::new(
                Code::EmptySection,
                format!("section `{}` has no part", section.section.id),
            )
            .at(section.at.clone(), "no part names it")
            .accepts(format!(
                "a part with section = \"{}\", or no such section",
                section.section.id
            ));
            problems.push(problem);
        }
    }
}

fn check_places(problems: &Problems<'_>, draft: &PartDraft, body: &PartBody, room: &RoomDraft) {
    let kind = body.holding.value.place();
    let elsewhere = body.or_on.iter().map(|&other| room.room.places.of(other));
    if elsewhere
        .into_iter()
        .any(|there| there.is_none_or(|there| there >= body.slots.value))
    {
        return;
    }
    let Some(there) = room.room.places.of(kind) else { return };
    let name = match kind {
        PlaceKind::Bearers => "bearers",
        PlaceKind::Points => "points",
        PlaceKind::Hooks => "hooks",
        PlaceKind::Racks => "racks",
    };
    if there == 0 {
        let message = format!("\"{}\" wants {name}, but the room has none", draft.part.name);
        let problem = Problem::new(Code::NoPlace, message)
            .at(body.holding.extent.clone(), format!("needs {name}"))
            .at(room.places_at.clone(), format!("`{name} = 0` here"))
            .accepts(format!("another holding, or a number of {name} above 0"));
        problems.push(problem);
    } else if body.slots.value > there {
        let message = format!(
            "\"{}\" takes {} {name}, but the room has {there}",
            draft.part.name, body.slots.value
        );
        let problem = Problem::new(Code::MoreSlotsThanPlaces, message)
            .at(body.slots.extent.clone(), "more than there are")
            .at(room.places_at.clone(), "the places of the room")
            .accepts(format!("at most {there}, or more {name} in the room"));
        problems.push(problem);
    }
}

fn check_made(problems: &Problems<'_>, draft: &PartDraft, body: &PartBody, sections: &[SectionDraft]) {
    let due = sections.get(body.section).and_then(|section| section.due.as_ref());
    if let (Some(made), Some(due)) = (&body.made, due)
        && made.value >= due.value
    {
        let message = format!("\"{}\" is made after its section is due", draft.part.name);
        let problem = Problem::new(Code::MadeAfterDue, message)
            .at(made.extent.clone(), "there from then on")
            .at(due.extent.clone(), "the section is due")
            .accepts("a part that is there before its section's `due`");
        problems.push(problem);
    }
}
