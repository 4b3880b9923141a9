//! This page's keys, the signs on it, and the glossary.
//!
//! Invariant: every key the page or layer answers to is listed, and on a screen that only shows none that writes.

use super::super::key::Key;
use super::super::layer::{Ask, Layer, Question};
use super::super::menu::Menu;
use super::super::model::{Model, Page};
use super::super::update::writes;
use super::cells::{Row, wrap};
use super::glossary::{TWO_WORDS, WORDS};

/// A key, or a sign, and what it does or is.
type Line = (&'static str, &'static str);

/// Keys as the foot lists them, the ones used most first; on a screen that only shows, none that writes.
pub fn short_keys(model: &Model) -> Vec<Line> {
    let keys = all_short_keys(model).iter().copied();
    keys.filter(|(key, _)| !model.read_only || !leads_to_writing(model, key))
        .collect()
}

/// Whether a key of the foot writes, or leads to something that does.
fn leads_to_writing(model: &Model, name: &str) -> bool {
    let Some(key) = key_named(name) else { return false };
    match model.layers.last() {
        None => writes(model.page, key),
        Some(Layer::Cautions(_)) => key == Key::Char('a'),
        Some(Layer::Problems(..)) => key == Key::Char('e'),
        Some(_) => false,
    }
}

/// A key by the name it has here.
fn key_named(name: &str) -> Option<Key> {
    let mut letters = name.chars();
    match (name, letters.next(), letters.next()) {
        ("Enter", _, _) => Some(Key::Enter),
        ("Space", _, _) => Some(Key::Char(' ')),
        (_, Some(letter), None) => Some(Key::Char(letter)),
        _ => None,
    }
}

/// Whether a line of the help is about something this screen does.
fn works(model: &Model, name: &str) -> bool {
    if !model.read_only {
        return true;
    }
    let page = if model.far { Page::Now } else { model.page };
    match (page, name) {
        // of the look at a tick, of a caution, of a form
        (Page::Now, "w") | (Page::Air, "a") | (_, ACCEPT) => false,
        _ => key_named(name).is_none_or(|key| !writes(page, key)),
    }
}

/// The key that accepts, in the layer of cautions.
const ACCEPT: &str = "c, then a";

fn all_short_keys(model: &Model) -> &'static [Line] {
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
        (Some(Layer::Menu(menu)), _)
            if Menu::key_of(menu.items.len().saturating_sub(1)).is_some_and(|key| key.is_ascii_digit()) =>
        {
            &[("Enter", "this"), ("1-9", "by number"), ("↑↓", "move"), ("Esc", "back")]
        }
        (Some(Layer::Menu(_)), _) => &[
            ("Enter", "this"),
            ("1-9 a-z", "by what stands before it"),
            ("↑↓", "move"),
            ("Esc", "back"),
        ],
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
        (None, page) => short_keys_of(page, model.card().is_none()),
    }
}

const fn short_keys_of(page: Page, no_round: bool) -> &'static [Line] {
    match page {
        Page::Now if no_round => &[
            ("r", "room reading"),
            ("n", "note"),
            ("u", "undo"),
            ("Tab", "next page"),
            ("q", "leave"),
        ],
        Page::Now => &[
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
            ("F", "far wall"),
        ],
        Page::Pieces => &[
            ("Enter", "unfold"),
            ("f", "which"),
            ("/", "find"),
            ("t", "touch test"),
            ("o", "tick next step"),
            ("d", "more"),
            ("e", "change"),
            ("u", "undo"),
            ("Tab", "next page"),
        ],
        Page::Day => &[
            ("←→", "round"),
            ("↑↓", "stick"),
            ("+ -", "closer, wider"),
            ("w", "what the end waits for"),
            ("Space", "now"),
        ],
        Page::Balance => &[("↑↓", "panel"), ("c", "cautions"), ("Tab", "next page")],
        Page::Air => &[
            ("←→", "day"),
            ("↑↓", "caution"),
            ("r", "room reading"),
            ("Tab", "next page"),
        ],
        Page::Stores | Page::Places => &[("↑↓", "read on"), ("Tab", "next page")],
        Page::Record => &[
            ("↑↓", "line"),
            ("a", "plans too"),
            ("u", "undo your last"),
            ("n", "note"),
            ("Tab", "next page"),
        ],
    }
}

const NOW: [Line; 9] = [
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
    ("Esc", "back, without writing"),
];

const FAR: [Line; 5] = [
    (
        "Enter",
        "tick the round: a look at what will be written, Enter again writes it",
    ),
    ("b", "the round is on the bench: begun"),
    ("Esc", "the pages again (also Tab and F)"),
    ("1 to 8", "this page"),
    ("q", "leave; the log holds everything written"),
];

const PIECES: [Line; 8] = [
    ("Enter", "unfold a piece to its surfaces, fold it (also Space, → and ←)"),
    ("a", "unfold or fold all that are listed"),
    ("f", "which pieces: may be handled, turned, coated, leave alone, ..."),
    ("/", "find by name; Esc shows all again"),
    ("t", "touch test on this film: not dry enough yet, or already"),
    ("o", "tick this piece's next step"),
    ("↑ ↓", "move; PgUp PgDn Home End (also j k g G)"),
    ("Esc", "back, without writing; all pieces again"),
];

