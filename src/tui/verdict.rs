//! What hands may do with a piece, in one word.
//!
//! Invariant: a piece with a wet surface is left alone, whatever else is said about it.

use super::{symbols::Symbols, theme::Theme, timing, words};
use crate::finish::Stage;
use crate::job::Piece;
use crate::standing::{JointState, May, PieceStanding, When};
use crate::units::Moment;
use chrono_tz::Tz;
use ratatui::style::Style;

/// The word for hands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hands {
    /// A film that cold has spoiled.
    SandOff,
    /// Wet, or not even to be turned.
    Leave,
    /// Not dry to touch, but the next coat may go on where it lies.
    Coat,
    /// Dry to touch: may be laid over, not carried.
    Turn,
    /// By the fast figure it may be turned or carried, by the slow one not yet.
    Test,
    /// May be carried by the edges.
    Carry,
    /// Ready for glue.
    Glue,
    /// An assembly that is not glued up yet.
    InParts,
}

impl Hands {
    /// The verdict on a piece.
    pub fn on(piece: &PieceStanding) -> Self {
        if piece
            .surfaces
            .iter()
            .any(|surface| surface.film.as_ref().is_some_and(|film| film.spoiled))
        {
            return Self::SandOff;
        }
        if is_wet(piece) {
            return Self::Leave;
        }
        match (piece.handle, piece.turn) {
            (May::Yes, _) if piece.glue == May::Yes => Self::Glue,
            (May::Yes, _) => Self::Carry,
            (May::Test { .. }, _) | (_, May::Test { .. }) => Self::Test,
            (_, May::Yes) => Self::Turn,
            _ if piece.recoat == May::Yes && coats_due(piece) => Self::Coat,
            _ => Self::Leave,
        }
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::SandOff => "SAND OFF",
            Self::Leave => "LEAVE ALONE",
            Self::Coat => "coat only",
            Self::Turn => "turn only",
            Self::Test => "touch test",
            Self::Carry => "carry",
            Self::Glue => "glue",
            Self::InParts => "in parts",
        }
    }

    /// Its sign.
    pub const fn sign(self, symbols: &Symbols) -> char {
        match self {
            Self::SandOff => symbols.spoiled,
            Self::Leave => symbols.leave,
            Self::Coat => symbols.coat,
            Self::Turn => symbols.turn,
            Self::Test => symbols.test,
            Self::Carry => symbols.carry,
            Self::Glue => symbols.glue,
            Self::InParts => symbols.in_parts,
        }
    }

    /// Its weight and colour.
    pub const fn style(self, theme: &Theme) -> Style {
        match self {
            Self::SandOff => theme.alarm,
            Self::Leave => theme.leave,
            Self::Coat | Self::Turn => theme.turn,
            Self::Test => theme.test,
            Self::Carry => theme.carry,
            Self::Glue => theme.glue,
            Self::InParts => theme.quiet,
        }
    }
}

/// A surface of it is wet.
pub fn is_wet(piece: &PieceStanding) -> bool {
    piece
        .surfaces
        .iter()
        .any(|surface| surface.film.as_ref().is_some_and(|film| film.stage.is_none()))
}

/// Coats are still due on it.
pub fn coats_due(piece: &PieceStanding) -> bool {
    piece
        .surfaces
        .iter()
        .any(|surface| surface.coats_on < surface.coats_due)
}

/// The next coat may go on now: dry enough, a coat due, no joint left open to it.
pub fn may_be_coated(standing: &PieceStanding, piece: &Piece) -> bool {
    standing.recoat == May::Yes
        && coats_due(standing)
        && !is_wet(standing)
        && Hands::on(standing) != Hands::SandOff
        && (piece.joints.is_empty() || standing.joints != JointState::Bare)
}

/// Which pieces the page lists.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Filter {
    /// All.
    #[default]
    All,
    /// May be carried.
    Handled,
    /// May be laid over.
    Turned,
    /// May be coated now.
    Coated,
    /// Leave alone.
    Leave,
    /// A joint not covered, and coats to come.
    JointOpen,
    /// Ready to glue.
    Glue,
}

impl Filter {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 7] = [
        Self::All,
        Self::Handled,
        Self::Turned,
        Self::Coated,
        Self::Leave,
        Self::JointOpen,
        Self::Glue,
    ];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::All => "all pieces",
            Self::Handled => "may be handled",
            Self::Turned => "may be turned",
            Self::Coated => "may be coated now",
            Self::Leave => "leave alone",
            Self::JointOpen => "joint not covered",
            Self::Glue => "ready to glue",
        }
    }

    /// Whether a piece is listed.
    pub fn lets_through(self, standing: &PieceStanding, piece: &Piece) -> bool {
        let hands = Hands::on(standing);
        match self {
            Self::All => true,
            Self::Handled => matches!(hands, Hands::Carry | Hands::Glue),
            Self::Turned => standing.turn == May::Yes && !matches!(hands, Hands::Leave | Hands::Coat | Hands::SandOff),
            Self::Coated => may_be_coated(standing, piece),
            Self::Leave => matches!(hands, Hands::Leave | Hands::SandOff),
            Self::JointOpen => !piece.joints.is_empty() && standing.joints == JointState::Bare && coats_due(standing),
            Self::Glue => hands == Hands::Glue,
        }
    }
}

/// Whether something may be done, in words: `yes`, `test by 15:00`, `14:10–15:00`, `not in sight`.
pub fn may(may: May, now: Moment, zone: Tz) -> String {
    match may {
        May::Yes => "yes".to_owned(),
        May::Test { late } => format!("test by {}", timing::at(late, now, zone)),
        May::NotYet { when } => timing::between(when, now, zone),
        May::Held => "not in sight".to_owned(),
    }
}

/// What changes next for hands on this piece, and when.
pub fn changes(piece: &PieceStanding, now: Moment, zone: Tz) -> String {
    let line = |word: &str, what: May| match what {
        May::Yes => format!("{word} now"),
        May::Test { late } => format!("{word} by {}, or test", timing::at(late, now, zone)),
        May::NotYet { when } => format!("{word} {}", timing::between(when, now, zone)),
        May::Held => format!("{word}: not in sight"),
    };
    match Hands::on(piece) {
        Hands::SandOff => "the cold spoiled the film".to_owned(),
        Hands::Leave if matches!(piece.turn, May::Yes) => next_of_films(piece, now, zone),
        Hands::Leave | Hands::Coat => line("turn", piece.turn),
        Hands::Test if matches!(piece.turn, May::Test { .. }) => line("turn", piece.turn),
        Hands::Turn | Hands::Test => line("carry", piece.handle),
        Hands::Carry if piece.surfaces.iter().all(|surface| surface.film.is_none()) => "bare wood".to_owned(),
        Hands::Carry if coats_due(piece) => line("coat", piece.recoat),
        Hands::Carry => line("glue", piece.glue),
        Hands::Glue => "ready".to_owned(),
        // said of assemblies only
        Hands::InParts => String::new(),
    }
}

/// The next stage any wet surface reaches: for a piece said to be turnable though a surface is wet.
fn next_of_films(piece: &PieceStanding, now: Moment, zone: Tz) -> String {
    let films = piece.surfaces.iter().filter_map(|surface| surface.film.as_ref());
    let next: Option<(Stage, When)> = films
        .filter(|film| film.stage.is_none())
        .filter_map(|film| film.next)
        .max_by_key(|(_, when)| when.late);
    next.map_or_else(
        || "wet".to_owned(),
        |(stage, when)| format!("{} {}", words::stage(stage), timing::between(when, now, zone)),
    )
}
