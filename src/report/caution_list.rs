//! Cautions on paper: the standing line first, then the gravest, each with its figure and its source.
//!
//! Invariant: the standing line stands once, whether the list carries it or not; nothing of a caution is cut.

use super::names::Names;
use super::paper::{Sheet, clean};
use super::round::sentence;
use super::{STANDING_LINE, words};
use crate::dayplan::counted::HOURS_COUNTED;
use crate::dayplan::document::Caution;
use std::fmt::Write as _;

/// Writes the list under a heading; nothing where there is none.
pub(super) fn cautions(sheet: &mut Sheet, names: &Names<'_>, list: &[Caution]) {
    if list.is_empty() {
        return;
    }
    sheet.blank();
    sheet.heading("Cautions");
    sheet.line(STANDING_LINE);
    // the hours that counted are said with their round
    let told = |caution: &&Caution| caution.text != STANDING_LINE && caution.code != HOURS_COUNTED;
    let mut ordered: Vec<&Caution> = list.iter().filter(told).collect();
    ordered.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    for caution in ordered {
        let mut text = sentence(&clean(&caution.text));
        let mut basis = Vec::new();
        basis.extend(caution.figure.as_deref().map(clean));
        basis.extend(caution.source.as_deref().map(clean));
        if !basis.is_empty() {
            _ = write!(text, " ({})", basis.join("; "));
        }
        let (pieces, others): (Vec<&str>, Vec<&str>) = caution
            .refers
            .iter()
            .map(String::as_str)
            .partition(|id| names.piece(id).is_some());
        // pieces the text names itself are not named again
        let said_already = |id: &&str| names.piece(id).is_some_and(|piece| caution.text.contains(&piece.name));
        if !pieces.is_empty() && others.is_empty() && !pieces.iter().all(said_already) {
            _ = write!(text, " For: {}.", names.in_words(pieces));
        }
        sheet.hanging(&format!("{}:", words::severity(caution.severity)), 9, &text);
    }
}
