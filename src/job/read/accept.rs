//! What the maker knows and accepts: panels with unequal coats, each with a reason.
//!
//! Invariant: every entry names pieces of the job and carries a reason.

use super::names;
use super::part::PartDraft;
use crate::source::{Code, Extent, Table, Value};
use std::collections::BTreeMap;

/// One `[[accept]]`: the pieces it holds for.
#[derive(Debug)]
pub(super) struct Accepted {
    pub pieces: Vec<String>,
    pub reason: String,
    pub at: Extent,
}

/// Reads every `[[accept]]`: `piece` (a piece, or a part for all its copies) and `unequal`, the reason.
pub(super) fn read_all(top: &mut Table<'_>, parts: &[PartDraft]) -> Vec<Accepted> {
    let mut accepted = Vec::new();
    for mut table in top.tables("accept") {
        table.call("what is accepted");
        let piece = table.need("piece");
        let reason = table.need("unequal").and_then(Value::text);
        let Some((value, written)) = piece.and_then(|value| Some((value, value.text()?))) else {
            continue;
        };
        let pieces = pieces_of(parts, &names::slug(&written.value));
        if pieces.is_empty() {
            let known: Vec<&str> = parts.iter().flat_map(ids_of).collect();
            names::unknown(&value, Code::UnknownPiece, "piece", &known);
            continue;
        }
        let Some(reason) = reason else { continue };
        accepted.push(Accepted {
            pieces,
            reason: reason.value,
            at: written.extent,
        });
    }
    accepted
}

/// The part's id and, where they differ, those of its pieces.
fn ids_of(part: &PartDraft) -> impl Iterator<Item = &str> {
    let pieces = part.pieces.iter().map(|piece| piece.id.as_str());
    std::iter::once(part.part.id.as_str()).chain(pieces.filter(|id| *id != part.part.id))
}

fn pieces_of(parts: &[PartDraft], id: &str) -> Vec<String> {
    let all = parts.iter().find(|part| part.part.id == id);
    if let Some(part) = all {
        return part.pieces.iter().map(|piece| piece.id.clone()).collect();
    }
    let one = parts.iter().flat_map(|part| &part.pieces).find(|piece| piece.id == id);
    one.map(|piece| piece.id.clone()).into_iter().collect()
}

/// Piece to reason.
pub(super) fn by_piece(accepted: &[Accepted]) -> BTreeMap<String, String> {
    let pairs = accepted
        .iter()
        .flat_map(|entry| entry.pieces.iter().map(|piece| (piece.clone(), entry.reason.clone())));
    pairs.collect()
}
