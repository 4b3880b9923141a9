//! The plan's cautions in full: the standing line, then the gravest first, each with its figure and its source.
//!
//! Invariant: nothing of a caution is cut; the standing line stands once.

use super::super::model::Model;
use super::cells::{Row, wrap};
use crate::dayplan::STANDING_LINE;
use crate::dayplan::counted::HOURS_COUNTED;
use crate::dayplan::document::{Caution, Severity};

/// Columns of the word at the left edge.
const MARGIN: usize = 10;

/// All rows.
pub(super) fn rows(model: &Model, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mut rows = vec![
        Row::new(),
        Row::new().text(" ", theme.text).text("CAUTIONS", theme.title),
    ];
    rows.push(Row::new());
    rows.extend(
        wrap(STANDING_LINE, columns.saturating_sub(2))
            .into_iter()
            .map(|line| Row::new().text(format!(" {line}"), theme.text)),
    );
    let mut cautions: Vec<&Caution> = model.sheet.plan.iter().flat_map(|plan| &plan.cautions).collect();
    // the hours that counted are said with their round and with their pieces
    cautions.retain(|caution| caution.code != HOURS_COUNTED);
    cautions.retain(|caution| caution.text != STANDING_LINE);
    cautions.sort_by_key(|caution| std::cmp::Reverse(caution.severity));
    if cautions.is_empty() {
        rows.push(Row::new());
        rows.push(Row::new().text(" The plan in force carries none.", theme.text));
    }
    for caution in cautions {
        let (word, style) = match caution.severity {
            Severity::Stop => ("STOP", theme.alarm),
            Severity::Warning => ("WARNING", theme.strong),
            Severity::Note => ("note", theme.text),
        };
        rows.push(Row::new());
        let parts = [Some(&caution.text), caution.figure.as_ref(), caution.source.as_ref()];
        for (part, text) in parts.into_iter().flatten().enumerate() {
            for (line, text) in wrap(text, columns.saturating_sub(MARGIN + 1)).into_iter().enumerate() {
                let word = if part == 0 && line == 0 { word } else { "" };
                let text_style = if part == 0 { theme.text } else { theme.quiet };
                rows.push(
                    Row::new()
                        .text(format!(" {word}"), style)
                        .pad(MARGIN)
                        .text(text, text_style),
                );
            }
        }
    }
    rows
}

/// How far they can be scrolled so that their end is seen.
pub fn last_scroll(model: &Model) -> usize {
    let room = usize::from(model.size.1.saturating_sub(2 + 3));
    rows(model, usize::from(model.size.0)).len().saturating_sub(room)
}
