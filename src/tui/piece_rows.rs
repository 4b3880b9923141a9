//! The lines of the page that says where every piece is.
//!
//! Invariant: one line a listed piece, in the job's order, followed by its own lines when it is unfolded;
//! every number in a line comes from the standing.

use super::bench::Sheet;
use super::verdict::{self, Filter, Hands};
use super::{assembly_rows, timing, words};
use crate::finish::Prepare;
use crate::job::Piece;
use crate::standing::{JointState, May, PieceStanding, SurfaceStanding};
use crate::units::Moment;
use std::collections::BTreeSet;
use std::ops::Deref;
use unicode_width::UnicodeWidthStr;

/// Which line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineKey {
    /// Piece, an index in the job; assemblies are counted on behind the last piece.
    pub piece: usize,
    /// 0 is the piece itself, then its surfaces, then what else is said of it.
    pub line: usize,
}

/// A line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Which.
    pub key: LineKey,
    /// What it holds.
    pub content: Content,
}

/// What a line holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Content {
    /// A piece.
    Piece {
        /// The word for hands.
        hands: Hands,
        /// Name.
        name: String,
        /// Coats on and due: `2/3`.
        coats: String,
        /// What changes next for hands.
        changes: String,
        /// The next coat.
        next_coat: String,
        /// The next step of the plan.
        next_step: String,
    },
    /// A surface.
    Surface {
        /// Index in the piece.
        surface: usize,
        /// Label.
        label: String,
        /// Coats on and due.
        coats: String,
        /// Stage now.
        stage: String,
        /// Next stage and when.
        next: String,
        /// Spoiled or wet: not to be touched.
        hands_off: bool,
    },
    /// A fact about the whole piece: a word and what is said.
    Fact {
        /// `joints`, `may be`, `next step`.
        about: &'static str,
        /// The rest.
        text: String,
        /// Wants attention.
        alarm: bool,
    },
}

/// The lines of the page, with what is said of all of them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Listed {
    lines: Vec<Line>,
    /// Columns the widest name, coats, what changes, next coat and next step take.
    pub widest: [usize; 5],
    counts: Vec<(Filter, usize)>,
}

impl Listed {
    /// How many pieces of the name looked for a filter lets through.
    pub fn count(&self, filter: Filter) -> usize {
        let count = self.counts.iter().find(|(of, _)| *of == filter);
        count.map_or(0, |(_, count)| *count)
    }
}

impl Deref for Listed {
    type Target = [Line];

    fn deref(&self) -> &[Line] {
        &self.lines
    }
}

/// What the page lists.
pub fn list(sheet: &Sheet, filter: Filter, find: &str, unfolded: &BTreeSet<usize>) -> Listed {
    let lines = lines(sheet, filter, find, unfolded);
    let mut widest = [0; 5];
    for line in &lines {
        if let Content::Piece {
            name,
            coats,
            changes,
            next_coat,
            next_step,
            ..
        } = &line.content
        {
            for (wide, text) in widest.iter_mut().zip([name, coats, changes, next_coat, next_step]) {
                *wide = (*wide).max(UnicodeWidthStr::width(text.as_str()));
            }
        }
    }
    let counts = Filter::ALL.map(|filter| (filter, listed(sheet, filter, find).len()));
    Listed {
        lines,
        widest,
        counts: counts.to_vec(),
    }
}

/// The pieces a filter and a name let through, as indices into the standing's pieces.
pub fn listed(sheet: &Sheet, filter: Filter, find: &str) -> Vec<usize> {
    let wanted = find.to_lowercase();
    let passes = |(_, standing): &(usize, &PieceStanding)| {
        sheet.job.pieces.get(standing.piece).is_some_and(|piece| {
            filter.lets_through(standing, piece)
                && (wanted.is_empty()
                    || piece.name.to_lowercase().contains(&wanted)
                    || piece.id.to_lowercase().contains(&wanted))
        })
    };
    sheet
        .standing
        .pieces
        .iter()
        .enumerate()
        .filter(passes)
        .map(|(index, _)| index)
        .collect()
}

