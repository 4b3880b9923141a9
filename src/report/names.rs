//! Pieces in natural words: `4 legs, 2 long aprons, top`.
//!
//! Invariant: the words name every piece given and no other; a part of a lot always says which ones.

use super::paper::{JOIN, clean};
use crate::job::{Job, Piece, Surface, SurfaceRole};
use std::collections::{BTreeMap, BTreeSet};

/// From so many pieces on, a list of them all is said as one.
const MANY: usize = 12;
/// ...and so many may be left out of it, by name.
const FEW: usize = 2;

/// Looks pieces up by id.
#[derive(Clone, Debug)]
pub struct Names<'a> {
    job: &'a Job,
    pieces: BTreeMap<&'a str, &'a Piece>,
    copies: BTreeMap<usize, usize>,
}

impl<'a> Names<'a> {
    /// Of a job.
    pub fn of(job: &'a Job) -> Self {
        let mut copies = BTreeMap::new();
        for piece in &job.pieces {
            *copies.entry(piece.part).or_insert(0) += 1;
        }
        Self {
            job,
            pieces: job.pieces.iter().map(|piece| (piece.id.as_str(), piece)).collect(),
            copies,
        }
    }

    /// The job.
    pub const fn job(&self) -> &'a Job {
        self.job
    }

    /// A piece by id.
    pub fn piece(&self, id: &str) -> Option<&'a Piece> {
        self.pieces.get(id).copied()
    }

    /// A product's name by id; the id itself where the job does not know it.
    pub fn product(&self, id: &str) -> String {
        self.job
            .product(id)
            .map_or_else(|| clean(id), |product| clean(&product.name))
    }

    /// A section's name by id.
    pub fn section(&self, id: &str) -> String {
        let found = self.job.sections.iter().find(|section| section.id == id);
        found.map_or_else(|| clean(id), |section| clean(&section.name))
    }

    /// An assembly's name by id.
    pub fn assembly(&self, id: &str) -> String {
        let found = self.job.assemblies.iter().find(|assembly| assembly.id == id);
        found.map_or_else(|| clean(id), |assembly| clean(&assembly.name))
    }

    /// Pieces in natural words, in the order in which each part first comes.
    pub fn in_words<'b>(&self, ids: impl IntoIterator<Item = &'b str>) -> String {
        let mut order: Vec<Lot<'a, 'b>> = Vec::new();
        for id in ids {
            match self.piece(id) {
                Some(piece) => {
                    let known = order.iter_mut().find_map(|lot| match lot {
                        Lot::Part(part, pieces) if *part == piece.part => Some(pieces),
                        _ => None,
                    });
                    match known {
                        Some(pieces) if pieces.iter().any(|one| one.id == piece.id) => {}
                        Some(pieces) => pieces.push(piece),
                        None => order.push(Lot::Part(piece.part, vec![piece])),
                    }
                }
                None => order.push(Lot::Unknown(id)),
            }
        }
        if let Some(words) = self.nearly_all(&order) {
            return words;
        }
        let words: Vec<String> = order.iter().map(|lot| self.lot(lot)).collect();
        words.join(", ")
    }

    /// `all 34 pieces`, or `all pieces but leg 3 of 4`: a long list that leaves out little or nothing.
    fn nearly_all(&self, order: &[Lot<'_, '_>]) -> Option<String> {
        let mut named: BTreeSet<&str> = BTreeSet::new();
        for lot in order {
            match lot {
                Lot::Part(_, pieces) => named.extend(pieces.iter().map(|piece| piece.id.as_str())),
                Lot::Unknown(_) => return None,
            }
        }
        let count = self.job.pieces.len();
        let left: Vec<&Piece> = self
            .job
            .pieces
            .iter()
            .filter(|piece| !named.contains(piece.id.as_str()))
            .collect();
        if count < MANY || left.len() > FEW {
            return None;
        }
        if left.is_empty() {
            return Some(format!("all {count}{JOIN}pieces"));
        }
        let left: Vec<String> = left.iter().map(|piece| one_piece(&piece.name)).collect();
        Some(format!("all pieces but {}", and_list(&left)))
    }

    fn lot(&self, lot: &Lot<'_, '_>) -> String {
        let (part, pieces) = match lot {
            Lot::Unknown(id) => return clean(id),
            Lot::Part(part, pieces) => (*part, pieces),
        };
        let all = self.copies.get(&part).copied().unwrap_or(0);
        let written = self.job.parts.get(part);
        let name = written.map_or_else(String::new, |part| clean(&part.name));
        match pieces.as_slice() {
            [one] => one_piece(&one.name),
            some if some.len() == all => format!("{all}{JOIN}{}", plural(&name)),
            some => {
                let part_id = written.map(|part| part.id.as_str()).unwrap_or_default();
                let which = numbers(part_id, some);
                format!("{} of {all}{JOIN}{} ({which})", some.len(), plural(&name))
            }
        }
    }

    /// Which surfaces of a piece are worked, in words: `all over`, `back`, `face, edges and ends`.
    pub fn surfaces(&self, piece: &str, ids: &[String]) -> String {
        let Some(piece) = self.piece(piece) else {
            return clean(&ids.join(", "));
        };
        let worked: Vec<&Surface> = ids
            .iter()
            .filter_map(|id| piece.surfaces.iter().find(|one| one.id == *id))
            .collect();
        let finished = piece
            .surfaces
            .iter()
            .filter(|surface| surface.schedule.is_some())
            .count();
        if worked.len() >= finished && finished > 0 {
            return "all over".to_owned();
        }
        let mut words: Vec<String> = Vec::new();
        for surface in &worked {
            let like = piece
                .surfaces
                .iter()
                .filter(|one| one.role == surface.role && one.schedule.is_some())
                .count();
            let taken = worked.iter().filter(|one| one.role == surface.role).count();
            let word = match group_word(surface.role) {
                Some(group) if like > 1 && taken == like => group.to_owned(),
                _ => clean(&surface.label),
            };
            if !words.contains(&word) {
                words.push(word);
            }
        }
        and_list(&words)
    }
}

