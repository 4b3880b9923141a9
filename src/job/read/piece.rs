//! Parts multiplied out into pieces.
//!
//! Invariant: piece ids are unique within a part; a single piece carries the part's id.

use super::basis::Basis;
use super::part::PartDraft;
use crate::job::{Part, Piece};

/// A piece's id and its name for reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct PieceName {
    pub id: String,
    pub name: String,
}

/// The names of a part's pieces: `leg-1` ...; a handed pair `side-left`, `side-right`; more pairs
/// `side-left-1`, `side-right-1`, `side-left-2` ...
pub(super) fn piece_names(part: &Part) -> Vec<PieceName> {
    let Part {
        id,
        name,
        count,
        handed,
    } = part;
    let named = |id: String, name: String| PieceName { id, name };
    if *handed {
        let pairs = (count / 2).max(1);
        return (1..=pairs)
            .flat_map(|pair| ["left", "right"].map(|hand| (pair, hand)))
            .map(|(pair, hand)| match pairs {
                1 => named(format!("{id}-{hand}"), format!("{name}, {hand}")),
                _ => named(
                    format!("{id}-{hand}-{pair}"),
                    format!("{name}, {hand}, {pair} of {pairs}"),
                ),
            })
            .collect();
    }
    match count {
        0 | 1 => vec![named(id.clone(), name.clone())],
        _ => (1..=*count)
            .map(|copy| named(format!("{id}-{copy}"), format!("{name} {copy} of {count}")))
            .collect(),
    }
}

/// Every piece of every part whose body could be read, in file order.
pub(super) fn multiply(parts: &[PartDraft], basis: &Basis<'_>) -> Vec<Piece> {
    let start = basis
        .start
        .as_ref()
        .map_or(crate::units::Moment(0), |start| start.value);
    let mut pieces = Vec::new();
    for (index, draft) in parts.iter().enumerate() {
        let Some(body) = &draft.body else { continue };
        for piece in &draft.pieces {
            pieces.push(Piece {
                id: piece.id.clone(),
                name: piece.name.clone(),
                part: index,
                section: body.section,
                shape: body.shape,
                build: body.build,
                material: body.material.clone(),
                length: body.size.length,
                width: body.size.width,
                thickness: body.size.thickness,
                surfaces: body.surfaces.clone(),
                joints: body.joints.clone(),
                holding: body.holding.value,
                or_on: body.or_on.clone(),
                slots: body.slots.value,
                heavy: body.heavy.is_some(),
                grits: body.grits.clone(),
                available: body.made.as_ref().map_or(start, |made| made.value.max(start)),
            });
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::piece_names;
    use crate::job::Part;

    #[test]
    fn copies_and_hands_get_names() {
        let check = |count: u32, handed: bool, expected: &[(&str, &str)]| {
            let part = Part {
                id: "side".to_owned(),
                name: "Side".to_owned(),
                count,
                handed,
            };
            let names = piece_names(&part);
            let names: Vec<(&str, &str)> = names
                .iter()
                .map(|piece| (piece.id.as_str(), piece.name.as_str()))
                .collect();
            assert_eq!(names, expected);
        };
        check(1, false, &[("side", "Side")]);
        check(2, false, &[("side-1", "Side 1 of 2"), ("side-2", "Side 2 of 2")]);
        check(2, true, &[("side-left", "Side, left"), ("side-right", "Side, right")]);
        check(
            4,
            true,
            &[
                ("side-left-1", "Side, left, 1 of 2"),
                ("side-right-1", "Side, right, 1 of 2"),
                ("side-left-2", "Side, left, 2 of 2"),
                ("side-right-2", "Side, right, 2 of 2"),
            ],
        );
    }
}
