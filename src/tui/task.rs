//! What a form is for.
//!
//! Invariant: a task names things by their ids and names, so that it stays true when the bench is looked at
//! again while the form is open.

use super::form::Form;
use crate::job::edit::List;

/// What is being filled in.
#[derive(Clone, Debug, PartialEq)]
pub enum Task {
    /// Operations are decided away: of the piece alone, or of its round.
    Skip {
        /// The piece's.
        one: Vec<String>,
        /// The round's; empty where there is no choice.
        round: Vec<String>,
    },
    /// A piece is taken back to bare wood.
    Strip {
        /// Piece.
        piece: String,
        /// Surfaces that were coated together, in the order of the form.
        sides: Vec<Vec<String>>,
    },
    /// A fault is made good.
    Mend {
        /// Piece.
        piece: String,
        /// Surfaces, in the order of the form.
        surfaces: Vec<String>,
    },
    /// A coat more.
    ExtraCoat {
        /// Piece.
        piece: String,
        /// Surfaces, in the order of the form.
        surfaces: Vec<String>,
        /// The two faces among them that must end with equal coats.
        faces: Option<(usize, usize)>,
    },
    /// Kept otherwise while wet.
    Holding {
        /// Piece.
        piece: String,
    },
    /// Hands are away.
    Away,
    /// A caution is accepted.
    Accept {
        /// Its code.
        code: String,
        /// What it is about.
        refers: Vec<String>,
    },
    /// A part is added.
    NewPart,
    /// A part is changed.
    Part {
        /// Its name.
        name: String,
    },
    /// More is said of a part.
    MorePart {
        /// Its name.
        name: String,
    },
    /// A line of one of the lists: added, changed, taken out.
    Line {
        /// List.
        list: List,
        /// What it is found by; none for a new one.
        which: Option<String>,
    },
    /// A part is written once more.
    CopyPart {
        /// Its name.
        name: String,
    },
    /// A part goes.
    RemovePart {
        /// Its name.
        name: String,
    },
    /// The room.
    Room,
    /// The working hours.
    Hours,
    /// What is on the shelf beside tins.
    Shelf,
    /// Bench rates.
    Rates,
    /// Title, start, finish, hands.
    Job,
}

impl Task {
    /// Whether it changes the maker's file; else it goes into the log.
    pub const fn edits(&self) -> bool {
        matches!(
            self,
            Self::NewPart
                | Self::Part { .. }
                | Self::MorePart { .. }
                | Self::Line { .. }
                | Self::CopyPart { .. }
                | Self::RemovePart { .. }
                | Self::Room
                | Self::Hours
                | Self::Shelf
                | Self::Rates
                | Self::Job
        )
    }

    /// Whether it adds something: then an empty line is one nobody has come to yet.
    pub const fn is_new(&self) -> bool {
        matches!(self, Self::NewPart | Self::Line { which: None, .. })
    }
}

/// A form being filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct Filling {
    /// What for.
    pub task: Task,
    /// The form.
    pub form: Form,
    /// The first job is being written: the next form follows by itself.
    pub guided: bool,
}
