//! Lists of what can be done, to choose from.
//!
//! Invariant: every line does something; what cannot be done here is not listed.

use super::bench::Sheet;
use crate::job::edit::{List, Written};

/// A list, and where the cursor is in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Menu {
    /// Its heading.
    pub title: String,
    /// Its lines.
    pub items: Vec<Item>,
    /// The cursor.
    pub cursor: usize,
}

const DIGITS: &str = "123456789";
/// Without `j` and `k`, which move, and `q`, which leaves elsewhere.
const LETTERS: &str = "abcdefghilmnoprstuvwxyz";

/// A line.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// Leave operations undone: the piece's next, or the round's.
    Skip {
        /// The piece's.
        one: String,
        /// The round's.
        round: Vec<String>,
    },
    /// Make a fault good, beginning on one surface.
    Mend(usize, Option<usize>),
    /// A coat more.
    ExtraCoat(usize),
    /// Strip back.
    Strip(usize),
    /// Keep it otherwise.
    Holding(usize),
    /// Hands are away.
    Away,
    /// Accept one of the plan's cautions, by its place in the plan.
    Accept(usize, String),
    /// Add a part.
    NewPart,
    /// Change the part of a piece.
    Part(String),
    /// Say more of it.
    MorePart(String),
    /// The lines of one of the file's lists.
    Lines(List),
    /// One of them, or a new one.
    Line(List, Option<String>),
    /// Copy it.
    CopyPart(String),
    /// Remove it.
    RemovePart(String),
    /// The room.
    Room,
    /// The hours.
    Hours,
    /// What is on the shelf beside tins.
    Shelf,
    /// Bench rates.
    Rates,
    /// Title, start, finish, hands.
    Job,
    /// The maker's editor.
    Editor,
    /// The first job is written: plan it.
    PlanIt,
}

impl Item {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Skip { round, .. } if round.len() > 1 => "leave it undone, it or the round".to_owned(),
            Self::Skip { .. } => "leave its next step undone".to_owned(),
            Self::Mend(..) => "make a fault good: run, nib, rub-through, blush".to_owned(),
            Self::ExtraCoat(_) => "one coat more".to_owned(),
            Self::Strip(_) => "strip it back to bare wood".to_owned(),
            Self::Holding(_) => "keep it otherwise while wet".to_owned(),
            Self::Away => "pause: hands are away".to_owned(),
            Self::Accept(_, text) => format!("accept: {text}"),
            Self::NewPart => "add a part".to_owned(),
            Self::Part(name) => format!("change {name}"),
            Self::MorePart(name) => format!("more of {name}: places, grits, when it is made"),
            Self::Lines(list) => list.words(),
            Self::Line(_, None) => "add one".to_owned(),
            Self::Line(_, Some(which)) => format!("change {which}"),
            Self::CopyPart(name) => format!("copy {name}"),
            Self::RemovePart(name) => format!("remove {name}"),
            Self::Room => "the room: air, dust, places".to_owned(),
            Self::Hours => "working hours".to_owned(),
            Self::Shelf => "paper, cloths, tape on the shelf; money".to_owned(),
            Self::Rates => "bench rates: how long hands take".to_owned(),
            Self::Job => "title, finish, hands, start".to_owned(),
            Self::Editor => "the whole file, in your editor".to_owned(),
            Self::PlanIt => "that is all: plan it".to_owned(),
        }
    }
}

impl Menu {
    /// What chooses a line: a digit, and past the ninth a letter that means nothing else in a list.
    pub fn key_of(at: usize) -> Option<char> {
        DIGITS.chars().chain(LETTERS.chars()).nth(at)
    }

    /// Which line a key chooses.
    pub fn place_of(key: char) -> Option<usize> {
        DIGITS.chars().chain(LETTERS.chars()).position(|other| other == key)
    }

    fn new(title: impl Into<String>, items: Vec<Item>) -> Self {
        Self {
            title: title.into(),
            items,
            cursor: 0,
        }
    }