/// `side, left` reads as `side (left)` inside a list.
fn one_piece(name: &str) -> String {
    match name.split_once(", ") {
        Some((head, tail)) => clean(&format!("{head} ({tail})")),
        None => clean(name),
    }
}

enum Lot<'a, 'b> {
    Part(usize, Vec<&'a Piece>),
    Unknown(&'b str),
}

/// The word for all surfaces of a kind together.
const fn group_word(role: SurfaceRole) -> Option<&'static str> {
    match role {
        SurfaceRole::Face | SurfaceRole::Back => None,
        SurfaceRole::Edge => Some("edges"),
        SurfaceRole::End => Some("ends"),
        SurfaceRole::Side => Some("sides"),
        SurfaceRole::Inner => Some("inside"),
        SurfaceRole::Outer => Some("outside"),
    }
}

/// `a, b and c`.
pub(super) fn and_list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `1–18` or `1, 3, 5–7`: what is left of the ids behind the part's own.
fn numbers(part: &str, pieces: &[&Piece]) -> String {
    let tail = |piece: &Piece| {
        piece
            .id
            .strip_prefix(part)
            .map_or_else(|| piece.id.clone(), |rest| rest.trim_start_matches('-').to_owned())
    };
    let tails: Vec<String> = pieces.iter().map(|piece| tail(piece)).collect();
    let counted: Option<Vec<u32>> = tails.iter().map(|tail| tail.parse().ok()).collect();
    let Some(mut counted) = counted else {
        return clean(&tails.join(", "));
    };
    counted.sort_unstable();
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for number in counted {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => runs.push((number, number)),
        }
    }
    let words: Vec<String> = runs
        .iter()
        .map(|&(from, until)| match until - from {
            0 => from.to_string(),
            1 => format!("{from}, {until}"),
            _ => format!("{from}–{until}"),
        })
        .collect();
    words.join(", ")
}

