//! This page's keys, and a short glossary.
//!
//! Invariant: every key the page or layer answers to is listed.

use super::super::layer::{Ask, Layer, Question};
use super::super::model::{Model, Page};
use super::cells::{Row, wrap};

/// Keys as the foot lists them, the ones used most first.
pub fn short_keys(model: &Model) -> &'static [(&'static str, &'static str)] {
    match (model.layers.last(), model.page) {
        (Some(Layer::Tick(_)), _) => &[("Enter", "write it"), ("w", "at another time"), ("Esc", "back")],
        (Some(Layer::TakeBack(_)), _) => &[("Enter", "take it back"), ("Esc", "leave it")],
        (Some(Layer::Touch(_)), _) => &[
            ("Enter", "write it"),
            ("↑↓", "what for"),
            ("←→", "not yet / already"),
            ("Esc", "back"),
        ],
        (Some(Layer::Choose(_)), _) => &[("Enter", "list these"), ("↑↓", "move"), ("Esc", "back")],
        (Some(Layer::Form(_)), _) => &[
            ("Enter", "next line, at the end: write"),
            ("↑↓", "move"),
            ("←→", "choose"),
            ("Esc", "back"),
        ],
        (Some(Layer::Menu(_)), _) => &[("Enter", "this"), ("1-9", "by number"), ("↑↓", "move"), ("Esc", "back")],
        (Some(Layer::Problems(..)), _) => &[("e", "open it in the editor"), ("↑↓", "read on"), ("Esc", "back")],
        (Some(Layer::Cautions(_)), _) => &[("a", "accept one"), ("↑↓", "read on"), ("Esc", "back")],
        (Some(Layer::Help(_)), _) => &[("↑↓", "read on"), ("Esc", "back")],
        (
            Some(Layer::Ask(Ask {
                question: Question::Find,
                ..
            })),
            _,
        ) => &[("Enter", "keep"), ("Esc", "all pieces")],
        (
            Some(Layer::Ask(Ask {
                question: Question::When,
                ..
            })),
            _,
        ) => &[("Enter", "take this time"), ("Esc", "back")],
        (
            Some(Layer::Ask(Ask {
                question: Question::Lot,
                ..
            })),
            _,
        ) => &[("Enter", "look at it"), ("Esc", "back")],
        (Some(Layer::Ask(_)), _) => &[("Enter", "write it"), ("Esc", "back")],
        (None, _) if model.sheet.job.parts.is_empty() => &[("e", "change the job"), ("q", "leave")],
        (None, Page::Now) if model.sheet.plan.is_none() => &[("p", "plan it"), ("e", "change the job"), ("q", "leave")],
        (None, Page::Now) if model.card().is_none() => &[
            ("r", "room reading"),
            ("n", "note"),
            ("u", "undo"),
            ("Tab", "pieces"),
            ("q", "leave"),
        ],
        (None, Page::Now) => &[
            ("Enter", "tick the round"),
            ("Space", "leave out"),
            ("o", "only this one"),
            ("t", "touch test"),
            ("d", "more to do"),
            ("u", "undo"),
            ("e", "change"),
            ("c", "cautions"),
            ("l", "lot"),
            ("b", "begin"),
            ("r", "room reading"),
            ("n", "note"),
            ("Tab", "pieces"),
        ],
        (None, Page::Pieces) => &[
            ("Enter", "unfold"),
            ("f", "which"),
            ("/", "find"),
            ("t", "touch test"),
            ("o", "tick next step"),
            ("d", "more"),
            ("e", "change"),
            ("u", "undo"),
            ("Tab", "now"),
        ],
    }
}

const NOW: [(&str, &str); 10] = [
    (
        "Enter",
        "tick the round: a look at what will be written, Enter again writes it",
    ),
    ("Space", "leave this piece out of the tick, or take it back in"),
    ("o", "tick only this piece"),
    ("l", "tick a lot of the round: a count, a range, some numbers"),
    ("b", "the round is on the bench: begun"),
    (
        "w",
        "in the look: done at another time (a digit or a minus begins it too)",
    ),
    ("t", "touch test on this piece's film: not dry enough yet, or already"),
    ("↑ ↓", "move; PgUp PgDn Home End (also j k g G)"),
    ("Tab 1 2", "the other page"),
    ("Esc", "back, without writing"),
];