/// The lines of the page.
fn lines(sheet: &Sheet, filter: Filter, find: &str, unfolded: &BTreeSet<usize>) -> Vec<Line> {
    let mut lines = Vec::new();
    for index in listed(sheet, filter, find) {
        let (Some(standing), Some(told)) = (sheet.standing.pieces.get(index), sheet.piece_lines().get(index)) else {
            continue;
        };
        lines.push(Line {
            key: LineKey {
                piece: standing.piece,
                line: 0,
            },
            content: told.clone(),
        });
        if unfolded.contains(&standing.piece) {
            let more = standing
                .surfaces
                .iter()
                .map(|surface| surface_line(sheet, standing, surface));
            let more = more.chain(facts(sheet, standing));
            lines.extend(more.enumerate().map(|(line, content)| Line {
                key: LineKey {
                    piece: standing.piece,
                    line: line + 1,
                },
                content,
            }));
        }
    }
    lines.extend(assembly_rows::lines(sheet, filter, find));
    lines
}

/// The line of every piece, in the standing's order.
pub fn piece_lines(sheet: &Sheet) -> Vec<Content> {
    let pieces = sheet.standing.pieces.iter();
    pieces.map(|standing| piece_line(sheet, standing)).collect()
}

fn piece_line(sheet: &Sheet, standing: &PieceStanding) -> Content {
    let (now, zone) = (sheet.standing.now, sheet.job.zone);
    let piece = sheet.job.pieces.get(standing.piece);
    let bare = standing.surfaces.iter().all(|surface| surface.film.is_none());
    Content::Piece {
        hands: Hands::on(standing),
        name: piece.map_or_else(String::new, |piece| piece.name.clone()),
        coats: coats_of(standing),
        changes: verdict::changes(standing, now, zone),
        next_coat: if !verdict::coats_due(standing) {
            "all on".to_owned()
        } else if piece.is_some_and(|piece| verdict::may_be_coated(standing, piece)) {
            "now".to_owned()
        } else if standing.recoat == May::Yes {
            piece
                .filter(|piece| !piece.joints.is_empty())
                .map_or_else(String::new, |_| "cover joints".to_owned())
        } else {
            match standing.recoat {
                May::Held if bare => "not yet".to_owned(),
                may => verdict::may(may, now, zone),
            }
        },
        next_step: next_step(sheet, standing).unwrap_or_default(),
    }
}

/// Coats of the surface that is furthest from done; a range where its like differ: `2/3`, `1–2/3`.
pub fn coats_of(standing: &PieceStanding) -> String {
    let due = standing
        .surfaces
        .iter()
        .map(|surface| surface.coats_due)
        .max()
        .unwrap_or(0);
    if due == 0 {
        return "bare".to_owned();
    }
    let on = || {
        standing
            .surfaces
            .iter()
            .filter(|surface| surface.coats_due == due)
            .map(|surface| surface.coats_on)
    };
    let (least, most) = (on().min().unwrap_or(0), on().max().unwrap_or(0));
    if least == most {
        format!("{least}/{due}")
    } else {
        format!("{least}–{most}/{due}")
    }
}

fn next_step(sheet: &Sheet, standing: &PieceStanding) -> Option<String> {
    let operation = sheet.plan.as_ref()?.operations.get(standing.next?)?;
    let at = timing::at(Moment::of(&operation.start), sheet.standing.now, sheet.job.zone);
    Some(format!("{at}  {}", words::operation(operation)))
}

fn surface_line(sheet: &Sheet, standing: &PieceStanding, surface: &SurfaceStanding) -> Content {
    let (now, zone) = (sheet.standing.now, sheet.job.zone);
    let piece = sheet.job.pieces.get(standing.piece);
    let label = piece
        .and_then(|piece| piece.surfaces.get(surface.surface))
        .map(|surface| surface.label.clone());
    let film = surface.film.as_ref();
    let stage = match film {
        None => "bare wood".to_owned(),
        Some(film) if film.spoiled => "SPOILED".to_owned(),
        Some(film) => film.stage.map_or("WET", words::stage).to_owned(),
    };
    let next = film.filter(|film| !film.spoiled).and_then(|film| film.next);
    Content::Surface {
        surface: surface.surface,
        label: label.unwrap_or_default(),
        coats: if surface.coats_due == 0 && surface.coats_on == 0 {
            "none".to_owned()
        } else {
            format!("{}/{}", surface.coats_on, surface.coats_due)
        },
        stage,
        next: match next {
            Some((stage, when)) => format!("{} {}", words::stage(stage), timing::between(when, now, zone)),
            None if film.is_some_and(|film| film.spoiled) => "sand it off".to_owned(),
            None => String::new(),
        },
        hands_off: film.is_some_and(|film| film.spoiled || film.stage.is_none()),
    }
}

