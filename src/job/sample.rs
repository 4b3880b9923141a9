//! Sample boards: an offcut of the same timber for each finish the maker wants to see before the work gets it.
//!
//! Invariant: boards stand after every piece of the job, so that no index of a piece changes by them; each is a
//! small piece with one face, like the first piece of its finish in timber, build, thickness and sanding.

use super::part::{Holding, Part, Piece, Shape, Show, Surface, SurfaceRole};
use super::{Job, PlaceKind};
use crate::units::{Millimetres, SquareMillimetres};

/// A board is large enough to brush on and small enough to carry to the window: common practice, no source.
const LENGTH: f64 = 300.0;

/// See [`LENGTH`].
const WIDTH: f64 = 150.0;

impl Job {
    /// Puts a board for each of these finishes among the pieces.
    pub(super) fn make_sample_boards(&mut self, finishes: &[String]) {
        for finish in finishes {
            let gets = |piece: &&Piece| {
                let mut surfaces = piece.surfaces.iter();
                surfaces.any(|surface| surface.schedule.as_ref() == Some(finish))
            };
            let Some(like) = self.pieces.iter().find(gets).cloned() else {
                continue;
            };
            let id = self.free_id(finish);
            let name = format!("sample board, {finish}");
            self.pieces.push(Piece {
                id: id.clone(),
                name: name.clone(),
                part: self.parts.len(),
                shape: Shape::Panel,
                length: Millimetres(LENGTH),
                width: Millimetres(WIDTH),
                surfaces: vec![Surface {
                    id: "face".to_owned(),
                    label: "face".to_owned(),
                    role: SurfaceRole::Face,
                    show: Show::Show,
                    area: SquareMillimetres(LENGTH * WIDTH),
                    schedule: Some(finish.clone()),
                }],
                joints: Vec::new(),
                holding: self.kept_on(),
                or_on: Vec::new(),
                slots: 1,
                heavy: false,
                available: self.start,
                sample: Some(finish.clone()),
                ..like
            });
            self.parts.push(Part {
                id,
                name,
                count: 1,
                handed: false,
            });
        }
    }

    /// `sample-FINISH`, or longer where the maker has a part or piece of that name.
    fn free_id(&self, finish: &str) -> String {
        let mut id = format!("sample-{finish}");
        let taken = |id: &str| {
            let parts = self.parts.iter().map(|part| part.id.as_str());
            parts
                .chain(self.pieces.iter().map(|piece| piece.id.as_str()))
                .any(|other| other == id)
        };
        while taken(&id) {
            id.push_str("-board");
        }
        id
    }

    /// A board lies on its back; where the room has no bearers it stands or hangs.
    fn kept_on(&self) -> Holding {
        let there = |kind: PlaceKind| self.room.places.of(kind) != Some(0);
        let found = Holding::ALL.into_iter().find(|holding| there(holding.place()));
        found.unwrap_or(Holding::Bearers)
    }
}