/// The plural of a part's name, by the ordinary rules of English.
fn plural(name: &str) -> String {
    // "shelf, upper" and "panel of a door" take their ending before the comma or the preposition
    for cut in [", ", " of ", " for ", " with ", " ("] {
        if let Some((head, tail)) = name.split_once(cut) {
            return format!("{}{cut}{tail}", plural(head));
        }
    }
    let lower = name.to_lowercase();
    let ends = |tails: &[&str]| tails.iter().any(|tail| lower.ends_with(tail));
    let without = |count: usize| {
        name.chars()
            .take(name.chars().count().saturating_sub(count))
            .collect::<String>()
    };
    if ends(&["foot"]) {
        let stem = without(3);
        format!("{stem}eet")
    } else if ends(&["shelf", "half", "leaf"]) {
        format!("{}ves", without(1))
    } else if ends(&["ss", "x", "ch", "sh"]) {
        format!("{name}es")
    } else if ends(&["s"]) {
        name.to_owned()
    } else if ends(&["y"]) && !ends(&["ay", "ey", "oy", "uy"]) {
        format!("{}ies", without(1))
    } else {
        format!("{name}s")
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample;
    use super::*;

    #[test]
    fn lots_are_counted_and_parts_of_lots_say_which() {
        let job = sample::job();
        let names = Names::of(&job);
        let all = ["leg-1", "leg-2", "leg-3", "leg-4", "side-left", "side-right", "top"];
        assert_eq!(names.in_words(all), "4\u{a0}legs, 2\u{a0}sides, top");
        assert_eq!(names.in_words(["leg-1", "leg-2", "leg-3"]), "3 of 4\u{a0}legs (1–3)");
        assert_eq!(names.in_words(["leg-4", "leg-2"]), "2 of 4\u{a0}legs (2, 4)");
        assert_eq!(names.in_words(["side-right", "top"]), "side (right), top");
        assert_eq!(names.in_words(["stray"]), "stray");
        assert_eq!(names.in_words([]), "");
    }

    #[test]
    fn a_list_that_leaves_out_little_says_what() {
        let mut job = sample::job();
        job.parts[0].count = 12;
        let leg = job.pieces[0].clone();
        job.pieces = (1..=12)
            .map(|n| crate::job::Piece {
                id: format!("leg-{n}"),
                name: format!("leg {n} of 12"),
                ..leg.clone()
            })
            .collect();
        let names = Names::of(&job);
        let ids: Vec<String> = job.pieces.iter().map(|piece| piece.id.clone()).collect();
        assert_eq!(names.in_words(ids.iter().map(String::as_str)), "all 12\u{a0}pieces");
        let but: Vec<&str> = ids
            .iter()
            .map(String::as_str)
            .filter(|id| !matches!(*id, "leg-3" | "leg-7"))
            .collect();
        assert_eq!(names.in_words(but), "all pieces but leg 3 of 12 and leg 7 of 12");
        assert_eq!(
            names.in_words(ids.iter().map(String::as_str).take(9)),
            "9 of 12\u{a0}legs (1–9)"
        );
    }

    #[test]
    fn surfaces_read_as_a_finisher_says_them() {
        let job = sample::job();
        let names = Names::of(&job);
        let ids = |list: &[&str]| list.iter().map(|id| (*id).to_owned()).collect::<Vec<_>>();
        assert_eq!(names.surfaces("top", &ids(&["back"])), "back");
        let front = ids(&["face", "edge-1", "edge-2", "end-1", "end-2"]);
        assert_eq!(names.surfaces("top", &front), "face, edges and ends");
        let all = ids(&["back", "face", "edge-1", "edge-2", "end-1", "end-2"]);
        assert_eq!(names.surfaces("top", &all), "all over");
        assert_eq!(names.surfaces("top", &ids(&["face", "edge-1"])), "face and edge 1");
    }

    #[test]
    fn plurals() {
        for (one, many) in [
            ("leg", "legs"),
            ("shelf", "shelves"),
            ("shelf, upper", "shelves, upper"),
            ("box", "boxes"),
            ("tray", "trays"),
            ("body", "bodies"),
            ("drawer runners", "drawer runners"),
            ("bench", "benches"),
            ("foot", "feet"),
        ] {
            assert_eq!(plural(one), many);
        }
    }
}