const PIECES: [(&str, &str); 9] = [
    ("Enter", "unfold a piece to its surfaces, fold it (also Space, → and ←)"),
    ("a", "unfold or fold all that are listed"),
    ("f", "which pieces: may be handled, turned, coated, leave alone, ..."),
    ("/", "find by name; Esc shows all again"),
    ("t", "touch test on this film: not dry enough yet, or already"),
    ("o", "tick this piece's next step"),
    ("↑ ↓", "move; PgUp PgDn Home End (also j k g G)"),
    ("Tab 1 2", "the other page"),
    ("Esc", "back, without writing; all pieces again"),
];

const BOTH: [(&str, &str); 8] = [
    (
        "d",
        "more to do: leave undone, make a fault good, strip, a coat more, keep otherwise, pause",
    ),
    (
        "e",
        "change the job: parts, room, hours, title; or the whole file in your editor",
    ),
    ("u", "take back the last of yours; again for the one before"),
    ("r", "room reading: temperature and humidity"),
    ("c", "the plan's cautions in full; a there accepts one with a reason"),
    ("n", "note"),
    ("Ctrl-Z", "stop, to go on later; Ctrl-L paints the screen again"),
    ("q", "leave; the log holds everything written"),
];

const GLOSSARY: [(&str, &str); 15] = [
    (
        "LEAVE ALONE",
        "a surface is wet, or not dry to touch: neither carry nor turn it",
    ),
    (
        "coat only",
        "the next coat may go on where the piece is; neither carry nor turn it",
    ),
    ("turn only", "dry to touch: may be laid over where it lies, not carried"),
    (
        "touch test",
        "the fast estimate has passed, the slow one has not: test, then say so with t",
    ),
    ("carry", "dry to handle: by the edges, and to the rack; not stacked"),
    ("glue", "all coats on, dry hard, joints uncovered"),
    (
        "SAND OFF",
        "the room fell below the floor before the film was far enough: it will not mend",
    ),
    ("coats 2/3", "two coats on, three due"),
    ("0-2/2", "the surfaces of this piece differ: unfold it"),
    (
        "14:10-15:00",
        "the fast estimate and the slow one; plans rely on the slow one",
    ),
    (
        "recoat window",
        "the span in which the next coat may go on; after it closes, scuff first",
    ),
    (
        "round",
        "one step on several pieces in one go; ticked as one, by exception",
    ),
    (
        "covered",
        "a joint that is taped or plugged, so that it stays bare for glue",
    ),
    (
        "the label",
        "the label on the tin and its safety data sheet come before anything said here",
    ),
    (
        "rags",
        "oily rags can set themselves alight: lay them flat outside or keep them under water in a lidded tin",
    ),
];

/// All rows of the help.
pub(super) fn rows(model: &Model, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mut rows = Vec::new();
    let mut block = |title: &str, lines: &[(&str, &str)], margin: usize| {
        rows.push(Row::new());
        rows.push(Row::new().text(" ", theme.text).text(title.to_owned(), theme.title));
        for (key, does) in lines {
            for (part, text) in wrap(does, columns.saturating_sub(margin + 1)).into_iter().enumerate() {
                let key = if part == 0 { *key } else { "" };
                rows.push(
                    Row::new()
                        .text(format!(" {key}"), theme.strong)
                        .pad(margin)
                        .text(text, theme.text),
                );
            }
        }
    };
    match model.page {
        Page::Now => block("WHAT DO HANDS DO NOW?", &NOW, 12),
        Page::Pieces => block("WHERE IS EVERY PIECE?", &PIECES, 12),
    }
    block("ON BOTH PAGES", &BOTH, 12);
    block("WORDS", &GLOSSARY, 17);
    rows
}

/// How far the help can be scrolled so that its end is seen.
pub fn last_scroll(model: &Model) -> usize {
    let room = usize::from(model.size.1.saturating_sub(2 + 3));
    rows(model, usize::from(model.size.0)).len().saturating_sub(room)
}