const DAY: [Line; 13] = [
    ("← →", "the round before, the round after; Home End first and last"),
    (
        "↑ ↓",
        "the stick above, the stick below (also j k); PgUp PgDn three sticks",
    ),
    ("+ -", "closer, wider: a line a day, a stick a day, six hours, an hour"),
    ("w", "the next round that the end waits for"),
    ("Space", "back to the round of now (also Esc)"),
    (
        "hands",
        "a letter is a round, a digit a coat; a dot is an hour the shop is open",
    ),
    ("films", "≈ some film is wet: no dust; - some may not be carried yet"),
    (
        "end",
        "what the end waits for: ▬ hands at work, ≈ films or dust, a dot opening",
    ),
    ("", "□ a place, : the plan as a whole does better so"),
    (
        "this",
        "the film of the round picked: ≈ wet, - dry, no coat yet, ○ next coat,",
    ),
    (
        "",
        "n next coat after a de-nib, x after a scuff, ! gap: a coat spoils it",
    ),
    ("underlined", "a round the end waits for (the line end says the same)"),
    ("WHY THEN", "why the round is not earlier: without that it could move"),
];

const BALANCE: [Line; 5] = [
    ("↑ ↓", "the next panel; Home End (also j k g G)"),
    ("face back", "coats on and due"),
    ("unequal", "hours with unequal coats: so far, and in the whole plan"),
    (
        "bend then",
        "how much it would bend if the air changed while unequal, free of any frame",
    ),
    ("bend in use", "the same with the films it ends with"),
];

const AIR: [Line; 5] = [
    ("← →", "the day before, the day after, of those with vapour"),
    ("↑ ↓", "the next caution; PgUp PgDn Home End (also j k g G)"),
    ("a", "accept the caution, with a reason"),
    ("%", "of what can burn: of the lower explosive limit, in the mixed room"),
    (
        "the cap",
        "what the plan stays under; the rule is a quarter (29 CFR 1910.94)",
    ),
];

const STORES: [Line; 4] = [
    ("↑ ↓", "read on; PgUp PgDn Home End (also j k g G)"),
    ("used", "by what is ticked; to go: what is still planned"),
    ("in all", "out of the tin, at best and at worst"),
    ("shelf", "what the job says stands there; ? it does not say"),
];

const PLACES: [Line; 3] = [
    ("↑ ↓", "read on; PgUp PgDn Home End (also j k g G)"),
    (
        "a sign",
        "a place: what may be done with the piece there; _ free, █ other work",
    ),
    ("free from", "when the plan has it leave"),
];

const RECORD: [Line; 3] = [
    ("↑ ↓", "the next line; PgUp PgDn Home End (also j k g G)"),
    ("a", "plans taken on are listed too, or not"),
    ("taken back", "a later line takes it back; nothing is ever rubbed out"),
];

const ALL: [Line; 13] = [
    ("1 to 8", "the pages; Tab the next one, Shift-Tab the one before"),
    ("F", "the far wall: one round, one time to go, in large letters"),
    (
        "d",
        "more to do: leave undone, make a fault good, strip, a coat more, keep otherwise, pause",
    ),
    (
        "e",
        "change the job: parts, joints, glue-ups, room, hours, shelf; or the whole file in your editor",
    ),
    ("u", "take back the last of yours; again for the one before"),
    ("r", "room reading: temperature and humidity"),
    ("c", "the plan's cautions in full"),
    (ACCEPT, "accept one of them, with a reason"),
    ("n", "note"),
    ("T", "the next theme: terminal, light, dark, contrast, mono"),
    ("B", "the bell off, or on again"),
    ("Ctrl-Z", "stop, to go on later; Ctrl-L paints the screen again"),
    ("q", "leave; the log holds everything written"),
];

const fn lines_of(page: Page) -> &'static [Line] {
    match page {
        Page::Now => &NOW,
        Page::Pieces => &PIECES,
        Page::Day => &DAY,
        Page::Balance => &BALANCE,
        Page::Air => &AIR,
        Page::Stores => &STORES,
        Page::Places => &PLACES,
        Page::Record => &RECORD,
    }
}

/// All rows of the help.
pub(super) fn rows(model: &Model, columns: usize) -> Vec<Row> {
    let theme = &model.theme;
    let mut rows = Vec::new();
    let mut block = |title: &str, lines: &[Line], margin: usize| {
        rows.push(Row::new());
        rows.push(Row::new().text(" ", theme.text).text(title.to_owned(), theme.title));
        for (key, does) in lines.iter().filter(|(key, _)| works(model, key)) {
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
    if model.far {
        block("THE FAR WALL", &FAR, 13);
    } else {
        block(&model.page.question().to_uppercase(), lines_of(model.page), 13);
        block("ON EVERY PAGE", &ALL, 13);
    }
    block("WORDS", &WORDS, 17);
    block("TWO WORDS FOR ONE THING", &TWO_WORDS, 20);
    rows
}

/// How far the help can be scrolled so that its end is seen.
pub fn last_scroll(model: &Model) -> usize {
    let room = usize::from(model.size.1.saturating_sub(2 + 3));
    rows(model, usize::from(model.size.0)).len().saturating_sub(room)
}