fn facts(sheet: &Sheet, standing: &PieceStanding) -> Vec<Content> {
    let (now, zone) = (sheet.standing.now, sheet.job.zone);
    let mut facts = Vec::new();
    let mut say = |about, text: String, alarm| facts.push(Content::Fact { about, text, alarm });
    let piece = sheet.job.pieces.get(standing.piece);
    if let Some(joints) = piece.and_then(|piece| words::joints(piece, standing.joints)) {
        say("joints", joints.to_owned(), standing.joints == JointState::TapeOld);
    }
    let glue_waits = verdict::coats_due(standing) || piece.is_some_and(|piece| joints_closed(piece, standing));
    let purposes = [
        ("turned", standing.turn),
        ("sanded", standing.sand),
        ("carried", standing.handle),
        ("stacked", standing.stack),
        ("glued", standing.glue),
    ];
    if standing.surfaces.iter().any(|surface| surface.film.is_some()) {
        let said = purposes.iter().map(|(word, what)| match what {
            May::Held if *word == "glued" && glue_waits => "glued after the last coat".to_owned(),
            what => format!("{word} {}", verdict::may(*what, now, zone)),
        });
        for pair in said.collect::<Vec<_>>().chunks(2) {
            say("may be", pair.join("; "), false);
        }
    }
    let films = standing.surfaces.iter().filter_map(|surface| surface.film.as_ref());
    let waiting = films.filter_map(|film| film.next.zip(film.counted));
    if let Some(((stage, when), counted)) = waiting.max_by_key(|((_, when), _)| when.late) {
        let late = timing::at(when.late, now, zone);
        say("drying", format!("{} {late}: {counted}", words::stage(stage)), false);
    }
    if let Some(window) = next_window(standing, sheet) {
        say("next coat", window, false);
    }
    if let Some(since) = standing.unequal_since {
        let text = format!(
            "unequal coats since {}: the panel may cup",
            timing::at(since, now, zone)
        );
        say("faces", text, true);
    }
    if let Some(step) = next_step(sheet, standing) {
        say("next step", step, false);
    }
    if standing.loose_done {
        say("next step", "every loose step is done".to_owned(), false);
    }
    facts
}

/// Joints that are not uncovered for glue yet.
fn joints_closed(piece: &Piece, standing: &PieceStanding) -> bool {
    !piece.joints.is_empty() && standing.joints != JointState::Uncovered
}

/// The recoat window that is open or opens next, of the surface whose window closes soonest.
fn next_window(standing: &PieceStanding, sheet: &Sheet) -> Option<String> {
    let (now, zone) = (sheet.standing.now, sheet.job.zone);
    let due = standing
        .surfaces
        .iter()
        .filter(|surface| surface.coats_on < surface.coats_due);
    let open_or_coming = due.filter_map(|surface| {
        surface
            .windows
            .iter()
            .find(|(_, closes, _)| closes.is_none_or(|closes| closes > now))
    });
    let (opens, closes, prepare) =
        open_or_coming.min_by_key(|(_, closes, _)| closes.map_or(i64::MAX, |closes| closes.0))?;
    let opens = if *opens <= now {
        "open now".to_owned()
    } else {
        format!("from {}", timing::at(*opens, now, zone))
    };
    let closes = closes.map_or_else(String::new, |closes| {
        format!(", closes {}", timing::at(closes, now, zone))
    });
    let prepare = match prepare {
        Prepare::None => "",
        Prepare::Denib => ", de-nib first",
        Prepare::Scuff => ", scuff first",
    };
    Some(format!("{opens}{closes}{prepare}"))
}