    /// What can be done with a piece beside ticking.
    pub fn deeds(sheet: &Sheet, piece: Option<usize>, surface: Option<usize>, skip: Option<Item>) -> Self {
        let mut items: Vec<Item> = skip.into_iter().collect();
        let standing = piece.and_then(|piece| sheet.piece_standing(piece));
        if let (Some(piece), Some(standing)) = (piece, standing) {
            if standing.surfaces.iter().any(|surface| surface.film.is_some()) {
                items.push(Item::Mend(piece, surface));
                items.push(Item::Strip(piece));
            }
            if standing.surfaces.iter().any(|surface| surface.coats_due > 0) && !standing.loose_done {
                items.push(Item::ExtraCoat(piece));
                items.push(Item::Holding(piece));
            }
        }
        items.push(Item::Away);
        let name = piece.and_then(|piece| sheet.job.pieces.get(piece));
        let title = name.map_or_else(|| "WHAT ELSE".to_owned(), |piece| format!("WHAT ELSE: {}", piece.name));
        Self::new(title, items)
    }

    /// What can be changed in the maker's file; about a part first, where the cursor is on one.
    pub fn changes(sheet: &Sheet, piece: Option<usize>) -> Self {
        let piece = piece.and_then(|piece| sheet.job.pieces.get(piece));
        // a sample board stands in no `[[part]]` of the file
        let part = piece
            .filter(|piece| piece.sample.is_none())
            .and_then(|piece| sheet.job.parts.get(piece.part));
        let mut items = Vec::new();
        if let Some(part) = part {
            items.push(Item::Part(part.name.clone()));
            items.push(Item::CopyPart(part.name.clone()));
            items.push(Item::MorePart(part.name.clone()));
            items.push(Item::RemovePart(part.name.clone()));
        }
        items.extend([Item::NewPart, Item::Room, Item::Hours, Item::Job, Item::Editor]);
        items.extend(part.map(|part| Item::Lines(List::Joints(part.name.clone()))));
        items.extend(List::ALL.map(Item::Lines));
        items.extend([Item::Shelf, Item::Rates]);
        Self::new("CHANGE THE JOB", items)
    }

    /// What can be changed of the shelf, and then the rest.
    pub fn shelf(sheet: &Sheet) -> Self {
        let own = [Item::Lines(List::Tin), Item::Lines(List::Buy), Item::Shelf];
        let mut menu = Self::changes(sheet, None);
        menu.items.retain(|item| !own.contains(item));
        menu.items.splice(0..0, own);
        menu
    }

    /// The lines of one of the file's lists, and a new one.
    pub fn lines(sheet: &Sheet, list: &List) -> Self {
        let file = sheet.text.as_deref().and_then(Written::of);
        let named = file.map_or_else(Vec::new, |file| file.lines(list));
        let mut items = vec![Item::Line(list.clone(), None)];
        items.extend(named.into_iter().map(|which| Item::Line(list.clone(), Some(which))));
        Self::new(list.words().to_uppercase(), items)
    }

    /// After a part of the first job.
    pub fn after_a_part(last: &str) -> Self {
        let items = vec![
            Item::NewPart,
            Item::PlanIt,
            Item::Part(last.to_owned()),
            Item::CopyPart(last.to_owned()),
        ];
        Self::new("THE PARTS SO FAR", items)
    }

    /// The plan's cautions that are not accepted yet.
    pub fn cautions(sheet: &Sheet) -> Option<Self> {
        let cautions = sheet.plan.as_ref()?.cautions.iter().enumerate();
        let mut cautions: Vec<_> = cautions.collect();
        cautions.sort_by_key(|(_, caution)| std::cmp::Reverse(caution.severity));
        let items: Vec<Item> = cautions
            .iter()
            .map(|(at, one)| Item::Accept(*at, one.text.clone()))
            .collect();
        (!items.is_empty()).then(|| Self::new("WHICH CAUTION", items))
    }
}
